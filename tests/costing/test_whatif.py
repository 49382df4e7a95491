"""What if: suppositions one after another are changes of the book. Expected figures are from paper."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests import examples
from tests.books import example_book, small_books
from tests.costing import making
from webapp.costing.amounts import snap
from webapp.costing.book import Book, Channel, Order, OrderLine, Part, Person, Price, Quote, Supplier, Wage
from webapp.costing.changes import apply_all
from webapp.costing.difference import moved_materials, moved_rows
from webapp.costing.gaps import Gap
from webapp.costing.month import month
from webapp.costing.reckoning import Reckoning
from webapp.costing.supposing import Supposition, suppositions
from webapp.costing.whatif import Supposed, Unfit, changes_of, suppose

DAY = date(2026, 6, 15)
D = Decimal


@pytest.fixture(scope="module")
def workshop() -> tuple[Reckoning, dict[str, int]]:
    book, ids = example_book(DAY)
    known = Reckoning(book)
    known.line()
    return known, ids


def supposed(known: Reckoning, *some: Supposition) -> Supposed:
    return suppose(known, enumerate(some))


def fits(known: Reckoning, *some: Supposition) -> Reckoning:
    found = supposed(known, *some)
    assert found.faults == ()
    return found.known


def test_nothing_supposed_changes_nothing(workshop: tuple[Reckoning, dict[str, int]]) -> None:
    known, _ = workshop
    found = supposed(known)
    assert found.known is known
    assert (moved_materials(known, found.known), moved_rows(known, found.known)) == ((), ())


def test_prices_move_by_a_percent_half_up_or_up_to_the_next_ending(
    workshop: tuple[Reckoning, dict[str, int]],
) -> None:
    known, ids = workshop
    product, stall = next((p, c) for p, c in known.book.prices if c == ids["stall"])
    priced = replace(known.book.prices[product, stall], amount=D("10.50"))
    there = Reckoning(replace(known.book, prices={**known.book.prices, (product, stall): priced}))
    ends = replace(there.book.channels[stall], endings=".00 .50", step=None)
    there = Reckoning(replace(there.book, channels={**there.book.channels, stall: ends}))
    up = Supposition("prices", product=product, channel=stall, percent=D(5))
    # 10.50 x 1.05 = 11.025: half-up 11.03, up to an ending 11.50; 10.50 x 0.93 = 9.765: 9.77
    assert fits(there, up).book.prices[product, stall].amount == D("11.03")
    assert fits(there, replace(up, endings=True)).book.prices[product, stall].amount == D("11.50")
    down = replace(up, way="down", percent=D(7))
    assert fits(there, down).book.prices[product, stall].amount == D("9.77")


def test_prices_of_all_leave_what_is_only_suggested_alone(workshop: tuple[Reckoning, dict[str, int]]) -> None:
    known, _ = workshop
    after = fits(known, Supposition("prices", percent=D(10))).book
    assert after.prices.keys() == known.book.prices.keys()


@pytest.mark.parametrize("way", ["up", "down"])
def test_a_material_moves_by_a_percent_of_what_counts(workshop: tuple[Reckoning, dict[str, int]], way: str) -> None:
    known, ids = workshop
    was = known.material(ids["shea"]).unit_cost
    assert isinstance(was, D)
    now = fits(known, Supposition("cost", material=ids["shea"], way=way, percent=D(10))).material(ids["shea"])
    assert isinstance(now.unit_cost, D)
    # a pack's price has four decimals, which is the only rounding in it
    assert abs(now.unit_cost / was - (D("1.1") if way == "up" else D("0.9"))) < D("0.00001")
    assert now.rule == "quote"


def test_a_material_costs_so_much_a_kg(workshop: tuple[Reckoning, dict[str, int]]) -> None:
    known, ids = workshop
    one = Supposition("cost to", material=ids["shea"], amount=D("12.40"), unit="kg")
    assert fits(known, one).material(ids["shea"]).unit_cost == D("0.0124")


def test_the_order_of_suppositions_counts(workshop: tuple[Reckoning, dict[str, int]]) -> None:
    known, ids = workshop
    dearer = Supposition("cost", material=ids["shea"], percent=D(10))
    exactly = Supposition("cost to", material=ids["shea"], amount=D(10), unit="kg")
    assert fits(known, exactly, dearer).material(ids["shea"]).unit_cost == D("0.011")
    assert fits(known, dearer, exactly).material(ids["shea"]).unit_cost == D("0.01")


def test_every_kind_reaches_the_record_that_it_names(workshop: tuple[Reckoning, dict[str, int]]) -> None:
    known, ids = workshop
    product = next(one for one in known.book.products.values() if len(one.fills) == 1)
    some = [
        Supposition("wage", person=ids["maud"], amount=D(18)),
        Supposition("channel", channel=ids["stall"], part="pitch", amount=D(60)),
        Supposition("registered", part="registered"),
        Supposition("formula", formula=ids["butter"], part="loss", amount=D(5)),
        Supposition("product", product=product.id, part="overfill", amount=D(3)),
        Supposition("bill", bill=ids["rent"], amount=D(200)),
        Supposition("sold", product=product.id, channel=ids["stall"], amount=D(77)),
        Supposition("swap", material=ids["mango"], other=ids["shea"]),
        Supposition("pack", material=ids["jar-60"], other=ids["jar-120"]),
    ]
    after = fits(known, *some).book
    wage = after.people[ids["maud"]].wage
    assert wage is not None
    assert wage.per_hour == D(18)
    assert (after.channels[ids["stall"]].pitch, after.channels[ids["stall"]].since) == (D(60), DAY)
    assert after.terms.registered
    assert after.registered_on(DAY)
    assert after.formulas[ids["butter"]].loss == D(5)
    assert after.products[product.id].fills[0].overfill == D(3)
    assert after.bills[ids["rent"]].a_month == D(200)
    assert after.sales[product.id, ids["stall"]].jars == D(77)
    assert not any(line.material == ids["mango"] for one in after.formulas.values() for line in one.lines)
    parts = [part for one in after.groups.values() for part in one.parts]
    parts += [part for one in after.products.values() for part in one.parts]
    assert not any(part.material == ids["jar-60"] for part in parts)


@pytest.mark.parametrize(
    ("wrong", "at"),
    [
        (Supposition("wage", person=99999, amount=D(1)), "person"),
        (Supposition("swap", material=-13, other=-32), "other"),
        (Supposition("swap", material=-32, other=-13), "material"),
        (Supposition("formula", formula=-100000, part="loss", amount=D(1)), "formula"),
    ],
)
def test_what_does_not_fit_is_said_at_its_line(
    workshop: tuple[Reckoning, dict[str, int]], wrong: Supposition, at: str
) -> None:
    known, ids = workshop
    found = supposed(known, Supposition("wage", person=ids["maud"], amount=D(18)), wrong)
    assert [one.field for one in found.faults] == [f"suppositions-1-{at}"]
    assert len(found.changes) == 1


def test_a_batch_that_leaves_no_jar_is_said_where_it_was_typed(workshop: tuple[Reckoning, dict[str, int]]) -> None:
    known, _ = workshop
    product = next(one for one in known.book.products.values() if len(one.fills) == 1)
    found = supposed(known, Supposition("product", product=product.id, part="set_aside", amount=D(100_000)))
    assert [one.field for one in found.faults] == ["suppositions-0-amount"]


def test_what_an_hour_pays_by_hand(workshop: tuple[Reckoning, dict[str, int]]) -> None:
    """(contribution before own pay - bills) / own hours of what is sold: a wage of one's own changes none of it."""
    known, ids = workshop
    now, then = month(known), month(fits(known, Supposition("wage", person=ids["maud"], amount=D(30))))
    paid = hours = D(0)
    for row in known.line():
        each, spent, jars = row.contribution_before_own_pay, row.own_hours, row.jars_a_month
        if jars:
            assert isinstance(each, D)
            assert isinstance(spent, D)
            paid, hours = paid + each * jars, hours + spent * jars
    assert isinstance(now.an_hour, D)
    assert snap(now.an_hour) == snap((paid - known.overhead) / hours)
    assert isinstance(then.an_hour, D)
    assert snap(then.an_hour) == snap(now.an_hour)


