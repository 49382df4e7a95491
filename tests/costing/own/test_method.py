"""Words alone between the lines of a maker's own formulas: what to do, or the name of the one that begins.

Expected costs are worked out here in fractions of what is written.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import EMPTY, costs, near, sentences, table
from webapp.costing.own.columns import FORMULAS, Layout
from webapp.costing.own.method import is_step, may_be_step
from webapp.costing.own.reading import Choices, OwnReading
from webapp.costing.own.sheets import read_own
from webapp.costing.own.told import OfSheet

F = Fraction
PRICES = "Ingredient | Pack | Price\nShea butter | 1 kg | 8\nMango butter | 1 kg | 20\nRosemary oil | 1 kg | 300"
#: 400 g at 8, 130 g at 20 and 7 g at 300 a kg
WHIP = F(400 * 8 + 130 * 20 + 7 * 300) / 537 / 1000
PLAIN = F(400 * 8 + 130 * 20) / 530 / 1000
TWO = "Shea Whip\nShea butter | 400 g\nMango butter | 130 g\n{words}\nRosemary oil | 7 g{total}"


#: names and amounts without heads
LAYOUT = {1: Layout(FORMULAS, 0, ("ingredient", "amount"))}


def recipes(text: str, **choices: object) -> OwnReading:
    return read_own(EMPTY, (table(PRICES), table(text, "Sheet 2")), Choices(LAYOUT, **choices))  # type: ignore[arg-type]


def titled(text: str, **choices: object) -> OwnReading:
    """The same as it is guessed, in a sheet that is called Recipes."""
    return read_own(EMPTY, (table(PRICES), table(text, "Recipes")), Choices(**choices))  # type: ignore[arg-type]


def formulas(reading: OwnReading) -> list[tuple[str, int]]:
    return [(one.said.rows.name, len(one.said.rows.lines)) for one in reading.formulas]


@pytest.mark.parametrize(
    "words",
    [
        "Melt gently and cool.",
        "Melt at 75C, stir 2 min off the heat",
        "Pour at 70.",
        "Sieve the oats twice!",
        "as the first. Below 40 add",
        "Stir until it looks like custard",
    ],
)
@pytest.mark.parametrize("total", ["", "\nTotal | 537 g"])
def test_a_sentence_between_the_lines_of_a_formula_is_a_note(words: str, total: str) -> None:
    reading = recipes(TWO.format(words=words, total=total))
    assert reading.good, sentences(reading)
    assert formulas(reading) == [("Shea Whip", 3)]
    assert near(costs(reading)["Shea Whip"], WHIP)
    assert (4, "a note", words) in [(one.row, one.what, one.words) for one in reading.skipped]


def test_a_total_tells_whether_words_are_a_note_or_a_name() -> None:
    """537 g are all three; 7 g are those below the words, which name another one then."""
    reading = recipes(TWO.format(words="Whip soft", total="\nTotal | 537 g"))
    assert reading.good
    assert formulas(reading) == [("Shea Whip", 3)]
    assert near(costs(reading)["Shea Whip"], WHIP)
    reading = recipes(TWO.format(words="Whip soft", total="\nTotal | 7 g"))
    assert reading.good
    assert formulas(reading) == [("Shea Whip", 2), ("Whip soft", 1)]
    assert near(costs(reading)["Shea Whip"], PLAIN)


def test_what_may_be_either_is_asked_once_for_the_sheet() -> None:
    text = TWO.format(words="Whip soft", total="")
    more = text.replace("Shea Whip", "Body Whip").replace("Whip soft", "cool slowly")
    reading = recipes(f"{text}\n\n{more}")
    assert [one.choice for one in reading.wrong] == ["sheets-1-method"] * 2
    assert sentences(reading)[0][1] == (
        "Sheet 2, rows 4, 10: Is “Whip soft” a step in Shea Whip, or the name of a formula that begins here? "
        "Choose it once for this sheet."
    )
    notes = recipes(f"{text}\n\n{more}", of_sheets={1: OfSheet(method="note")})
    assert notes.good
    assert formulas(notes) == [("Shea Whip", 3), ("Body Whip", 3)]
    assert near(costs(notes)["Shea Whip"], WHIP)
    named = recipes(f"{text}\n\n{more}", of_sheets={1: OfSheet(method="names")})
    assert named.good
    assert formulas(named) == [("Shea Whip", 2), ("Whip soft", 1), ("Body Whip", 2), ("cool slowly", 1)]


def test_what_was_taken_for_a_name_can_be_said_to_be_a_note() -> None:
    text = TWO.format(words="Stick", total="")
    reading = recipes(text)
    assert reading.good
    assert formulas(reading) == [("Shea Whip", 2), ("Stick", 1)]
    assert "sheets-1-method" in reading.asks
    reading = recipes(text, of_sheets={1: OfSheet(method="note")})
    assert formulas(reading) == [("Shea Whip", 3)]
    assert near(costs(reading)["Shea Whip"], WHIP)


@pytest.mark.parametrize("text", ["Cool Mint Balm", "Stick", "Balm No. 2", "Heat Rub", "St. Clement bar", "Whip"])
def test_a_title_is_no_step(text: str) -> None:
    assert not is_step(text)
    assert not may_be_step(text)


@pytest.mark.parametrize("title", ["Recipes (grams)", "My recipes - all in g", "All amounts in grams"])
def test_the_title_of_the_sheet_says_the_unit_of_bare_amounts(title: str) -> None:
    """They were read as percent beside lines in g: a complaint of each formula."""
    text = "Shea Whip\nShea butter | 400\nMango butter | 130 g\nRosemary oil | 7\nTotal | 537\n\n"
    reading = titled(f"{title}\n\n{text}{text.replace('Shea Whip', 'Body Whip')}")
    assert reading.good, sentences(reading)
    assert formulas(reading) == [("Shea Whip", 3), ("Body Whip", 3)]
    assert near(costs(reading)["Shea Whip"], WHIP)
    assert near(costs(reading)["Body Whip"], WHIP)


def test_bare_amounts_among_grams_are_asked_by_the_one_choice_that_cures_all() -> None:
    text = "Shea Whip\nShea butter | 400\nMango butter | 130 g\nRosemary oil | 7\nTotal | 537\n\n"
    both = f"{text}{text.replace('Shea Whip', 'Body Whip')}"
    reading = titled(both)
    assert {one.choice for one in reading.wrong} == {"amounts"}
    reading = titled(both, amounts="grams")
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Body Whip"], WHIP)


def test_an_ingredient_without_its_amount_is_asked_though_the_total_is_that_of_the_others() -> None:
    reading = recipes("Shea Whip\nShea butter | 400 g\nMango butter\nRosemary oil | 7 g\nTotal | 407 g")
    assert [one.cell for one in reading.wrong] == ["B3"]


def test_a_total_of_the_lines_below_words_says_that_a_formula_begins_there() -> None:
    """137 are 130 and 7, and not 537; a line without its amount leaves it to the words."""
    below = titled(TWO.format(words="Whip soft", total=" \nTotal | 7 g"))
    assert [name for name, _ in formulas(below)] == ["Shea Whip", "Whip soft"]
    some = titled(TWO.format(words="Melt gently and cool.", total=" \nTotal | 537 g").replace("130 g", "some"))
    assert [name for name, _ in formulas(some)] == ["Shea Whip"]
