"""A set of several jars, and two sizes of a new formula: candidates that are set beside no single product."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from tests.costing.sizing import BOOK, DAY, IDS, KNOWN, D, F, asked, big, present, rounded, same
from tests.reckoning import Line, seed
from webapp.costing.book import Book, Member
from webapp.costing.changes import apply_all
from webapp.costing.deal_facts import Deal
from webapp.costing.gaps import Gap
from webapp.costing.limits import NAME_LENGTH
from webapp.costing.reckoning import Reckoning
from webapp.costing.size_answers import answer, offered
from webapp.costing.size_facts import Candidate, SizeAnswer

# --- a set

MEMBERS = (Member(IDS["pomade-50"]), Member(IDS["oil-30"], D(2)))
BOXED = Candidate(name="Trio", jar=IDS["gift-box"], minutes=D(4), way="per 100", discount=D(10))
#: the same entered by hand
TRIO = {
    "key": "trio", "name": "Trio", "since": "-1 d", "channels": ["stall"],
    "members": [{"product": "pomade-50", "count": "1"}, {"product": "oil-30", "count": "2"}],
    "parts": [{"material": "gift-box"}], "work": [{"person": "maud", "per_jar": "4"}],
}  # fmt: skip


def trio(candidate: Candidate = BOXED, **typed: Any) -> SizeAnswer:
    return answer(KNOWN, asked(candidate, ask="set", product=None, members=MEMBERS, **typed))


def on_paper(price: str) -> Line:
    data = seed()
    data["product"] = [*data["product"], TRIO]
    data["price"] = [*data["price"], {"product": "trio", "channel": "stall", "since": "-1 d", "amount": price}]
    return Line(data, DAY)


def test_a_set_is_priced_by_what_is_in_it_less_a_discount() -> None:
    """12.00 and twice 11.00 are 34.00; less 10 % 30.60, so 31.00."""
    assert trio().candidates[0].price == D("31.00")


def test_a_set_costs_its_jars_its_box_and_its_minutes_and_is_sold_once() -> None:
    found, paper = trio().candidates[0], on_paper("31.00")
    assert same(found.row.cost, paper.cost("trio", "stall"))
    assert same(found.row.contribution, paper.contribution("trio", "stall"))


def test_a_set_takes_the_place_of_all_that_is_in_it_or_of_one_jar_of_the_three() -> None:
    one, paper = trio().candidates[0], on_paper("31.00")
    own, now = paper.contribution("trio", "stall"), present()
    each = now.contribution("pomade-50", "stall") + 2 * now.contribution("oil-30", "stall")
    assert [trade.replaced for trade in one.trades] == ["grams", "visit"]
    assert [same(trade.times, times) for trade, times in zip(one.trades, (F(1), F(1, 3)), strict=True)] == [True, True]
    assert same(one.trades[0].gain, 10 * (own - F(1, 2) * each))
    assert same(one.trades[1].gain, 10 * (own - F(1, 2) * F(1, 3) * each))
    (number,) = trio(replaced="number", number="2").candidates[0].trades
    assert same(number.gain, 10 * (own - F(1, 2) * F(2, 3) * each))


def test_a_set_by_the_hour_brings_what_an_hour_with_its_jars_brings() -> None:
    one = trio(replace(BOXED, way="hour")).candidates[0]
    now = present()
    before = [now.contribution(key, "stall") + now.own_pay(key, "stall") for key in ("pomade-50", "oil-30")]
    hours = [now.own_hours(key, "stall") for key in ("pomade-50", "oil-30")]
    rate = (before[0] + 2 * before[1]) / (hours[0] + 2 * hours[1])
    assert isinstance(one.price, Decimal)
    paper = on_paper(str(one.price))
    own, spent = paper.contribution("trio", "stall") + paper.own_pay("trio", "stall"), paper.own_hours("trio", "stall")
    assert own / spent >= rate
    cheaper = on_paper(str(one.price - D("0.50")))
    assert (cheaper.contribution("trio", "stall") + cheaper.own_pay("trio", "stall")) / spent < rate


def test_a_set_has_no_ladder_and_no_shelf_life_of_its_own() -> None:
    found = trio()
    assert dict(found.ladders) == {}
    assert found.candidates[0].shelf is None


def test_a_set_is_offered_with_its_members() -> None:
    book = apply_all(BOOK, offered(trio(), 0, DAY))
    assert isinstance(book, Book)
    (made,) = [one for one in book.products.values() if one.name == "Trio"]
    assert (made.members, made.channels) == (MEMBERS, (IDS["stall"],))


def test_a_set_without_a_name_is_called_by_how_many_are_in_it() -> None:
    assert trio(Candidate()).candidates[0].product.name == "Set of 3"


def test_more_of_a_set_than_are_sold_of_its_jars_is_pointed_out() -> None:
    """21 scalp oils a month at the stall: ten sets, all in their place, take twenty; eleven take 22."""
    assert "more-than-sold" not in trio(share="100").candidates[0].remarks
    assert "more-than-sold" in trio(share="100", jars="11").candidates[0].remarks


# --- a new formula in two sizes

SIZES = (
    Candidate(declared=D(50), overfill=D("0.5"), jar=IDS["tin-60"], minutes=D("1.5"), way="typed", price=D(12)),
    Candidate(declared=D(100), jar_name="Tin 110 mL", jar_price=D("0.62"), way="typed", price=D(17)),
)


def made_new(*candidates: Candidate, **typed: Any) -> SizeAnswer:
    return answer(KNOWN, asked(*candidates, product=None, formula=IDS["pomade"], **typed))


def on_paper_new() -> Line:
    """Both sizes by hand; the minutes are of her who makes the batch, and the second has the first one's overfill."""
    data = seed()
    tin = {"key": "tin", "name": "Tin", "kind": "packaging", "starting": {"amount": "0.62", "unit": "pieces"}}
    data["material"] = [*data["material"], tin]
    alike = {"since": "-1 d", "channels": ["stall"], "work": [{"person": "maud", "per_jar": "1.5"}]}
    for key, declared, part, price in (("small", "50", "tin-60", "12"), ("big", "100", "tin", "17")):
        fill = {"formula": "pomade", "declared": declared, "overfill": "0.5"}
        data["product"].append({**alike, "key": key, "name": key, "fills": [fill], "parts": [{"material": part}]})
        data["price"].append({"product": key, "channel": "stall", "since": "-1 d", "amount": price})
    return Line(data, DAY)


