"""Names in formulas that nothing with a price has: which are one, what each may be, and nothing is in itself."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import DAY, EMPTY, costs, near, read, sentences
from webapp.costing import book as b
from webapp.costing.called import Known, Names, written_alike
from webapp.costing.changes import Put
from webapp.costing.own.names import MOST_OFFERED, MOST_RANKED, Likest
from webapp.costing.own.prices import NEW, How
from webapp.costing.own.reading import OwnReading
from webapp.costing.own.rows import mark_of

F = Fraction
PRICES = """
Ingredient | Pack | Price
Hemp seed oil | 1 kg | 20.00
Castor oil | 1 kg | 10.00
Fractionated coconut oil | 1 kg | 12.00
Tin 60 mL | 10 pcs | 5.00
"""
HEMP, CASTOR, COCO = F(20, 1000), F(10, 1000), F(12, 1000)
BALM = "Formula | Ingredient | %\nBalm | Hemp oil | 40\nBalm | FCO | 35\nBalm | Vit E | 25"


def means(**what: str) -> How:
    return How(means={mark_of(name.replace("_", " ")): told for name, told in what.items()})


def offered(reading: OwnReading) -> dict[str, tuple[str, ...]]:
    return {one.name: (*one.near, *one.others) for one in reading.offered}


def made(reading: OwnReading) -> list[str]:
    return [one.record.name for one in reading.changes if isinstance(one, Put) and isinstance(one.record, b.Material)]


def test_a_name_that_is_like_nothing_may_be_any_material_and_is_new_until_that_is_said() -> None:
    """40 % of 20 a kg, 35 % of 12 and 25 % of 10 are 14.70 a kg."""
    reading = read(PRICES, BALM.replace("Hemp", "Hamp").replace("FCO", "Nut-oil, frac."))
    assert reading.good, sentences(reading)
    found = offered(reading)
    assert list(found) == ["Hamp oil", "Nut-oil, frac.", "Vit E"]
    assert found["Nut-oil, frac."][0] == "Fractionated coconut oil"
    every = {"Hemp seed oil", "Castor oil", "Fractionated coconut oil"}  # and no tin, which nobody weighs
    assert all(set(names) == every for names in found.values())
    assert made(reading)[-3:] == ["Hamp oil", "Nut-oil, frac.", "Vit E"]
    told = read(PRICES, BALM, how=means(Hemp_oil="Hemp seed oil", FCO="Fractionated coconut oil", Vit_E="Castor oil"))
    assert near(costs(told)["Balm"], HEMP * F(40, 100) + COCO * F(35, 100) + CASTOR * F(25, 100))
    assert told.offered == ()


def test_what_was_said_to_be_new_is_not_offered_again_and_what_is_gone_is() -> None:
    new = read(PRICES, BALM, how=means(FCO=NEW, Hemp_oil=NEW))
    assert ([one.name for one in new.offered], new.names) == (["Vit E"], ())
    gone = read(PRICES, BALM, how=means(Vit_E="Argania xyz"))
    assert ("Vit E", "Argania xyz") in [(one.name, one.chosen) for one in gone.offered]


def test_what_is_asked_may_be_any_other_material_too() -> None:
    """A slip has to be answered, and the likest need not be the right one."""
    reading = read(PRICES, "Formula | Ingredient | %\nBalm | Castr oil | 100")
    (asked,) = reading.names
    assert asked.near == ("Castor oil",)
    assert set(asked.others) == {"Hemp seed oil", "Fractionated coconut oil"}
    assert reading.offered == ()


@pytest.mark.parametrize(
    ("one", "other"),
    [("Vit E", "Vit. E"), ("Vit E", "vit-e"), ("E-wax", "Ewax"), ("Tin 60 mL", "Tins 60mL"), ("C12-15", "c12 15")],
)
def test_names_that_differ_only_in_case_marks_and_a_plural_s_are_written_alike(one: str, other: str) -> None:
    assert written_alike(one) == written_alike(other)


@pytest.mark.parametrize(
    ("one", "other"),
    [("Jar 1.5 oz", "Jar 15 oz"), ("Polysorbate 20", "Polysorbate 80"), ("Moss", "Mos"), ("Gas", "Ga")],
)
def test_names_that_say_something_else_are_not(one: str, other: str) -> None:
    assert written_alike(one) != written_alike(other)
    assert not Names((Known("1", one),)).meant_alike(other).value


def test_names_that_are_written_alike_are_one_material_and_are_said_to_be() -> None:
    text = (
        "Formula|Ingredient|%\nBalm|Vit E|10\nBalm|Castor oil|90\nSerum|Vit. E|20\nSerum|vit-e|5\nSerum|Castor oils|75"
    )
    reading = read(PRICES, text)
    assert reading.good, sentences(reading)
    assert made(reading)[-1] == "Vit E"
    assert [one for one in made(reading) if one.casefold().startswith("vit")] == ["Vit E"]
    serum = reading.formulas[1].said.remarks
    assert serum == ["Vit. E is Vit E here.", "vit-e is Vit E here.", "Castor oils is Castor oil here."]
    ((_, spelled),) = [(one.name, one.spelled) for one in reading.offered]
    assert spelled == ("Vit E", "Vit. E", "vit-e")
    told = read(PRICES, text, how=means(Vit_E="Hemp seed oil"))
    assert near(costs(told)["Serum"], HEMP * F(25, 100) + CASTOR * F(75, 100))
    second = read(PRICES, text, how=How(means={mark_of("Vit. E"): "Hemp seed oil"}))
    assert near(costs(second)["Balm"], HEMP * F(10, 100) + CASTOR * F(90, 100))


def test_rows_of_prices_that_are_written_alike_are_one_material_and_are_said_to_be() -> None:
    """Two packs of one thing that was paid on two days are two purchases of it."""
    heads = "Item | Supplier | Date | Pack | Paid\n"
    rows = "Vit E | Mill | 2026-03-01 | 1 kg | 40\nVit. E | Mill | 2026-04-01 | 1 kg | 44"
    reading = read(heads + rows)
    assert reading.good, sentences(reading)
    assert made(reading) == ["Vit E"]
    assert "Vit. E is Vit E here." in reading.materials[1].said.remarks
    assert "Vit E is Vit E here." not in reading.materials[0].said.remarks
    clash = read("Item | Pack | Price\nLabel | 1 kg | 40\nLabels | 1 kg | 44")
    assert "Label has another price in row 2" in sentences(clash)[0][1]


def test_a_price_in_a_recipe_of_a_name_written_alike_is_passed_over_as_of_the_same_name() -> None:
    recipe = "Formula | Ingredient | % | Price per kg\nBalm | Castor oils | 100 | 99"
    assert near(costs(read(PRICES, recipe))["Balm"], CASTOR)


def test_of_several_names_that_are_written_alike_none_is_taken() -> None:
    book = replace(EMPTY, materials={1: b.Material(1, "Label", "ingredient"), 2: b.Material(2, "Labels", "ingredient")})
    reading = read("Formula | Ingredient | %\nBalm | La-bels. | 100", book=book)
    assert reading.formulas[0].said.remarks == ["La-bels. is Labels here."]  # marks make no difference anywhere
    two = Names((Known("1", "Label A"), Known("2", "Labels As")))
    assert two.meant_alike("Labels A").value == "1"
    both = Names((Known("1", "Labels oil"), Known("2", "Label oils"))).meant_alike("Label oil")
    assert (both.value, both.several, both.near) == ("", True, ("Labels oil", "Label oils"))


# --- nothing is in itself

SERUM = "Formula | Ingredient | %\nRosehip Serum | Rosehip | 40\nRosehip Serum | Castor oil | 60\n"


def test_a_formula_is_never_offered_for_itself() -> None:
    reading = read(PRICES, SERUM)
    assert reading.names == ()  # nothing else is like it, so nothing is asked
    assert "Rosehip Serum" not in offered(reading)["Rosehip"]
    assert reading.good


def test_no_formula_is_offered_that_would_close_a_loop_in_the_sheet_or_the_book() -> None:
    loop = f"{SERUM}Blend | Rosehip Serum | 50\nBlend | Castor oil | 50\nLast | Blend | 100\nOther | Castor oil | 100"
    found = offered(read(PRICES, loop))["Rosehip"]
    assert {"Rosehip Serum", "Blend", "Last"}.isdisjoint(found)
    assert "Other" in found
    held = replace(
        EMPTY,
        materials={1: b.Material(1, "Castor oil", "ingredient")},
        formulas={
            7: b.Formula(7, "Rosehip Serum", DAY, (b.FormulaLine(material=1, rest=True),)),
            8: b.Formula(8, "Rosehip blend", DAY, (b.FormulaLine(formula=7, rest=True),)),
            9: b.Formula(9, "Rosehip base", DAY, (b.FormulaLine(material=1, rest=True),)),
        },
    )
    reading = read(SERUM, book=held)
    (asked,) = reading.names
    assert asked.near == ("Rosehip base",)
    assert {*asked.near, *asked.others} == {"Rosehip base", "Castor oil"}


def test_what_stands_in_two_formulas_is_offered_neither() -> None:
    text = f"{SERUM}Rosehip Balm | Rosehip | 40\nRosehip Balm | Castor oil | 60"
    assert {"Rosehip Serum", "Rosehip Balm"}.isdisjoint(offered(read(PRICES, text))["Rosehip"])


# --- the likest first


def known(*names: str) -> Names:
    return Names(tuple(Known(str(number), name) for number, name in enumerate(names)))


@pytest.mark.parametrize(
    ("text", "first"),
    [
        ("Hemp oil", "Hemp seed oil"),
        ("Vit E", "Vitamin E"),
        ("FCO", "Coconut oil - fractionated"),
        ("Euc EO", "Eucalyptus essential oil"),
        ("lavender", "Lavender oil"),
    ],
)
def test_names_that_share_a_seldom_word_its_beginning_or_initials_stand_first(text: str, first: str) -> None:
    names = known(
        "Avocado oil", "Castor oil", "Coconut oil - fractionated", "Coconut oil - solid", "Eucalyptus essential oil",
        "Hemp seed oil", "Lavender oil", "Vitamin E",
    )  # fmt: skip
    assert Likest(names.offered).names(text)[0] == first


def test_names_that_share_nothing_stand_by_name_and_what_else_they_are_called_counts() -> None:
    others = (Known("1", "Wax"), Known("2", "Almond oil"), Known("3", "Balm", ("Zinc oxide",)))
    assert Likest(others).names("Zinc") == ("Balm", "Almond oil", "Wax")


def test_of_very_many_only_so_many_are_offered() -> None:
    many = "\n".join(f"Oil {number:03} | 1 kg | 5" for number in range(MOST_OFFERED + 1))
    reading = read(f"Ingredient | Pack | Price\n{many}", BALM)
    assert [len(names) for names in offered(reading).values()] == [MOST_OFFERED] * 3
    lines = "\n".join(f"Balm | Qx{number:03}y | 1" for number in range(100))
    ranked = read(PRICES, f"Formula | Ingredient | %\n{lines}").offered
    assert [bool(one.others) for one in ranked] == [True] * MOST_RANKED + [False] * (100 - MOST_RANKED)


# --- one that is far likelier than any other

HAIR = """
Ingredient | INCI | Pack | Price
Huile de p\u00e9pins de raisin | Vitis Vinifera Seed Oil | 1 kg | 8
Vitamine E | Tocopherol | 1 kg | 90
Lavender essential oil | | 1 kg | 120
Cedarwood essential oil | | 1 kg | 60
Rosehip oil | | 1 kg | 50
Polysorbate 80 | | 1 kg | 14
Olive butter | | 1 kg | 16
Olive oil | | 1 kg | 9
Water, distilled | | 1 kg | 1
Almond oil (sweet) | | 1 kg | 11
"""


def bests(*names: str) -> dict[str, str]:
    lines = "\n".join(f"Balm | {name} | {100 // len(names)}" for name in names)
    return {one.name: one.best for one in read(HAIR, f"Formula | Ingredient | %\n{lines}").names}


@pytest.mark.parametrize(
    ("text", "best"),
    [
        ("Vit. E", "Vitamine E"),  # and not grape seed, whose INCI name begins with Vit
        ("EO lav", "Lavender essential oil"),
        ("Cedar EO", "Cedarwood essential oil"),
        ("Lavendr essential oil", "Lavender essential oil"),
        ("Pepins raisin huile", "Huile de p\u00e9pins de raisin"),
    ],
)
def test_initials_and_beginnings_of_every_word_are_asked_with_one_that_is_likeliest(text: str, best: str) -> None:
    assert bests(text) == {text: best}


@pytest.mark.parametrize(
    "text",
    [
        "Rose oil",  # no rosehip oil
        "Cedar oil",  # may be cedarwood, but then it is another
        "Polysorbate 20",
        "Vitamine C",
        "Olive",  # a butter or an oil
        "EO",
        "Argan",
    ],
)
def test_what_may_be_several_things_or_another_of_its_kind_has_no_likeliest_one(text: str) -> None:
    assert not bests(text).get(text)


def test_a_formula_is_never_the_likeliest_of_an_ingredient() -> None:
    text = "Formula | Ingredient | %\nGrowth base | Olive oil | 100\nBalm | Growth | 100"
    assert [(one.near, one.best) for one in read(HAIR, text).names] == [(("Growth base",), "")]


def test_many_words_that_begin_alike_are_looked_through_soon() -> None:
    words = [f"aaa{chr(97 + n)}" for n in range(12)]
    assert Likest((Known("material:1", " ".join(words)),)).best("aaa " * 15) == ""


# --- the same words in another order


@pytest.mark.parametrize(
    ("text", "price"),
    [("Distilled water", 1), ("Sweet almond oil", 11), ("sweet almond oils", 11), ("Oil, olive", 9)],
)
def test_the_same_words_in_another_order_are_the_same_name_and_that_is_said(text: str, price: int) -> None:
    reading = read(HAIR, f"Formula | Ingredient | %\nBalm | {text} | 100")
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Balm"], F(price, 1000))
    assert reading.formulas[0].said.remarks[0].startswith(f"{text} is ")


@pytest.mark.parametrize("text", ["Water, distilled twice", "Olive", "Distilled"])
def test_other_words_are_not(text: str) -> None:
    assert not read(HAIR, f"Formula | Ingredient | %\nBalm | {text} | 100").formulas[0].said.remarks


def test_several_numbers_keep_their_places() -> None:
    assert not Names((Known("1", "Blend 7 of 40"),)).meant_alike("Blend 40 of 7").value
    assert Names((Known("1", "Jar 60 mL"),)).meant_alike("60 mL jar").value == "1"
    twice = Names((Known("1", "Water, rose"), Known("2", "Waters rose"))).meant_alike("Rose water")
    assert (twice.value, twice.several) == ("", True)


def test_new_names_of_the_same_words_are_one_material_and_so_are_rows_of_prices() -> None:
    text = "Formula | Ingredient | %\nBalm | Orange wax | 100\nStick | Wax, orange | 100"
    reading = read(PRICES, text)
    assert [one for one in made(reading) if "range" in one] == ["Orange wax"]
    assert reading.formulas[1].said.remarks == ["Wax, orange is Orange wax here."]
    paid = "Item | Supplier | Date | Pack | Paid\nOrange wax | Mill | 2026-03-01 | 1 kg | 40\n"
    rows = read(f"{paid}Wax (orange) | Mill | 2026-04-01 | 1 kg | 44")
    assert made(rows) == ["Orange wax"]
    assert "Wax (orange) is Orange wax here." in rows.materials[1].said.remarks


def test_a_price_in_a_recipe_of_the_same_words_is_passed_over() -> None:
    recipe = "Formula | Ingredient | % | Price per kg\nBalm | Oil, castor | 100 | 99"
    assert near(costs(read(PRICES, recipe))["Balm"], CASTOR)


def test_of_several_that_are_like_a_name_the_one_with_all_its_words_is_likeliest() -> None:
    prices = (
        "Ingredient | Pack | Price\nHuile de coco d\u00e9sodoris\u00e9e | 1 kg | 6\nHuile de jojoba | 1 kg | 31\n"
        "Huile de brocoli | 1 kg | 80\nCocoa butter wafers | 1 kg | 14\nCocoa butter, raw | 1 kg | 13"
    )
    text = "Formula | Ingredient | %\nBaume | Huile de coco | 50\nBaume | Cocoa butter | 50"
    found = {one.name: (one.near, one.best) for one in read(prices, text).names}
    assert len(found["Huile de coco"][0]) > 1
    assert found["Huile de coco"][1] == "Huile de coco d\u00e9sodoris\u00e9e"
    assert found["Cocoa butter"][1] == ""


def test_a_formula_is_offered_last_for_an_ingredient_but_where_it_is_called_just_so() -> None:
    prices = "Ingredient | Pack | Price\nCocoa butter wafers | 1 kg | 8\nShea raw | 1 kg | 9"
    text = (
        "Shea Stick\nIngredient | %\nCocoa butter | 60\nShea | 40\n\nCocoa Butter Stick\nIngredient | %\nShea raw | 100"
    )
    reading = read(prices, text)
    found = {one.name: (*one.near, *one.others) for one in (*reading.names, *reading.offered)}
    assert found["Cocoa butter"] == ("Cocoa butter wafers", "Cocoa Butter Stick", "Shea raw")
    assert found["Shea"][-1] == "Cocoa Butter Stick"
