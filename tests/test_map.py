"""The map in DEVELOPERS.md names every module, by itself or by its stem, and nothing that is gone."""

from __future__ import annotations

import re
from fnmatch import fnmatchcase
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
#: the packages whose modules are named one by one; of folders in them only the folder is
PACKAGES = ("webapp/costing", "webapp/store", "webapp/exchange", "webapp/pages", "webapp/api", "webapp/door", "webapp")


def parts() -> dict[str, str]:
    """What the map says of each package, by the bold name that it begins with."""
    whole = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    the_map = whole.partition("\n## The map\n")[2].partition("\n## ")[0]
    found = re.split(r"^\*\*`([\w/]+)`\*\*", the_map, flags=re.MULTILINE)
    return dict(zip(found[1::2], found[2::2], strict=True))


def named_in(text: str) -> set[str]:
    return set(re.findall(r"`([\w*]+/?)`", text))


def unnamed(package: str, names: set[str]) -> list[str]:
    """The modules and folders of a package that none of the names means."""
    return [one for one in there(package) if not any(fnmatchcase(one, name) for name in names)]


def there(package: str) -> list[str]:
    folder = ROOT / package
    modules = [one.stem for one in folder.glob("*.py") if one.name != "__init__.py"]
    inside = [f"{one.name}/" for one in folder.iterdir() if (one / "__init__.py").exists()]
    return sorted(modules + (inside if package != "webapp" else []))


@pytest.mark.parametrize("package", PACKAGES)
def test_every_module_is_on_the_map(package: str) -> None:
    assert unnamed(package, named_in(parts()[package])) == []


@pytest.mark.parametrize("package", PACKAGES)
def test_nothing_is_on_the_map_that_is_gone(package: str) -> None:
    gone = [name for name in named_in(parts()[package]) if not any(fnmatchcase(one, name) for one in there(package))]
    assert gone == []


def test_a_module_that_is_not_named_would_be_noticed() -> None:
    names = named_in(parts()["webapp/store"])
    assert "writing" in names
    assert unnamed("webapp/store", names - {"writing"}) == ["writing"]