def test_typed_lines_that_do_not_count_are_not_read(workshop: tuple[Reckoning, dict[str, int]]) -> None:
    known, ids = workshop
    rows: list[Any] = [
        {"kind": "wage", "person": ids["maud"], "amount": "18"},
        {"kind": "wage", "person": "nobody", "counts": False},
    ]
    read = suppositions(known.book, [{"kind": "bill", "bill": "x", "counts": False}, *rows[1:]])
    assert (read.found, read.faults) == ((), ())


# --- properties


@st.composite
def drawn(draw: st.DrawFn) -> tuple[Book, list[Supposition]]:
    """A small hostile book and a few suppositions about what is in it."""
    book = draw(small_books)
    percent = st.integers(0, 60).map(D)
    one = [
        st.builds(
            Supposition, st.just("prices"), way=st.sampled_from(["up", "down"]), percent=percent, endings=st.booleans()
        ),
        st.builds(Supposition, st.just("cost"), material=st.sampled_from(sorted(book.materials)), percent=percent),
        st.builds(Supposition, st.just("wage"), person=st.sampled_from(sorted(book.people)), amount=percent),
        st.builds(
            Supposition,
            st.just("channel"),
            channel=st.sampled_from(sorted(book.channels)),
            part=st.sampled_from(["fee", "pitch", "share_net"]),
            amount=percent,
        ),
        st.builds(
            Supposition,
            st.just("swap"),
            material=st.sampled_from(sorted(book.materials)),
            other=st.sampled_from(sorted(book.materials)),
        ),
    ]
    return book, draw(st.lists(st.one_of(*one), max_size=4))


