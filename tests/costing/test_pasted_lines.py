"""Lines of an order from pasted sheets in five dialects, each row read or refused at its cell."""

from __future__ import annotations

from typing import Any

import pytest

from webapp.costing.called import Known, Names
from webapp.costing.pasted_lines import Reading, read_lines, role_of, roles_of
from webapp.costing.sheets import cut
from webapp.costing.written_units import unit_of

NAMES = Names(
    (
        Known("1", "Shea butter, refined", ("Butyrospermum Parkii Butter", "SB-25")),
        Known("2", "Beeswax, yellow", ("Cera Alba",)),
        Known("3", "Amber jar 60 mL", ("J60",)),
        Known("4", "Cocoa butter", ("cb",)),
        Known("5", "Cocoa butter, raw", ("cb",)),
    )
)
SHEA = {"packs": "2", "size": "2.5", "unit": "kg", "price": "1031.00"}
WAX = {"packs": "1", "size": "500", "unit": "g", "price": "9.80"}
JARS = {"packs": "3", "size": "48", "unit": "pieces", "price": "12.5"}
#: the same three lines as five programs write them; the columns stand in any order
DIALECTS = {
    "tabs": "Material\tPacks\tPack size\tUnit\tPack price\r\n"
    "shea butter refined\t2\t2.5\tkg\t1031.00\r\nCera alba\t1\t500\tg\t9.80\r\nAmber jar 60 mL\t3\t48\tpcs\t12.5\r\n",
    "commas and points": "Qty,Item,UoM,Content,Price (EUR)\n"
    '2,"Shea butter, refined",KG,2.5,1031.00\n1,"Beeswax, yellow",grams,500,9.80\n3,Amber jar 60 mL,pieces,48,12.5\n',
    "semicolons and commas": "\ufeffArticle no;Quantity;In a pack;Unit;Unit price;Total\n"
    "SB-25;2;2,5;kg;1031,00;2062,00\nCera Alba;1;500;g;9,80;9,80\nJ60;3;48;Piece;12,5;37,50\n",
    "quoted": '"Description","Number of packs","Size of pack","Price each","Tax"\n'
    '"Shea butter, refined","2","2,5 kg","1.031,00","20 %"\n"Beeswax, yellow","1","500g","9,80","20 %"\n'
    '"Amber jar 60 mL","3","48 pcs","12,5","20 %"\n',
    "spaces, thousands, units": "sep=;\nPRODUCT ; how many ; Pack size ; price a pack\n\n"
    "Shea butter, refined ; 2 ; 2.5 Kilogram ; EUR 1,031.00\nBeeswax, yellow;1;500 gr;\u20ac9.80\n"
    "Amber  jar 60 mL;3;48 ea;12.5 EUR\n;;;\n",
}


def lines(text: str, **chosen: Any) -> Reading:
    return read_lines(cut(text), NAMES, **chosen)


def faults(text: str, **chosen: Any) -> list[tuple[str, str]]:
    found = lines(text, **chosen)
    assert not found.good
    return [*found.faults, *(fault for row in found.rows for fault in row.faults)]


@pytest.mark.parametrize("dialect", DIALECTS)
def test_five_dialects_say_the_same(dialect: str) -> None:
    found = lines(DIALECTS[dialect])
    assert found.good, found
    assert [row.material for row in found.rows] == ["1", "2", "3"]
    assert [row.name for row in found.rows] == ["Shea butter, refined", "Beeswax, yellow", "Amber jar 60 mL"]
    beside = ("total", "tax_rate")
    assert [{key: text for key, text in row.texts.items() if key not in beside} for row in found.rows] == [
        SHEA,
        WAX,
        JARS,
    ]
    if dialect == "quoted":
        assert {row.texts["tax_rate"] for row in found.rows} == {"20"}
    if dialect == "semicolons and commas":
        assert [row.texts["total"] for row in found.rows] == ["2062.00", "9.80", "37.50"]


def test_a_slip_is_offered_and_stays_as_it_was_pasted() -> None:
    row = lines("Item\tQty\tSize\tPrice\nShea buter\t2\t1 kg\t9.50\n").rows[0]
    assert (row.material, row.name, row.faults) == ("", "Shea buter", ())
    assert "Did you mean Shea butter, refined?" in row.remarks[0]


