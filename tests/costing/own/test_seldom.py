"""Ways of writing that seldom come in a maker's own sheets, in whatever module they are met. Figures from paper."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_method import TWO, formulas, titled
from tests.costing.own.test_sheets import EMPTY, costs, near, read, sentences, stored, table
from webapp.costing.gaps import Gap
from webapp.costing.own.beside import parted
from webapp.costing.own.columns import FORMULAS, MATERIALS, Layout
from webapp.costing.own.currencies import named_so
from webapp.costing.own.densities import density_beside
from webapp.costing.own.density_tabs import density_tab
from webapp.costing.own.layouts import laid_out_as
from webapp.costing.own.prices import PAID, How
from webapp.costing.own.reading import Choices, with_likely
from webapp.costing.own.rows import mark_of
from webapp.costing.own.sheets import read_own
from webapp.costing.own.told import OfSheet, Told
from webapp.costing.own.vessels import as_one_amount

F, D = Fraction, Decimal
POINT = Told(sign=".")


@pytest.mark.parametrize("pack", ["1 gallon (4 foo)", "1 gallon (8 lb)"])
def test_what_stands_beside_a_gallon_and_is_no_volume_does_not_say_whose_it_is(pack: str) -> None:
    asked = read(f"Item|Pack|Price\nShea|{pack}|40")
    assert [one.cell for one in asked.wrong] == ["B2"], sentences(asked)


def test_letters_that_one_currency_of_the_workshops_language_has_are_that_one() -> None:
    assert named_so("kr", "EUR", {"kr": ["DKK"]}) == "DKK"
    assert named_so("kr", "NOK", {"kr": ["DKK", "NOK"]}) == "NOK"


def test_a_weight_beside_a_volume_that_nothing_liquid_has_is_no_density() -> None:
    """5 kg in 500 mL would be 10 g/mL; 455 g are 0.91."""
    assert density_beside("500 ml (5 kg)", POINT) is None
    found = density_beside("500 ml (455 g)", POINT)
    assert found is not None
    assert F(found.value) == F("0.91")


def test_a_tab_of_densities_needs_names_and_is_one_where_a_person_says_materials() -> None:
    assert density_tab(table("|0.92\n|0.91", "Densities")) is None
    tab = table("Item|g per ml\nHemp|0.925\nOlive|0.91", "SG")
    assert laid_out_as(tab, MATERIALS) == density_tab(tab)


def test_a_density_that_stands_there_twice_counts_once() -> None:
    twice = read("Item|Pack|Price\nShea|1 kg|12", "Item|g per ml\nHemp|0.925\nHemp|0.925")
    assert [one.what for one in twice.skipped] == ["the same density as in row 2"]


def test_a_price_per_bottle_beside_several_packs_is_read_in_no_one_way() -> None:
    asked = read("Item|Packs|Pack|Price|Notes\nAloe|2|1 kg|3.60|price is per bottle")
    assert [one.so for material in asked.materials for one in material.said.row.notes] == [""]


def test_a_head_of_an_order_with_no_line_below_it_heads_nothing() -> None:
    rows = "Date|Supplier|Item|Pack|Price\n12/02/2026|Oak|||\n13/03/2026|Elm|Shea|1 kg|12\n|||2 kg|"
    told = read(rows)
    assert near(costs(told).get("Shea"), F(12) / 1000), sentences(told)


def test_a_unit_price_without_a_pack_in_its_row_is_asked_for_one_of_what() -> None:
    asked = read("Item|Pack|Unit price\nShea||12\nWax|5 kg|60")
    assert any(one.row == 2 for one in asked.wrong), sentences(asked)


def test_what_was_paid_beside_no_price_proves_nothing() -> None:
    rows = "Item|Pack|Line total|Discount|Paid\nShea|1 kg|30|10%|27\nWax|1 kg||10%|9"
    assert not read(rows).good
    neither = read("Item|Pack|Line total|Discount|Paid\nShea|1 kg|30|10%|27\nWax|1 kg|||")
    assert near(costs(neither).get("Shea"), F(27) / 1000), sentences(neither)


def test_a_heading_of_an_order_with_another_below_it_is_none() -> None:
    """Oak's line is missing: the day and supplier of the row right above the line are its own."""
    rows = "Item|Pack|Price\n12/02/2026 - Oak Supply||\n13/03/2026 - Elm Supply||\nShea|1 kg|12\nWax|1 kg|9"
    told = read(rows)
    assert {one.said.row.supplier for one in told.materials if one.said.name == "Shea"} == {"Elm Supply"}


