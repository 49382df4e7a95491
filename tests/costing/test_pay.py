"""Break-even and pay of a whole line: by hand, in fractions on the example, and whatever a book holds."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction
from random import Random
from typing import Any

import pytest

from tests.books import example_book
from tests.costing.making import ANNA, JAR, TUB, WATER, D, adds_up, fill, formula, gap, known, line, product, work
from tests.costing.test_line import JARRED, LEFT_OUT, SHOP, STALL, channel, selling
from tests.reckoning import seed as example_seed
from tests.reckoning_buying import F
from tests.reckoning_pay import Month
from tests.small_books import small
from webapp.costing import pay_working, ranking, ranking_working
from webapp.costing.amounts import snap
from webapp.costing.book import Book, Part, Terms
from webapp.costing.break_even import MAY_LOSE, NEEDS, NOTHING_SOLD
from webapp.costing.gaps import Gap, Ref
from webapp.costing.pay import NO_MAKING_TIME, NO_OWN_HOURS, Pay, at_price, bills_share, moved, pay, sold_rows
from webapp.costing.pay_working import FIGURES, OF_NEEDED, WORDS, hour_working, move_working, working
from webapp.costing.reckoning import Reckoning
from webapp.costing.working import Working

POT = 34
OF_A_JAR = ("a jar", "contribution now", "contribution before own pay of a jar")
#: direct cost 2.68 with 1.50 of own pay (six minutes): at 4.68 it contributes 2.00, before own pay 3.50
PRICED = [(TUB, STALL, "4.68"), (TUB, SHOP, "3.68")]
SOLD = [(TUB, STALL, "40"), (TUB, SHOP, "20")]


def book(**more: Any) -> Book:
    return selling(
        JARRED,
        channel(STALL),
        channel(SHOP),
        **{"prices": PRICED, "sales": SOLD, "bills": {1: "60", 2: "20"}, **more},
    )


def test_a_month_by_hand() -> None:
    found = pay(Reckoning(book()), D(100))
    # 40 x 2 + 20 x 1 = 100; before own pay 40 x 3.50 + 20 x 2.50 = 190; net 187.20 + 73.60 = 260.80
    assert found.overhead == D(80)
    assert (found.after.mix.contribution, found.before.mix.contribution) == (D(100), D(190))
    # 80 / 100 of 60 jars; 80 / 190 of 60 = 25.26; 180 / 190 of 60 = 56.84
    assert (found.after.even.jars, found.after.even.net_sales) == (D(48), D("208.64"))
    assert found.before.even.jars == D(26)
    assert found.income is not None
    assert found.income.jars == D(57)
    assert found.after.safety == (D(12), D("52.16"), D("0.2"))
    assert found.after.leverage == D(5)
    # 60 jars of six minutes are 6 hours: (190 - 80) / 6
    assert snap(known(found.month.an_hour)) == snap(D(110) / D(6))
    (hour,) = found.hours
    assert (hour.jars, hour.bills, hour.own_hours) == (D(60), D(80), D(6))
    assert hour.an_hour == found.month.an_hour


def test_bills_count_in_full_where_they_are_left_out_of_jars_and_one_offs_do_not() -> None:
    assert LEFT_OUT.overhead == "left out"
    hours = replace(LEFT_OUT, overhead="hours", making_hours=D(10))
    assert pay(Reckoning(book(terms=hours))).after.even.jars == pay(Reckoning(book())).after.even.jars == D(48)


def test_a_wanted_income_is_never_reckoned_after_own_pay() -> None:
    dearer = pay(Reckoning(book()), D(100)).income
    assert dearer is not None
    # after own pay 180 / 100 would ask for 108 jars
    assert dearer.jars == D(57)
    assert pay(Reckoning(book())).income is None


def test_products_share_the_bills_by_hours_of_making_and_together_are_the_line() -> None:
    pot = product(POT, fill(21, "100"), parts=(Part(JAR),), work=(work(ANNA, per_jar="12"),))
    sold = [*SOLD, (POT, STALL, "15")]
    two = selling(
        JARRED, pot, channel(STALL), channel(SHOP), prices=[*PRICED, (POT, STALL, "9")], sales=sold, bills={1: "90"}
    )
    found = pay(Reckoning(two))
    # 60 jars of 0.1 h and 15 of 0.2 h: 6 and 3 of 9 hours
    assert {one.product: one.bills for one in found.hours} == {TUB: D(60), POT: D(30)}
    together = sum((known(one.an_hour) * known(one.own_hours) for one in found.hours), D(0))
    assert snap(together / D(9)) == snap(known(found.month.an_hour))
    shared = pay(Reckoning(replace(two, terms=Terms(overhead="jars", planned_jars=D(100)))))
    assert {one.product: one.bills for one in shared.hours} == {TUB: D(72), POT: D(18)}


def test_a_row_that_sells_and_is_missing_makes_the_month_missing_by_its_name() -> None:
    # nobody knows what water costs
    unpriced = product(POT, fill(99, "100"), work=(work(ANNA, per_jar="12"),))
    lacking = selling(JARRED, channel(STALL), prices=PRICED[:1], sales=[*SOLD[:1], (POT, STALL, "5")])
    lacking = replace(
        lacking,
        products={**lacking.products, POT: unpriced},
        formulas={**lacking.formulas, 99: formula(99, line(WATER, "100"), batch_grams="1000")},
    )
    found = pay(Reckoning(lacking))
    assert gap(found.after.even.jars).reason.startswith("Product 34, Channel 51: ")
    assert [row.product for row, _ in found.lacking] == [POT]
    assert found.unsold == 0


def test_what_is_not_sold_is_left_out_and_counted() -> None:
    pot = product(POT, fill(21, "100"))
    found = pay(
        Reckoning(selling(JARRED, pot, channel(STALL), prices=PRICED[:1], sales=[*SOLD[:1], (POT, STALL, "0")]))
    )
    assert found.unsold == 1
    assert [one.product for one in found.hours] == [TUB]


def test_nothing_sold_is_said() -> None:
    found = pay(Reckoning(selling(JARRED, channel(STALL))))
    assert found.after.even.jars is NOTHING_SOLD
    assert found.hours == ()
    assert gap(found.month.an_hour)


def test_without_hours_nothing_is_said_by_the_hour() -> None:
    timeless = product(TUB, fill(21, "100"))
    found = pay(Reckoning(selling(timeless, channel(STALL), prices=PRICED[:1], sales=SOLD[:1], bills={1: "5"})))
    assert found.hours[0].bills is NO_MAKING_TIME
    assert found.hours[0].an_hour is NO_OWN_HOURS
    assert bills_share(D(0), D(0), D(0)) == D(0)


# --- a price change --------------------------------------------------------------------------------------------------


def test_a_rise_against_jars_by_hand() -> None:
    known_book = Reckoning(book())
    stall, shop = moved(known_book, sold_rows(known_book), D(10))
    # 4.68 + 10 % is 5.148, 5.15 to the penny: 0.47 more of then 2.47. 3.68 becomes 4.05: 0.37 of 1.37
    assert (stall.price, stall.change) == (D("5.15"), D("0.47"))
    assert stall.outcome == (MAY_LOSE, D("0.47") / D("2.47"))
    assert shop.outcome == (MAY_LOSE, D("0.37") / D("1.37"))
    cut = moved(known_book, sold_rows(known_book), D(-10))[0]
    # 4.212 is 4.21: 0.47 less of then 1.53
    assert cut.outcome == (NEEDS, D("0.47") / D("1.53"))


def test_a_price_change_takes_its_fees_along() -> None:
    one = Reckoning(
        selling(
            JARRED, channel(STALL, tax="in", tax_rate="20", share_net="10"), prices=[(TUB, STALL, "6")], sales=SOLD[:1]
        )
    )
    (row,) = sold_rows(one)
    found = at_price(row, D("7.20"))
    # net 5 to 6, a tenth of it kept by the channel: 0.90 more
    assert found.change == D("0.90")


# --- in fractions, and whatever a book holds --------------------------------------------------------------------------


@pytest.fixture(scope="module")
def example() -> tuple[Reckoning, Month, dict[str, int]]:
    day = date(2026, 11, 25)
    found, ids = example_book(day)
    return Reckoning(found), Month(example_seed(), day), ids


def near(figure: Any, wanted: F) -> bool:
    return abs(Fraction(known(figure)) - wanted) < Fraction(1, 10**30)


def test_the_example_in_fractions(example: tuple[Reckoning, Month, dict[str, int]]) -> None:
    reckoned, paper, ids = example
    found = pay(reckoned, D(800))
    assert Fraction(found.overhead) == paper.bills()
    for covering, figure in ((found.after, paper.contribution), (found.before, paper.before)):
        times = paper.times(figure)
        assert near(covering.mix.contribution, paper.over(figure))
        assert near(covering.even.net_sales, paper.over(paper.net_here) * times)
        assert covering.even.jars == paper.whole_jars(times)
        assert near(covering.safety.share, 1 - times)
        assert near(covering.leverage, paper.over(figure) / (paper.over(figure) - paper.bills()))
    assert found.income is not None
    assert found.income.jars == paper.whole_jars(paper.times(paper.before, F(800)))
    names = {number: key for key, number in ids.items()}
    assert len(found.hours) == 12
    for hour in found.hours:
        assert near(hour.an_hour, paper.an_hour(names[hour.product].partition(" ")[2] or names[hour.product]))


@pytest.mark.long
@pytest.mark.parametrize("number", range(20))
def test_every_sum_of_a_hostile_book_adds_up_to_its_figure(number: int) -> None:
    reckoned = Reckoning(small(Random(number)))
    found = pay(reckoned, D("123.45"))
    figures = figures_of(found)
    for (name, way), figure in figures.items():
        made = working(reckoned, found, name, way)
        assert made.result == figure, (name, way)
        assert adds_up(own(made)), (name, way)
    for hour in found.hours:
        made = hour_working(reckoned, found, hour.product)
        assert made.result == hour.an_hour
        assert adds_up(own(made)), hour
    for one in moved(reckoned, sold_rows(reckoned), D("12.5")):
        if isinstance(one.outcome, Gap) or one.outcome.share is not None:
            assert adds_up(own(move_working(reckoned, one)))
        else:
            with pytest.raises(KeyError):
                move_working(reckoned, one)


def own(made: Working) -> Working:
    """The same sum down to the figures of a jar: what is below them is checked where it is reckoned."""
    steps = tuple(
        replace(step, working=None if step.working is None or step.words in OF_A_JAR else own(step.working))
        for step in made.steps
    )
    return replace(made, steps=steps)


def figures_of(found: Pay) -> dict[tuple[str, str], Any]:
    """Every figure that can be opened, as the month itself says it."""
    told: dict[tuple[str, str], Any] = {}
    for way in WORDS:
        covering = found.after if way == "after" else found.before
        needed = found.income if way == "income" else covering.even
        assert needed is not None
        told |= {("jars", way): needed.jars, ("net_sales_needed", way): needed.net_sales, ("times", way): needed.times}
        if way == "income":
            continue
        told |= {
            ("overhead", way): found.overhead,
            ("net_sales", way): covering.mix.net_sales,
            ("contribution", way): covering.mix.contribution,
            ("safety_jars", way): covering.safety.jars,
            ("safety_net_sales", way): covering.safety.net_sales,
            ("safety_share", way): covering.safety.share,
            ("leverage", way): covering.leverage,
            ("an_hour", way): found.month.an_hour,
        }
    assert {name for name, _ in told} == set(FIGURES)
    assert {name for name, way in told if way == "income"} == set(OF_NEEDED)
    return told


@pytest.mark.parametrize(("most", "opened"), [(2, True), (1, False)])
def test_of_so_many_rows_the_figures_of_a_jar_are_opened_and_of_more_they_are_not(
    most: int, opened: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two rows are sold; each is its jars times what one contributes, of the month and of a week alike."""
    there = Reckoning(book())
    week = ranking.fill(D(5), ranking.demands(there, {}))
    monkeypatch.setattr(pay_working, "MOST_OPENED", most)
    monkeypatch.setattr(ranking_working, "MOST_OPENED", most)
    month = working(there, pay(there, D(100)), "contribution")
    for made in (month, ranking_working.contribution_working(there, week)):
        jars = [step.working for step in made.steps if step.working is not None]
        assert [any(inner.working is not None for inner in each.steps) for each in jars] == [opened, opened]


