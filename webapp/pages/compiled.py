"""Compiled templates kept beside them, as Python keeps its own modules: in `__pycache__`, and not where it may not.

To compile the first page's takes longer than to make the page. What is kept is code, so it lies only where the
program's own code lies; it is used only for the very text, versions and settings it was made of, and where whole.
"""

from __future__ import annotations

import hashlib
import importlib.util
import sys
from contextlib import suppress
from pathlib import Path
from tempfile import NamedTemporaryFile

import jinja2
from jinja2 import BytecodeCache, Environment
from jinja2.bccache import Bucket

from webapp import VERSION

DIGEST = 32
_SETTINGS = (
    "autoescape",
    "block_end_string",
    "block_start_string",
    "extensions",
    "keep_trailing_newline",
    "lstrip_blocks",
    "newline_sequence",
    "optimized",
    "trim_blocks",
    "variable_end_string",
    "variable_start_string",
)


class CompiledTemplates(BytecodeCache):
    """Keeps them for the templates in `folder`. Where nothing can be read or written, they are compiled each time."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def load_bytecode(self, bucket: Bucket) -> None:
        """Take what is kept, if it is whole; the bucket itself looks whether it is of this text."""
        with suppress(OSError):
            kept = self.place(bucket).read_bytes()
            if kept[:DIGEST] == hashlib.sha256(kept[DIGEST:]).digest():
                bucket.bytecode_from_string(kept[DIGEST:])

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep it, so that others see all of it or nothing."""
        if sys.dont_write_bytecode:
            return
        code, place = bucket.bytecode_to_string(), self.place(bucket)
        with suppress(OSError):
            place.parent.mkdir(parents=True, exist_ok=True)
            with NamedTemporaryFile(dir=place.parent, delete=False) as part:
                part.write(hashlib.sha256(code).digest() + code)
            Path(part.name).replace(place)

    def place(self, bucket: Bucket) -> Path:
        """Where it lies: by template, Python, library and settings."""
        made_by = f"{jinja2.__version__} {VERSION} {settings_of(bucket.environment)}"
        marked = hashlib.sha256(made_by.encode()).hexdigest()[:16]
        return Path(importlib.util.cache_from_source(self.folder / f"{bucket.key}.html", optimization=marked))


def settings_of(environment: Environment) -> str:
    """What a template's code depends on besides its text, in words."""
    told = [f"{name}={getattr(environment, name)!r}" for name in _SETTINGS]
    return " ".join([*told, *sorted(environment.filters), *sorted(environment.tests)])