def test_yes_to_what_is_likely_leaves_what_was_answered() -> None:
    asked = read(
        "Item|Pack|Price\nShea butter|1 kg|12\nOlive oil|1 kg|8", "Formula|Ingredient|%\nBalm|Shea|60\nBalm|Olive|40"
    )
    assert [one.best for one in asked.names] == ["Shea butter", "Olive oil"]
    first = asked.names[0].mark
    chosen = with_likely(Choices(), asked.names)
    assert {one.mark: one.best for one in asked.names} == dict(chosen.how.means)
    kept = with_likely(Choices(how=type(chosen.how)(means={first: "Olive oil"})), asked.names)
    assert kept.how.means[first] == "Olive oil"


def test_a_row_that_cannot_be_read_says_nothing_of_what_unit_prices_are_for() -> None:
    rows = "Item|Size|Unit|Unit cost\nShea|5|kg|60\nOil|500|g|20\nGum|?|kg|some"
    told = read(rows)
    assert near(costs(told).get("Shea"), F(60) / 5000), sentences(told)


@pytest.mark.parametrize(("text", "amount"), [("gallon tin 5 lb", "gallon tin 5 lb"), ("mudu 1.5 kg", "1.5 kg")])
def test_a_gallon_beside_pounds_is_no_vessel_of_them(text: str, amount: str) -> None:
    assert as_one_amount(text) == amount


def test_tax_in_money_in_other_money_than_its_order_is_wrong_at_its_row() -> None:
    rows = "Date|Supplier|Item|Pack|Price\n2026-03-01|Mill|Shea|1 kg|12\n2026-03-01|Mill|Wax|1 kg|9\n||Sales tax||$2.10"
    told = read(rows, of_sheets={0: OfSheet(order_tax="top")}, how=How(rates={"USD": D(1)}))
    assert any("The sales tax is in USD and its order in EUR." in said for _, said in sentences(told)), sentences(told)


def test_tax_in_money_beside_no_price_or_of_no_order_is_said_not_to_be_taken() -> None:
    head = "Date|Supplier|Item|Pack|Price\n"
    rows = "2026-03-01|Mill|Shea|1 kg|?\n2026-03-02|Oak|Wax|1 kg|9\n2026-03-01|Mill|Sales tax||2"
    none = read(f"{head}{rows}", of_sheets={0: OfSheet(order_tax="top")}, prices=PAID)
    assert any("not taken" in one.what for one in none.skipped), none.skipped


def test_freight_of_a_trip_in_other_money_or_with_a_column_of_freight_cannot_be_shared() -> None:
    head = "Date|Supplier|Item|Pack|Price\n2026-02-07|A|Shea|1 kg|100\n2026-02-07|B|Wax|1 kg|300\n"
    said = {0: OfSheet(shared="day")}
    told = read(f"{head}2026-02-07||Transport||$40", of_sheets=said, how=How(rates={"USD": D(1)}))
    assert any("orders of its day are in other money" in words for _, words in sentences(told)), sentences(told)
    free = head.replace("Price\n", "Price|Freight\n").replace("|100\n", "|100|5\n").replace("|300\n", "|300|\n")
    told = read(f"{free}2026-02-07||Transport||40|", of_sheets=said)
    assert any("The column of freight says that of A already." in words for _, words in sentences(told)), sentences(
        told
    )