def test_the_second_size_of_a_formula_stands_beside_the_first() -> None:
    paper, found = on_paper_new(), made_new(*SIZES)
    small, big_one = (paper.contribution(key, "stall") for key in ("small", "big"))
    assert same(found.candidates[0].row.contribution, small)
    assert same(found.candidates[1].row.contribution, big_one)
    assert same(found.candidates[1].trades[0].gain, 10 * (big_one - F(1, 2) * 2 * small))


def test_the_first_size_is_not_set_beside_itself() -> None:
    first = made_new(*SIZES).candidates[0]
    for figure in (first.trades[0].gain, first.verdict, first.grid, first.cash):
        assert isinstance(figure, Gap)
        assert "the others are set beside" in figure.reason
    assert first.price == D(12)


def test_both_sizes_of_a_formula_stand_on_its_ladder() -> None:
    rungs = made_new(*SIZES).ladders[IDS["stall"]]
    assert [(rung.declared, rung.candidate) for rung in rungs] == [
        (D(15), None), (D(50), None), (D(50), 0), (D(90), None), (D(100), 1),
    ]  # fmt: skip


@pytest.mark.parametrize(("first", "second"), [("12", "19.50"), ("15", "24.00")])
def test_the_second_is_priced_by_the_first(first: str, second: str) -> None:
    """12.00 for 50 g, less 20 %: 19.20 for 100 g, so 19.50; 15.00: 24.00."""
    sizes = replace(SIZES[0], price=D(first)), replace(SIZES[1], way="per 100", price=None, discount=D(20))
    assert made_new(*sizes).candidates[1].price == D(second)


