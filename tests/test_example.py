"""The example workshop: its figures agree with expected.csv on any day, and it can be made, printed and made anew."""

from __future__ import annotations

import ast
import csv
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from tests import agreement, reckoning
from tests.books import example_book
from webapp import example
from webapp.costing.changes import apply_all, questions
from webapp.costing.reckoning import Reckoning
from webapp.errors import CannotStart
from webapp.settings import Settings

HERE = Path(__file__).parent
FIRST = date(2026, 1, 1)
#: over four years: month ends, a leap day, and days with nothing special
DAYS = (
    *(FIRST + timedelta(days) for days in range(0, 4 * 366, 131)),
    *(date(2026, 12, 31), date(2027, 2, 28), date(2027, 3, 1), date(2028, 2, 29), date(2028, 3, 31)),
)


def expected() -> Iterator[tuple[str, str, str, str]]:
    with (HERE.parent / "seed_data" / "expected.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            yield row["of"], row["channel"], row["figure"], row["value"]


def test_expected_figures_are_those_reckoned_in_fractions_on_any_day() -> None:
    written = list(expected())
    for day in DAYS:
        assert reckoning.expected(day) == written, day


@pytest.mark.parametrize("day", DAYS, ids=str)
def test_the_core_gives_every_expected_figure(day: date) -> None:
    book, ids = example_book(day)
    known = Reckoning(book)
    wrong = []
    rows = list(expected())
    for of, channel, name, value in rows:
        figure = agreement.figure_of(known, ids, of, channel, name)
        if not agreement.agrees(figure, value):
            wrong.append((of, channel, name, value, figure))
    assert not wrong, wrong[:20]
    assert len(rows) > 1_300


def test_the_reckoning_in_fractions_imports_the_standard_library_and_itself_only() -> None:
    files = sorted(HERE.glob("reckoning*.py"))
    imported = {name for file in files for name in _imports(file)}
    ours = {"tests.reckoning", "tests.reckoning_buying", "tests.reckoning_jars"}
    assert {name for name in imported if name.startswith("tests")} == ours
    assert not {name for name in imported if name.split(".")[0] == "webapp"}
    assert {name.split(".")[0] for name in imported} <= {
        "__future__", "calendar", "collections", "csv", "dataclasses", "datetime", "fractions", "functools", "json",
        "math", "pathlib", "typing", "tests",
    }  # fmt: skip


def _imports(file: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(file.read_text("utf-8"))):
        if isinstance(node, ast.ImportFrom):
            assert node.level == 0, "say whole names"
            yield node.module or ""
        elif isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            assert node.func.id not in ("__import__", "exec", "eval")


def test_the_seed_is_what_it_is_said_to_be() -> None:
    data = example.seed()
    kinds = [one.get("kind", "ingredient") for one in data["material"]]
    assert kinds.count("ingredient") == 20
    assert kinds.count("packaging") == 15
    assert len({one["key"] for one in data["channel"]}) == 5
    assert [len(data[kind]) for kind in ("supplier", "order", "formula", "product")] == [4, 15, 6, 14]
    units = {line["unit"] for order in data["order"] for line in order["lines"]}
    assert {"kg", "g", "lb", "oz", "L", "mL", "US gallon", "US fl oz", "imp fl oz", "pieces"} <= units
    keys = {kind: {one["key"] for one in data[kind] if "key" in one} for kind in data}
    assert sum(len(names) for names in keys.values()) == len(set().union(*keys.values())), "a key names one thing"


def test_it_asks_no_question_and_shows_what_a_line_can_show(day: date) -> None:
    book, ids = example_book(day)
    assert book.products
    known = Reckoning(book)
    rows = known.line()
    assert any(row.reaches is False for row in rows), "one below its target"
    assert any(row.gap for row in rows), "one with a gap"
    assert any(not row.accepted for row in rows), "one without an accepted price"
    assert known.material(ids["candelilla"]).stale, "one stale price"
    assert {person.whose for person in book.people.values()} == {"own", "hired"}
    first, *later = example.waves(example.seed())
    assert len(later) == 1
    numbers: dict[str, int] = {}
    start = agreement.empty_book(day)
    changes = list(example.puts(first, numbers, day))
    assert questions(start, changes) == ()
    after: Any = apply_all(start, changes)
    assert questions(after, list(example.puts(later[0], numbers, day))) == ()


def test_wax_is_in_the_pomade_only_and_the_antioxidant_in_all_that_is_poured(day: date) -> None:
    # Facts of the trade: common practice, no source.
    book, ids = example_book(day)
    known = Reckoning(book)
    waxes = {one.id for one in book.materials.values() if one.nature == "wax"}
    for key in ("butter", "pomade", "oil", "whipped"):
        leaves = agreement.known(known.leaves(ids[key]))
        assert bool(waxes & set(leaves)) == (key == "pomade"), key
        assert 0 < leaves[ids["vitamin-e"]] < 1 / 100, key
    assert book.formulas[ids["whipped"]].air > 0


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    """A folder that is not there yet: an example is never put into one that holds data."""
    return Settings(data=tmp_path / "example", database=None)


def test_it_is_made_once_printed_and_made_anew(settings: Settings, day: date) -> None:
    example.prepare(settings, day, fresh=False)
    text = example.line_text(settings, day)
    lines = text.splitlines()
    assert len([line for line in lines if line.startswith(("Hair butter", "Firm pomade", "Scalp oil"))]) == 9
    assert "Gift set" in text
    assert any("Travel tin 20 mL" in line or "?" in line for line in lines if "travel tin" in line)
    example.prepare(settings, day + timedelta(40), fresh=False)
    assert example.line_text(settings, day) == text, "opened again, it is what it was"
    example.prepare(settings, day + timedelta(40), fresh=True)
    later = example.line_text(settings, day + timedelta(40)).splitlines()
    assert later[1:] == lines[1:], "made anew on a later day, its figures are the same"


def test_what_is_stored_is_the_book_that_was_meant(settings: Settings, day: date) -> None:
    from webapp.store.opening import open_store

    example.prepare(settings, day, fresh=False)
    store = open_store(settings)
    try:
        known = store.snapshot(day).reckoning
    finally:
        store.close()
    names = {one.name: one.id for shelf in agreement.SHELVES for one in getattr(known.book, shelf).values()}
    book, ids = example_book(day)
    by_key = {number: key for key, number in ids.items()}
    stored = {by_key[one.id]: names[one.name] for shelf in agreement.SHELVES for one in getattr(book, shelf).values()}
    of_orders = {one.number: one.id for one in known.book.orders.values()}
    stored |= {by_key[one.id]: of_orders[one.number] for one in book.orders.values()}
    for of, channel, name, value in expected():
        figure = agreement.figure_of(known, stored, of, channel, name)
        assert agreement.agrees(figure, value), (of, channel, name, value, figure)


def test_the_example_never_takes_a_folder_with_own_data(settings: Settings, day: date) -> None:
    settings.data.mkdir(parents=True, exist_ok=True)
    own = settings.data / "brimful.db"
    own.write_bytes(b"dear to somebody")
    for fresh in (False, True):
        with pytest.raises(CannotStart, match="of your own"):
            example.prepare(settings, day, fresh=fresh)
    assert own.read_bytes() == b"dear to somebody"
