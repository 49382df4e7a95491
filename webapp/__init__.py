"""Brimful: what a jar of handmade hair product costs, and what to charge for it."""

from __future__ import annotations

from pathlib import Path

VERSION = "0.1.0"
STATIC = "/static/"
"""Where the files of the folder `static` are served."""


def resource_dir(name: str) -> Path:
    """Return the folder `templates`, `static` or `seed_data`, inside a wheel or beside the package.

    Raises FileNotFoundError, naming the folder, where the installation is not whole.
    """
    package = Path(__file__).resolve().parent
    for folder in (package / "_resources" / name, package.parent / name):
        if folder.is_dir():
            return folder
    raise FileNotFoundError(f"The folder '{name}' is missing from this installation: install Brimful again.")
