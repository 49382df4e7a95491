"""How many packs a price is for: by its head, by the total that proves it, else asked. Figures are on paper."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import EMPTY, costs, near, read, sentences, table
from webapp.costing.own.columns import Layout, OwnTable
from webapp.costing.own.layouts import laid_out
from webapp.costing.own.reading import Choices, OwnReading
from webapp.costing.own.sheets import read_own
from webapp.costing.own.told import OfSheet

F = Fraction


def roles(text: str) -> tuple[str, ...]:
    return laid_out(table(text)).roles


@pytest.mark.parametrize(
    "head",
    ["Qté", "Nb", "Nbre", "Nombre", "Quantité achetée", "Qté commandée", "Qty ordered", "# bought", "Ordered",
     "Units", "Stk", "Stk.", "Stück", "Menge", "Anz.", "Anzahl", "Packungen", "Packs", "Pcs", "Number bought"],
)  # fmt: skip
@pytest.mark.parametrize("total", ["Total TTC", "Gesamt brutto", "Total paid", "Gesamtpreis", "Montant total"])
def test_a_head_says_how_many_packs_its_total_is_for(head: str, total: str) -> None:
    """99.60 for two of 5 kg are 9.96 a kg, 21.60 for three of 500 g are 14.40."""
    reading = read(f"Material|Pack|{head}|{total}\nKokum butter|5 kg|2|99.60\nBeeswax|500 g|3|21.60")
    assert reading.good, (reading.faults, sentences(reading))
    found = costs(reading)
    assert near(found["Kokum butter"], F("99.60") / 10_000)
    assert near(found["Beeswax"], F("21.60") / 1500)


def test_a_unit_price_without_tax_and_a_total_with_it_stand_for_one_and_for_all() -> None:
    """2 x 41.50 x 1.2 = 99.60 for 10 kg; 3 x 6.80 x 1.055 = 21.52 for 1.5 kg, 14.3467 a kg to four places."""
    text = (
        "Matière première|Conditionnement|Qté|PU HT|TVA|Total TTC\n"
        "Beurre de karité|5 kg|2|41.50|20 %|99.60\nCire|500 g|3|6.80|5.5 %|21.52"
    )
    assert roles(text) == ("name", "pack", "packs", "net_price", "tax_rate", "price")
    found = costs(read(text))
    assert near(found["Beurre de karité"], F("99.60") / 10_000)
    assert near(found["Cire"], F("14.3467") / 1000)


def test_gross_and_net_totals_stand_beside_the_price_of_one() -> None:
    """2 x 79.80 x 1.07 = 170.772 for 10 kg: 17.08 a kg."""
    heads = "Artikel|Gebinde|Anzahl|Einzelpreis netto|MwSt.|Gesamt netto|Gesamt brutto"
    text = f"{heads}\nKakaobutter|5 kg|2|79.80|7 %|159.60|170.77"
    assert roles(text) == ("name", "pack", "packs", "net_price", "tax_rate", "", "price")
    assert near(costs(read(text))["Kakaobutter"], F("170.77") / 10_000)


@pytest.mark.parametrize(
    "text",
    [
        "Menge|Gebinde|Gesamt\nWachs|2|500 g|9.40",
        "Menge|Packung|Gesamt\nWachs|2|500 g|9.40",
        "Units|Pack|Total\nWachs|2|500 g|9.40",
        "Stück|Menge|Gesamt\nWachs|2|500 g|9.40",
        "Pack|Pieces|Total\nWachs|500 g|2|9.40",
    ],
)
def test_the_number_may_stand_before_the_pack(text: str) -> None:
    """9.40 for two of 500 g is 9.40 a kg."""
    reading = read(f"Rohstoff|{text}")
    assert reading.good, (reading.faults, sentences(reading))
    assert near(costs(reading)["Wachs"], F("9.40") / 1000)


def test_nombre_is_a_number_where_numbers_stand_below_it_and_a_name_where_names_do() -> None:
    """12 for three of 1 kg are 4.00 a kg."""
    assert roles("Nombre|Produit|Contenance|Prix total\n3|Cire|1 kg|12") == ("packs", "name", "pack", "price")
    assert roles("Nombre|Peso|Precio\nCera|1 kg|12") == ("name", "pack", "price")
    assert near(costs(read("Nombre|Produit|Contenance|Prix total\n3|Cire|1 kg|12"))["Cire"], F(12, 3000))


@pytest.mark.parametrize(
    "text",
    ["Menge|Einheit|Gesamt\nWachs|500|g|9.40", "Menge (g)|Gesamt\nWachs|500|9.40", "Menge|Gesamt\nWachs|500 g|9.40"],
)
def test_a_quantity_beside_its_unit_stays_how_much_is_in_a_pack(text: str) -> None:
    assert near(costs(read(f"Rohstoff|{text}"))["Wachs"], F("9.40") / 500)


def test_numbers_of_rows_and_of_articles_are_no_packs_but_those_that_stand_twice_are() -> None:
    """9 for 1 kg each; and 9 for three of 1 kg."""
    for numbers in ("123", "375"):
        rows = "\n".join(f"{no}|{name}|1 kg|9" for no, name in zip(numbers, ("Wax", "Oil", "Clay"), strict=True))
        assert "packs" not in roles(f"No.|Item|Pack|Price\n{rows}")
    text = "No.|Item|Pack|Total\n3|Wax|1 kg|9\n3|Oil|1 kg|12"
    assert near(costs(read(text))["Wax"], F(9, 3000))


POLISH = "Surowiec|Opakowanie|Ilosc|Cena|VAT|Razem"


def polish(*rows: str, priced: str = "price") -> OwnReading:
    """A sheet whose heads nobody knows, with the columns of name, pack and price chosen by hand."""
    text = "\n".join((POLISH, *rows))
    layout = Layout("materials", 1, ("name", "pack", "", "", "tax_rate", priced))
    return read(text, layouts={0: layout})


def test_an_amount_without_its_unit_and_without_a_pack_beside_it_stays_how_much_is_in_a_pack() -> None:
    assert roles("Rohstoff|Menge|Preis\nWachs|500|9.40") == ("name", "pack", "price")


@pytest.mark.parametrize(("rate", "total"), [("1", "101.00"), ("1 %", "101.00"), ("0.2", "120.00"), ("", "100.00")])
def test_a_rate_of_tax_is_a_percent_or_a_share_of_one(rate: str, total: str) -> None:
    """2 x 50 x 1.01 = 101.00, 2 x 50 x 1.2 = 120.00."""
    text = f"Item|Pack|Ilosc|Cena|VAT|Total\nWax|5 kg|2|50.00|{rate}|{total}\nOil|1 kg|1|9.50|20 %|11.40"
    assert "packs" in roles(text)


def test_a_price_that_does_not_say_that_it_is_for_one_takes_no_number_from_another_total() -> None:
    """30 for 1 kg, whatever 2 is: what is in stock, and worth 60."""
    text = "Item|Pack|Ilosc|Price|Value\nWax|1 kg|2|30|60\nOil|1 kg|3|9|27"
    assert "packs" not in roles(text)
    assert near(costs(read(text))["Wax"], F(30, 1000))


def test_two_numbers_of_which_one_is_one_more_are_asked_three_count_the_rows() -> None:
    rows = ["Wax|1 kg|1|83", "Oil|1 kg|2|10", "Clay|1 kg|3|7"]
    layout = {0: Layout("materials", 1, ("name", "pack", "", "price"))}
    assert read("\n".join(["Item|Pack|Ilosc|Total", *rows[:2]]), layouts=layout).faults != ()
    assert read("\n".join(["Item|Pack|Ilosc|Total", *rows]), layouts=layout).faults == ()


def test_numbers_in_half_of_the_rows_are_not_asked_and_in_more_they_are() -> None:
    rows = ["Wax|1 kg|2|83", "Oil|1 kg||10", "Clay|1 kg|3|7", "Salt|1 kg||5"]
    layout = {0: Layout("materials", 1, ("name", "pack", "", "price"))}
    assert read("\n".join(["Item|Pack|Ilosc|Total", *rows]), layouts=layout).faults == ()
    assert read("\n".join(["Item|Pack|Ilosc|Total", *rows[:3]]), layouts=layout).faults != ()


def test_a_total_proves_the_number_of_packs_whatever_the_head_is() -> None:
    """2 x 41.50 x 1.2 = 99.60, so that 99.60 is for 10 kg; 3 x 6.80 x 1.2 = 24.48 for 1.5 kg."""
    text = "Item|Pack|Ilosc|Cena|VAT|Total\nWax|5 kg|2|41.50|20 %|99.60\nClay|500 g|3|6.80|20 %|24.48"
    assert roles(text) == ("name", "pack", "packs", "", "tax_rate", "price")
    found = costs(read(text))
    assert near(found["Wax"], F("99.60") / 10_000)
    assert near(found["Clay"], F("24.48") / 1500)


@pytest.mark.parametrize("registered", [False, True])
def test_a_total_that_its_rate_brings_about_has_its_tax_in_it_whatever_was_chosen(*, registered: bool) -> None:
    """2 x 41.50 x 1.2 = 99.60 and 3 x 6.80 x 1.2 = 24.48: 9.96 and 16.32 a kg, reclaimed 8.30 and 13.60."""
    book = replace(EMPTY, terms=replace(EMPTY.terms, registered=registered))
    text = "Item|Pack|Qty|Unit price|VAT|Total\nWax|5 kg|2|41.50|20 %|99.60\nClay|500 g|3|6.80|20 %|24.48"
    found = costs(read(text, book=book))
    assert near(found["Wax"], F("8.30" if registered else "9.96") / 1000)
    assert near(found["Clay"], F("13.60" if registered else "16.32") / 1000)
    net = costs(read(text.replace("99.60", "83.00").replace("24.48", "20.40"), book=book))  # without it
    assert near(net["Wax"], F("8.30" if registered else "9.96") / 1000)
    none = costs(read("Item|Pack|Qty|VAT|Total\nWax|5 kg|2|20 %|99.60", book=book))  # nothing shows it
    assert near(none["Wax"], F("9.96" if registered else "11.952") / 1000)


@pytest.mark.parametrize(
    ("rows", "found"),
    [
        ("Wax|5 kg|2|$41.50|$83.00\nOil|1 kg|1|$9|$9", True),
        ("Wax|5 kg|2|41,50 €|83,00 €\nOil|1 kg|3|1.250,00 €|3.750,00 €", True),
        ("Wax|5 kg|2|41.50|83\nOil|1 kg|3|9|27\nClay|1 kg|2|4|8\nTin|1 kg|2|3|6\nLid|1 kg|4|2|9", True),  # 4 of 5
        ("Wax|5 kg|2|41.50|83\nOil|1 kg|3|9|27\nClay|1 kg|2|4|8\nLid|1 kg|4|2|9", False),  # 3 of 4
        ("Wax|5 kg|3|3.33|10\nOil|1 kg|2|9|18", True),  # 3.33 is a third of 10, rounded to a cent
        ("Wax|5 kg|3|3.30|10\nOil|1 kg|2|9|18.50", False),
        ("Wax|5 kg|48|0.10|4.85\nOil|1 kg|48|0.10|4.85", False),  # 1 % of 4.85 and no more
        ("Wax|5 kg|1|41.50|41.50\nOil|1 kg|1|9|9", False),  # nothing is proved by ones
    ],
)
def test_what_proves_it(rows: str, found: bool) -> None:
    assert ("packs" in roles(f"Item|Pack|Ilosc|Cena|Total\n{rows}")) is found


@pytest.mark.parametrize("heads", ["Cena|Ilosc", "Ilosc|Cena"])
def test_of_two_columns_of_whole_numbers_that_prove_it_each_the_number_is_asked(heads: str) -> None:
    """2 x 30 = 60 = 30 x 2: 60 is for two, or for thirty."""
    rows = [("Wax", 2, 30), ("Oil", 3, 9)] if heads.startswith("Ilosc") else [("Wax", 30, 2), ("Oil", 9, 3)]
    lines = "\n".join(f"{name}|5 kg|{one}|{other}|{one * other}" for name, one, other in rows)
    asked = read(f"Item|Pack|{heads}|Total\n{lines}")
    assert [field for field, _ in asked.faults] == ["sheets-0-counts"]
    assert asked.faults[0][1].endswith("Say it below. If another column is, choose that for it below.")
    assert "packs" not in asked.layouts[0].roles


def test_a_total_that_is_left_out_beside_the_price_of_one_proves_the_number_too() -> None:
    """2 at 30.00 and 6.00 of freight over 60.00 and 40.00: 3.60 and 2.40, so that 1 kg of the first is 31.80."""
    rows = "Wax|Mill|2026-03-01|1 kg|2|30|60|6\nOil|Mill|2026-03-01|1 kg|1|40|40|"
    reading = read(f"Item|From|Date|Size|#|Each|Total|Shipping\n{rows}")
    assert reading.layouts[0].roles == ("name", "supplier", "day", "pack", "packs", "price", "", "freight")
    assert near(costs(reading)["Wax"], F("31.80") / 1000)
    assert near(costs(reading)["Oil"], F("42.40") / 1000)


def test_beside_freight_the_number_is_asked_where_nothing_proves_it() -> None:
    rows = "Wax|Mill|2026-03-01|1 kg|2|30|6\nOil|Mill|2026-03-01|1 kg|1|40|"
    reading = read(f"Item|From|Date|Size|Ilosc|Each|Shipping\n{rows}")
    assert [field for field, _ in reading.faults] == []
    unsaid = read(f"Item|From|Date|Size|Ilosc|Price|Shipping\n{rows}")
    assert [field for field, _ in unsaid.faults] == ["sheets-0-counts"]


def test_whole_numbers_are_no_units() -> None:
    """60 for two of 5 lb, where the price is chosen by hand below a head of amounts."""
    layout = Layout("materials", 1, ("name", "unit", "pack", "price"))
    asked = read("Product|Unit|Size|Amount\nWax|2|5 kg|60\nOil|1|1 kg|9", layouts={0: layout})
    assert [field for field, _ in asked.faults] == ["sheets-0-counts"]
    yes = read(
        "Product|Unit|Size|Amount\nWax|2|5 kg|60\nOil|1|1 kg|9", layouts={0: layout}, of_sheets=both("all", "yes")
    )
    assert near(costs(yes)["Wax"], F(60, 10_000))


def both(priced: str, counts: str) -> dict[int, OfSheet]:
    return {0: OfSheet(priced=priced, counts=counts)}


def test_of_many_rows_four_of_five_have_to_come_out() -> None:
    """Of 60 rows 48 are right, or 47."""
    for wrong, found in ((12, True), (13, False)):
        rows = [f"M{n}|1 kg|2|9.50|{'18.00' if n < wrong else '19.00'}" for n in range(60)]
        assert ("packs" in roles("\n".join(["Item|Pack|Ilosc|Cena|Total", *rows]))) is found


def test_a_number_that_came_as_one_is_read_with_its_point() -> None:
    """2 x 1.125 = 2.25, of a workbook; as text 1.125 may be a thousand and more."""
    rows = "Item|Pack|Ilosc|Cena|Total\nWax|1 kg|2|1.125|2.25"
    assert "packs" in laid_out(table(rows, exact=True)).roles
    assert "packs" not in laid_out(table(rows)).roles


def test_kilograms_times_the_price_of_one_prove_no_number_of_packs() -> None:
    """5 kg at 8.00 are 40.00: ten of 500 g, not five of them; nor where the column is headed in kg."""
    for head, price in (("Gekauft hier", "Preis pro kg"), ("Total kg", "Cena"), ("In stock", "Price each")):
        text = f"Item|Pack|{head}|{price}|Total\nWax|500 g|5|8.00|40.00"
        assert "packs" not in roles(text)


def test_what_cannot_be_proved_is_asked_and_nothing_is_left_out_without_a_word() -> None:
    """83 for 5 kg is 16.60 a kg, for two of them 8.30."""
    text = "Item|Pack|Ilosc|Total\nWax|5 kg|2|83\nOil|1 kg|1|9"
    asked, words = read(text), "Column C (Ilosc) holds whole numbers and is left out."
    assert asked.faults == (
        (
            "sheets-0-counts",
            f"Sheet 1: {words} Is it how many packs the price is for? Say it below.",
        ),
    )
    assert not asked.good
    yes = read(text, of_sheets={0: OfSheet(counts="yes")})
    no = read(text, of_sheets={0: OfSheet(counts="no")})
    assert (yes.good, no.good) == (True, True)
    assert yes.layouts[0].roles == ("name", "pack", "packs", "price")
    assert near(costs(yes)["Wax"], F(83, 10_000))
    assert near(costs(no)["Wax"], F(83, 5000))


def test_what_was_said_of_the_same_heads_before_adds_no_number_of_packs_to_one_that_is_known() -> None:
    reading = read("Item|Pack|Qty|Total\nWax|5 kg|2|83", of_sheets={0: OfSheet(counts="yes")})
    assert reading.layouts[0].roles == ("name", "pack", "packs", "price")


def test_nine_hundred_and_ninety_nine_are_packs_still() -> None:
    asked = read("Item|Pack|Ilosc|Total\nLabel|1 piece|999|83")
    assert [field for field, _ in asked.faults] == ["sheets-0-counts"]


def test_a_column_behind_all_others_is_asked_too_and_one_without_a_head() -> None:
    text = "Item|Pack|Total|\nWax|5 kg|83|2\nOil|1 kg|9|1"
    asked = read(text, layouts={0: Layout("materials", 1, ("name", "pack", "price"))})
    assert [field for field, _ in asked.faults] == ["sheets-0-counts"]
    assert "Column D (without a head)" in asked.faults[0][1]
    yes = read(
        text, layouts={0: Layout("materials", 1, ("name", "pack", "price"))}, of_sheets={0: OfSheet(counts="yes")}
    )
    assert near(costs(yes)["Wax"], F(83, 10_000))
    proven = "Item|Pack|Total|Cena|\nWax|5 kg|83|41.50|2\nOil|1 kg|9|9|1"
    assert roles(proven) == ("name", "pack", "price", "", "packs")


def test_a_price_below_a_head_that_nobody_knows_may_be_for_all_of_them() -> None:
    """2 x 41.50 x 1.2 = 99.60 is proved where the price was chosen, and asked; 100 is not, and asked as well."""
    rows = ("Wax|5 kg|2|41.50|20 %|{}", "Oil|1 kg|1|9|20 %|10.80")
    for price in ("99.60", "120"):
        assert [field for field, _ in polish(rows[0].format(price), rows[1]).faults] == ["sheets-0-counts"]


@pytest.mark.parametrize(
    ("head", "numbers"),
    [
        ("In stock", "2 5 4"), ("Ilosc", "1 1 1"), ("Ilosc", "1 2 3"), ("Ilosc", "2.5 3 1"), ("Ilosc", "2 - -"),
        ("Year", "2025 2026 2025"), ("Ilosc", "2 1000 1"),
        ("Ilosc", "2 0 1"), ("Kg", "2 5 4"), ("Code", "2 5 4"), ("Ilosc", "two 5 4"), ("Price each", "2 5 4"),
    ],
)  # fmt: skip
def test_what_is_something_else_is_not_asked(head: str, numbers: str) -> None:
    rows = "\n".join(
        f"{name}|1 kg|{cell}|{price}"
        for name, cell, price in zip(("Wax", "Oil", "Clay"), numbers.split(), (83, 10, 7), strict=True)
    )
    text = f"Item|Pack|{head}|Total\n{rows}"
    layout = Layout("materials", 1, ("name", "pack", "", "price"))
    assert read(text, layouts={0: layout}).faults == ()


def test_a_price_that_is_for_one_pack_or_a_known_one_asks_nothing() -> None:
    for head in ("Price each", "Price"):
        assert read(f"Item|Pack|Ilosc|{head}\nWax|1 kg|2|83\nOil|1 kg|5|10").faults == ()
    rows = (("Wax", "1 kg", "2", "83"), ("Oil", "1 kg", "5", "10"))
    layout = Layout("materials", 0, ("name", "pack", "", "price"))
    assert read_own(EMPTY, [OwnTable("Prices", rows)], Choices(layouts={0: layout})).faults == ()


def test_a_price_that_is_chosen_to_be_for_all_packs_asks_how_many_they_are() -> None:
    """10 for five of 1 kg is 2 a kg."""
    text = "Item|Pack|Ilosc|Price\nWax|1 kg|2|83\nOil|1 kg|5|10"
    asked = read(text, of_sheets={0: OfSheet(priced="all")})
    assert [field for field, _ in asked.faults] == ["sheets-0-counts"]
    yes = read(text, of_sheets={0: OfSheet(priced="all", counts="yes")})
    assert near(costs(yes)["Oil"], F(10, 5000))
    unpriced = Layout("materials", 1, ("name", "pack"))
    assert read(text, layouts={0: unpriced}, of_sheets={0: OfSheet(priced="none")}).faults == ()
    without = read(text, layouts={0: unpriced}, of_sheets={0: OfSheet(priced="all")})
    assert [field for field, _ in without.faults] == ["sheets-0-priced"]


def test_columns_that_may_be_formulas_are_asked_as_such_and_then_as_numbers_of_packs() -> None:
    text = "Item|Pack|Total|Firm|Soft\nKokum|1 kg|8.00|400|\nIllipe|1 kg|9.00||200\nMarsh oil|1 kg|6.00|600|300"
    for formulas, field in (("", "sheets-0-formulas"), ("no", "sheets-0-counts"), ("yes", "")):
        asked = read(text, of_sheets={0: OfSheet(formulas=formulas)})
        assert [one for one, _ in asked.faults] == ([field] if field else [])