def test_a_percent_of_freight_that_is_no_number_is_wrong_and_a_blank_one_is_none() -> None:
    """12 and 5 % are 12.60."""
    rows = "Item|Pack|Price|Transport\nShea|1 kg|12|5%\nOil|1 kg|8|\nGum|1 kg|9|x%"
    told = read(rows, of_sheets={0: OfSheet(freight="top")})
    assert near(costs(told).get("Shea"), F("12.60") / 1000), sentences(told)
    assert near(costs(told).get("Oil"), F(8) / 1000)


def test_a_total_beside_a_blank_price_or_freight_proves_nothing() -> None:
    rows = "Item|Pack|Price|Transport|Total cost\nShea|1 kg|10|0.5|10.5\nWax|1 kg|30||30\nOil|1 kg|||"
    told = read(rows)
    assert "Total cost" not in " ".join(remark for one in told.tables for remark in one.remarks)


def test_what_was_paid_for_packs_at_a_price_each_may_have_blank_rows() -> None:
    """2 at 11.50 are 23.00."""
    rows = "Item|Size|Price|Paid\nShea|1 kg|2 @ €11.50|23\nWax|1 kg||\nClay|1 kg|9|9"
    told = read(rows)
    assert near(costs(told).get("Shea"), F("11.50") / 1000), sentences(told)
    other = read("Item|Size|Packs|Price|Paid\nShea|1 kg|2|11.50|23\nWax|1 kg|||\nClay|1 kg|1|9|9")
    assert near(costs(other).get("Shea"), F("11.50") / 1000), sentences(other)
    half = read("Item|Size|Packs|Price|Paid\nShea|1 kg|2|11.50|23\nWax|1 kg|1|9|")
    assert half.faults or half.wrong


def test_a_recipe_in_two_sizes_that_a_person_says_is_one_is_read_as_such() -> None:
    sizes = table("Whip|||\nIngredient|single (g)|double (g)\nShea|40|80\nOil|60|120", "Recipes")
    assert laid_out_as(sizes, FORMULAS).holds == FORMULAS


def test_half_of_something_that_nobody_says_is_asked() -> None:
    assert [one.cell for one in read("Item|Price\nShea|10 per ½\nWax|9/kg").wrong] == ["B2"]
    said = sentences(read("Item|Price\nShea|10/500\nWax|9/kg"))
    assert "500 of what?" in said[0][1]


def test_freight_of_a_trip_of_which_the_book_has_a_part_cannot_be_shared() -> None:
    head = "Date|Supplier|Item|Pack|Price\n2026-02-07|A|Shea|1 kg|100\n2026-02-07|B|Wax|1 kg|300"
    held = stored(read(head))
    told = read(
        f"{head}\n2026-02-07|A|Gum|1 kg|9\n2026-02-07||Transport||40", book=held, of_sheets={0: OfSheet(shared="day")}
    )
    assert any("The book has a part of these orders already." in words for _, words in sentences(told)), (
        sentences(told),
        told.skipped,
    )


def test_a_total_beside_a_blank_price_is_no_total_of_price_and_freight() -> None:
    rows = "Item|Pack|Price|Transport|Total cost\nShea|1 kg|10|0.5|10.5\nWax|1 kg||0.5|30\nGum|1 kg|8|1|9"
    assert "is the price" not in " ".join(remark for one in read(rows).tables for remark in one.remarks)


def test_tax_in_money_of_no_order_is_shared_over_what_has_a_price() -> None:
    """6 over 60 and 40; Gum has no price."""
    rows = "Supplier|Item|Pack|Price|Sales tax\nMill|Shea|10 kg|60|€6\nMill|Cocoa|5 kg|40|\nMill|Gum|1 kg|?|"
    told = read(rows, of_sheets={0: OfSheet(order_tax="top")})
    assert near(costs(told).get("Shea"), F("63.6") / 10000), (sentences(told), told.faults)
    assert near(costs(told).get("Cocoa"), F("42.4") / 5000)


