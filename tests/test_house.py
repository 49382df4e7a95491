"""The rules of the house, held by reading the files themselves."""

from __future__ import annotations

import ast
import hashlib
import re
import sys
import tomllib
from collections.abc import Callable, Iterable, Iterator
from functools import cache
from pathlib import Path

import pytest

from webapp import VERSION

ROOT = Path(__file__).resolve().parent.parent
WEBAPP, TESTS, TEMPLATES, STATIC = (ROOT / name for name in ("webapp", "tests", "templates", "static"))
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]

MODULES = sorted(WEBAPP.rglob("*.py"))
TEST_MODULES = sorted(TESTS.rglob("*.py"))
PAGES = sorted(TEMPLATES.rglob("*.html"))
OWN_FILES = sorted(
    path for path in STATIC.rglob("*") if path.suffix in (".css", ".js", ".svg") and "vendor" not in path.parts
)
LONGEST_MODULE, LONGEST_TEMPLATE = 350, 200
"""The fence. The compass is 350 and 120 lines; a file of records or of macros may stand a little above it."""

GROUND = {"", "errors", "settings"}
"""What any part but the core may use: the package itself (its version, its folders), errors and settings."""

MAY_USE: dict[str, set[str]] = {
    "": set(),
    "errors": set(),
    "settings": set(),
    "costing": {"costing"},
    "store": GROUND | {"costing", "store"},
    "exchange": GROUND | {"costing", "exchange"},
    "door": GROUND | {"store", "door"},
    "guard": {"", "errors", "store", "door"},
    "roles": {"door", "pages"},
    "jobs": {"errors"},
    "problems": {"errors"},
    "methods": {"errors", "guard"},
    "routes": set(),
    "upkeep": GROUND | {"costing", "store"},
    "pages": GROUND | {"costing", "store", "exchange", "example", "importing", "routes", "jobs", "door", "pages"},
    "api": GROUND | {"costing", "store", "exchange", "example", "importing", "routes", "jobs", "door", "api"},
    "example": GROUND | {"costing", "store", "exchange"},
    "importing": GROUND | {"costing", "store", "exchange"},
    "book_commands": GROUND | {"costing", "store", "exchange", "importing", "serving"},
    "app": GROUND
    | {
        "costing",
        "store",
        "exchange",
        "door",
        "pages",
        "api",
        "guard",
        "roles",
        "methods",
        "problems",
        "routes",
        "jobs",
        "upkeep",
    },
    "serving": GROUND | {"guard", "door"},
    "backup_words": GROUND | {"costing", "store", "serving"},
    "moving_words": GROUND | {"store", "serving"},
    "workers": GROUND | {"app", "serving", "store", "upkeep"},
    "cli": GROUND
    | {
        "costing",
        "store",
        "exchange",
        "pages",
        "api",
        "guard",
        "methods",
        "example",
        "app",
        "serving",
        "upkeep",
        "backup_words",
        "book_commands",
        "moving_words",
        "workers",
        "door",
        "door_words",
    },
    "door_words": GROUND | {"store", "serving", "door"},
    "__main__": {"cli"},
}
"""Imports run one way: costing <- store, exchange <- pages, api <- app <- cli."""

BANNED_NAMES = {
    "utils",
    "util",
    "helpers",
    "helper",
    "common",
    "base",
    "manager",
    "managers",
    "service",
    "services",
    "misc",
}
BANNED_MODULES = {
    "http.client",
    "urllib.request",
    "httpx",
    "httpx2",
    "requests",
    "urllib3",
    "aiohttp",
    "ftplib",
    "smtplib",
}
DISTRIBUTIONS = {
    "argon2": "argon2-cffi",
    "multipart": "python-multipart",
    "python_multipart": "python-multipart",
    "pydantic_settings": "pydantic-settings",
}


