"""How much dearer an ingredient may get. Expected figures are from paper, by the sum in method.md section 6."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.costing.making import OIL, SHEA, TUB, D, costing, known
from tests.costing.test_line import JARRED, SHOP, STALL, STALLED, channel, row, selling
from webapp.costing.amounts import snap
from webapp.costing.gaps import Gap
from webapp.costing.headroom import first_to_fall, opened, rooms, working
from webapp.costing.reckoning import Reckoning

# A tub of 100 g holds 60 g of shea and 40 g of oil and costs 2.68; its target is 40 %.
SHOPPED = channel(SHOP, "online", endings=".00 .50")


def test_each_ingredient_has_what_is_left_above_the_target_over_its_grams() -> None:
    book = selling(JARRED, STALLED, prices=[(TUB, STALL, "5")])
    # 5 x 0.6 - 2.68 = 0.32
    assert rooms(Reckoning(book), row(book)) == {SHEA: D("0.32") / 60, OIL: D("0.32") / 40}


def test_a_missed_target_leaves_less_than_nothing() -> None:
    book = selling(JARRED, STALLED, prices=[(TUB, STALL, "4")])
    # 4 x 0.6 - 2.68 = -0.28
    found = rooms(Reckoning(book), row(book))
    assert not isinstance(found, Gap)
    assert found[SHEA] == D("-0.28") / 60


def test_a_missing_cost_is_the_reason_at_every_ingredient() -> None:
    book = selling(JARRED, STALLED, prices=[(TUB, STALL, "5")])
    unknown = replace(book, materials={**book.materials, OIL: replace(costing(OIL, "Oil", "4"), starting=None)})
    found = rooms(Reckoning(unknown), row(unknown))
    assert not isinstance(found, Gap)
    assert all(isinstance(room, Gap) and "Oil" in room.reason for room in found.values())


@pytest.mark.parametrize(("material", "grams"), [(SHEA, 60), (OIL, 40)])
def test_the_working_ends_at_the_figure_and_its_steps_reckon_to_it(material: int, grams: int) -> None:
    book = selling(JARRED, STALLED, prices=[(TUB, STALL, "5")])
    made = working(Reckoning(book), row(book), material)
    # 5 - 2.68 = 2.32 is left; the target keeps 5 x 0.4 = 2
    assert [step.amount for step in made.steps] == [D("2.32"), D("2.00"), D("0.32"), D(grams)]
    assert [step.sign for step in made.steps] == ["", "-", "=", "÷"]
    assert snap(known(made.result)) == snap(D("0.32") / grams)
    inner = made.steps[1].working
    assert inner is not None
    assert [step.amount for step in inner.steps] == [D(5), D("0.4")]


def test_the_first_to_fall_is_the_row_with_the_least_room() -> None:
    book = selling(JARRED, STALLED, SHOPPED, prices=[(TUB, STALL, "5"), (TUB, SHOP, "6")])
    known_now = Reckoning(book)
    least = first_to_fall(known_now, known_now.line())
    room, first = least[SHEA]
    assert (room, first.channel) == (D("0.32") / 60, STALL)


def test_rows_below_target_or_without_an_accepted_price_have_no_say() -> None:
    book = selling(JARRED, STALLED, SHOPPED, prices=[(TUB, STALL, "4")])
    known_now = Reckoning(book)
    assert first_to_fall(known_now, known_now.line()) == {}


def test_it_opens_only_where_it_is_sold_and_holds_it() -> None:
    known_book = Reckoning(selling(JARRED, STALLED, prices=[(TUB, STALL, "5")]))
    found = opened(known_book, TUB, STALL, SHEA)
    assert found is not None
    assert found.result == D("0.32") / 60
    assert opened(known_book, TUB, SHOP, SHEA) is None
    assert opened(known_book, TUB, STALL, 3) is None


def test_where_the_grams_of_a_jar_are_not_known_its_headroom_is_not_either() -> None:
    book = selling(JARRED, STALLED, prices=[(TUB, STALL, "5")])
    batchless = replace(book, formulas={one: replace(held, batch_grams=None) for one, held in book.formulas.items()})
    of = Reckoning(batchless)
    assert isinstance(rooms(of, row(batchless)), Gap)
    made = opened(of, TUB, STALL, SHEA)
    assert made is not None
    assert isinstance(made.result, Gap)
