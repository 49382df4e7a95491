"""Leaves with 0 where this Python has every package that the checks need, in a version that pyproject.toml allows."""

from __future__ import annotations

import sys
import tomllib
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

from packaging.requirements import Requirement

settings = Path(__file__).resolve().parent.parent / "pyproject.toml"
project = tomllib.loads(settings.read_text(encoding="utf-8"))["project"]
extras = project["optional-dependencies"]
lacking = []
tools = [text for text in extras["dev"] if not text.startswith("watchfiles")]  # only the step `dev` needs that one
for text in [*project["dependencies"], *extras["test"], *tools]:
    wanted = Requirement(text)
    try:
        found = version(wanted.name)
    except PackageNotFoundError:
        found = ""
    if not found or found not in wanted.specifier:
        lacking.append(f"{wanted.name} {found or 'missing'}")
if lacking:
    sys.exit(f"not in this environment: {', '.join(lacking)}")