def named(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"), named(path))


def part_of(path: Path) -> str:
    """The part of the program that a module belongs to: the first name below `webapp`."""
    first = path.relative_to(WEBAPP).parts[0].removesuffix(".py")
    return "" if first == "__init__" else first


@cache
def imported(path: Path) -> tuple[str, ...]:
    """Full names of the modules that a module imports, also inside functions and by name."""
    return tuple(imports_of(path))


def imports_of(path: Path) -> Iterator[str]:
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{named(path)}:{node.lineno}: a relative import"
            for alias in node.names:
                yield f"{node.module}.{alias.name}"
        elif isinstance(node, ast.Call) and ast.unparse(node.func) in (
            "importlib.import_module",
            "import_module",
            "part",
        ):
            yield from (a.value for a in node.args if isinstance(a, ast.Constant) and isinstance(a.value, str))


def ours(path: Path) -> set[str]:
    """The parts of the program that a module imports."""
    parts = set()
    for name in imported(path):
        if name == "webapp" or name.startswith("webapp."):
            first = [*name.split("."), ""][1]
            parts.add(first if first in MAY_USE else "")
    return parts


def of_every(paths: Iterable[Path]) -> Callable[[Callable[[Path], None]], Callable[[], None]]:
    """A rule about one file as one test of all of them, which names each file that breaks it and how."""

    def of_one(rule: Callable[[Path], None]) -> Callable[[], None]:
        def test() -> None:
            broken = {}
            for path in paths:
                try:
                    rule(path)
                except AssertionError as error:
                    broken[named(path)] = str(error)
            assert broken == {}

        return test

    return of_one


# --- imports


@of_every(MODULES)
def test_imports_run_one_way(path: Path) -> None:
    part = part_of(path)
    assert part in MAY_USE, f"webapp/{part} is a new part: say in MAY_USE what it may use"
    assert ours(path) - MAY_USE[part] == set()


@of_every([p for p in MODULES if part_of(p) == "costing"])
def test_the_core_imports_the_standard_library_and_itself(path: Path) -> None:
    others = {name for name in imported(path) if not name.startswith("webapp.costing")}
    assert {name.split(".")[0] for name in others} - set(sys.stdlib_module_names) == set()


@of_every([p for p in MODULES if part_of(p) == "costing"])
def test_the_core_has_no_clock_no_file_and_no_log(path: Path) -> None:
    shell = {"io", "logging", "os", "pathlib", "random", "secrets", "socket", "subprocess", "time", "uuid"}
    assert {name.split(".")[0] for name in imported(path)} & shell == set()
    text = path.read_text(encoding="utf-8")
    assert not re.search(r"\b(date\.today|datetime\.now|datetime\.utcnow|open)\(", text)


@of_every(MODULES)
def test_nothing_can_ask_another_machine(path: Path) -> None:
    names = {name for name in imported(path) if any(f"{name}.".startswith(f"{b}.") for b in BANNED_MODULES)}
    assert names == set()


def test_every_package_that_is_imported_is_asked_for() -> None:
    asked = {re.split(r"[\[><=]", text)[0].lower() for text in PROJECT["dependencies"]}
    asked |= {re.split(r"[\[><=]", text)[0].lower() for text in PROJECT["optional-dependencies"]["postgres"]}
    tops = {name.split(".")[0] for path in MODULES for name in imported(path)} - set(sys.stdlib_module_names)
    assert {DISTRIBUTIONS.get(top, top) for top in tops} - asked - {"webapp"} == set()


def test_every_dependency_has_a_floor_and_a_ceiling() -> None:
    extras = [text for group in PROJECT["optional-dependencies"].values() for text in group]
    for text in [*PROJECT["dependencies"], *extras]:
        assert re.fullmatch(r"[a-z0-9\[\]-]+>=[0-9.]+,<[0-9.]+", text), text


def test_the_version_is_the_same_everywhere() -> None:
    assert PROJECT["version"] == VERSION


# --- exactness and writing


@of_every([p for p in MODULES if part_of(p) in ("costing", "store", "api")])
def test_no_binary_float(path: Path) -> None:
    """A float may be named only to be refused: `isinstance(value, float)`."""
    whole = tree(path)
    refusing = {
        id(name)
        for call in ast.walk(whole)
        if isinstance(call, ast.Call) and ast.unparse(call.func) == "isinstance"
        for name in ast.walk(call.args[1])
    }
    found = [
        f"{named(path)}:{node.lineno}"
        for node in ast.walk(whole)
        if (isinstance(node, ast.Constant) and isinstance(node.value, float))
        or (isinstance(node, ast.Name) and node.id == "float" and id(node) not in refusing)
    ]
    assert found == []


def commits(path: Path) -> list[int]:
    """Lines on which a module commits."""
    return [
        node.lineno
        for node in ast.walk(tree(path))
        if (isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr == "commit")
        or (
            isinstance(node, ast.Constant)
            and isinstance(node.value, str)
            and node.value.strip(" ;").upper() == "COMMIT"
        )
    ]


@of_every([p for p in MODULES if named(p) != "webapp/store/writing.py"])
def test_only_one_module_commits(path: Path) -> None:
    assert commits(path) == []


@of_every(sorted((WEBAPP / "store").glob("*tables.py")))
def test_the_tables_have_no_deferred_annotations(path: Path) -> None:
    assert "__future__.annotations" not in set(imported(path))


# --- files and their names


@of_every([*MODULES, *TEST_MODULES])
def test_every_module_says_what_it_is(path: Path) -> None:
    if path.parent.name != "versions" and (path.name != "__init__.py" or path in MODULES):
        assert ast.get_docstring(tree(path)), "a docstring of its own is missing"


@of_every([*MODULES, *TEST_MODULES])
def test_no_room_for_odds_and_ends(path: Path) -> None:
    names = {part.removesuffix(".py").lower() for part in path.relative_to(ROOT).parts}
    assert names & BANNED_NAMES == set()


# A migration is a record of what was done once: nobody reads or changes it as a module.
@of_every([*(p for p in MODULES if p.parent.name != "versions"), *PAGES])
def test_no_file_is_too_long_to_read(path: Path) -> None:
    lines = len(path.read_text(encoding="utf-8").splitlines())
    assert lines <= (LONGEST_MODULE if path.suffix == ".py" else LONGEST_TEMPLATE)


def test_every_folder_of_tests_is_a_package() -> None:
    folders = {path.parent for path in TEST_MODULES}
    assert [named(folder) for folder in sorted(folders) if not (folder / "__init__.py").is_file()] == []


def test_no_folder_of_tests_is_without_tests() -> None:
    packages = {path.parent for path in TEST_MODULES if path.name == "__init__.py"}
    assert [named(folder) for folder in sorted(packages) if not list(folder.rglob("[!_]*.py"))] == []


# --- what a browser gets

OUTSIDE = re.compile(r"""(?:[a-z]+:)?//[\w.-]+\.[a-z]{2,}|\burl\(\s*["']?(?!data:|\.|/static|#)""", re.IGNORECASE)
NAMESPACES = re.compile(r"""http://www\.w3\.org/(?:2000/svg|1999/xlink|1999/xhtml|1998/Math/MathML)""")
INLINE = re.compile(
    r"""<style\b|\sstyle\s*=|\son[a-z]+\s*=|\shx-on|<script(?![^>]*\ssrc=)|javascript:|["']js:|hx-trigger="[^"]*\[""",
    re.IGNORECASE,
)


@of_every([*PAGES, *OWN_FILES])
def test_nothing_is_fetched_from_outside(path: Path) -> None:
    text = NAMESPACES.sub("", path.read_text(encoding="utf-8"))
    assert [found[0] for found in OUTSIDE.finditer(text)] == []


@of_every(PAGES)
def test_no_style_and_no_script_inside_a_page(path: Path) -> None:
    text = re.sub(r"\{#.*?#\}", "", path.read_text(encoding="utf-8"), flags=re.DOTALL)
    assert [found[0] for found in INLINE.finditer(text)] == []


@of_every(PAGES)
def test_nothing_is_let_through_unescaped(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert not re.search(r"\|\s*safe\b|autoescape\s+false", text)


def test_files_from_others_are_the_ones_that_are_described() -> None:
    vendor = STATIC / "vendor"
    told = (vendor / "VENDOR.md").read_text(encoding="utf-8")
    scripts = [path for path in vendor.rglob("*") if path.suffix in (".js", ".css")]
    assert scripts
    for path in scripts:
        assert path.name in told
        assert hashlib.sha256(path.read_bytes()).hexdigest() in told, f"{named(path)} is not the file described"


# --- the rules can fail


@pytest.mark.parametrize(
    "text",
    [
        '<p style="x">',
        "<style>",
        "<a onclick=x>",
        "<script>x</script>",
        'a href="javascript:x"',
        'hx-trigger="click[x]"',
    ],
)
def test_the_rule_against_inline_code_notices(text: str) -> None:
    assert INLINE.search(f"<div {text}>")


@pytest.mark.parametrize(
    "text",
    ['src="https://cdn.example.org/x.js"', 'href="//cdn.example.org/x"', "url(https://x.org/y)", "@import url(x.css)"],
)
def test_the_rule_against_outside_addresses_notices(text: str) -> None:
    assert OUTSIDE.search(text)


@pytest.mark.parametrize(
    "text", ['<script src="/static/x.js" defer></script>', '<input name="onset">', "<p>// a remark</p>"]
)
def test_the_rules_let_pass_what_is_allowed(text: str) -> None:
    assert not INLINE.search(text)
    assert not OUTSIDE.search(text)