def figures(known: Reckoning) -> list[Any]:
    return [(row.product, row.channel, row.price, row.cost, row.margin, row.suggested) for row in known.line()]


@settings(deadline=None, max_examples=examples.of(40), suppress_health_check=list(HealthCheck))
@given(drawn())
def test_accepted_in_parts_equals_accepted_whole_equals_the_preview(made: tuple[Book, list[Supposition]]) -> None:
    book, some = made
    known = Reckoning(book)
    known.line()
    whole = suppose(known, enumerate(some))
    # saving: the changes one after another on the book, and everything worked out from nothing
    saved = apply_all(book, whole.together)
    assert isinstance(saved, Book)
    assert figures(Reckoning(saved)) == figures(whole.known)
    parts = book
    for one in some:
        changes = changes_of(Reckoning(parts), one)
        after = None if isinstance(changes, Unfit) else apply_all(parts, changes)
        parts = after if isinstance(after, Book) else parts
    assert figures(Reckoning(parts)) == figures(whole.known)
    moved = {(one.after.product, one.after.channel) for one in moved_rows(known, whole.known)}
    old = {(row.product, row.channel): row for row in known.line()}
    for row in whole.known.line():
        same = old[row.product, row.channel]
        if (row.product, row.channel) not in moved:
            assert (same.cost, same.margin, same.suggested) == (row.cost, row.margin, row.suggested) or isinstance(
                row.margin, Gap
            )


# --- what does not fit, and the kinds that the example does not need: a small room whose sums are done by hand


def room_of(*things: Any, **more: Any) -> Book:
    book = making.room(making.PLAIN_BUTTER, making.PLAIN_TUB, *things)
    return replace(book, channels={STALL: Channel(STALL, "Stall", making.DAY)}, **more)


STALL = 51


def refused(book: Book, one: Supposition) -> list[tuple[str, str]]:
    found = changes_of(Reckoning(book), one)
    assert isinstance(found, Unfit), found
    return [(fault.field, fault.code) for fault in found.faults]


GROUPED = replace(making.PLAIN_TUB, parts=(Part(None, making.SEALED), Part(making.LID)))