def test_a_code_names_the_material_where_its_name_does_not() -> None:
    row = lines("Code\tItem\tQty\tSize\tPrice\nSB-25\tthe mill's best\t2\t1 kg\t9.50\n").rows[0]
    assert (row.material, row.name) == ("1", "Shea butter, refined")
    assert "the mill's best is Shea butter, refined here." in row.remarks
    assert "two different materials" in faults("Code\tItem\tQty\tSize\tPrice\nJ60\tCera alba\t2\t1 kg\t9.50\n")[0][1]


def test_a_name_of_two_things_is_left_open() -> None:
    row = lines("Item\tQty\tSize\tPrice\ncb\t2\t1 kg\t9.50\n").rows[0]
    assert row.material == ""
    assert "Cocoa butter or Cocoa butter, raw" in row.remarks[0]


@pytest.mark.parametrize(
    ("row", "at", "words"),
    [
        ("\t2\t1 kg\t9.50", "material", "Name the material."),
        ("Salt\t\t1 kg\t9.50", "packs", "Type how many packs."),
        ("Salt\t0\t1 kg\t9.50", "packs", "above 0"),
        ("Salt\ttwo\t1 kg\t9.50", "packs", "two is no amount"),
        ("Salt\t2\t1 kg\t", "price", "Type a price or a total."),
        ("Salt\t2\t1 kg\t9,50", "price", "no number with a decimal point"),
        ("Salt\t2\t1 kg\t9.50001", "price", "decimals"),
        ("Salt\t2\t1 kg\t-9.50", "price", "0 or more"),
        ("Salt\t2\t1 kg\t9.50 or so", "price", "is no amount"),
        ("Salt\t2\t8 fl oz\t9.50", "unit", "Say which fl oz: US or imp"),
        ("Salt\t2\t8 sacks\t9.50", "unit", "sacks is no unit"),
        ("Salt\t2\t12 x 30 mL\t9.50", "size", "is no amount"),
        ("Salt\t2\t1 kg\t9.50\tmore", "", "5 cells under 4 heads"),
    ],
)
def test_what_is_wrong_stands_at_its_cell(row: str, at: str, words: str) -> None:
    good = "Wax\t1\t1 kg\t1.25"
    found = lines(f"Item\tQty\tSize\tPrice\n{good}\n{row}\n", sign=".")
    assert not found.good
    assert [one.number for one in found.rows if one.faults] == [3]
    assert any(place == at and words in said for place, said in found.rows[1].faults), found.rows[1].faults


def test_a_unit_that_is_said_twice_must_be_the_same() -> None:
    assert lines("Item\tQty\tSize\tUnit\tPrice\nSalt\t2\t1 kg\tkilo\t9.50\n").good
    assert "said twice: kg and g" in faults("Item\tQty\tSize\tUnit\tPrice\nSalt\t2\t1 kg\tg\t9.50\n")[0][1]
    assert lines("Item\tQty\tPack size (g)\tPrice\nSalt\t2\t500\t9.50\n").rows[0].texts["unit"] == "g"


def test_without_a_pack_size_each_is_one_of_its_unit_and_that_is_said() -> None:
    found = lines("Item\tQty\tUnit\tPrice\nSalt\t2.5\tkg\t9.50\n")
    assert found.rows[0].texts == {"packs": "2.5", "size": "1", "unit": "kg", "price": "9.50"}
    assert any("each is read as one of its unit" in remark for remark in found.remarks)


def test_a_unit_is_never_guessed() -> None:
    row = lines("Item\tQty\tPrice\nAmber jar 60 mL\t288\t0.45\n").rows[0]
    assert row.texts == {"packs": "288", "price": "0.45"}
    assert "The form asks for the pack's size and unit." in row.remarks


def test_a_total_that_packs_and_price_do_not_come_to_is_said() -> None:
    head = "Item\tQty\tSize\tPrice\tTotal\nSalt\t3\t1 kg\t9.50\t"
    assert not lines(f"{head}28.50\n").rows[0].remarks[1:]
    assert "Packs and price come to 28.50, the total says 27.00" in lines(f"{head}27.00\n").rows[0].remarks[1]


