"""How far each thing in a jar may rise. Expected figures are from paper; applied exactly, the target is just met."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from random import Random

import pytest

from tests import examples
from tests.costing.making import BEN, LID, OIL, TUB, D, adds_up, fill, known, product, work
from tests.costing.test_line import JARRED, STALL, STALLED, channel, row, selling
from tests.small_books import small
from webapp.costing.amounts import snap
from webapp.costing.book import Book, Part
from webapp.costing.gaps import Gap
from webapp.costing.reckoning import Reckoning
from webapp.costing.rises import MATERIAL, PERSON, SHARES, Rise, name_of, rises, spare, spare_working, working
from webapp.costing.rows import Row

# A tub of 100 g holds 60 g of shea at 8 a kg and 40 g of oil at 5, a jar at 0.50, 6 own minutes at 15: 2.68.
BOOK = selling(JARRED, STALLED, prices=[(TUB, STALL, "5")])


def found(book: Book, of: int = TUB, there: int = STALL) -> dict[str, Rise]:
    made = Reckoning(book)
    return {name_of(made, one): one for one in rises(made, row(book, there, of))}


def test_what_is_above_the_target_over_what_a_jar_pays_for() -> None:
    # 5 x 0.6 - 2.68 = 0.32
    rise = {name: one.may_rise for name, one in found(BOOK).items()}
    assert rise["Shea"] == D("0.32") / 60
    assert rise["Jar"] == D("0.32")
    assert rise["an hour of Anna, own"] == D("3.2")  # a tenth of an hour
    assert rise["share of the price net of tax"] == D("0.064")
    assert rise["fee per order"] == D("0.32")
    assert "pitch per selling day" not in rise  # nothing says how many jars a day


def test_the_tightest_share_of_itself_stands_first_and_what_is_nothing_now_last() -> None:
    # of 0.48, 0.20, 0.50 and 1.50 in a jar: the wage's share is the smallest
    names = list(found(BOOK))
    assert names[:4] == ["an hour of Anna, own", "Jar", "Shea", "Oil"]
    assert {one.share for one in list(found(BOOK).values())[4:]} == {None}


def test_where_the_target_is_missed_the_least_fall_stands_first() -> None:
    short = selling(JARRED, STALLED, prices=[(TUB, STALL, "4")])
    # 0.28 of 1.50, 0.50, 0.48 and 0.20
    assert list(found(short))[:4] == ["an hour of Anna, own", "Jar", "Shea", "Oil"]
    assert known(found(short)["Oil"].may_rise) == D("-0.28") / 40


def test_spoiled_pieces_employers_extra_and_jars_of_an_order_count() -> None:
    made = product(TUB, fill(21, "100"), parts=(Part(LID, spoiled=D(25)),), work=(work(BEN, per_jar="6"),))
    there = channel(
        STALL, jars_per_order="4", fee="1", fee_tax="25", pitch="20", jars_a_day="50", tax="in", tax_rate="25"
    )
    book = selling(made, there, prices=[(TUB, STALL, "10")])
    each = {name: one.each for name, one in found(book).items()}
    assert each["Lid"] == D("1.25")
    assert each["an hour of Ben, hired"] == D("0.125")  # a tenth of an hour and a quarter on it
    assert each["fee per order"] == D("1.25") / 4
    assert each["pitch per selling day"] == D("0.02")
    # 8 net; the buyer pays 10; a quarter of tax on either share
    assert each["share of the price net of tax"] == D(10)
    assert each["share of what the buyer pays"] == D("12.5")


def test_a_missing_cost_is_the_reason_everywhere() -> None:
    unknown = replace(BOOK, materials={**BOOK.materials, OIL: replace(BOOK.materials[OIL], starting=None)})
    assert all(isinstance(one.may_rise, Gap) for one in found(unknown).values())


@pytest.mark.parametrize(
    "name", ["Shea", "Jar", "an hour of Anna, own", "share of the price net of tax", "fee per order"]
)
def test_the_sums_reckon_to_the_rise(name: str) -> None:
    made = working(Reckoning(BOOK), row(BOOK), found(BOOK)[name])
    assert adds_up(made)
    assert snap(known(made.result)) == snap(known(found(BOOK)[name].may_rise))
    assert adds_up(spare_working(Reckoning(BOOK), row(BOOK)))


# --- applied exactly ---


def risen(book: Book, before: Reckoning, one: Rise, there: Row, by: Decimal) -> Row:
    """The row as it is with one thing higher by so much, at the same price."""
    if one.kind == MATERIAL:
        after = Reckoning(book)
        cost = before.material(one.thing)
        after.kept.materials[one.thing] = cost._replace(unit_cost=known(cost.unit_cost) + by)
        return after.row(there.product, there.channel)
    if one.kind == PERSON:
        person = book.people[one.thing]
        assert person.wage is not None
        paid = replace(person, wage=replace(person.wage, per_hour=person.wage.per_hour + by))
        return Reckoning(replace(book, people={**book.people, person.id: paid})).row(there.product, there.channel)
    held = book.channels[one.thing]
    more = replace(held, **{one.field: getattr(held, one.field) + (by * 100 if one.field in SHARES else by)})
    return Reckoning(replace(book, channels={**book.channels, held.id: more})).row(there.product, there.channel)


def test_applied_exactly_the_target_is_met_and_a_little_more_misses_it() -> None:
    """Whatever the book: ingredients through blends and sets, parts in groups, wages, fees."""
    kinds: dict[str, int] = {}
    books = examples.of(120)
    for seed in range(books):
        book = small(Random(seed))
        before = Reckoning(book)
        for there in before.line():
            if not there.accepted or isinstance(spare(there), Gap) or known(there.net) < D("0.01"):
                continue
            for one in rises(before, there):
                rise = known(one.may_rise)
                exact = risen(book, before, one, there, rise)
                assert snap(known(exact.margin)) == snap(there.target), (seed, one)
                assert exact.reaches
                least = max(D("1e-6"), abs(rise) * D("1e-9"), known(there.net) * D("1e-9") / known(one.each))
                assert risen(book, before, one, there, rise + least).reaches is False, (seed, one)
                kinds[one.field or one.kind] = kinds.get(one.field or one.kind, 0) + 1
    assert set(kinds) == {MATERIAL, PERSON, "share_paid", "share_net", "fee", "pitch"}
    assert all(many > books // 6 for many in kinds.values()), kinds


def test_one_without_a_wage_is_left_out() -> None:
    unpaid = replace(BOOK, people={**BOOK.people, 11: replace(BOOK.people[11], wage=None)})
    assert "Anna" not in found(unpaid)