def test_either_size_is_offered_without_the_other() -> None:
    for place in (0, 1):
        book = apply_all(BOOK, offered(made_new(*SIZES), place, DAY))
        assert isinstance(book, Book)
        assert len(book.products) == len(BOOK.products) + 1


# --- what is refused


def test_an_answer_is_not_made_of_what_is_refused() -> None:
    with pytest.raises(ValueError, match="candidates-0-declared"):
        answer(KNOWN, asked(big(declared=None)))


def test_the_minutes_of_two_who_work_on_a_jar_are_shared_as_now() -> None:
    """Osk has 1.5 of 2.5 minutes, Maud 1: of 4 minutes 2.4 and 1.6."""
    held = BOOK.products[IDS["pomade-50"]]
    both = replace(held, work=(held.work[0], replace(held.work[0], person=IDS["maud"], per_jar=D(1))))
    known = Reckoning(replace(BOOK, products={**BOOK.products, both.id: both}))
    work = answer(known, asked(big(minutes="4"))).candidates[0].product.work
    assert {one.person: one.per_jar for one in work} == {IDS["osk"]: D("2.4"), IDS["maud"]: D("1.6")}


def test_a_part_without_a_place_comes_in_addition() -> None:
    """A lid has no place in a tin; a jar takes that of the only part that holds something."""
    one = answer(KNOWN, asked(big(lid_name="Foil", lid_price="0.10"))).candidates[0]
    parts = [(part.material, part.pieces, part.spoiled) for part in one.product.parts]
    assert [pieces for _, *pieces in parts] == [[D(1), D(1)], [D(2), D(5)], [D(1), D(0)]]
    assert IDS["tin-60"] not in {material for material, *_ in parts}
    assert isinstance(one.trades[0].deal, Deal)
    assert rounded(one.row.sheet.packaging) == "0.90"  # 0.6262 + 0.1785 + 0.10


@pytest.mark.parametrize(("spoiled", "each"), [("10", ("11.1", "15.5")), ("0", ("1", "5"))])
def test_a_group_that_is_used_twice_is_opened_twice_over(spoiled: str, each: tuple[str, str]) -> None:
    """Two dressed tins, one in ten spoiled as a whole: 1.01 x 1.1 - 1 = 11.1 and 1.05 x 1.1 - 1 = 15.5 per 100."""
    held = BOOK.products[IDS["pomade-50"]]
    twice = replace(held, parts=(replace(held.parts[0], pieces=D(2), spoiled=D(spoiled)),))
    known = Reckoning(replace(BOOK, products={**BOOK.products, twice.id: twice}))
    one = answer(known, asked(big())).candidates[0]
    assert [(part.pieces, part.spoiled) for part in one.product.parts] == [(D(2), D(each[0])), (D(4), D(each[1]))]


def test_a_name_that_is_made_is_numbered_on_until_it_is_free() -> None:
    """Every product there is has one of the names in its way."""
    held = BOOK.products[IDS["pomade-50"]]
    names = ("Firm pomade 100 g", "firm pomade  100 g (2)")
    products = {
        number: replace(held, id=number, name=name) for number, name in zip((held.id, 9001), names, strict=True)
    }
    known = Reckoning(replace(BOOK, products=products, prices={}, targets={}, sales={}))
    assert answer(known, asked(big())).candidates[0].product.name == "Firm pomade 100 g (3)"


def test_a_name_that_is_made_is_no_longer_than_one_that_is_typed() -> None:
    long = replace(BOOK.formulas[IDS["pomade"]], name="Pomade " * 17)
    known = Reckoning(replace(BOOK, formulas={**BOOK.formulas, long.id: long}))
    name = answer(known, asked(big())).candidates[0].product.name
    assert name.endswith("Pomade 100 g")
    assert len(name) <= NAME_LENGTH