def test_amounts_of_money_with_a_sign_are_said() -> None:
    remarks = lines("Item\tQty\tSize\tPrice\nSalt\t3\t1 kg\t$9.50\n").remarks
    assert remarks == ("Amounts are written like $9.50: see that the order's currency is that one.",)


# --- what a sheet leaves open is asked


def test_a_decimal_sign_that_is_open_is_asked_and_then_holds_for_all() -> None:
    text = "Item\tQty\tSize\tPrice\nSalt\t2\t1.234 kg\t9\n"
    assert faults(text) == [("sign", "1.234 can be read in two ways. Choose how decimals are written.")]
    assert lines(text, sign=".").rows[0].texts["size"] == "1.234"
    assert lines(text, sign=",").rows[0].texts["size"] == "1234"
    both = "Item\tQty\tSize\tPrice\nSalt\t2\t1 kg\t9.5\nWax\t2\t1 kg\t9,5\n"
    assert faults(both) == [("sign", "9.5 is written with a decimal point and 9,5 with a comma. Choose one.")]
    assert [at for at, _ in faults(both, sign=".")] == ["price"]


def test_a_number_with_two_readings_is_named_in_its_row() -> None:
    """The other rows show a decimal point: 96,000 grams are 96 kilograms, or 96 grams to three places."""
    text = "Item\tQty\tSize\tPrice\nSalt\t2\t96,000 g\t9.50\nSoda\t1\t1 kg\t3.20\nClay\t1\t2.500 kg\t0.500\n"
    told = lines(text)
    assert told.good
    assert [remark for row in told.rows for remark in row.remarks if "is read as" in remark] == [
        "96,000 is read as 96000, not as 96: look whether that is right.",
        "2.500 is read as 2.5, not as 2500: look whether that is right.",
    ]
    assert told.rows[0].texts["size"] == "96000"
    chosen = lines(text, sign=".")
    assert not any("is read as" in remark for row in chosen.rows for remark in row.remarks)


def test_columns_without_a_known_head_are_asked_and_then_chosen() -> None:
    text = "Was\tWieviel\tMenge\tPreis\nSalt\t2\t1 kg\t9.50\n"
    assert "the material or the supplier's code; how many packs; the price" in faults(text)[0][1]
    roles = ("material", "packs", "size", "price")
    found = lines(text, roles=roles, has_heads="yes")
    assert (len(found.rows), found.rows[0].texts["price"]) == (1, "9.50")
    assert lines("Salt\t2\t1 kg\t9.50\n", roles=roles, has_heads="no").rows[0].name == "Salt"
    assert "the same (how many packs)" in faults(text, roles=("packs", "packs", "material", "price"))[0][1]
    assert faults("Item\tQty\tPrice\n") == [("columns", "There is no row below the heads. Paste at least one line.")]
    assert faults("") == [("text", "Paste at least one line, with heads above.")]


@pytest.mark.parametrize(
    ("head", "role"),
    [
        ("INGREDIENT", "material"),
        ("Item No.", "code"),
        ("Qty (packs)", "packs"),
        ("Pack-size", "size"),
        ("U.o.M", ""),
        ("UOM", "unit"),
        ("Price per pack", "price"),
        ("Price per kg", ""),  # no price of a pack
        ("Line total", "total"),
        ("VAT %", "tax_rate"),
        ("Amount", ""),  # of goods or of money
        ("", ""),
    ],
)
def test_heads_are_known_by_their_words(head: str, role: str) -> None:
    assert role_of(head) == role


def test_a_column_of_tax_is_a_rate_only_with_percent_signs() -> None:
    rate, money = cut("Tax\n20 %\n5%\n").lines, cut("Tax\n4.10\n5%\n").lines
    assert roles_of(rate[0].cells, rate[1:]) == ("tax_rate",)
    assert roles_of(money[0].cells, money[1:]) == ("",)
    assert roles_of(("Item", "Product", "Qty"), ()) == ("material", "", "packs")


@pytest.mark.parametrize(
    ("word", "unit"),
    [
        ("KGS", "kg"),
        ("ml", "mL"),
        ("Litre", "L"),
        ("lbs.", "lb"),
        ("us gallon", "US gallon"),
        ("pcs", "pieces"),
        ("gal", ""),
    ],
)
def test_units_are_known_by_what_people_write(word: str, unit: str) -> None:
    assert unit_of(word) == unit
