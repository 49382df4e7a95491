"""What tables have in common: the ledger, changes and things, and the families that the other tables belong to.

Rows are inserted and ended, never updated or deleted; `ended_in` null means: holds now. `made_in` and `ended_in` are
versions of the ledger, which are also the identities of changes. What holds from a day on carries `from_day`; lines
carry their `position`. (No deferred annotations here: SQLModel reads them.)
"""

import re
from collections.abc import Iterator
from datetime import date, datetime
from typing import Any

from pydantic import ConfigDict
from sqlalchemy.ext.declarative import DeferredReflection
from sqlalchemy.orm import declared_attr
from sqlmodel import Field, SQLModel

from webapp.store.columns import Amount, Day, Moment

SQLModel.metadata.naming_convention = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s",
    "pk": "pk_%(table_name)s",
}


def exact(**more: Any) -> Any:
    """An exact amount."""
    return Field(sa_type=Amount, **more)


def a_day(**more: Any) -> Any:
    """A calendar day."""
    return Field(sa_type=Day, **more)


def to_thing(**more: Any) -> Any:
    """A reference to a thing."""
    return Field(foreign_key="thing.id", **more)


class LedgerRow(SQLModel, table=True):
    """One row: which data this is (`epoch`, new after a restore) and how many writes it has seen."""

    __tablename__ = "ledger"
    id: int = Field(primary_key=True)
    epoch: str
    version: int


class ChangeRow(SQLModel, table=True):
    """One row per write; `id` is the ledger's version that it made."""

    __tablename__ = "change"
    id: int = Field(primary_key=True, sa_column_kwargs={"autoincrement": False})
    at: datetime = Field(sa_type=Moment)
    kind: str
    why: str = ""
    device: str = ""
    token: str | None = Field(default=None, unique=True)
    input_hash: str = ""
    undoes: int | None = Field(default=None, foreign_key="change.id")
    ids: str = "{}"


class ThingRow(SQLModel, table=True):
    """The identity of something; never deleted."""

    __tablename__ = "thing"
    id: int | None = Field(default=None, primary_key=True)
    kind: str


class DraftRow(SQLModel, table=True):
    """What was typed in a form and not saved: `texts` are JSON. It is no fact, so its rows are replaced and deleted."""

    __tablename__ = "draft"
    id: int | None = Field(default=None, primary_key=True)
    form: str = Field(unique=True)
    kind: str
    page: str
    texts: str
    at: datetime = Field(sa_type=Moment)
    epoch: str
    version: int


class HeardRow(SQLModel, table=True):
    """The number of the last that was heard from an opened page about what is half entered; `sender` is that page.

    It is no fact: rows are replaced, and the oldest go.
    """

    __tablename__ = "heard"
    id: int | None = Field(default=None, primary_key=True)
    sender: str = Field(unique=True)
    number: int


class WhatIfRow(SQLModel, table=True):
    """A what-if that is kept: its suppositions are JSON in `texts`. It is no fact: rows are changed and deleted."""

    __tablename__ = "what_if"
    id: int | None = Field(default=None, primary_key=True)
    name: str
    name_key: str = Field(unique=True)
    texts: str
    at: datetime = Field(sa_type=Moment)


class VerdictRow(SQLModel, table=True):
    """A dated note on a product or a formula: what was asked about another size of it, as JSON, and what it came to.

    It is no fact: rows are made and deleted. `thing` stays a thing when it is put away or taken back. `thrown` is when
    it was thrown away: it can be kept again for a while.
    """

    __tablename__ = "verdict"
    id: int | None = Field(default=None, primary_key=True)
    thing: int = to_thing(index=True)
    day: date = a_day()
    sentence: str
    question: str
    figures: str
    at: datetime = Field(sa_type=Moment)
    thrown: datetime | None = Field(default=None, sa_type=Moment)


