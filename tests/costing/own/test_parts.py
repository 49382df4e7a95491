"""Jar, label, minutes and prices on several channels in a maker's own list. Costs are worked out here in fractions."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_products import STALL, SUM, records
from tests.costing.own.test_sheets import DAY, EMPTY, PRICES, near, read, sentences, stored, table
from webapp.costing import book as b
from webapp.costing.gaps import Gap
from webapp.costing.own.columns import FORMULAS, MATERIALS, PRODUCTS, Layout, OwnTable
from webapp.costing.own.layouts import laid_out
from webapp.costing.own.prices import NEW, How
from webapp.costing.own.reading import OwnReading
from webapp.costing.own.rows import mark_of
from webapp.costing.own.selling import price_columns
from webapp.costing.reckoning import Reckoning

F, D = Fraction, Decimal
ANNA = b.Person(61, "Anna", wage=b.Wage(DAY, D(18)))
BOTH = replace(
    EMPTY,
    channels={51: STALL, 52: b.Channel(52, "Shops in town", DAY, "wholesale")},
    people={61: ANNA},
)
PIECES = f"{PRICES}\nLid 100 mL | 50 pcs | 10.00\nFront label | 1000 pcs | 85.00"
JAR, LID, LABEL = F(30, 48), F(10, 50), F(85, 1000)
LIST = """
Product | Formula | Size | Jar | Lid | Label | Minutes | Retail price | Wholesale price
Tin 50 | Firm pomade | 50 g | Jar 100 mL | Lid 100 mL | 2 x Front label | 3 | 14.00 | 7.50
Tin 20 | Firm pomade | 20 g | jar 100ml; lid 100 mL | - | Front label | 1.5 min | | 4.00
"""
HEADS = "Product | Formula | Size | Jar | Minutes\nTin | Firm pomade | 50 g | "


def made(reading: OwnReading) -> list[b.Product]:
    return [one for one in records(reading, b.Product) if isinstance(one, b.Product)]


def test_parts_minutes_and_two_prices_of_a_list() -> None:
    """A batch of 1 kg fills 20 jars of 50 g and 50 of 20 g; what is filled is weighed without loss."""
    reading = read(PIECES, SUM, LIST, book=BOTH)
    assert reading.good, sentences(reading)
    assert reading.layouts[2].roles == (
        "name", "formula", "size", "part", "part", "part", "minutes", "price", "price",
    )  # fmt: skip
    assert reading.after is not None
    costs = Reckoning(reading.after)
    fifty, twenty = (costs.sheet(one.id) for one in made(reading))
    assert near(fifty.packaging, JAR + LID + 2 * LABEL)
    assert near(twenty.packaging, JAR + LID + LABEL)
    assert [fifty.minutes, twenty.minutes] == [D(3), D("1.5")]
    assert near(fifty.labour, F(3, 60) * 18)
    assert [(one.ingredients == sheet.ingredients, one.packaging == sheet.packaging) for one, sheet in
            zip(reading.products, (fifty, twenty), strict=True)] == [(True, True)] * 2  # fmt: skip
    assert [one.said.prices for one in reading.products] == [{51: D(14), 52: D("7.5")}, {52: D(4)}]
    assert {(one.channel, one.amount) for one in reading.after.prices.values()} == {
        (51, D(14)), (52, D("7.5")), (52, D(4)),
    }  # fmt: skip
    assert [one.said.remarks for one in reading.products] == [[], []]
    again = read(LIST, book=replace(stored(reading, BOTH), channels=BOTH.channels, people=BOTH.people))
    assert again.says_nothing_new


def test_a_name_that_is_not_there_is_asked_and_what_is_like_nothing_is_new_without_a_price() -> None:
    slip = read(PIECES, SUM, f"{HEADS}Jar 100 nL | 3", book=BOTH)
    assert not slip.good
    assert [(one.name, one.near, one.where) for one in slip.names] == [("Jar 100 nL", ("Jar 100 mL",), (2, 2))]
    assert slip.unpriced == ()
    assert slip.products[0].packaging is None
    meant = read(PIECES, SUM, f"{HEADS}Jar 100 nL | 3", book=BOTH, how=How(means={mark_of("Jar 100 nL"): "Jar 100 mL"}))
    assert meant.good
    assert near(meant.products[0].packaging, JAR)
    rows = "Pump bottle | 3\nPot | Firm pomade | 60 g | 2 x pump BOTTLE | 3"
    new = read(PIECES, SUM, HEADS + rows, book=BOTH)
    assert new.good
    assert new.unpriced == ("Pump bottle",)
    (bottle,) = (one for one in records(new, b.Material) if isinstance(one, b.Material) and one.name == "Pump bottle")
    assert bottle.kind == "packaging"
    assert [one.parts for one in made(new)] == [(b.Part(bottle.id),), (b.Part(bottle.id, pieces=D(2)),)]
    assert isinstance(new.products[0].packaging, Gap)  # not known, and not 0
    said = read(PIECES, SUM, f"{HEADS}Jar 100 nL | 3", book=BOTH, how=How(means={mark_of("Jar 100 nL"): NEW}))
    assert said.good
    assert said.unpriced == ("Jar 100 nL",)
    wrong = read(PIECES, SUM, f"{HEADS}Jar 100 nL | 3", book=BOTH, how=How(means={mark_of("Jar 100 nL"): "Jar 7"}))
    assert [one.chosen for one in wrong.names] == ["Jar 7"]


@pytest.mark.parametrize(
    ("cell", "expected"),
    [
        ("Jar 100 mL, Front label", [("Jar 100 mL", 1), ("Front label", 1)]),
        ("Jar 100 mL + 3 x Front label", [("Jar 100 mL", 1), ("Front label", 3)]),
        ("Front label x 2 & Lid 100 mL", [("Front label", 2), ("Lid 100 mL", 1)]),
        ("Jar 100 mL/Lid 100 mL/Front label", [("Jar 100 mL", 1), ("Lid 100 mL", 1), ("Front label", 1)]),
        ("Cork, flat", [("Cork, flat", 1)]),  # nothing of it is known: one name
        ("none", []), ("n/a", []), ("", []),
    ],
)  # fmt: skip
def test_the_names_in_a_cell(cell: str, expected: list[tuple[str, int]]) -> None:
    reading = read(PIECES, SUM, f"{HEADS}{cell} | 3", book=BOTH)
    assert reading.good, (sentences(reading), reading.names)
    assert reading.after is not None
    (tin,) = made(reading)
    materials = reading.after.materials
    assert [(materials[one.material or 0].name, int(one.pieces)) for one in tin.parts] == expected


def test_a_group_of_parts_may_be_named_and_what_is_weighed_may_not() -> None:
    held = stored(read(PIECES))
    ids = {one.name: one.id for one in held.materials.values()}
    group = b.PartGroup(71, "Jar set", DAY, (b.Part(ids["Jar 100 mL"]), b.Part(ids["Lid 100 mL"])))
    book = replace(held, groups={71: group}, people={61: ANNA})
    reading = read(SUM, f"{HEADS}Jar set, Front label | 3", book=book)
    assert reading.good, sentences(reading)
    assert near(reading.products[0].packaging, JAR + LID + LABEL)
    wrong = read(PIECES, SUM, f"{HEADS}Shea butter | 3\nPot | Firm pomade | 9 g | Firm pomade | 3", book=BOTH)
    said = [(cell, words.partition(".")[0]) for cell, words in sentences(wrong)]
    assert said == [("D2", "Shea butter is an ingredient, and is weighed"), ("D3", "Firm pomade is a formula")]
    assert [one.packaging for one in wrong.products] == [None, None]
    long = read(PIECES, SUM, f"{HEADS}{'x' * 121} | #REF!", book=BOTH)
    assert [(cell, "120" in words or "failed" in words) for cell, words in sentences(long)] == [
        ("D2", True), ("E2", True),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("head", "cell", "minutes"),
    [
        ("Minutes", "3", D(3)), ("Minutes", "1,5", D("1.5")), ("Time", "2.5 min", D("2.5")),
        ("Labour (h)", "0.05", D(3)),
        ("Labour", "90 s", D("1.5")), ("Working time (min)", "4", D(4)), ("Arbeitszeit", "1 Std.", D(60)),
        ("Minutes", "", None), ("Min per jar", "0", D(0)),
    ],
)  # fmt: skip
def test_minutes_as_they_are_written(head: str, cell: str, minutes: Decimal | None) -> None:
    reading = read(PRICES, SUM, f"Product | Formula | Size | {head}\nTin | Firm pomade | 50 g | {cell}", book=BOTH)
    assert reading.good, sentences(reading)
    (tin,) = made(reading)
    assert [one.per_jar for one in tin.work] == ([] if minutes is None else [minutes])


@pytest.mark.parametrize(
    ("head", "cell", "words"),
    [
        ("Time", "3", "3: minutes or hours? Write it behind the number"),
        ("Minutes", "3 jars", "3 jars: minutes or hours?"),
        ("Minutes", "about three", "about three is no time"),
        ("Minutes", "999999", "999999"),
    ],
)
def test_minutes_that_cannot_be_read(head: str, cell: str, words: str) -> None:
    reading = read(PRICES, SUM, f"Product | Formula | Size | {head}\nTin | Firm pomade | 50 g | {cell}", book=BOTH)
    assert [(at, words in said) for at, said in sentences(reading)] == [("D2", True)], sentences(reading)


def test_whose_minutes_they_are_is_asked_where_it_is_not_plain() -> None:
    nobody = read(PIECES, SUM, LIST, book=replace(BOTH, people={}))
    assert {(one.cell, one.choice) for one in nobody.wrong} == {("G2", "person"), ("G3", "person")}
    assert "your own name will do" in nobody.wrong[0].sentence
    mine = read(PIECES, SUM, LIST, book=replace(BOTH, people={}), how=How(person="Mira"))
    assert mine.good, sentences(mine)
    assert [one.name for one in records(mine, b.Person) if isinstance(one, b.Person)] == ["Mira"]
    assert len({one.work[0].person for one in made(mine)}) == 1
    two = replace(BOTH, people={61: ANNA, 62: b.Person(62, "Bo"), 63: b.Person(63, "Cy", retired=DAY)})
    asked = read(PIECES, SUM, LIST, book=two)
    assert asked.wrong[0].sentence == "Choose whose minutes these are."
    bo = read(PIECES, SUM, LIST, book=two, how=How(person="bo"))
    assert {one.work[0].person for one in made(bo)} == {62}
    assert records(bo, b.Person) == []


def test_what_the_list_does_not_say_is_left_to_be_entered_and_said() -> None:
    text = "Product | Formula | Size | Jar | Minutes\nA | Firm pomade | 9 g | | 3\nB | Firm pomade | 9 g | Jar 100 mL |"
    reading = read(PIECES, SUM, text, book=BOTH)
    assert [one.said.remarks[0] for one in reading.products] == [
        "The sheet names no jar and no label: add them at the product.",
        "The sheet says no minutes: add them at the product.",
    ]


WEB = b.Channel(53, "Own web shop", DAY, "web shop")


@pytest.mark.parametrize(
    ("heads", "channels"),
    [
        ("Retail price | Wholesale price", [51, 52]),
        ("Price | Shops in town", [None, 52]),
        ("Saturday stall price | Shops in town (EUR)", [51, 52]),
        ("Stall price | Online price", [51, 53]),
        ("RRP | Trade", [None, 52]),  # two sell to whoever uses it
        ("Marketplace | Consignment", [None, 52]),
    ],
)
def test_the_channel_of_each_column_of_prices(heads: str, channels: list[int | None]) -> None:
    there = {**BOTH.channels, 53: WEB}
    if "RRP" not in heads and "Online" not in heads:
        del there[53]
    if "Consignment" in heads:
        there[52] = replace(there[52], kind="consignment")
    layout = Layout(PRODUCTS, 1, ("name", "price", "price"))
    sheet = OwnTable("x", (("Name", *(one.strip() for one in heads.split("|"))), ("Tin", "14", "7")))
    found = price_columns(replace(EMPTY, channels=there), [(0, sheet, layout)], {}, "")
    assert [one.channel for one in found] == channels
    said = price_columns(replace(EMPTY, channels=there), [(0, sheet, layout)], {"s0_c1": "Shops in town"}, "")
    assert [one.channel for one in said] == [52, channels[1]]


def test_two_columns_for_one_channel_are_asked_and_one_that_is_meant_for_the_rest_is_taken() -> None:
    twice = read(PIECES, SUM, LIST, book=BOTH, how=How(channels={"s2_c7": "Shops in town"}))
    assert [(one.cell, one.choice) for one in twice.wrong] == [("I2", "sold-s2_c8")]
    assert "Another column has prices for Shops in town too" in twice.wrong[0].sentence
    bare = LIST.replace("Retail price", "Price")
    assert read(PIECES, SUM, bare, book=BOTH).wrong[0].choice == "sold-s2_c7"
    told = read(PIECES, SUM, bare, book=BOTH, how=How(channel="Saturday stall"))
    assert told.good, sentences(told)
    assert told.products[0].said.prices == {51: D(14), 52: D("7.5")}
    only = read(PIECES, SUM, LIST, book=replace(BOTH, channels={51: STALL}))
    assert {one.choice for one in only.wrong} == {"sold-s2_c8"}  # a price for shops is none at the stall


@pytest.mark.parametrize(
    ("text", "holds", "roles"),
    [
        ("Jar|Size|Retail price\nTin|50 g|14", PRODUCTS, ("name", "size", "price")),
        ("Formula|Jar|Fill|Price\nBalm|Tin|50 g|14", PRODUCTS, ("formula", "part", "size", "price")),
        ("Product|Formula|Fill|Container|Closure|RRP\nTin|Balm|50 g|a|b|14", PRODUCTS,
         ("name", "formula", "size", "part", "part", "price")),
        ("Item|Pack|Price\nJar|48|30", MATERIALS, ("name", "pack", "price")),
        ("Formula|Ingredient|%|Time\nBalm|Shea|100|3", FORMULAS, ("formula", "ingredient", "percent", "")),
    ],
)  # fmt: skip
def test_what_is_guessed(text: str, holds: str, roles: tuple[str, ...]) -> None:
    found = laid_out(table(text, "x"))
    assert (found.holds, found.roles) == (holds, roles)


PACKED = (
    "Item|Pack|Price\nAmber jar 100 mL|10 pcs|6\nBlack lid|100 pcs|20\nFront label|1000 pcs|90\nShea butter|1 kg|9\n"
)
WHIP = "Formula|Ingredient|%|Batch\nWhip|Shea butter|100|1 kg"


@pytest.mark.parametrize("head", ["Contenant", "Vessel", "Contained in", "Goes into", "XYZ"])
def test_a_column_whose_cells_all_name_packaging_holds_parts_whatever_its_head_says(head: str) -> None:
    """0.60 + 0.20 + 0.09 are 0.89 for a jar with its lid and label."""
    sold = (
        f"Product|Formula|Size|{head}|2nd\nWhip|Whip|100 g|amber jars 100 ml|Black lid, Front label\nPot|Whip|50 g|-|-"
    )
    reading = read(PACKED, WHIP, sold)
    assert reading.good, sentences(reading)
    assert reading.layouts[2].roles == ("name", "formula", "size", "part", "part")
    assert near(reading.products[0].packaging, F("0.89"))


def test_a_column_with_anything_else_or_one_that_a_person_left_out_holds_none() -> None:
    sold = "Product|Formula|Size|XYZ\nWhip|Whip|100 g|Amber jar 100 mL\nPot|Whip|50 g|see note"
    assert read(PACKED, WHIP, sold).layouts[2].roles == ("name", "formula", "size", "")
    ingredient = sold.replace("see note", "Shea butter")
    assert read(PACKED, WHIP, ingredient).layouts[2].roles == ("name", "formula", "size", "")
    left = Layout(PRODUCTS, 1, ("name", "formula", "size", ""))
    known = sold.replace("see note", "Black lid")
    assert read(PACKED, WHIP, known).layouts[2].roles[3] == "part"
    assert read(PACKED, WHIP, known, layouts={2: left}).layouts[2] == left
    assert read(PACKED, WHIP, known, layouts={2: left}, open=frozenset({2})).layouts[2].roles[3] == "part"


def test_a_part_that_only_one_thing_is_like_is_likely_that_but_not_with_another_number() -> None:
    sold = (
        "Product|Formula|Size|Jar|Lid\nWhip|Whip|100 g|Amber jar|Black lidd\nPot|Whip|50 g|Amber jar 200 mL|Black lid"
    )
    found = {one.name: one.best for one in read(PACKED, WHIP, sold).names}
    assert found["Amber jar"] == "Amber jar 100 mL"
    assert found["Black lidd"] == "Black lid"
    assert not found.get("Amber jar 200 mL")
