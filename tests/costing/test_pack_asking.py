"""What is typed about packs and what the book adds to it; and the sums behind a plan."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from tests.costing.buying import BOUGHT, JAR, JOJOBA, ROSE_WATER, SHEA, D, book, charge, line, order, reason
from tests.costing.making import adds_up
from webapp.costing.book import Formula, FormulaLine, Supplier
from webapp.costing.gaps import Gap
from webapp.costing.limits import Fault
from webapp.costing.pack_asking import Asking, Batches, Taken, TypedNeed, TypedOffer, answered, taken
from webapp.costing.pack_facts import Break, Freight, Plans
from webapp.costing.pack_working import total_working, used_working
from webapp.costing.reckoning import Reckoning

BUTTER, YARD = 21, 2
FORMULA = Formula(
    BUTTER, "Butter", BOUGHT,
    (FormulaLine(SHEA, amount=D(70)), FormulaLine(ROSE_WATER, amount=D(30))), batch_grams=D(1000),
)  # fmt: skip
ORDER = order(line(size="5", price="40"), line(JAR, size="48", unit="pieces", price="24"), charges=(charge("6"),))


def known(**more: Any) -> Reckoning:
    held = book(orders={1: ORDER}, formulas={BUTTER: FORMULA}, **more)
    return Reckoning(replace(held, suppliers={**held.suppliers, YARD: Supplier(YARD, "The yard")}))


def asked(*needs: TypedNeed, **more: Any) -> Taken:
    found = taken(known(), Asking(needs, **more))
    assert isinstance(found, Taken), found
    return found


def faults(*needs: TypedNeed, **more: Any) -> list[str]:
    found = taken(known(), Asking(needs, **more))
    assert not isinstance(found, Taken)
    assert all(isinstance(one, Fault) for one in found)
    return [one.field for one in found]


def typed(
    price: str = "10", material: int = SHEA, unit: str = "kg", *breaks: tuple[int, str], by: int = 1
) -> TypedOffer:
    return TypedOffer(material, by, D(1), unit, D(price), tuple(Break(D(packs), D(each)) for packs, each in breaks))


def test_the_book_offers_what_nobody_typed() -> None:
    found = asked(TypedNeed(SHEA, D(3000)), TypedNeed(JAR, D(20)))
    assert [(one.material, one.price) for one in found.typed] == [(SHEA, D(40)), (JAR, D(24))]
    assert found.freights == (Freight(1, D(6)),)
    assert found.left_out == ()


def test_what_is_typed_stands_in_the_place_of_the_book() -> None:
    found = asked(TypedNeed(SHEA, D(3000)), offers=(typed(),), freights=(Freight(1, D(1), D(50)),))
    assert [one.price for one in found.typed] == [D(10)]
    assert found.freights == (Freight(1, D(1), D(50)),)
    assert found.offers[0].quantity == D(1000)


def test_planned_batches_and_needs_are_added_and_what_nobody_offers_is_left_out_by_name() -> None:
    found = asked(TypedNeed(SHEA, D(300)), batches=(Batches(BUTTER, D(2)),))
    # 2 x 1000 x 70 % = 1400 for the batches, 300 beside
    assert [(one.material, one.amount, one.at_once) for one in found.needs] == [(SHEA, D(1700), D(1400))]
    assert "Rose water is not in these plans" in found.left_out[0].reason


def test_a_pack_that_cannot_be_reckoned_is_left_out_with_its_cure() -> None:
    wet = order(line(ROSE_WATER, size="5", unit="L", price="20"), number=2, day=BOUGHT + timedelta(days=1))
    free = order(line(JOJOBA, price="0"), number=3)
    held = replace(known().book, orders={1: ORDER, 2: wet, 3: free})
    found = taken(
        Reckoning(held), Asking((TypedNeed(ROSE_WATER, D(1)), TypedNeed(JOJOBA, D(1)), TypedNeed(SHEA, D(1))))
    )
    assert isinstance(found, Taken)
    words = [one.reason for one in found.left_out]
    assert words[0].startswith("Rose water, 5 L of Hollow Lane Oils, is left out: Rose water is bought by volume")
    assert "cost nothing" in words[1]
    assert [one.material for one in found.needs] == [SHEA]


def test_freight_that_is_not_known_is_said_and_not_passed_over_as_nothing() -> None:
    found = asked(TypedNeed(SHEA, D(3000)), offers=(typed(by=YARD),))
    assert found.freights == (Freight(YARD, D(0)),)
    assert found.left_out[0].reason.startswith("These plans are without freight of one supplier. Nothing was bought")
    assert asked(TypedNeed(SHEA, D(3000)), offers=(typed(by=YARD),), freights=(Freight(YARD),)).left_out == ()


def test_use_and_shelf_life_are_those_typed_else_those_of_the_book() -> None:
    one = asked(TypedNeed(SHEA, D(1), D(500), D(6))).needs[0]
    assert (one.a_month, one.months) == (D(500), D(6))
    other = asked(TypedNeed(SHEA, D(1))).needs[0]
    assert isinstance(other.a_month, Gap)
    assert isinstance(other.months, Gap)


@pytest.mark.parametrize(
    ("needs", "more", "fields"),
    [
        ((), {}, ["needs"]),
        ((TypedNeed(SHEA),), {}, ["needs-0-amount"]),
        ((TypedNeed(SHEA, D(1)), TypedNeed(SHEA, D(1))), {}, ["needs-1-material"]),
        ((TypedNeed(99, D(1)),), {}, ["needs-0-material"]),
        ((), {"batches": (Batches(99, D(1)),)}, ["batches-0-formula"]),
        ((TypedNeed(SHEA, D(1)),), {"offers": (typed(by=99),)}, ["offers-0-supplier"]),
        ((TypedNeed(SHEA, D(1)),), {"offers": (typed(material=99),)}, ["offers-0-material"]),
        ((TypedNeed(SHEA, D(1)),), {"offers": (typed("10", JAR, "kg"),)}, ["offers-0-unit"]),
        ((TypedNeed(SHEA, D(1)),), {"offers": (typed("10", SHEA, "kg", (5, "10")),)}, ["offers-0-breaks-0-price"]),
        (
            (TypedNeed(SHEA, D(1)),),
            {"offers": (typed("10", SHEA, "kg", (5, "9"), (5, "8")),)},
            ["offers-0-breaks-1-packs"],
        ),
        ((TypedNeed(SHEA, D(1)),), {"freights": (Freight(1), Freight(1))}, ["freights-1-supplier"]),
        ((TypedNeed(SHEA, D(1)),), {"freights": (Freight(99),)}, ["freights-0-supplier"]),
    ],
)
def test_what_is_wrong_is_said_at_its_field(needs: Any, more: Any, fields: list[str]) -> None:
    assert faults(*needs, **more) == fields


def test_a_batch_without_its_size_is_said_at_the_formula() -> None:
    held = replace(known().book, formulas={BUTTER: replace(FORMULA, batch_grams=None)})
    found = taken(Reckoning(held), Asking(batches=(Batches(BUTTER, D(1)),)))
    assert not isinstance(found, Taken)
    assert [(one.field, "Type the batch size" in one.sentence) for one in found] == [("batches-0-formula", True)]


def test_the_sums_behind_a_plan_add_up() -> None:
    found = asked(TypedNeed(SHEA, D(3000), D(200), D(12)), TypedNeed(JAR, D(50)), freights=(Freight(1, D(6), D(80)),))
    answer = answered(known(), found)
    assert isinstance(answer, Plans)
    plan = answer.plans[0]
    # 40 + 2 x 24 = 88, free from 80
    made = total_working(known().book, found.typed, plan)
    assert (plan.total, made.result, adds_up(made)) == (D(88), D(88), True)
    assert [step.amount for step in made.steps] == [D(40), D(48), D(0)]
    shea = used_working(known().book, plan.bought[0])
    # 200 x 12 = 2400 of 5000 are used: 40 / 2400
    assert (shea.result, adds_up(shea)) == (D(40) / 2400, True)
    assert shea.steps[-1].working is not None
    assert adds_up(used_working(known().book, plan.bought[1]))


@pytest.mark.parametrize(("at_once", "words"), [("5000", "all that is bought"), ("3000", "by the planned batches")])
def test_a_sum_says_why_so_much_is_used(at_once: str, words: str) -> None:
    found = asked(TypedNeed(SHEA, D(3000), D(10), D(12)))
    needs = (replace(found.needs[0], at_once=D(at_once), amount=D(at_once)),)
    answer = answered(known(), found._replace(needs=needs))
    assert isinstance(answer, Plans)
    made = used_working(known().book, answer.plans[0].bought[0])
    assert words in made.steps[-1].words
    assert adds_up(made)


def test_a_sum_says_that_what_is_used_is_not_known() -> None:
    answer = answered(known(), asked(TypedNeed(SHEA, D(3000))))
    assert isinstance(answer, Plans)
    made = used_working(known().book, answer.plans[0].bought[0])
    assert "is in no product that is sold" in reason(made.result)
    # goods and freight are known all the same: a pack of 5 kg for 40, and 6
    assert [step.amount for step in made.steps[:3]] == [D(40), D(6), D(46)]
    assert (made.steps[3].sign, made.steps[3].amount) == ("÷", made.result)


def test_without_anything_offered_there_is_no_plan() -> None:
    found = asked(TypedNeed(ROSE_WATER, D(1)))
    assert "Nobody offers any of this" in reason(answered(known(), found))


def test_a_need_in_another_unit_is_turned_into_grams_or_pieces() -> None:
    """1 lb is 453.59237 g; 2 kg a month are 2000 g; 3.5 g weighs a pod."""
    found = asked(TypedNeed(SHEA, D(1), D(2), unit="lb"), TypedNeed(JAR, D(20), unit="pieces"))
    assert [(one.amount, one.a_month) for one in found.needs[:1]] == [(D("453.59237"), D("907.18474"))]
    assert found.needs[1].amount == D(20)


@pytest.mark.parametrize(
    ("need", "words"),
    [
        (TypedNeed(JAR, D(1), unit="kg"), "Jar is counted by the piece. Choose pieces."),
        (TypedNeed(ROSE_WATER, D(1), unit="L"), "Add it at the material, or choose a unit of mass."),
        (TypedNeed(SHEA, D(1), unit="pieces"), "Or choose a unit of mass."),
    ],
)
def test_a_unit_that_cannot_be_turned_says_what_to_do(need: TypedNeed, words: str) -> None:
    found = taken(known(), Asking((need,)))
    assert not isinstance(found, Taken)
    (fault,) = found
    assert fault.field == "needs-0-unit"
    assert fault.sentence.endswith(words)


def test_a_typed_offer_is_the_book_s_own_where_nothing_about_it_is_another() -> None:
    same = TypedOffer(SHEA, 1, D(5), "kg", D(40))
    found = asked(TypedNeed(SHEA, D(10)), offers=(same, replace(same, price=D(41))))
    assert [one and one.day for one in found.sources] == [BOUGHT, None]
