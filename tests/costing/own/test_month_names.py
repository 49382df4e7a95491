"""Days whose month is written by its name, and the year of those that say none."""

from __future__ import annotations

from datetime import date

import pytest

from tests.costing.own.test_sheets import DAY, EMPTY, sentences, table
from webapp.costing.own.columns import MATERIALS, Layout
from webapp.costing.own.days import day
from webapp.costing.own.month_names import named_day, year_of
from webapp.costing.own.prices import PAID
from webapp.costing.own.reading import Choices
from webapp.costing.own.sheets import read_own
from webapp.costing.own.told import Told

LAYOUT = Layout(MATERIALS, 1, ("day", "name"))


@pytest.mark.parametrize(
    "text",
    ["3 Mar", "3 Mar 26", "3rd March 2026", "Mar 3", "March 3, 2026", "3. März", "3. Maerz 2026", "3 mars", "3-Mar-26",
     "3 de marzo de 2026", "3 marzo", "3 maart", "3 mrt", "Tue 3 Mar", "Dienstag, 3. März 2026", "3 mar '26",
     "3/Mar/2026"],
)  # fmt: skip
def test_a_month_is_read_by_its_name_in_six_languages(text: str) -> None:
    assert day(text, Told(year="2026")) == date(2026, 3, 3)


@pytest.mark.parametrize(
    ("text", "month"),
    [("7 Feb", 2), ("7 févr.", 2), ("7 août", 8), ("7 ago", 8), ("7 Dez", 12), ("7 dic", 12), ("7 ene", 1),
     ("7 giu", 6), ("7 luglio", 7), ("7 mei", 5), ("7 Sept", 9), ("7 ott", 10), ("7 okt", 10), ("7 juin", 6)],
)  # fmt: skip
def test_months_of_other_languages(text: str, month: int) -> None:
    assert day(text, Told(year="2026")) == date(2026, month, 7)


@pytest.mark.parametrize("text", ["7 xyz", "3 Jars 2026", "7 ma", "12 Juxtaposed", "Jars 3"])
def test_a_word_that_is_no_month_or_begins_several_is_none(text: str) -> None:
    assert named_day(text) is None


def year(*days: str, title: str = "Diary") -> str:
    return year_of(table("\n".join(("When | What", *(f"{one} | x" for one in days))), title), LAYOUT, DAY)


def test_the_year_is_that_of_the_title_or_of_other_days_else_the_last_in_which_none_is_to_come() -> None:
    """Today is 2026-11-25: 24 November was this year, 26 November is to come."""
    assert year("3 Mar", "4 Apr", title="Shopping 2024") == "2024"
    assert year("3 Mar", "4 Apr 25") == "2025"
    assert year("3 Mar", "2025-04-04") == "2025"
    assert year("3 Mar", "24 Nov") == "2026"
    assert year("3 Mar", "26 Nov") == "2025"


def test_where_the_days_go_over_a_new_year_or_others_are_of_two_it_is_not_guessed() -> None:
    assert year("3 Nov", "11 Dec", "5 Jan", "7 Feb") == ""
    assert year("3 Mar", "4 Apr 25", "4 Apr 26") == ""
    assert year("2026-03-03") == ""


def test_the_year_of_days_without_one_is_said_once_for_the_sheet() -> None:
    text = "When | Shop | What | Size | Price\n3 Mar | Mill | Shea | 1 kg | 8\n11 Mar | Oak | Oil | 1 kg | 6"
    reading = read_own(EMPTY, (table(text, "Diary"),), Choices(prices=PAID))
    assert reading.good, sentences(reading)
    assert [one.said.row.day for one in reading.materials] == [date(2026, 3, 3), date(2026, 3, 11)]
    assert reading.tables[0].remarks == (
        "Days without a year are read as of 2026. Where they are not, write their year in the title of the sheet.",
    )


def test_a_day_of_no_year_says_where_to_write_it() -> None:
    heads = "When | Shop | What | Size | Price\n11 Dec | Mill | Shea | 1 kg | 8\n"
    text = f"{heads}5 Jan | Oak | Oil | 1 kg | 6\n7 Feb | Oak | Wax | 1 kg | 6"
    reading = read_own(EMPTY, (table(text, "Diary"),), Choices(prices=PAID))
    assert sentences(reading)[0] == (
        "A2",
        "11 Dec is of no year. Write it in the title of this sheet, or behind its days.",
    )
