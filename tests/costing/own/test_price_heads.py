"""What the heads of prices say besides: currency, tax, one pack or all of them."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import DAY, costs, near, read, sentences
from webapp.costing import book as b
from webapp.costing.book import Book
from webapp.costing.changes import Put
from webapp.costing.own.columns import BLANK, MATERIALS, Layout, role_of
from webapp.costing.own.price_heads import currency_said, packs_said, tax_said
from webapp.costing.own.prices import How
from webapp.costing.own.told import OfSheet

F = Fraction


@pytest.mark.parametrize(
    ("head", "role", "tax"),
    [
        ("Price", "price", ""),
        ("New price", "price", ""),
        ("Old price", "", ""),
        ("Total paid", "price", ""),
        ("Cost per pack", "price", ""),
        ("£", "price", ""),
        ("Price £", "price", ""),
        ("Price GBP", "price", ""),
        ("€12.40", "", ""),
        ("Price inc VAT", "price", "in"),
        ("Price (incl. VAT)", "price", "in"),
        ("Prix TTC", "price", "in"),
        ("Preis brutto", "price", "in"),
        ("Prezzo IVA inclusa", "price", "in"),
        ("Price ex VAT", "net_price", "out"),
        ("Price (excl. GST)", "net_price", "out"),
        ("Prix HT", "net_price", "out"),
        ("Preis netto", "net_price", "out"),
        ("Net price", "net_price", "out"),
        ("Precio sin IVA", "net_price", "out"),
        ("VAT", "tax_rate", ""),
        ("Net weight", "pack", "out"),
        ("£ per kg", "unit_price", ""),
        ("EUR/kg", "unit_price", ""),
        ("Price per kg ex VAT", "unit_price", "out"),
        ("Notes ex VAT", "", "out"),
    ],
)
def test_heads_of_prices(head: str, role: str, tax: str) -> None:
    assert (role_of(head, MATERIALS), tax_said(head)) == (role, tax)


def test_a_head_says_its_currency_by_a_sign_or_by_a_code_that_is_no_word() -> None:
    heads = ("Price £", "£ per kg", "Price (GBP)", "EUR/kg", "PRICE FOR ALL", "Price", "PRICE PER GEL", "price gbp")
    assert [currency_said(one) for one in heads] == ["£", "£", "GBP", "EUR", "", "", "", ""]


def test_heads_say_for_one_pack_or_for_all() -> None:
    assert [packs_said(one) for one in ("total paid", "price each", "cost")] == ["all", "one", ""]


REGISTERED = Book(day=DAY, terms=b.Terms(registered=True))
#: 12.00 with a fifth of tax in it is 10.00 without
INSIDE, OUTSIDE = "Item|Pack|Prix TTC|TVA\nShea|1 kg|12|20%", "Item|Pack|Prix HT|TVA\nShea|1 kg|10|20%"


@pytest.mark.parametrize("chosen", [True, False])
def test_a_head_that_says_how_tax_stands_wins_over_what_was_chosen_for_all(chosen: bool) -> None:
    how = How(tax_included=chosen)
    for text in (INSIDE, OUTSIDE):
        assert costs(read(text, how=how))["Shea"] == Decimal("0.012")
        assert costs(read(text, how=how, book=REGISTERED))["Shea"] == Decimal("0.01")
    paid = "Item|Lieferant|Kaufdatum|Pack|Preis brutto|MwSt\nShea|Mill|2026-03-01|1 kg|12|20%"
    changes = read(paid, how=how, book=REGISTERED).changes
    (order,) = (one.record for one in changes if isinstance(one, Put) and isinstance(one.record, b.Order))
    (line,) = order.lines
    assert (line.price, line.tax_rate, line.tax_included) == (Decimal(12), Decimal(20), True)


def test_a_price_beside_one_without_tax_is_one_with_it_whatever_was_chosen() -> None:
    text = "Item|Pack|Price|Net price|VAT\nShea|1 kg|12|10|20%"
    for how in (How(), How(tax_included=True)):
        assert costs(read(text, how=how))["Shea"] == Decimal("0.012")
        assert costs(read(text, how=how, book=REGISTERED))["Shea"] == Decimal("0.01")


def test_tax_whose_rate_is_not_said_is_said_where_it_matters() -> None:
    inside, outside = "Item|Pack|Price inc VAT\nShea|1 kg|12", "Item|Pack|Price ex VAT\nShea|1 kg|10"
    for text, book, said in (
        (inside, REGISTERED, "Tax is in this price and its rate is not said, so all of it counts as a cost."),
        (outside, Book(day=DAY), "Tax comes on top of this price, and its rate is not said: it is not in the cost."),
        (inside, Book(day=DAY), ""),
        (outside, REGISTERED, ""),
    ):
        assert [one for one in read(text, book=book).materials[0].said.remarks if one.startswith("Tax")] == [said][
            : bool(said)
        ]


def test_a_sheet_of_which_no_column_is_a_price_asks_which_one_holds_it() -> None:
    text = "Ingredient|Pack|Supplier|Worth\nShea butter|1 kg|Mill|14"
    asked = read(text)
    assert not asked.good
    words = "Which one holds it? Choose it below, or say that this sheet has no prices."
    assert asked.faults == (("sheets-0-priced", f"Sheet 1: No column is taken for a price. {words}"),)
    assert [one.said.name for one in asked.materials] == ["Shea butter"]  # what is understood is shown all the same
    none = read(text, of_sheets={0: OfSheet(priced="none")})
    assert none.good, sentences(none)
    assert not read(text, of_sheets={0: replace(OfSheet(), priced="all")}).good


def test_a_column_of_tax_that_holds_money_is_no_rate() -> None:
    """2.00 on 10.00 and 1.60 on 8.00 are a fifth of each; 2 % of 10.00 would be 0.20."""
    asked = read("Item|Pack|Price|VAT\nShea|1 kg|10.00|2.00\nWax|1 kg|8.00|1.60")
    assert [field for field, _ in asked.faults] == ["sheets-0-order_tax"]
    assert "\u201cVAT\u201d holds sales tax in money" in asked.faults[0][1]
    top = {0: OfSheet(order_tax="top")}
    added = read("Item|Pack|Price|VAT\nShea|1 kg|10.00|2.00\nWax|1 kg|8.00|1.60", of_sheets=top)
    assert costs(added) == {"Shea": Decimal("0.012"), "Wax": Decimal("0.0096")}
    for rates in (("20", "5"), ("20", "20"), ("20%", "5%"), ("2", "1")):
        text = f"Item|Pack|Price|VAT\nShea|1 kg|10.00|{rates[0]}\nWax|1 kg|8.00|{rates[1]}"
        assert read(text).good, rates
    free = {0: OfSheet(zero="free")}
    assert read("Item|Pack|Price|VAT\nShea|1 kg|0|2\nWax|1 kg|8.00|1.60", of_sheets=free).good
    assert read("Item|Pack|VAT\nShea|1 kg|2\nWax|1 kg|1.60", of_sheets={0: OfSheet(priced="none")}).good


def test_net_and_gross_alone_are_prices_and_a_rate_has_its_sign_in_the_head() -> None:
    """10.00 and a fifth of tax is 12.00."""
    text = "Item|Pack|Net|VAT %|Gross\nShea|1 kg|10.00|20|12.00\nWax|1 kg|8,50|20|10,20"
    assert [role_of(one, MATERIALS) for one in ("Net", "VAT %", "Gross", "Netto", "TTC")] == [
        "net_price", "tax_rate", "price", "net_price", "price",
    ]  # fmt: skip
    assert costs(read(text))["Shea"] == Decimal("0.012")
    assert costs(read("Item|Pack|Price ex VAT|VAT %\nShea|1 kg|10.00|20"))["Shea"] == Decimal("0.012")
    found = read("Item|Pack|Prix HT|TVA\nShea|1 kg|10,00|2,00\nWax|1 kg|8,00|1,60")
    assert (found.good, costs(found)) == (True, {"Shea": Decimal("0.012"), "Wax": Decimal("0.0096")})


@pytest.mark.parametrize("cells", [("$2.10", "$0.56"), ("2,10 €", "0,56 €"), ("2.10 EUR", "0.56 EUR")])
def test_tax_in_money_is_said_to_be_no_rate_at_its_column(cells: tuple[str, str]) -> None:
    """2.10 of 30.00 is no 210 %; one such cell among rates is asked at its own place."""
    one, other = cells
    text = f"Item|Pack|Cost|Tax\nShea butter|5 lb|30.00|{one}\nWax|1 lb|8.00|{other}"
    assert [field for field, _ in read(text).faults] == ["sheets-0-order_tax"]
    chosen = {0: Layout(MATERIALS, 1, ("name", "pack", "price", "tax_rate"))}
    asked = read(text, layouts=chosen)
    assert [field for field, _ in asked.faults] == ["sheets-0-columns-3"]
    assert "holds amounts of money, no rate of tax" in asked.faults[0][1]
    single = read(f"Item|Pack|Cost|Tax\nShea butter|5 lb|30.00|7 %\nOil|1 lb|8.00|7 %\nWax|1 lb|8.00|{other}")
    half = read(f"Item|Pack|Cost|Tax\nShea butter|5 lb|30.00|7 %\nWax|1 lb|8.00|{other}")
    assert ([cell for cell, _ in sentences(half)], half.faults) == (["D3"], ())
    words = f"{other} is an amount of money: type the rate of tax in percent, such as 20 %."
    assert sentences(single) == [("D4", words)]


@pytest.mark.parametrize(
    "text",
    ["?", "??", "(?)", "n/a", "N/A", "na", "n.a.", "tbc", "TBD", "tba?", "-", "--", "—", "…", "€ ?", "$?", "k. A.",
     "auf Anfrage", "offen", "unknown", "à voir", "sur demande", "x"],
)  # fmt: skip
@pytest.mark.parametrize("head", ["Price", "Price ex VAT", "Price per kg"])
def test_a_price_that_nobody_knows_yet_is_none_and_its_material_is_kept(text: str, head: str) -> None:
    """0.95 g/mL and the name stay; wax at 4.00 has its cost."""
    reading = read(f"Item|Pack|{head}|Density\nRosehip oil|1 kg|{text}|0.95\nWax|1 kg|4|")
    assert reading.good, sentences(reading)
    rosehip, wax = reading.materials
    assert (rosehip.said.row.price, rosehip.said.row.density, rosehip.said.way) == (None, Decimal("0.95"), "")
    assert rosehip.said.remarks[-1] == "No price here: it is not known until one is entered."
    assert rosehip.said.remarks[:-1] == ([] if text in BLANK else [f"{text} stands for its price."])
    assert near(wax.cost, Fraction(4, 1000))


def test_words_that_are_no_price_and_a_question_elsewhere_are_wrong_still() -> None:
    wrong = read("Item|Pack|Price|Density\nRosehip oil|1 kg|dear|0.95\nWax|1 kg|4|?")
    assert [cell for cell, _ in sentences(wrong)] == ["C2", "D3"]


@pytest.mark.parametrize(
    "head",
    ["Where I get it", "Where from", "From where", "Bought at", "Bought from", "Händler", "Fournisseur", "Lieferant",
     "Seller", "Store", "Bezugsquelle", "Magasin", "Tienda", "Where I buy it"],
)  # fmt: skip
def test_heads_of_suppliers(head: str) -> None:
    reading = read(f"Item|Pack|Price|{head}\nWax|1 kg|4|Mill")
    assert reading.materials[0].said.row.supplier == "Mill"


@pytest.mark.parametrize("head", ["VAT %", "% VAT", "Tax %", "Sales tax %", "MwSt. %", "GST (%)"])
def test_percent_of_tax_beside_a_price_are_no_formula(head: str) -> None:
    reading = read(f"Item|Last paid €/kg|{head}\nShea butter|6.80|20\nCocoa butter|11.20|20")
    assert reading.layouts[0].holds == "materials"
    assert reading.good, (sentences(reading), reading.faults)
    assert not reading.formulas


def test_the_tax_of_such_a_list_is_its_rate() -> None:
    """6.80 and 20 % are 8.16 a kg, 11.20 are 13.44."""
    text = "Item|Last paid €/kg|VAT %\nShea butter|6.80|20\nCocoa butter|11.20|20"
    reading = read(text, of_sheets={0: OfSheet(tax="out")})
    assert near(costs(reading)["Shea butter"], F("8.16") / 1000), (sentences(reading), reading.faults)
    assert near(costs(reading)["Cocoa butter"], F("13.44") / 1000)


@pytest.mark.parametrize(
    ("kg", "pack"),
    [("€/kg", "€/pack"), ("Price €/kg", "Price €/pack"), ("Price/kg", "Price/pack"), ("Cost per kg", "Cost/pack"),
     ("Preis/kg", "Preis/Packung"), ("Prix/kg", "Prix/paquet"), ("Price (€/kg)", "Price € per pack"),
     ("Price €/kg", "Price €/bag")],
)  # fmt: skip
def test_a_price_for_one_kg_beside_one_for_a_pack_is_read_whichever_a_row_has(kg: str, pack: str) -> None:
    """6.80 a kg; 13.50 for 100 ml of oil that weighs 0.9 g a ml are 15 cents a g."""
    head = f"Item|Supplier|{kg}|{pack}|Density (g/ml)|Notes"
    text = f"{head}\nShea butter 5kg|Hollowell|6.80|||soft\nLavender oil 100ml|Mere||13.50|0.9|"
    reading = read(text)
    assert reading.good, (sentences(reading), reading.faults)
    assert near(costs(reading)["Shea butter"], F("6.80") / 1000)
    assert near(costs(reading)["Lavender oil"], F("13.50") / 90)
