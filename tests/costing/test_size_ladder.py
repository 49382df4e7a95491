"""The size ladder: price and cost per 100 declared, what should fall and does not, and what a stockist has of a jar."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from tests.costing.sizing import BOOK, IDS, KNOWN, D, F, asked, big, on_paper, rounded, same
from webapp.costing.book import Member
from webapp.costing.gaps import Gap
from webapp.costing.reckoning import Reckoning
from webapp.costing.size_answers import answer
from webapp.costing.size_facts import Candidate, Rung
from webapp.costing.size_ladder import others_sold


def ladder(*candidates: Candidate, channel: str = "stall", product: str = "pomade-50") -> list[Rung]:
    found = answer(KNOWN, asked(*candidates, channel=IDS[channel], product=IDS[product]))
    return list(found.ladders[IDS[channel]])


def test_every_size_of_the_formula_stands_on_it_by_what_it_declares() -> None:
    """Travel tin, 50, 90 and the candidate; the pair of butter and pomade is no size of either."""
    rungs = ladder(big(way="typed", price="19"))
    assert [(rung.declared, rung.candidate, rung.unit) for rung in rungs] == [
        (D(15), None, "g"), (D(50), None, "g"), (D(90), None, "g"), (D(100), 0, "g"),
    ]  # fmt: skip


def test_other_sizes_that_are_sold_there_are_named() -> None:
    """The 90 g sells at the stall; of the travel tin nobody said how often, and the 50 g is what it is set beside."""
    found = answer(KNOWN, asked(big(way="typed", price="19"), channel=IDS["stall"], product=IDS["pomade-50"]))
    (one,) = found.candidates
    assert [row.product for row in others_sold(found, one)] == [IDS["pomade-90"]]
    assert {row.channel for row in others_sold(found, one)} == {IDS["stall"]}


def test_beside_a_formula_in_new_sizes_no_other_size_is_named() -> None:
    """The 90 g of it sells at the stall all the same; but none of its sizes is sold for what is asked about."""
    sizes = big(way="typed", price="19"), big(declared="120", way="typed", price="22")
    found = answer(KNOWN, asked(*sizes, product=None, formula=IDS["pomade"]))
    assert any(rung.row.jars_a_month for rung in found.ladders[IDS["stall"]])
    assert [others_sold(found, one) for one in found.candidates] == [(), ()]


def test_price_and_cost_per_100_g_on_paper() -> None:
    """12.00 for 50 g are 24.00; 17.00 for 90 g 18.89; 19.00 for 100 g 19.00, a step up: it is pointed out."""
    rungs = ladder(big(way="typed", price="19"))[1:]
    assert [rounded(rung.price_100) for rung in rungs] == ["24.00", "18.89", "19.00"]
    paper = on_paper("19")
    for rung, key, grams in zip(rungs, ("pomade-50", "pomade-90", "big"), (50, 90, 100), strict=True):
        assert same(rung.cost_100, paper.cost(key, "stall") * 100 / grams)
    assert [rung.dearer for rung in rungs] == [False, False, True]
    assert same(rungs[2].price_fall, 1 - F(19) / (F(1700) / 90))
    assert rounded(rungs[1].price_fall, 4) == "0.2130"  # (24 - 18.8889) / 24


@pytest.mark.parametrize(
    ("price", "dearer", "faster"),
    [
        # after 18.8889 a 100 g the cost of it falls by 5.9 %, the price by 17.9 and by 4.7; the last is dearer
        ("15.50", False, True),
        ("18.00", False, False),
        ("18.90", True, False),
    ],
)
def test_a_price_that_falls_faster_than_the_cost_is_pointed_out(price: str, dearer: bool, faster: bool) -> None:
    rung = ladder(big(way="typed", price=price))[-1]
    paper = on_paper(price)
    cost = 1 - paper.cost("big", "stall") / 100 / (paper.cost("pomade-90", "stall") / 90)
    assert same(rung.cost_fall, cost)
    assert F(5, 100) < cost < F(6, 100)
    assert (rung.dearer, rung.falls_faster) == (dearer, faster)


def test_the_same_price_per_100_is_not_dearer() -> None:
    """24.00 for 100 g where 12.00 are asked for 50 and no size lies between."""
    found = answer(KNOWN, asked(big(way="typed", price="24"), channel=IDS["salon"], product=IDS["pomade-50"]))
    rung = found.ladders[IDS["salon"]][-1]
    assert rung.price_fall == 1 - D(24) / D(25)
    even = answer(KNOWN, asked(big(way="typed", price="25"), channel=IDS["salon"])).ladders[IDS["salon"]][-1]
    assert (even.price_fall, even.dearer, even.falls_faster) == (D(0), False, False)


def test_the_smallest_has_none_before_it_and_what_is_missing_travels() -> None:
    rungs = ladder(big(way="typed", price="19"))
    assert isinstance(rungs[0].cost_100, Gap)
    assert isinstance(rungs[0].price_fall, Gap)
    assert isinstance(rungs[1].cost_fall, Gap)
    assert not rungs[1].falls_faster
    salon = answer(KNOWN, asked(big(), channel=IDS["salon"])).ladders[IDS["salon"]]
    assert isinstance(salon[0].price_fall, Gap)
    assert "smallest size" in salon[0].price_fall.reason


def test_there_is_one_for_each_channel_where_the_candidate_is_sold() -> None:
    found = answer(KNOWN, asked(big(way="typed", price="19")))
    assert set(found.ladders) == {IDS[one] for one in ("stall", "web", "market", "shops", "salon")}
    two = answer(KNOWN, asked(Candidate(declared=D(30)), product=IDS["pomade-15"]))
    assert set(two.ladders) == {IDS["stall"], IDS["web"]}


def test_sizes_by_volume_are_set_beside_each_other_per_100_ml() -> None:
    """10.95 for 30 mL are 36.50 per 100 mL in the web shop, 17.95 for 100 mL 17.95."""
    rungs = ladder(Candidate(declared=D(50), unit="mL", way="typed", price=D("13.95")), channel="web", product="oil-30")
    assert [(rung.declared, rung.unit, rounded(rung.price_100)) for rung in rungs] == [
        (D(30), "mL", "36.50"), (D(50), "mL", "27.90"), (D(100), "mL", "17.95"),
    ]  # fmt: skip


def test_one_size_by_mass_sets_all_of_them_beside_each_other_by_mass() -> None:
    """30 mL at 0.911 g/mL are 27.33 g."""
    candidate = Candidate(declared=D(40), overfill=D(0), way="typed", price=D("13.95"))
    rungs = ladder(candidate, channel="web", product="oil-30")
    assert [(rounded(rung.declared), rung.unit) for rung in rungs] == [("27.33", "g"), ("40.00", "g"), ("91.10", "g")]


def test_what_a_stockist_has_of_a_jar_is_the_shelf_price_less_tax_and_what_was_paid() -> None:
    """6.00 wholesale with 40 % of their own: 6.00 / 0.6 = 10.00 net on the shelf, so 4.00 is theirs."""
    shops = replace(BOOK.channels[IDS["shops"]], stockist_margin=D(40))
    known = Reckoning(replace(BOOK, channels={**BOOK.channels, shops.id: shops}))
    found = answer(known, asked(big(way="typed", price="6"), channel=shops.id))
    assert rounded(found.ladders[shops.id][-1].stockist) == "4.00"  # type: ignore[arg-type]
    assert all(rung.stockist is None for rung in found.ladders[IDS["stall"]])
    assert all(rung.stockist is None for rung in found.ladders[IDS["salon"]])


def test_a_jar_with_something_beside_its_filling_is_no_size() -> None:
    held = BOOK.products[IDS["pomade-90"]]
    with_oil = replace(held, members=(Member(IDS["oil-30"]),))
    known = Reckoning(replace(BOOK, products={**BOOK.products, held.id: with_oil}))
    rungs = answer(known, asked(big(way="typed", price="19"))).ladders[IDS["stall"]]
    assert [rung.declared for rung in rungs] == [D(15), D(50), D(100)]


def test_what_a_shop_has_for_its_shelf_on_paper() -> None:
    """A tin of 4.8 cm of which the shop has x: x / 4.8 x 10 for 10 cm; without a width, or without a shop, none."""
    question = asked(big(way="typed", price="19", width="6.5"), width="4.8", channel=IDS["shops"])
    ladders, seen = answer(KNOWN, question).ladders, 0
    for rungs in ladders.values():
        for rung in rungs:
            width = F("6.5") if rung.candidate == 0 else F("4.8") if rung.row.product == IDS["pomade-50"] else None
            if rung.stockist is None or width is None:
                assert rung.shelf is None
                continue
            assert isinstance(rung.stockist, Decimal)
            assert same(rung.shelf, F(rung.stockist) / width * 10)
            seen += 1
    assert seen >= 2
    bare = answer(KNOWN, asked(big(way="typed", price="19"), channel=IDS["shops"])).ladders
    assert all(rung.shelf is None for rungs in bare.values() for rung in rungs)