class DoorRow(SQLModel, table=True):
    """One row once there is a passphrase: its Argon2id hash, and the name of this installation in its cookie.

    `shut` is since when the network is kept out although it is served. It is no fact of the book, in no export, and
    no change makes it.
    """

    __tablename__ = "door"
    id: int = Field(primary_key=True)
    installation: str
    passphrase: str
    at: datetime = Field(sa_type=Moment)
    shut: datetime | None = Field(default=None, sa_type=Moment)


class DeviceRow(SQLModel, table=True):
    """A device that was let in, or (without a `token`) a link that lets one in until `until`. Both only as hashes.

    `seen` is the last day on which it asked, `gone` when it was signed out. It is no fact: rows change and go.
    """

    __tablename__ = "device"
    id: int | None = Field(default=None, primary_key=True)
    name: str
    role: str
    token: str | None = Field(default=None, unique=True)
    link: str | None = Field(default=None, unique=True)
    until: datetime | None = Field(default=None, sa_type=Moment)
    at: datetime = Field(sa_type=Moment)
    seen: date | None = Field(default=None, sa_type=Day)
    gone: datetime | None = Field(default=None, sa_type=Moment)


class TriesRow(SQLModel, table=True):
    """How often a peer of the network tried wrongly, and when last; `peer` "" is all of them together.

    It is no fact: rows are replaced, and go after a quiet hour.
    """

    __tablename__ = "tries"
    id: int | None = Field(default=None, primary_key=True)
    peer: str = Field(unique=True)
    wrong: int
    last: datetime = Field(sa_type=Moment)


class Held(DeferredReflection, SQLModel):
    """A row that is made by one change and ended by another. ProductPartRow lies in the table product_part.

    Rows are read and written by table; that the classes are never mapped to objects saves a start a twentieth.
    """

    # Rows are checked before they come here, so no validator of them is made unless somebody asks for it.
    model_config = ConfigDict(defer_build=True)  # type: ignore[assignment]  # it is one, by another name

    @declared_attr.directive
    @classmethod
    def __tablename__(cls) -> str:
        return cls.table_name()

    @classmethod
    def table_name(cls) -> str:
        """The table's name, by that of the class."""
        return re.sub("(?<=[a-z])(?=[A-Z])", "_", cls.__name__.removesuffix("Row")).lower()

    id: int | None = Field(default=None, primary_key=True)
    made_in: int = Field(foreign_key="change.id", index=True)
    ended_in: int | None = Field(default=None, foreign_key="change.id", index=True)


class Of(Held):
    """A row about a thing."""

    thing: int = to_thing()


class Dated(Of):
    """What holds of a thing from a day on."""

    from_day: date = a_day()


class Line(Of):
    """A line of a thing."""

    position: int


class DatedLine(Dated):
    """A line of what holds from a day on."""

    position: int


class Pair(Held):
    """A dated fact about a product on a channel."""

    product: int = to_thing()
    channel: int = to_thing()
    from_day: date = a_day()


class About(Dated):
    """A dated fact about a thing that has tables of its own."""


class Named(Of):
    """A thing with a name that is its own among those of its kind."""

    name: str
    name_key: str
    note: str = ""


#: Where a column has another name than the field of a record.
FIELD_OF = {"from_day": "since"}
#: What tells rows of one table apart while they hold, by the family of the table. The first that fits counts.
_KEYS: tuple[tuple[type[SQLModel], tuple[str, ...]], ...] = (
    (Pair, ("product", "channel", "from_day")),
    (DatedLine, ("thing", "from_day", "position")),
    (Line, ("thing", "position")),
    (Dated, ("thing", "from_day")),
    (Of, ("thing",)),
)


def key_of(row: type[SQLModel]) -> tuple[str, ...]:
    """The columns by which rows of a table are told apart while they hold. KeyError for a table without."""
    for family, key in _KEYS:
        if issubclass(row, family):
            return key
    raise KeyError(row.__name__)


def rows_held() -> Iterator[type[Held]]:
    """Every row class that is a table of its own, in the order in which they are written down."""
    families = (Held, Of, Dated, Line, DatedLine, Pair, About, Named)
    for family in families:
        yield from (row for row in family.__subclasses__() if row not in families)