def test_a_rate_of_an_order_holds_for_its_rows_but_for_those_that_say_their_own() -> None:
    rows = "Date|Supplier|Item|Pack|Price|Sales tax\n2026-02-03|Mill|Shea|10 kg|60|6\n||Cocoa|5 kg|40|\n||Gum|1 kg|10|5"
    told = read(f"{rows}\n2026-03-03|Oil|Castor|7 kg|35|", of_sheets={0: OfSheet(order_tax="rate")})
    assert near(costs(told).get("Cocoa"), F("42.4") / 5000), (sentences(told), told.faults)
    assert near(costs(told).get("Gum"), F("10.5") / 1000)


def test_a_total_in_a_unit_that_is_no_weight_says_nothing_of_words_between_lines() -> None:
    text = TWO.format(words="Whip soft", total=" \nTotal | 537 ml")
    assert [name for name, _ in formulas(titled(text))] == ["Shea Whip"]


TAXED = "Date|Supplier|Item|Pack|Price|VAT"


def test_the_tax_of_an_order_that_stands_in_each_of_its_rows_counts_once() -> None:
    """4.20 over 12 and 9 are 2.40 and 1.80: 14.40 and 10.80 a kg."""
    rows = "2026-03-01|Mill|Shea|1 kg|12|€4.20\n2026-03-01|Mill|Wax|1 kg|9|€4.20"
    told = read(f"{TAXED}\n{rows}", of_sheets={0: OfSheet(order_tax="top")})
    assert near(costs(told)["Shea"], F("14.40") / 1000), sentences(told)
    assert near(costs(told)["Wax"], F("10.80") / 1000)
    assert "4.2 EUR is said once more here, and counts once." in told.materials[1].said.remarks


def test_a_remark_beside_tax_is_no_total_that_proves_it() -> None:
    """10 and 2 are 12, 30 and 6 are 36: the total says that the tax is money, on top."""
    rows = "2026-03-01|Mill|Shea|1 kg|10|2|good|12\n2026-03-01|Mill|Wax|1 kg|30|6|fine|36"
    told = read(f"{TAXED}|Remark|Sum\n{rows}")
    assert told.good, sentences(told)
    assert near(costs(told)["Shea"], F(12) / 1000)
    assert near(costs(told)["Wax"], F(36) / 1000)


def test_tax_of_a_line_without_a_price_is_left_beside_it_and_said() -> None:
    """12 with 2.40 are 14.40, 9 with 1.80 are 10.80."""
    rows = "2026-03-01|Mill|Shea|1 kg|12|€2.40\n2026-03-01|Mill|Gum|1 kg||€1.00\n2026-03-01|Mill|Wax|1 kg|9|€1.80"
    told = read(f"{TAXED}\n{rows}", of_sheets={0: OfSheet(order_tax="top")})
    assert near(costs(told)["Shea"], F("14.40") / 1000), sentences(told)
    assert near(costs(told)["Wax"], F("10.80") / 1000)
    assert isinstance(costs(told)["Gum"], Gap)
    words = "Its sales tax, 1, is not taken: no price stands beside it."
    assert told.materials[1].said.remarks == [words, "No price here: it is not known until one is entered."]


def test_tax_of_an_order_beside_its_line_without_a_price_is_that_of_its_others() -> None:
    """4.20 over 12 and 9: 14.40 and 10.80 a kg."""
    rows = "2026-03-01|Mill|Gum|1 kg||€4.20\n2026-03-01|Mill|Shea|1 kg|12|\n2026-03-01|Mill|Wax|1 kg|9|"
    told = read(f"{TAXED}\n{rows}", of_sheets={0: OfSheet(order_tax="top")})
    assert near(costs(told)["Shea"], F("14.40") / 1000), sentences(told)
    assert near(costs(told)["Wax"], F("10.80") / 1000)


