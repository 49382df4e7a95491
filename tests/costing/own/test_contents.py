"""What is in a jar by a list of products: a weight beside a volume, and sets of several formulas.

A gram of Butter is 0.014, one of Oil 0.006: 50 g and 40 g are 0.70 + 0.24 = 0.94, with 48 g and 45 g 0.672 + 0.27.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_parts import made
from tests.costing.own.test_sheets import near, sentences
from tests.costing.own.test_sold_columns import sold
from webapp.costing.own.columns import PRODUCTS, Layout, roles_in

D, F = Decimal, Fraction


@pytest.mark.parametrize(
    ("text", "grams"),
    [
        ("100ml/95g", 95), ("100 ml (filled 95 g)", 95), ("100 ml jar filled to 95 g", 95), ("50 ml = 45 g", 45),
        ("95 g in a 100 ml jar", 95), ("100 ml / 3.4 fl oz / 95 g", 95), ("100 ml, 0.095 kg", 95),
    ],
)  # fmt: skip
def test_a_weight_that_is_filled_into_a_volume_counts_and_is_said(text: str, grams: int) -> None:
    reading = sold(f"Product|Formula|Fill|Jar|Market\nPot|Butter|{text}|Jar 100|12")
    assert reading.good, sentences(reading)
    (pot,) = reading.products
    assert (pot.said.row.size, pot.said.row.unit) == (D(grams), "g")
    assert pot.said.remarks[0] == f"{text}: the {grams} g that are filled in count."


@pytest.mark.parametrize(
    ("text", "unit", "size"),
    [("95 g (3.4 oz)", "g", 95), ("100 ml (3.4 oz)", "mL", 100), ("95 g / 0.095 kg", "g", 95), ("2 x 50 g", "g", 100)],
)
def test_what_is_the_same_once_more_is_read_as_before(text: str, unit: str, size: int) -> None:
    (pot,) = sold(f"Product|Formula|Fill|Jar|Market\nPot|Butter|{text}|Jar 100|12").products
    assert (pot.said.row.size, pot.said.row.unit) == (D(size), unit)


@pytest.mark.parametrize(
    ("heads", "roles"),
    [
        ("Jar size|Fill weight", ("", "size")),
        ("Fill|Volume", ("size", "")),
        ("Size|Contents|Net weight (g)", ("", "", "size")),
        ("Size|Volume", ("size", "")),
    ],
)
def test_of_several_contents_what_is_weighed_or_filled_in_is_read(heads: str, roles: tuple[str, ...]) -> None:
    assert roles_in(["Product", "Formula", *heads.split("|")], PRODUCTS)[2:] == roles


LISTED = Layout(PRODUCTS, 1, ("name", "size", "price"))
HEADS, BUTTER = "Product|Formula|Fill|Jar|Market", "Butter 100|Butter|100 g|Jar 100|12"
PAIRS = [
    "Formula 1|Fill 1|Formula 2|Fill 2",
    "Formula|Fill|2nd formula|2nd fill",
    "Formula A|Fill A|Formula B|Fill B",
    "Formula|Fill|and|Fill",  # what stands below names nothing but formulas
]
SETS = [
    *(
        f"Product|{heads}|Jar|Market\nButter 100|Butter|100 g|||Jar 100|12\nDuo|Butter|50 g|Oil|40 g|Jar 100|20"
        for heads in PAIRS
    ),
    f"Product|{PAIRS[0]}|Size|Market\nButter 100|Butter|100 g||||12\nDuo|Butter|50 g|Oil|40 g|90 g|20",
    f"{HEADS}\n{BUTTER}\nDuo|Butter|50 g|Jar 100|20\n|Oil|40 g||",
    f"{HEADS}\n{BUTTER}\nDuo|Butter|50 g|Jar 100|20\nDuo|Oil|40 g||",
    f'{HEADS}\n{BUTTER}\nDuo|Butter|50 g|Jar 100|20\n"|Oil|40 g||',
    f"{HEADS}\n{BUTTER}\nDuo|Butter + Oil|50 g + 40 g|Jar 100|20",
    f"{HEADS}\n{BUTTER}\nDuo|Butter 50 g + Oil (40 g)||Jar 100|20",
    f"{HEADS}\n{BUTTER}\nDuo|50 g Butter, 40 g of Oil||Jar 100|20",
    f"{HEADS}\n{BUTTER}\nDuo|Butter, Oil|50, 40 g|Jar 100|20",
    f"{HEADS}\n{BUTTER}\nDuo|Butter and Oil|50g/40g|Jar 100|20",
]


@pytest.mark.parametrize("text", SETS)
def test_a_set_of_two_formulas_holds_both(text: str) -> None:
    reading = sold(text)
    assert reading.good, sentences(reading)
    butter, duo = reading.products
    assert near(butter.ingredients, F("1.40"))
    assert near(duo.ingredients, F("0.94"))
    assert [(one.name, [fill.declared for fill in one.fills]) for one in made(reading)] == [
        ("Butter 100", [D(100)]), ("Duo", [D(50), D(40)]),
    ]  # fmt: skip


def test_a_set_in_one_cell_may_say_how_much_each_is() -> None:
    """50 g of each are 0.70 + 0.30; of 40 mL nobody says what they weigh."""
    (duo,) = sold(f"{HEADS}\nDuo|Butter + Oil|50 g each|Jar 100|20").products
    assert near(duo.ingredients, F("1.00"))
    (duo,) = sold(f"{HEADS}\nDuo|Butter & Oil|2 x 50 g|Jar 100|20").products
    assert near(duo.ingredients, F("1.00"))
    (both,) = made(sold(f"{HEADS}\nDuo|Butter + Oil|50 g + 40 ml|Jar 100|20"))
    assert [(one.declared, one.unit) for one in both.fills] == [(D(50), "g"), (D(40), "mL")]


@pytest.mark.parametrize("heads", ["Formula|Fill|Kind", "Formula|Fill|Also"])
def test_a_formula_beside_the_one_of_a_row_is_never_dropped(heads: str) -> None:
    """A column that says the same formula once more is left out; another formula needs its amount."""
    same = sold(f"Product|{heads}\nPot|Butter|50 g|Butter\nTin|Oil|50 g|")
    assert same.good, sentences(same)
    assert same.layouts[2].roles[-1] != "formula"
    other = sold(f"Product|{heads}\nPot|Butter|50 g|Oil")
    assert [(at, "Say how much Oil is in it" in said) for at, said in sentences(other)] == [("D2", True)]


def test_without_a_column_of_formulas_the_names_of_products_are_theirs() -> None:
    reading = sold("Product|Fill|Market|Kind\nButter|50 g|12|Oil", layouts={2: LISTED}, open=frozenset({2}))
    assert reading.good, sentences(reading)


def test_a_row_without_a_name_right_below_is_more_of_the_product_above() -> None:
    text = (
        "Product|Formula|Fill|Jar|Market|Minutes\nDuo|Butter|50 g|Jar 100|20|\n|Oil|40 g|Lid 100||3\n|||Front label||"
    )
    reading = sold(text)
    assert reading.good, sentences(reading)
    (duo,) = reading.products
    assert near(duo.ingredients, F("0.94"))
    assert near(duo.packaging, F("0.99"))
    assert duo.said.remarks == ["Row 3 is read as more of Duo.", "Row 4 is read as more of Duo."]
    assert [one.per_jar for one in made(reading)[0].work] == [D(3)]
    assert reading.skipped == ()


@pytest.mark.parametrize(
    ("row", "names"),
    [
        ("|Oil|40 g|Lid 100|9", ["Duo", "Oil, 40 g"]),  # with a price of its own
        ("|Butter|40 g|Lid 100|", ["Duo", "Butter, 40 g"]),  # the same formula in another size
        ("\n|Oil|40 g|Lid 100|", ["Duo", "Oil, 40 g"]),  # not right below
        ("Total|||||", ["Duo"]),
    ],
)
def test_what_is_no_more_of_it_is_a_product_of_its_own(row: str, names: list[str]) -> None:
    reading = sold(f"Product|Formula|Fill|Jar|Market\nDuo|Butter|50 g|Jar 100|20\n{row}")
    assert reading.good, sentences(reading)
    assert [one.said.name for one in reading.products] == names


@pytest.mark.parametrize(
    ("row", "cell", "words"),
    [
        ("Duo|Butter|50 g|Oil||", "E2", "Say how much Oil is in it, such as 50 g"),
        ("Duo|Butter|50 g||40 g|", "E2", "Which formula is this 40 g of? Name it beside"),
        ("Duo|Butter|50 g|Oil|many|", "E2", "many"),
        ("Duo|Butter + Oil|3 x 30 g|||", "C2", "Butter + Oil: how much of each is in it?"),
        ("Duo|Butter 50 g|||||", "C2", "Say how much is in it"),
        ("Duo|Butter + Oil|90 g|||", "C2", "Butter + Oil: how much of each is in it?"),
        ("Duo|Butter, Oil|50 g, 40 ml|||", "C2", "Butter, Oil: how much of each is in it?"),
        ("Duo|Butter|50 g + 40 ml|||", "C2", "50 g + 40 ml: which of these is in a jar?"),
        ("Duo|Butter|50 g + 40 g|||", "C2", "50 g + 40 g: which of these is in a jar?"),
        ("Duo|Butter|48g/45g|||", "C2", "48g/45g: which of these is in a jar?"),
        ("Duo|Butter|50 g|||\n|Oil|||", "C3", "Say how much Oil is in it"),
        ("Duo|Butter|50 g|||\n|Shea|40 g||", "B3", "No formula is called Shea."),
        ("Duo|Butter|50 g|||4\n|Oil|40 g|||3", "F3", "Duo has minutes in row 2. Write all of them there"),
    ],
)
def test_a_set_that_cannot_be_read_is_wrong_at_its_cell(row: str, cell: str, words: str) -> None:
    reading = sold(f"Product|Formula|Fill|Formula 2|Fill 2|Minutes\n{row}")
    assert [(at, words in said) for at, said in sentences(reading)] == [(cell, True)], sentences(reading)
    assert made(reading) == []