@pytest.mark.parametrize(
    ("one", "expected"),
    [
        (Supposition("price", product=making.TUB, channel=99, amount=D(3)), [("channel", "reference")]),
        (Supposition("prices", percent=D(10)), [("percent", "nothing")]),
        (Supposition("cost", material=making.WATER, percent=D(10)), [("material", "missing")]),
        (Supposition("cost to", material=making.SHEA, amount=D("9999999.99999"), unit="kg"),
         [("percent", "number-range")]),
        (Supposition("channel", channel=STALL, part="tax_rate", amount=D(20)), [("part", "choice")]),
        (Supposition("swap", material=making.WATER, other=making.SHEA), [("material", "reference")]),
        (Supposition("swap", material=making.SHEA, other=making.JAR), [("other", "reference")]),
        (Supposition("pack", material=making.JAR, other=making.LID, product=making.TUB), [("material", "reference")]),
    ],
)  # fmt: skip
def test_what_does_not_fit_is_said_at_its_field(one: Supposition, expected: list[tuple[str, str]]) -> None:
    assert refused(room_of(), one) == expected


def test_a_product_is_not_priced_where_it_is_not_sold() -> None:
    book = room_of()
    elsewhere = replace(book.products[making.TUB], channels=(52,))
    book = replace(
        book,
        channels={**book.channels, 52: Channel(52, "Fair", making.DAY)},
        products={making.TUB: elsewhere},
    )
    one = Supposition("price", product=making.TUB, channel=STALL, amount=D(3))
    assert refused(book, one) == [("channel", "reference")]


def test_what_is_put_away_is_not_supposed_and_a_put_away_product_has_no_prices_that_move() -> None:
    book = room_of(prices={(making.TUB, STALL): Price(making.TUB, STALL, making.DAY, D("2.00"))})
    away = replace(book, products={making.TUB: replace(book.products[making.TUB], retired=making.DAY)})
    assert refused(away, Supposition("prices", percent=D(10))) == [("percent", "nothing")]
    assert refused(away, Supposition("prices", product=making.TUB, percent=D(10))) == [("product", "reference")]
    over = replace(book, prices={(making.TUB, STALL): Price(making.TUB, STALL, making.DAY, D(9999999))})
    assert refused(over, Supposition("prices", percent=D(10))) == [("percent", "number-range")]


def test_a_supposition_that_makes_a_record_wrong_is_said_at_its_own_line_and_left_out() -> None:
    """A batch of 1000 g of which all is lost; the next one still counts: shea at 18.00 is 0.60 more for 60 g of it."""
    lost = Supposition("formula", formula=making.BUTTER, part="loss_grams", amount=D(1000))
    dearer = Supposition("cost to", material=making.SHEA, amount=D(18), unit="kg")
    found = suppose(Reckoning(room_of()), [(0, lost), (3, dearer), (4, Supposition("bill", bill=99, amount=D(5)))])
    assert [fault.field for fault in found.faults] == ["suppositions-0-amount", "suppositions-4-bill"]
    assert [place for place, _ in found.changes] == [3]
    assert found.known.row(making.TUB, STALL).cost == D("1.28")


def test_jars_that_are_sold_and_overfill_and_jars_set_aside_are_supposed() -> None:
    """A batch of 1000 g for 6.80 is ten jars; nine where 102 g go into each, and nine where one is set aside."""
    known = Reckoning(room_of())
    sold = fits(known, Supposition("sold", product=making.TUB, channel=STALL, amount=D(40)))
    assert sold.row(making.TUB, STALL).jars_a_month == D(40)
    more = fits(known, Supposition("product", product=making.TUB, part="overfill", amount=D(2)))
    aside = fits(known, Supposition("product", product=making.TUB, part="set_aside", amount=D(1)))
    for after in (more, aside):
        cost = after.row(making.TUB, STALL).cost
        assert isinstance(cost, D)
        assert snap(cost) == snap(D("6.80") / 9)