@pytest.mark.parametrize(
    ("day", "words"),
    [
        ("2026-03-01", "4.2 EUR is sales tax and not taken: nothing of this order has a price."),
        (
            "",
            "Its sales tax, 4.2, is not taken: only what was paid, with supplier and day, is an order, and has tax of",
        ),
    ],
)
def test_tax_of_an_order_without_any_price_or_of_none_is_said_not_to_be_taken(day: str, words: str) -> None:
    rows = f"{day}|Mill|Gum|1 kg||€4.20\n2026-03-02|Mill|Shea|1 kg|12|\n2026-03-02|Mill|Wax|1 kg|9|"
    told = read(f"{TAXED}\n{rows}", of_sheets={0: OfSheet(order_tax="top")}, prices=PAID)
    assert any(one.startswith(words) for one in told.materials[0].said.remarks), told.materials[0].said.remarks
    assert near(costs(told)["Shea"], F(12) / 1000)


def test_a_line_whose_amount_cannot_be_read_says_nothing_of_what_a_total_is_of() -> None:
    rows = "Ingredient|%\nBalm\nShea|60\nMelt it all gently\nWax|some 30\nOil|10\nTotal|100"
    told = read("Item|Pack|Price\nShea|1 kg|3", rows)
    assert [one.row for one in told.wrong] == [4, 5], sentences(told)


def test_a_row_without_its_price_does_not_hide_that_a_total_holds_freight() -> None:
    """10 and 0.50 are 10.50, 30 and 1 are 31: the totals are the prices."""
    rows = "Item|Pack|Price|Transport|Total cost\nShea|1 kg|10|0.5|10.5\nOil|1 kg|||\nWax|1 kg|30|1|31"
    told = read(rows)
    assert near(costs(told)["Shea"], F("10.5") / 1000), sentences(told)
    assert near(costs(told)["Wax"], F(31) / 1000)


def test_an_amount_in_percent_and_in_grams_beside_it_is_one_formula() -> None:
    assert len(parted([table("Balm|%|g\nShea|60|30\nWax|40|20", "Balm")])) == 1


def test_freight_of_an_order_of_which_nothing_has_a_price_is_said_not_to_be_taken() -> None:
    rows = "2026-03-01|Mill|Shea|1 kg|\n2026-03-01|Mill|Freight||4\n2026-03-02|Oak|Wax|1 kg|9"
    told = read(f"Date|Supplier|Item|Pack|Price\n{rows}")
    words = "freight, not taken: nothing of an order of Mill of 2026-03-01 has a price"
    assert [one.what for one in told.skipped] == [words]
    assert near(costs(told)["Wax"], F(9) / 1000)


def test_the_tax_of_lines_that_cost_the_same_is_that_of_their_order_where_others_repeat_theirs() -> None:
    """4.20 over 12 and 9, as each row says; so 3.00 over 10 and 10: 11.50 each. Alone it would be each line's own."""
    other = "2026-03-01|Mill|Shea|1 kg|12|€4.20\n2026-03-01|Mill|Wax|1 kg|9|€4.20\n"
    alike = "2026-03-05|Oak|Oil|1 kg|10|€3.00\n2026-03-05|Oak|Gum|1 kg|10|€3.00"
    told = read(f"{TAXED}\n{other}{alike}", of_sheets={0: OfSheet(order_tax="top")})
    assert near(costs(told)["Oil"], F("11.50") / 1000), sentences(told)
    alone = read(f"{TAXED}\n{alike}", of_sheets={0: OfSheet(order_tax="top")})
    assert near(costs(alone)["Oil"], F(13) / 1000)


@pytest.mark.parametrize("heads", ["Ingredient|g", "Water phase|g"])
@pytest.mark.parametrize("tab", ["Sheet1", "Pasted cells", "Tabelle2"])
def test_a_title_above_a_gap_names_a_formula_whose_tab_is_called_nothing(heads: str, tab: str) -> None:
    card = f"Leave-in milk|\n|\n{heads}\nWater|930\nBTMS|70"
    prices = table("Item|Pack|Price\nWater|1 kg|0.5\nBTMS|1 kg|30")
    for name, title in (("Leave-in milk", tab), ("Winter milk", "Winter milk")):
        told = read_own(EMPTY, (prices, table(card, title)), Choices())
        assert [one.said.rows.name for one in told.formulas] == [name], (title, sentences(told))


