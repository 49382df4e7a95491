"""The sheets of a whole book: every field stands in one, heads are told apart, and what a file leaves out stays."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.exchange.carried import empty_store
from webapp.costing import book as b
from webapp.costing.changes import Put
from webapp.costing.describing import Many, Part, Rows, Shape
from webapp.costing.limits import name_key
from webapp.costing.shapes import SHAPES
from webapp.exchange import book_files
from webapp.exchange.book_sheets import OWNER, sheets
from webapp.exchange.book_tables import bared, guarded
from webapp.importing import Looked, look
from webapp.store.opening import Store
from webapp.store.writing import Intent

DAY = date(2026, 11, 25)


def fields_of(kind: str, shape: Shape, path: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    """Every bare field of a shape, those of its lines and parts too."""
    for one in shape.fields:
        if isinstance(one.kind, Rows | Part):
            yield from fields_of(kind, one.kind.shape, (*path, one.name))
        else:
            yield (kind, *path, one.name)


def test_every_field_of_every_record_stands_in_a_sheet() -> None:
    told = set()
    for sheet in (one for one in sheets() if one.kind in SHAPES):
        for column in sheet.columns:
            if column.field:
                told.add((sheet.kind, *([sheet.inner] if sheet.inner else []), *column.field))
            elif sheet.many and column.key == sheet.inner:
                told.add((sheet.kind, sheet.inner))
    wanted = {one for kind, shape in SHAPES.items() for one in fields_of(kind, shape)}
    many = {
        (kind, one.name, one.name)
        for kind, shape in SHAPES.items()
        for one in shape.fields
        if isinstance(one.kind, Many)
    }
    assert told - wanted - many == {("price", "floor"), ("price", "suggested")}
    assert {one for one in wanted if one not in told and (*one, one[-1]) not in many} == set()


def test_titles_keys_and_heads_are_told_apart() -> None:
    every = sheets()
    assert len({sheet.key for sheet in every}) == len({name_key(sheet.title) for sheet in every}) == len(every)
    assert all(len(sheet.title) <= 31 for sheet in every)  # ECMA-376, part 1, 18.2.19
    for sheet in every:
        heads = [name_key(column.head) for column in sheet.columns]
        assert len({*heads}) == len(heads), sheet.title
        assert all(column.example or not column.required for column in sheet.columns if column.key != OWNER), (
            sheet.title
        )


@given(st.text(st.sampled_from("'= +-@\t\u00a0\uff1dab"), max_size=6))
def test_a_guarding_apostrophe_is_lost_again(text: str) -> None:
    assert bared(guarded(text)) == text
    assert not guarded(text).startswith(("=", "+", "-", "@", "\t", "\uff1d"))


@pytest.fixture
def store(new_file: Path, tmp_path: Path) -> Iterator[Store]:
    """Two materials, one of them bought once."""
    opened = empty_store(new_file, tmp_path / "data")
    line = b.OrderLine(-2, Decimal(2), Decimal(1), "kg", Decimal("12.40"))
    changes = [
        Put(b.Workshop()),
        Put(b.Supplier(-1, "The mill")),
        Put(b.Material(-2, "Shea butter", nature="butter", note="keep cool")),
        Put(b.Material(-3, "Beeswax", nature="wax")),
        Put(b.Order(-4, -1, date(2026, 1, 15), (line,))),
    ]
    opened.take_over(changes, Intent("all"), DAY, lambda _: None)
    yield opened
    opened.close()


def read(store: Store, name: str, text: str, sign: str = "") -> Looked:
    brought = book_files.read(f"{name}.csv", text.encode(), sign)
    return look(store, brought.document, DAY, brought.notation)


def carry(store: Store, found: Looked) -> None:
    assert found.faults == ()
    intent = Intent("Import", epoch=found.epoch, version=found.version)
    store.take_over(found.back.changes, intent, DAY, lambda _: None)


def test_a_name_is_found_without_regard_to_capitals_and_what_is_left_out_stays(store: Store) -> None:
    before = store.snapshot(DAY).book
    found = read(store, "materials", "Name,INCI name\r\nSHEA butter,Butyrospermum Parkii Butter\r\n")
    carry(store, found)
    after = store.snapshot(DAY).book
    shea = next(one for one in before.materials.values() if one.nature == "butter")
    assert after.materials == {
        **before.materials,
        shea.id: replace(shea, name="SHEA butter", inci="Butyrospermum Parkii Butter"),
    }
    assert after.orders == before.orders


def test_an_empty_cell_says_that_there_is_nothing(store: Store) -> None:
    carry(store, read(store, "materials", "Name,Note\r\nShea butter,\r\n"))
    assert {one.note for one in store.snapshot(DAY).book.materials.values()} == {""}


def test_a_decimal_comma_is_read_where_it_is_said(store: Store) -> None:
    text = "Belongs to;Value, g/mL\r\nBeeswax;0,95\r\n".replace("Value, g/mL", '"Value, g/mL"')
    found = read(store, "densities", text, ",")
    carry(store, found)
    assert [one.density.value for one in store.snapshot(DAY).book.materials.values() if one.density] == [
        Decimal("0.95")
    ]


@pytest.mark.parametrize(
    ("name", "text", "row", "said"),
    [
        ("materials", "Name\r\nOne\r\none\r\n", 3, "row 2 already"),
        ("materials", "Name,Keeps\r\nOne,1.5\r\n", 2, "whole number"),
        ("order lines", "Belongs to,Material,Packs\r\n2026-01-15 The mill,Beeswax,2\r\n", 2, ""),
        ("order lines", "Belongs to,Material,Packs\r\nnowhere,Beeswax,2\r\n", 2, "no order called nowhere"),
        ("prices", "Product,Channel,Price\r\nBalm,Stall,9\r\n", 2, "no product called Balm"),
        ("prices", "Product,Channel,Price\r\n,Stall,9\r\n", 2, "Name the product"),
        ("densities", "Belongs to,Value\r\nBeeswax,9\r\n", 2, "at most 5"),
    ],
)
def test_a_fault_has_its_row(store: Store, name: str, text: str, row: int, said: str) -> None:
    found = read(store, name, text)
    assert [one.row for one in found.faults][:1] == [row]
    assert said in found.faults[0].sentence


def test_what_is_not_read_is_said(store: Store) -> None:
    brought = book_files.read("materials.csv", b"Name,Kind,My remark\r\nOne,ingredient,x\r\n")
    assert brought.remarks == ("Materials: there is no column called My remark, so it is not read.",)
    assert brought.asks
    del store


def test_a_thing_that_contains_itself_is_refused(store: Store) -> None:
    """Both are new, so that only the whole can say it."""
    text = "Belongs to,Formula,Amount,Unit\r\nOne,Two,100,percent\r\nTwo,One,100,percent\r\n"
    formulas = book_files.read("formulas.csv", b"Name\r\nOne\r\nTwo\r\n").document
    lines = book_files.read("formula lines.csv", text.encode()).document
    both = replace(formulas, sheets={**formulas.sheets, **lines.sheets})
    found = look(store, both, DAY)
    assert [one.sentence for one in found.faults] == ["One would contain itself. Take out one of its lines."]