def test_an_income_that_is_not_said_has_no_sum() -> None:
    reckoned = Reckoning(book())
    with pytest.raises(KeyError):
        working(reckoned, pay(reckoned), "jars", "income")
    with pytest.raises(KeyError):
        working(reckoned, pay(reckoned, D(1)), "leverage", "income")


def test_sales_that_are_missing_lead_to_where_they_are_typed() -> None:
    reckoned = Reckoning(book())
    step = working(reckoned, pay(reckoned), "contribution").steps[0]
    assert step.working is not None
    assert step.working.steps[1].source == Ref("product", TUB, f"sales-{STALL}")


def test_a_wanted_income_opens_to_the_bills_and_what_is_wanted() -> None:
    """80.00 of bills and 100.00 for oneself are 180.00; 190.00 come in before own pay: 180 / 190 of present sales."""
    reckoned = Reckoning(book())
    opened = working(reckoned, pay(reckoned, D(100)), "times", "income")
    cover = opened.steps[0]
    assert (cover.amount, cover.words) == (D(180), "to be covered")
    assert cover.working is not None
    assert [step.amount for step in cover.working.steps] == [D(80), D(100)]
    assert (opened.steps[1].amount, opened.result) == (D(190), D(180) / 190)


def test_jars_that_are_needed_open_to_the_exact_number_and_what_is_missing_to_a_whole_one() -> None:
    """80 of 190 of 60 jars are 25.26…: 14 / 19 of a jar more make 26."""
    reckoned = Reckoning(book())
    opened = working(reckoned, pay(reckoned), "jars", "before")
    inner = opened.steps[0].working
    assert inner is not None
    exact, more = inner.steps[-2:]
    assert (snap(known(exact.amount)), exact.sign) == (snap(D(480) / 19), "=")
    assert (snap(known(more.amount)), more.sign) == (snap(D(14) / 19), "+")
    assert adds_up(own(opened))