@pytest.mark.parametrize("above", ["Shea|Butter", "Melt the butters and cool them."])
def test_other_words_above_a_gap_name_no_formula(above: str) -> None:
    card = f"{above}\n|\nIngredient|g\nWater|930\nBTMS|70"
    told = read_own(EMPTY, (table("Item|Pack|Price\nWater|1 kg|0.5\nBTMS|1 kg|30"), table(card, "Sheet1")), Choices())
    assert [one.said.rows.name for one in told.formulas] in ([], ["Sheet1"]), sentences(told)


def test_an_answer_that_names_what_its_sheet_is_not_called_any_more_is_none() -> None:
    """Read in another way the pack at the end of a name is none of it: 6.80 / 5000 a g."""
    prices, balm = "Item|Kept|Other\nShea butter 5kg|34|\nWax 1kg|12|", "Formula|Ingredient|%\nBalm|Shea butter|100"
    how = How(means={mark_of("Shea butter"): "Shea butter 5kg"})
    told = read(prices, balm, how=how, layouts={0: Layout(MATERIALS, 1, ("name", "price"))})
    assert told.good, (sentences(told), told.names)
    assert near(costs(told)["Balm"], F(34) / 5000)


def test_percent_near_a_hundred_whose_own_total_says_so_may_be_meant_as_they_stand() -> None:
    """45 and 53.5 of 98.5, at 10 and 20 a kg."""
    prices, card = "Item|Pack|Price\nShea|1 kg|10\nMango|1 kg|20", "Balm\nIngredient|%\nShea|45\nMango|53.5"
    asked = read(prices, f"{card}\nTotal|98.5")
    assert any("Choose what its amounts are" in said for _, said in sentences(asked))
    assert not any("Choose what its amounts are" in said for _, said in sentences(read(prices, card)))
    told = read(prices, f"{card}\nTotal|98.5", kinds={mark_of("Balm"): "parts"})
    assert near(costs(told)["Balm"], (45 * F(10) + F("53.5") * 20) / F("98.5") / 1000), sentences(told)


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("Jojoba oil|32|oz|39.95", True),
        ("Lavender essential oil|4|oz|22.40", True),
        ("Shea butter|32|oz|10", False),
        ("Jojoba oil|32|fl oz|39.95", False),
        ("Jojoba oil|32|oz wt|39.95", False),
        ("Jojoba oil|2|lb|39.95", False),
    ],
)
def test_bare_ounces_of_what_is_liquid_are_said_to_be_read_as_weight(row: str, said: bool) -> None:
    """32 oz are 907.18 g; a bottle of 32 fl oz of jojoba, about 0.87 g/mL, holds some 820."""
    told = read(f"Item|Size|Unit|Price\n{row}", told=Told(system="US"))
    words = "Its ounces are read as weight: write fl oz where it is sold by volume."
    assert (words in told.materials[0].said.remarks) is said, told.materials[0].said.remarks


def test_rows_below_the_same_heads_once_more_are_filled_down_too() -> None:
    heads = "Date|Supplier|Item|Pack|Price"
    rows = f"{heads}\n2026-03-01|Mill|Shea|1 kg|12\n||Gum|1 kg|3\n{heads}\n2026-03-05|Oak|Wax|1 kg|9\n||Oil|1 kg|8"
    told = read(rows, prices=PAID)
    assert told.good, (sentences(told), told.faults)
    suppliers = {one.said.name: one.said.row.supplier for one in told.materials}
    assert suppliers == {"Shea": "Mill", "Gum": "Mill", "Wax": "Oak", "Oil": "Oak"}


def test_a_tab_of_densities_that_is_said_to_hold_formulas_is_none() -> None:
    tab = table("Item|g per ml\nHemp|0.925\nOlive|0.91", "SG")
    assert laid_out_as(tab, FORMULAS).holds == FORMULAS
    assert laid_out_as(tab, FORMULAS) != density_tab(tab)
