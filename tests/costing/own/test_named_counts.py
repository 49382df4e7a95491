"""How many pieces the name of packaging says where no column does. Figures from paper: a price over so many pieces."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import costs, near, read, sentences
from webapp.costing.own.kinds import PACKAGING
from webapp.costing.own.named_counts import Counted, count_in
from webapp.costing.own.told import OfSheet

F = Fraction


@pytest.mark.parametrize(
    ("name", "count"),
    [
        ("Tin 60ml x 100", "100"), ("Tin 60ml x100", "100"), ("Tin 60ml \u00d7 100 pcs", "100"), ("Lid (x 48)", "48"),
        ("Amber jar 100ml, pack of 48", "48"), ("Amber jar 100ml (pack of 48)", "48"), ("Amber jar pk 48", "48"),
        ("Amber jar 100ml - 48 pack", "48"), ("Amber jar 48-pack", "48"), ("Amber jar 100ml 48 pcs", "48"),
        ("Amber jar (48 pieces)", "48"), ("Labels, roll of 250", "250"), ("Labels, sheet of 24", "24"),
        ("Bags, bag of 100", "100"), ("Lids, box of 1,000", "1,000"), ("Labels, 250 on a roll", "250"),
        ("Labels, 250 labels on a roll", "250"), ("Lids 48/case", "48"), ("Labels 24 per sheet", "24"),
        ("Round sticker (1000 stickers)", "1000"), ("Pump 24/410 x 50", "50"), ("Deckel, Karton mit 48", "48"),
        ("Cotton squares, pack of 10", "10"), ("Cinnamon sticks 20 pcs", "20"), ("Amber jar, 1 pc", "1"),
        ("20 x Bottle 250ml", "20"), ("20x amber jar", "20"), ("Lids case/48", "48"), ("Lids (per 100)", "100"),
        ("Bottle 250ml (qty: 20)", "20"), ("Bottle 250ml (20 per pack)", "20"),
    ],
)  # fmt: skip
def test_words_of_a_name_say_how_many(name: str, count: str) -> None:
    assert count_in(name, "") == Counted(f"{count} pieces")


@pytest.mark.parametrize(
    ("name", "count"),
    [
        ("Amber jar 100ml (48)", "48"), ("Amber jar [48]", "48"), ("Labels 50x30mm x 250", "250"),
        ("Bag-in-box bags 10 cm x 15", "15"), ("Pump (24)", "24"),
    ],
)  # fmt: skip
def test_a_number_alone_may_be_something_else(name: str, count: str) -> None:
    assert count_in(name, "") == Counted(count, open=True)


@pytest.mark.parametrize(
    "name",
    [
        "Amber jar 100ml", "Amber jar 100ml (PET)", "Lid 24mm", "Pump 24/410", "Label 50 x 30", "Box 10 x 10 x 5",
        "Gift box (12 jars)", "Box for 12 jars", "Jar (1)", "Shrink sleeve 24", "Shea butter (48)", "Shea, bag of 25",
        "Shea butter 1 kg pack of 6", "Shea butter 1 kg x 6", "Ribbon, roll of 25", "48 pcs", "Jar 3", "Tin of wax (6)",
        "Rose clay, pack of 500", "Clay 48 pack", "Sample pack 5", "4 x 6 label", "Lid matt gross", "2 x Shea butter",
    ],
)  # fmt: skip
def test_other_names_say_nothing(name: str) -> None:
    assert count_in(name, "") is None


def test_what_a_sheet_calls_packaging_is_counted_whatever_its_name_and_an_ingredient_is_not() -> None:
    assert count_in("Organza, bag of 100", PACKAGING) == Counted("100 pieces")
    assert count_in("Organza (100)", PACKAGING) == Counted("100", open=True)
    assert count_in("Amber jar (48)", "ingredient") is None


@pytest.mark.parametrize(
    ("name", "count"),
    [("Jars, 2 dozen", "2 dozen"), ("Jars per dozen", "dozen"), ("Lids (1 gross)", "1 gross")],
)
def test_dozens_are_counted_as_in_a_pack(name: str, count: str) -> None:
    assert count_in(name, "") == Counted(count)


def test_a_dozen_in_a_name_is_twelve() -> None:
    """18.00 for two dozen is 0.75 each."""
    assert near(costs(read("Item|Price\nJars, 2 dozen|18"))["Jars, 2 dozen"], F("0.75"))


def test_a_price_of_a_unit_is_asked_once_for_the_pack_in_the_name() -> None:
    """29.00 for 48 is 0.604 each."""
    text = "Item|Unit price\nAmber jar, pack of 48|29.00\nTin x 100|40"
    asked = read(text)
    assert [(one.cell, one.choice) for one in asked.wrong] == [("B2", "sheets-0-each"), ("B3", "sheets-0-each")]
    told = read(text, of_sheets={0: OfSheet(each="pack")})
    assert told.good, sentences(told)
    assert near(costs(told)["Tin x 100"], F("0.4"))


def test_a_pack_in_the_name_is_what_its_price_is_for() -> None:
    """40.00 for 100 tins is 0.40, 18.00 for 250 labels 0.072; it was 40.00 for one tin, and only g and kg beside 18."""
    reading = read("Item|\u20ac/pack\nTin 60ml x 100|40.00\nLabels, roll of 250|18.00\nShea butter 1 kg|9")
    assert reading.good, sentences(reading)
    found = costs(reading)
    assert near(found["Tin 60ml x 100"], F("0.4"))
    assert near(found["Labels, roll of 250"], F("0.072"))
    assert near(found["Shea butter"], F("0.009"))
    assert reading.materials[0].said.remarks == ["Its name says how many: read as a pack of 100 pieces."]
    assert [one.said.row.named for one in reading.materials] == ["100 pieces", "250 pieces", "1 kg"]


def test_beside_a_blank_pack_the_name_counts_and_beside_another_it_does_not() -> None:
    """30.00 for 48 of the name; for 24 of the column, 1.25 each."""
    reading = read("Item|Pack|Price\nAmber jar, pack of 48||30\nAmber pot jar, pack of 48|24 pcs|30\nShea|1 kg|9")
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Amber jar, pack of 48"], F(30, 48))
    assert near(costs(reading)["Amber pot jar, pack of 48"], F(30, 24))
    each = read("Item|Unit|Price\nAmber jar, pack of 48|each|0.60\nLid|each|0.10")
    assert near(costs(each)["Amber jar, pack of 48"], F("0.6"))
    for_one = read("Item|Price per piece\nAmber jar, pack of 48|0.60")
    assert near(costs(for_one)["Amber jar, pack of 48"], F("0.6"))


def test_a_number_alone_in_brackets_is_asked_at_its_price() -> None:
    """29.00 for 48 is 0.604 each; it was 29.00 for one."""
    text = "Item|\u20ac/pack\nAmber jar 100ml (48)|29.00\nLid|0.10"
    asked = read(text)
    words = "for one piece, or for all 48? Write it behind the price: 29/piece or 29/48 pieces."
    assert [one.cell for one in asked.wrong] == ["B2"]
    assert asked.wrong[0].sentence.endswith(words)
    for typed, cost in (("29/48 pieces", F(29, 48)), ("29/48 pcs", F(29, 48)), ("29/piece", F(29)), ("29/pc", F(29))):
        told = read(text, fixes={"s0_r2_c1": typed})
        assert told.good, sentences(told)
        assert abs(F(costs(told)["Amber jar 100ml (48)"]) - cost) < F(1, 10_000)  # type: ignore[arg-type]
    renamed = read(text, fixes={"s0_r2_c0": "Amber jar 100ml, 48 pcs"})
    assert renamed.good, sentences(renamed)


def test_so_many_as_were_bought_are_no_pack() -> None:
    """48 jars for 29.00 together."""
    text = "Item|Qty|Total\nAmber jar (48)|48|29.00"
    reading = read(text)
    assert reading.good, sentences(reading)
    assert abs(F(costs(reading)["Amber jar (48)"]) - F(29, 48)) < F(1, 10_000)  # type: ignore[arg-type]
    several = read(text.replace("|48|", "|2|"))
    assert [one.cell for one in several.wrong] == ["C2"]


@pytest.mark.parametrize(
    ("name", "pack", "pieces"),
    [
        ("Labels", "250 labels on a roll", 250), ("Labels", "24 labels per sheet", 24), ("Labels", "50 on a roll", 50),
        ("Labels", "1000 stickers", 1000), ("Kraft box", "50 boxes", 50), ("Cartons, small", "50 boxes", 50),
        ("Tissue paper", "480 sheets", 480), ("Organza bags", "100 bags", 100),
    ],
)  # fmt: skip
def test_packs_that_count_what_the_thing_is_are_pieces(name: str, pack: str, pieces: int) -> None:
    """A price of as many pieces is 1 for each."""
    reading = read(f"Item|Pack|Price\n{name}|{pack}|{pieces}\nShea|1 kg|9")
    assert reading.good, sentences(reading)
    assert costs(reading)[name] == Decimal(1)


@pytest.mark.parametrize(
    ("name", "pack"),
    [
        ("Amber jar", "50 boxes"), ("Jar box", "50 boxes"), ("Labels", "10 sheets"), ("Label sheets", "10 sheets"),
        ("Kraft box", "1 box"), ("Clay bag", "5 bags"), ("Box of lids", "50 boxes"), ("Kraft box", "2 packs"),
        ("Vitamin E oil bag", "2 bags"),
    ],
)  # fmt: skip
def test_packs_that_hold_several_are_asked(name: str, pack: str) -> None:
    asked = read(f"Item|Pack|Price\n{name}|{pack}|10")
    assert [one.cell for one in asked.wrong] == ["B2"]
    assert "how much is in one?" in asked.wrong[0].sentence
