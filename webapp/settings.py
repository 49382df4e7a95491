"""What can be set, by `BRIMFUL_…` in the environment or by a flag. None of it is needed."""

from __future__ import annotations

from ipaddress import ip_address
from pathlib import Path
from typing import Annotated

from platformdirs import user_data_path
from pydantic import Field, SecretStr, field_validator
from pydantic_settings import BaseSettings, NoDecode, SettingsConfigDict

DEFAULT_PORT = 8000


def default_data() -> Path:
    """The platform's folder for this person's data of this program."""
    return user_data_path("brimful", appauthor=False)


class Settings(BaseSettings):
    """Everything that can be set. A `.env` file that happens to lie in the current folder is not read."""

    model_config = SettingsConfigDict(env_prefix="BRIMFUL_", env_file=None, extra="ignore", frozen=True)

    host: str = "127.0.0.1"
    port: int | None = Field(default=None, ge=0, le=65535, description="none: 8000, or the next free one; 0: any")
    data: Path = Field(default_factory=default_data, description="folder of the data, its lock and its backups")
    database: SecretStr | None = Field(default=None, description="address of a PostgreSQL; none: a file in `data`")
    workers: int = Field(default=1, ge=1, le=32, description="processes that serve; more than one with a PostgreSQL")
    allowed_hosts: Annotated[tuple[str, ...], NoDecode] = Field(
        default=(), description="more names that this machine is called by, with commas between"
    )
    certificate: Path | None = Field(default=None, description="a certificate for TLS, in PEM")
    key: Path | None = Field(default=None, description="its private key, in PEM")
    body_seconds: int = Field(default=20, ge=1, le=600, description="how long a request's body may take, in seconds")

    @field_validator("data", "certificate", "key")
    @classmethod
    def _whole_path(cls, value: Path | None) -> Path | None:
        return value.expanduser().absolute() if value is not None else None

    @field_validator("allowed_hosts", mode="before")
    @classmethod
    def _split_names(cls, value: object) -> object:
        if isinstance(value, str):
            return tuple(name.strip().lower() for name in value.split(",") if name.strip())
        return value

    @property
    def is_every_address(self) -> bool:
        """Whether all addresses of this machine are served, whichever it has."""
        return self.host in ("0.0.0.0", "::")  # noqa: S104 - asked about, not bound

    @property
    def is_loopback(self) -> bool:
        """Whether only this machine can reach the address that is served."""
        if self.host.lower() == "localhost":
            return True
        try:
            return ip_address(self.host).is_loopback
        except ValueError:
            return False