def test_a_part_is_swapped_in_a_product_in_parts_that_go_together_or_wherever_it_stands() -> None:
    """A jar is 0.50, a lid 0.20 and 0.22 where one in ten is spoiled."""
    known = Reckoning(room_of(GROUPED))
    tub, sealed = known.book.products[making.TUB], known.book.groups[making.SEALED]
    assert known.row(making.TUB, STALL).cost == D("0.68") + D("0.50") + D("0.22") + D("0.20")
    one = Supposition("pack", material=making.LID, other=making.JAR)
    in_it = fits(known, replace(one, product=making.TUB)).book
    assert ([part.material for part in in_it.products[making.TUB].parts], in_it.groups) == (
        [None, making.JAR],
        known.book.groups,
    )
    together = fits(known, replace(one, group=making.SEALED)).book
    assert [part.material for part in together.groups[making.SEALED].parts] == [making.JAR, making.JAR]
    assert together.products[making.TUB] == tub
    everywhere = fits(known, one)
    # 0.68, two jars of which one in ten is spoiled in one place, and one more
    assert everywhere.row(making.TUB, STALL).cost == D("0.68") + D("0.50") + D("0.55") + D("0.50")
    assert sealed.parts[1].material == making.LID


def test_a_formula_is_swapped_in_alone_or_with_every_other_that_has_it() -> None:
    other = making.formula(24, making.line(making.SHEA, "100"))
    book = room_of(other)
    one = Supposition("swap", material=making.SHEA, other=making.OIL)
    alone = fits(Reckoning(book), replace(one, formula=24)).book
    assert alone.formulas[making.BUTTER] == book.formulas[making.BUTTER]
    assert alone.formulas[24].lines[0].material == making.OIL
    everywhere = fits(Reckoning(book), one).book
    assert {line.material for line in everywhere.formulas[making.BUTTER].lines} == {making.OIL}


def test_a_wage_keeps_its_extra_and_one_who_had_none_gets_none() -> None:
    book = room_of(Person(13, "Cam", "own"))
    after = fits(Reckoning(book), Supposition("wage", person=making.BEN, amount=D(20))).book
    assert after.people[making.BEN].wage == Wage(making.DAY, D(20), D(25))
    new = fits(Reckoning(book), Supposition("wage", person=13, amount=D(20))).book
    assert new.people[13].wage == Wage(making.DAY, D(20), D(0))


def test_a_part_is_priced_only_where_something_is_known_to_start_from() -> None:
    """A pack that was bought costs the percent of what it cost; dearer than can be kept is refused at the percent."""
    dear = room_of(making.costing(making.SHEA, "Shea", "9999999"))
    assert refused(dear, Supposition("cost", material=making.SHEA, percent=D(10))) == [("percent", "number-range")]
    half = fits(Reckoning(room_of()), Supposition("cost", material=making.SHEA, way="down", percent=D(50)))
    assert half.material(making.SHEA).unit_cost == D("0.004")


def test_nothing_supposed_that_leaves_everything_as_it_is_is_reckoned_anew() -> None:
    known = Reckoning(room_of())
    found = suppose(known, [(0, Supposition("sold", product=making.TUB, channel=STALL, amount=D(0)))])
    assert [place for place, _ in found.changes] == [0]
    assert found.together == found.changes[0][1]


def test_a_price_that_is_supposed_holds_and_what_can_not_be_weighed_has_none() -> None:
    known = Reckoning(room_of())
    priced = fits(known, Supposition("price", product=making.TUB, channel=STALL, amount=D(3)))
    assert (priced.row(making.TUB, STALL).price, priced.row(making.TUB, STALL).accepted) == (D(3), True)


def test_a_price_that_is_quoted_moves_by_no_percent_where_the_pack_that_was_bought_can_not_be_weighed() -> None:
    """Shea is bought by the litre and nobody knows how heavy one is; the quote that counts is for a kg."""
    litre = Order(61, 8, making.DAY, (OrderLine(making.SHEA, D(1), D(1), "L", D(9)),))
    quote = Quote(71, making.SHEA, 8, making.DAY, making.DAY, D(1), "kg", D(8))
    book = room_of(
        making.costing(making.SHEA, "Shea", None, quote=71), orders={61: litre}, quotes={71: quote},
        suppliers={8: Supplier(8, "The mill")},
    )  # fmt: skip
    assert Reckoning(book).material(making.SHEA).unit_cost == D("0.008")
    found = changes_of(Reckoning(book), Supposition("cost", material=making.SHEA, percent=D(10)))
    assert isinstance(found, Unfit)
    assert [(fault.field, fault.code) for fault in found.faults] == [("material", "missing")]
    assert "its density is not known yet" in found.faults[0].sentence
