"""What a title says besides the name of a formula: the weight of a batch behind it, words for a recipe, q.s.p."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import LB, OZ, PRICES, costs, near, read, sentences, stored, table
from webapp.costing.own.cells import is_rest
from webapp.costing.own.lines import rest_to
from webapp.costing.own.reading import Choices
from webapp.costing.own.rows import mark_of
from webapp.costing.own.sheets import read_own
from webapp.costing.own.titles import parted_title

F, D = Fraction, Decimal
SHEA, WAX = F(41, 5000), F(9) / LB
LINES = "Ingredient|%\nShea butter|60\nBeeswax|40"


@pytest.mark.parametrize(
    ("title", "name", "batch"),
    [
        ("Whipped Butter - 500g", "Whipped Butter", F(500)),
        ("Whipped Butter (500g)", "Whipped Butter", F(500)),
        ("Serum (1kg)", "Serum", F(1000)),
        ("Serum \u2013 1.5 kg", "Serum", F(1500)),
        ("Leave-In, 64 oz", "Leave-In", OZ * 64),
        ("Balm [1 lb 8 oz]", "Balm", LB * F(3, 2)),
        ("Balm - makes 500 g", "Balm", F(500)),
        ("Recipe: Balm - 2 lb", "Balm", LB * 2),
        ("Balm - 500g - recipe card", "Balm", F(500)),
        ("Scalp Clay Mask - recipe card", "Scalp Clay Mask", None),
        ("Very Soft Whipped Shea Butter - recipe", "Very Soft Whipped Shea Butter", None),
        ("Haar\u00f6l (Rezeptur)", "Haar\u00f6l", None),
        # no weight, or none that is told from the name
        ("Balm - 8 oz jar", "Balm - 8 oz jar", None),
        ("Balm - 100 mL", "Balm - 100 mL", None),
        ("Balm (2)", "Balm (2)", None),
        ("Balm 500 g", "Balm 500 g", None),
        ("Balm-500g", "Balm-500g", None),
        ("5-in-1 Butter", "5-in-1 Butter", None),
    ],
)
def test_a_weight_behind_a_name_is_the_batch_and_the_name_stays_whole(
    title: str, name: str, batch: Fraction | None
) -> None:
    for text in (f"{title}\n{LINES}", *([f"{title}\n\n{LINES}"] if batch else [])):
        reading = read(PRICES, text)
        assert reading.good, (sentences(reading), reading.names)
        (one,) = reading.formulas
        assert one.said.rows.name == name
        assert (one.said.rows.batch is None) == (batch is None)
        assert batch is None or abs(F(str(one.said.rows.batch)) - batch) < F(1, 10**5)
        assert near(one.cost, SHEA * F(6, 10) + WAX * F(4, 10))


def test_what_says_the_batch_in_words_or_in_grams_counts_before_a_weight_in_the_title() -> None:
    """A jar of 100 g may stand in a title: 60 and 40 lb, or a batch of 2 kg, are another batch."""
    said = read(PRICES, f"Balm - 100g\nBatch|2|kg\n{LINES}")
    assert said.formulas[0].said.rows.batch == D(2000)
    weighed = read(PRICES, "Balm - 100g\nIngredient|g\nShea butter|300\nBeeswax|200")
    assert (weighed.formulas[0].said.rows.batch, weighed.formulas[0].said.rows.name) == (D(500), "Balm")
    beside = read(PRICES, "Balm - 100g\nIngredient|%|g\nShea butter|60|300\nBeeswax|40|200")
    assert beside.formulas[0].said.rows.batch == D(500)
    rest = read(PRICES, "Balm - 500g\nIngredient|g\nShea butter|q.s.\nBeeswax|200")  # 300 are left of 500
    assert near(costs(rest)["Balm"], SHEA * F(6, 10) + WAX * F(4, 10))
    unread = read(PRICES, f"Balm - 1,500 kg\n{LINES}")  # one and a half, or fifteen hundred
    assert unread.formulas[0].said.rows.name == "Balm"


def test_formulas_that_only_their_weight_tells_apart_keep_it_in_their_names() -> None:
    other = LINES.replace("60", "70").replace("40", "30")
    below = read(PRICES, f"Balm - 100g\n{LINES}\n\nBalm - 500g\n{other}")
    assert below.good, sentences(below)
    assert [one.said.rows.name for one in below.formulas] == ["Balm", "Balm - 500g"]
    tabs = read(PRICES, f"Balm - 100g\n{LINES}", f"Balm - 500g\n{other}", f"Salve - 1 kg\n{LINES}")
    assert tabs.good, sentences(tabs)
    assert [one.said.rows.name for one in tabs.formulas] == ["Balm - 100g", "Balm - 500g", "Salve"]


def test_what_the_amounts_of_such_formulas_are_is_asked_of_each() -> None:
    """3 and 1 are parts of one, 3 and 2 of the other: three quarters, three fifths of shea butter."""
    text = "Ingredient|%\nShea butter|{}\nBeeswax|{}"
    tabs = (f"Balm - 100g\n{text.format(3, 1)}", f"Balm - 500g\n{text.format(3, 2)}")
    asked = {one.choice for one in read(PRICES, *tabs).wrong if one.choice}
    assert asked == {f"kind-{mark_of('Balm - 100g')}", f"kind-{mark_of('Balm - 500g')}"}
    for names in (("Balm - 100g", "Balm - 500g"), ("Balm",)):
        reading = read(PRICES, *tabs, kinds={mark_of(name): "parts" for name in names})
        assert reading.good, sentences(reading)
        assert near(costs(reading)["Balm - 100g"], SHEA * F(3, 4) + WAX * F(1, 4))
        assert near(costs(reading)["Balm - 500g"], SHEA * F(3, 5) + WAX * F(2, 5))


def test_a_formula_that_the_book_has_under_its_whole_title_keeps_that() -> None:
    for title in ("Balm - 500g", "Balm - recipe card"):
        named = read(PRICES, f"Formula|Ingredient|%\n{title}|Shea butter|60\n{title}|Beeswax|40")
        assert [one.said.rows.name for one in named.formulas] == [title]
        book = stored(named)
        again = read_own(book, [table(f"{title}\n{LINES}", "Balm")], Choices())
        assert [one.said.rows.name for one in again.formulas] == [title]
        assert again.formulas[0].said.known


@pytest.mark.parametrize(
    ("text", "rest", "whole"),
    [
        ("q.s.p.", True, ""),
        ("qsp", True, ""),
        ("QSP 100", True, ""),
        ("q.s.p. 100 %", True, ""),
        ("qsp \u00e0 100", True, ""),
        ("qsp 500 g", False, "500 g"),
        ("q.s.p. \u00e0 1 kg", False, "1 kg"),
        ("q.s. to 500", False, "500"),
        ("q.s. 100", True, ""),
    ],
)
def test_quantite_suffisante_pour_is_the_rest(text: str, rest: object, whole: str) -> None:
    """Shea butter takes what 40 % of beeswax leave, or 200 g of 500 g, or 400 g of 1 kg."""
    assert (is_rest(text), rest_to(text)) == (rest, whole)
    unit, wax = {"500 g": ("g", 200), "1 kg": ("g", 400), "500": ("g", 200)}.get(whole, ("%", 40))
    reading = read(PRICES, f"Balm\nIngredient|{unit}\nShea butter|{text}\nBeeswax|{wax}")
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Balm"], SHEA * F(6, 10) + WAX * F(4, 10))


def test_the_parts_of_a_title() -> None:
    assert parted_title("Balm - 500g") == ("Balm", "", "500g", "Balm - 500g")
    assert parted_title("Balm, makes 500 g") == ("Balm", "500 g", "", "Balm")
