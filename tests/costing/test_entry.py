"""From what was typed to a record and back: every shape reads what it shows, and every fault stands at its field."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import MISSING, fields
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests import examples
from webapp.costing import limits as lim
from webapp.costing.amounts import JSON_NOTATION, Notation, plain
from webapp.costing.book import ABOUT, KINDS, PAIRS, Exchange, Order, OrderLine
from webapp.costing.describing import Field, Many, Part, Rows, Shape
from webapp.costing.entry import Entry, read, show
from webapp.costing.pack_asking import ASKING
from webapp.costing.shapes import SHAPES

D = Decimal
TODAY = date(2026, 6, 15)
POINT = Notation(".", ("€", "EUR"))
COMMA = Notation(",", ("€", "EUR"))
NOTATIONS = {"point": POINT, "comma": COMMA, "JSON": JSON_NOTATION}


# --- what is shown reads back ------------------------------------------------------------------------------------

WORDS = st.text("abcäöñ ßé,.\"'<>&0123456789", max_size=20).map(lambda text: " ".join(text.split()))


def numbers(kind: lim.Number) -> st.SearchStrategy[Decimal]:
    return st.decimals(kind.low, kind.high, places=kind.places).filter(
        lambda value: not (kind.above and value == kind.low) and not (kind.below and value == kind.high)
    )


HELD: dict[type[Any], Callable[[Any], st.SearchStrategy[Any]]] = {
    lim.Number: numbers,
    lim.Link: lambda _: st.sampled_from(["", "https://example.org/a?b=1"]),
    lim.Text: lambda _: WORDS,
    lim.Choice: lambda kind: st.sampled_from(kind.options),
    lim.Currency: lambda _: st.sampled_from(["EUR", "JPY", "KWD"]),
    lim.Locale: lambda _: st.sampled_from(["en_GB", "de_DE", "hi_IN", "zh_Hant_TW"]),
    lim.Day: lambda _: st.dates(lim.FIRST_DAY, lim.LAST_DAY),
    lim.Flag: lambda _: st.booleans(),
    lim.Reference: lambda _: st.integers(-99, 999_999_999).filter(bool),
    Rows: lambda kind: st.lists(rows(kind), min_size=kind.least, max_size=3).map(tuple),
    Many: lambda kind: st.lists(values(kind.kind), max_size=4, unique=True).map(tuple),
}


def values(kind: Any) -> st.SearchStrategy[Any]:
    """Anything that a field of this kind may hold."""
    return records(kind.shape) if isinstance(kind, Part) else HELD[type(kind)](kind)


def rows(kind: Rows) -> st.SearchStrategy[Any]:
    """A line of which at least the first key is filled in: else a form would take it for a spare line."""
    return records(kind.shape, always=kind.keys[:1])


@st.composite
def records(draw: st.DrawFn, shape: Shape, always: tuple[str, ...] = ()) -> Any:
    held = {field.name: draw(held_in(shape, field, always)) for field in shape.fields}
    return shape.record(**held, **dict.fromkeys(shape.given, 1))


def held_in(shape: Shape, field: Field, always: tuple[str, ...]) -> st.SearchStrategy[Any]:
    (declared,) = (one for one in fields(shape.record) if one.name == field.name)
    anything = values(field.kind)
    if field.required or field.name in always:
        return anything.filter(lambda value: value != "")
    optional = declared.default is None or (declared.default is MISSING and field.name != "since")
    return st.none() | anything if optional else anything


@pytest.mark.parametrize("kind", SHAPES)
@settings(max_examples=examples.of(60))
@given(data=st.data())
def test_every_record_reads_back_as_it_is_shown_in_every_notation(kind: str, data: st.DataObject) -> None:
    shape = SHAPES[kind]
    record = data.draw(records(shape))
    for notation in NOTATIONS.values():
        shown = show(shape, record, notation)
        entry = read(shape, shown, notation, today=TODAY, given=dict.fromkeys(shape.given, 1))
        assert entry == Entry(record)
    assert json.loads(json.dumps(show(shape, record))) == show(shape, record)


def test_every_kind_of_record_has_a_shape_that_knows_its_fields() -> None:
    facts = {kind for kind, _ in (*PAIRS.values(), *ABOUT.values())}
    assert set(SHAPES) == set(KINDS) | facts
    for shape in SHAPES.values():
        beside = {"id", "retired", "floor", "suggested"} | set(shape.given)
        assert {one.name for one in fields(shape.record)} - beside == {one.name for one in shape.fields}


def test_a_field_is_found_by_its_name() -> None:
    assert SHAPES["order"].field("day").kind is lim.DAY
    with pytest.raises(KeyError):
        SHAPES["order"].field("nothing")


# --- an order, as it is typed --------------------------------------------------------------------------------------


def typed_order(**changes: Any) -> dict[str, Any]:
    first = {"material": "3", "packs": "2", "size": "0,5", "unit": "kg", "price": "12,50"}
    return {"supplier": "7", "day": "2026-06-01", "currency": "eur", "lines": [first], **changes}


def order_of(data: dict[str, Any], notation: Notation = COMMA) -> Entry:
    return read(SHAPES["order"], data, notation, today=TODAY, given={"id": -1})


def codes(entry: Entry) -> dict[str, str]:
    assert (entry.record is None) == bool(entry.faults)
    return {fault.field: fault.code for fault in entry.faults}


def test_what_is_left_empty_takes_its_default() -> None:
    wanted = Order(-1, 7, date(2026, 6, 1), (OrderLine(3, D(2), D("0.5"), "kg", D("12.50")),))
    assert order_of(typed_order()).record == wanted
    assert order_of(typed_order(note="", charges="", exchange={"way": "paid", "amount": " "})).record == wanted


def test_a_spare_line_of_a_form_is_skipped_and_one_half_filled_is_not() -> None:
    lines = typed_order()["lines"]
    spare = {"material": "", "packs": "", "size": "", "unit": "kg", "price": "", "tax_rate": "20"}
    assert len(order_of(typed_order(lines=[spare, *lines, spare])).record.lines) == 1
    assert codes(order_of(typed_order(lines=[*lines, {**spare, "packs": "2"}]))) == {
        "lines-1-material": "required",
        "lines-1-size": "required",
    }
    assert codes(order_of(typed_order(lines=[spare]))) == {"lines": "required"}


@pytest.mark.parametrize(
    ("rows", "typed", "fault"),
    [
        ("charges", {"label": "Customs agent"}, {"charges-0-amount": "required"}),
        ("lines", {"arrived": "45"}, {"lines-0-material": "required"}),
        ("lines", {"discount": "x"}, {"lines-0-discount": "number-format"}),
    ],
)
def test_what_was_typed_beside_an_empty_amount_is_told_and_never_dropped(
    rows: str, typed: dict[str, str], fault: dict[str, str]
) -> None:
    """A charge whose amount was forgotten would be missing from every cost."""
    starts = {"lines": {"tax_rate": "20", "unit": "kg"}, "charges": {"kind": "freight", "share": "value"}}[rows]
    found = codes(order_of(typed_order(**{rows: [{**starts, **typed}]})))
    assert fault.items() <= found.items()


@pytest.mark.parametrize(
    ("rows", "typed", "told"),
    [
        ("parts", {"pieces": "1", "spoiled": "0"}, False),
        ("parts", {"pieces": "", "spoiled": " 0 "}, False),
        ("parts", {"pieces": "2", "spoiled": "0"}, True),
        ("parts", {"pieces": "1", "spoiled": "1.5"}, True),
        ("parts", {"pieces": "1", "spoiled": "many"}, True),
        ("fills", {"unit": "mL", "overfill": "0"}, False),
        ("fills", {"unit": "g", "overfill": "2"}, True),
        ("members", {"count": "1"}, False),
        ("members", {"count": "3"}, True),
    ],
)
def test_what_is_typed_over_what_a_line_starts_with_is_told_where_its_thing_is_chosen_away(
    rows: str, typed: dict[str, str], *, told: bool
) -> None:
    """Two pieces of nothing were meant to be of something; what stands in the line by itself was not typed."""
    product = {"name": "Jar", rows: [typed]}
    found = read(SHAPES["product"], product, POINT, today=TODAY, given={"id": 1})
    assert bool(found.faults or getattr(found.record, rows)) is told


@pytest.mark.parametrize(
    ("breaks", "told"),
    [([{"packs": "5", "price": ""}], True), ([{"packs": "", "price": ""}, None], False), ([], False)],
)
def test_a_line_in_whose_own_lines_something_is_typed_is_told(breaks: list[Any], *, told: bool) -> None:
    """A price break of an offer of which all else is empty."""
    offer = {"material": "", "size": "", "unit": "kg", "price": "", "breaks": breaks}
    found = read(ASKING, {"offers": [offer]}, POINT, today=TODAY)
    at = {"offers-0-material", "offers-0-supplier", "offers-0-size", "offers-0-price", "offers-0-breaks-0-price"}
    assert set(codes(found)) == (at if told else set())


def test_a_rate_of_tax_that_stands_on_every_line_makes_none_of_them_count() -> None:
    assert order_of(typed_order(charges=[{"kind": "freight", "tax_rate": "20"}])).record.charges == ()


def test_an_extra_on_no_wage_is_told() -> None:
    typed = {"name": "Ann", "wage": {"per_hour": "", "extra": "12"}}
    for notation in (JSON_NOTATION, POINT):
        told = read(SHAPES["person"], typed, notation, today=TODAY, given={"id": 1})
        assert codes(told) == {"wage-per_hour": "required"}
    typed["wage"] = {"per_hour": "", "extra": "0"}
    assert read(SHAPES["person"], typed, POINT, today=TODAY, given={"id": 1}).record.wage is None


def test_where_a_density_is_from_without_the_density_is_told_and_never_dropped() -> None:
    for notation in (JSON_NOTATION, POINT):
        typed = {"name": "Oil", "kind": "ingredient", "density": {"value": "", "source": "weighed"}}
        told = read(SHAPES["material"], typed, notation, today=TODAY, given={"id": 1})
        assert codes(told) == {"density-value": "required"}


def test_json_skips_no_line() -> None:
    lines = [{"material": 3, "packs": "2", "size": "0.5", "unit": "kg"}, {}]
    assert set(codes(order_of(typed_order(lines=lines), JSON_NOTATION))) == {
        f"lines-1-{name}" for name in ("material", "packs", "size", "unit")
    }


def test_every_fault_is_reported_at_its_own_field() -> None:
    first = {"material": "x", "packs": "0", "size": "1.2.3", "unit": "cup", "price": "-1", "tax_rate": "101"}
    charge = {"kind": "gift", "amount": "1", "tax_included": "maybe"}
    assert codes(order_of(typed_order(day="2026-02-30", lines=[first], charges=[charge], currency="EURO"))) == {
        "day": "date-format",
        "currency": "currency",
        "lines-0-material": "reference",
        "lines-0-packs": "number-range",
        "lines-0-size": "number-format",
        "lines-0-unit": "choice",
        "lines-0-price": "number-range",
        "lines-0-tax_rate": "number-range",
        "charges-0-kind": "choice",
        "charges-0-tax_included": "choice",
    }


def test_an_exchange_is_a_part_of_its_own() -> None:
    entry = order_of(typed_order(currency="USD", exchange={"way": "home per unit", "amount": "0,92"}))
    assert entry.record.exchange == Exchange("home per unit", D("0.92"))
    assert codes(order_of(typed_order(exchange={"amount": "0,92"}))) == {"exchange-way": "required"}
    assert codes(order_of(typed_order(exchange="0,92"))) == {"exchange": "shape"}


@pytest.mark.parametrize(
    ("changes", "wanted"),
    [
        ({"lines": {"0": {}}}, {"lines": "shape"}),
        ({"lines": "all"}, {"lines": "shape"}),
        ({"lines": ["shea"]}, {"lines-0": "shape"}),
        ({"lines": [None]}, {"lines": "required"}),
        ({"colour": "red"}, {"colour": "unknown-field"}),
        ({"number": 12}, {"number": "text"}),
        ({"tax_total": 12}, {"tax_total": "number-format"}),
        ({"tax_total": True}, {"tax_total": "number-format"}),
        ({"tax_total": ["1"]}, {"tax_total": "number-format"}),
        ({"supplier": 7.5}, {"supplier": "reference"}),
        ({"supplier": None}, {"supplier": "required"}),
        ({"day": "  "}, {"day": "required"}),
    ],
)
def test_the_wrong_form_is_refused_in_words(changes: dict[str, Any], wanted: dict[str, str]) -> None:
    found = codes(order_of(typed_order(**changes)))
    assert set(found) == set(wanted)
    assert all(code in (wanted[field], "text") for field, code in found.items())


def test_amounts_in_json_are_texts_and_flags_and_references_keep_their_type() -> None:
    one = {"material": 3, "packs": "2", "size": "0.5", "unit": "kg", "price": "12.50", "tax_included": True}
    data = typed_order(currency="EUR", supplier=7, lines=[one])
    assert order_of(data, JSON_NOTATION).record.lines[0].tax_included is True
    assert codes(order_of(typed_order(lines=[{**one, "tax_included": 1}]), JSON_NOTATION)) == {
        "lines-0-tax_included": "choice"
    }
    (fault,) = order_of(typed_order(lines=[{**one, "price": 12.5}]), JSON_NOTATION).faults
    assert fault.sentence == 'Write amounts as text in quotes, such as "12.50".'


def test_no_more_lines_than_can_be_kept() -> None:
    lines = typed_order()["lines"]
    assert len(order_of(typed_order(lines=lines * lim.ORDER_LINES)).record.lines) == lim.ORDER_LINES
    assert codes(order_of(typed_order(lines=lines * (lim.ORDER_LINES + 1)))) == {"lines": "too-many"}


# --- days, flags and lists of references -----------------------------------------------------------------------------


def test_an_empty_day_from_which_something_holds_is_today() -> None:
    terms = read(SHAPES["terms"], {"target": "45"}, POINT, today=TODAY).record
    assert (terms.since, terms.target) == (TODAY, D(45))
    wage = read(SHAPES["person"], {"name": "Ada", "wage": {"per_hour": "0"}}, POINT, today=TODAY, given={"id": 1})
    assert (wage.record.wage.since, wage.record.wage.per_hour) == (TODAY, 0)


def test_an_unticked_box_of_a_form_is_no() -> None:
    terms = SHAPES["terms"]
    assert read(terms, {}, POINT, today=TODAY).record.registered is False
    assert read(terms, {"registered": "yes"}, POINT, today=TODAY).record.registered is True
    assert read(terms, {"registered": ""}, JSON_NOTATION, today=TODAY).record.registered is False
    assert read(terms, {"registered": None}, JSON_NOTATION, today=TODAY).record.registered is False


def test_channels_are_a_list_of_references_each_once() -> None:
    def product(channels: Any) -> Entry:
        return read(SHAPES["product"], {"name": "Balm", "channels": channels}, POINT, today=TODAY, given={"id": 1})

    assert product(["4", "", "9", "4", None]).record.channels == (4, 9)
    assert product("").record.channels == ()
    assert codes(product("4")) == {"channels": "shape"}
    assert codes(product(["4", "x", {}])) == {"channels-1": "reference", "channels-2": "text"}
    assert codes(product([str(one) for one in range(1, 52)])) == {"channels": "too-many"}


def test_a_required_name_of_nothing_seen_is_refused() -> None:
    def bill(name: str) -> Entry:
        return read(SHAPES["bill"], {"name": name, "a_month": "1"}, POINT, today=TODAY, given={"id": 1})

    assert codes(bill(" \t ")) == {"name": "required"}
    assert codes(bill("\u200b")) == {"name": "text-invisible"}


# --- collected bad inputs -----------------------------------------------------------------------------------------

DATA = Path(__file__).parent.parent / "published" / "data" / "bad_entries.json"
COLLECTED = json.loads(DATA.read_text(encoding="utf-8"))["inputs"]
REST: dict[str, dict[str, Any]] = {
    "order": typed_order(currency="EUR", lines=[{"material": "3", "packs": "2", "size": "5", "unit": "kg"}]),
    "supplier": {"name": "Hollow Lane Oils", "currency": "EUR"},
    "material": {"name": "Shea butter"},
}


def made(value: Any) -> str:
    """The text itself, or one described as so many times a character."""
    return value["make"]["ch"] * value["make"]["times"] if isinstance(value, dict) else str(value)


def with_value(data: dict[str, Any], path: list[str], value: str) -> dict[str, Any]:
    """`data` with `value` at a path as forms write it."""
    if path[0] == "lines":
        (line,) = data["lines"]
        return {**data, "lines": [{**line, path[2]: value}]}
    return {**data, path[0]: value if len(path) == 1 else {path[1]: value}}


@pytest.mark.parametrize("entry", COLLECTED, ids=[entry["id"] for entry in COLLECTED])
def test_a_collected_bad_input_is_answered_as_wanted(entry: dict[str, Any]) -> None:
    """Standing: collected for this project, no outside source."""
    kind, at = entry["at"].split()
    shape, value = SHAPES[kind], made(entry["value"])
    data = with_value(REST.get(kind, {}), at.split("-"), value)
    result = read(shape, data, POINT, today=TODAY, given=dict.fromkeys(shape.given, 1))
    if entry["kind"] == "ok":
        assert result.faults == ()
        if "reads" in entry:
            assert plain(result.record.lines[0].price) == entry["reads"]
    else:
        assert codes(result) == {at: entry["kind"]}
        assert result.faults[0].sentence.endswith(".")
        assert len(value) < 3 or value not in result.faults[0].sentence


@settings(max_examples=examples.of(120))
@given(
    st.recursive(
        st.none() | st.booleans() | st.integers() | st.text(max_size=6),
        lambda inner: (
            st.lists(inner, max_size=3)
            | st.dictionaries(st.sampled_from(["lines", "day", "exchange", "amount", "charges", "material"]), inner)
        ),
        max_leaves=12,
    )
)
def test_any_nested_data_gives_a_record_or_faults(data: Any) -> None:
    for notation in (POINT, JSON_NOTATION):
        entry = read(SHAPES["order"], data, notation, today=TODAY, given={"id": 1})
        assert (entry.record is None) == bool(entry.faults)


def test_a_shape_has_parts_and_rows_of_known_fields() -> None:
    def inside(shape: Shape) -> None:
        for field in shape.fields:
            if isinstance(field.kind, Part | Rows):
                assert set(field.kind.keys) <= {one.name for one in field.kind.shape.fields}
                inside(field.kind.shape)

    for shape in SHAPES.values():
        inside(shape)


def test_a_shape_that_names_a_field_the_record_lacks_is_a_mistake_of_ours() -> None:
    with pytest.raises(KeyError):
        read(Shape(OrderLine, (Field("colour", lim.SHORT),)), {}, today=TODAY)
