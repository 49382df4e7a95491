"""What was worked out is kept only where nothing it rests on has changed."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import date, timedelta
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests import examples
from tests.costing.making import BUTTER, DAY, LID, OIL, PLAIN_BUTTER, PLAIN_TUB, SHEA, TUB, D, changed, density, room
from tests.sized_books import sized
from tests.small_books import small
from webapp.costing import basis, carrying, formulas, jars, leaning, reckoning, rows
from webapp.costing.book import (
    Bill,
    Book,
    Channel,
    Charge,
    Formula,
    Material,
    Order,
    OrderLine,
    Part,
    Person,
    Price,
    Product,
    Quote,
    Registration,
    Supplier,
    Wage,
)
from webapp.costing.difference import costed_again, moved_rows
from webapp.costing.reckoning import Reckoning


def everything(of: Reckoning) -> list[Any]:
    """Every figure that can be asked for."""
    book = of.book
    return [
        [of.material(one) for one in book.materials],
        [of.formula(one) for one in book.formulas],
        [of.leaves(one) for one in book.formulas],
        [(sheet := of.sheet(one), sheet.fills, sheet.times) for one in book.products],
        [(row, row.suggested, row.marks, row.lost_a_month) for row in of.line()],
        # Of the others only lines are asked for, one by one, as their materials' costs do.
        [of.landed(one) for one in book.orders if one % 2],
    ]


# --- once, and the same to all -------------------------------------------------------------------------------------


def test_each_figure_is_worked_out_once() -> None:
    of = Reckoning(room(PLAIN_BUTTER, PLAIN_TUB))
    assert of.material(SHEA) is of.material(SHEA)
    assert of.formula(BUTTER) is of.formula(BUTTER)
    assert of.sheet(TUB) is of.sheet(TUB)


def test_an_unknown_thing_is_a_key_error() -> None:
    of = Reckoning(room())
    for ask in (of.material, of.formula, of.sheet, of.landed, of.hourly, of.group):
        with pytest.raises(KeyError):
            ask(999)


def test_threads_that_ask_at_the_same_time_get_the_same_objects() -> None:
    of = Reckoning(small(Random(7)))
    products = list(of.book.products) * 20
    with ThreadPoolExecutor(8) as threads:
        sheets = list(threads.map(of.sheet, products))
    assert len({id(one) for one in sheets}) == len(of.book.products)


# --- purchases -----------------------------------------------------------------------------------------------------


def bought(number: int, day: date, *lines: OrderLine, **more: Any) -> Order:
    return Order(number, 1, day, lines, **more)


def kilos(material: int, price: str, **more: Any) -> OrderLine:
    return OrderLine(material, D(1), D(1), "kg", D(price), **more)


def test_purchases_are_listed_oldest_first_and_only_where_they_set_the_price() -> None:
    orders = {
        3: bought(3, DAY, kilos(SHEA, "9"), kilos(OIL, "4")),
        2: bought(2, DAY - timedelta(30), kilos(SHEA, "7"), kilos(SHEA, "1", not_priced="sample")),
    }
    of = Reckoning(replace(room(), orders=orders))
    assert of.purchases(SHEA) == ((2, 0), (3, 0))
    assert of.material(SHEA).unit_cost == D("0.009")


def test_only_orders_that_can_count_are_landed() -> None:
    orders = {n: bought(n, DAY - timedelta(n), kilos(SHEA, "9")) for n in range(1, 50)}
    of = Reckoning(replace(room(), orders=orders))
    of.material(SHEA)
    assert list(of.kept.invoices) == [1]


@settings(max_examples=examples.of(40))
@given(st.randoms(use_true_random=False))
def test_a_cost_from_the_purchases_that_can_count_is_the_cost_from_all(rng: Random) -> None:
    book = small(rng)
    book = replace(book, workshop=replace(book.workshop, basis=rng.choice(("latest", "averaged", "dearest"))))
    of = Reckoning(book)
    everything_bought = basis.by_material(of.landed(order) for order in book.orders)
    for number, one in book.materials.items():
        assert of.material(number) == basis.material_cost(book, one, everything_bought.get(number, ()))


# --- carried over --------------------------------------------------------------------------------------------------

NEW = 9_000


def _new_order(book: Book, rng: Random) -> Book:
    one = rng.choice(list(book.materials.values()))
    unit = "pieces" if one.by_piece else "kg"
    lines = (OrderLine(one.id, D(2), D(3), unit, D(rng.randint(1, 900)).scaleb(-1)),)
    supplier = rng.choice(list(book.suppliers))
    day = book.day - timedelta(rng.randint(0, 400))
    return replace(book, orders={**book.orders, NEW: Order(NEW, supplier, day, lines, currency=book.workshop.currency)})


def _order_gone(book: Book, rng: Random) -> Book:
    gone = rng.choice(list(book.orders))
    return replace(book, orders={key: order for key, order in book.orders.items() if key != gone})


def _freight_changed(book: Book, rng: Random) -> Book:
    number = rng.choice(list(book.orders))
    order = replace(book.orders[number], charges=(Charge("freight", D(rng.randint(1, 99))),))
    return replace(book, orders={**book.orders, number: order})


def _material(book: Book, rng: Random) -> Book:
    number = rng.choice(list(book.materials))
    more: Any = rng.choice(({"density": None}, {"drops_per_ml": D(20)}, {"piece_grams": D(77)}, {"basis": "dearest"}))
    return replace(book, materials={**book.materials, number: replace(book.materials[number], **more)})


def _new_material(book: Book, rng: Random) -> Book:
    """As an order makes one: with its first line, and in a formula or not."""
    one = Material(NEW, "New", density=None)
    with_it = replace(book, materials={**book.materials, NEW: one})
    lines = (OrderLine(NEW, D(2), D(3), "kg", D(rng.randint(1, 900)).scaleb(-1)),)
    day = book.day - timedelta(rng.randint(-3, 40))
    order = Order(NEW, next(iter(book.suppliers)), day, lines, currency=book.workshop.currency)
    number = rng.choice(list(book.formulas))
    held = book.formulas[number]
    lined = replace(held, lines=(*held.lines, replace(held.lines[0], material=NEW, formula=None, rest=False)))
    formulas = {**book.formulas, number: rng.choice((held, lined))}
    return replace(with_it, orders={**book.orders, NEW: order}, formulas=formulas)


def _quote(book: Book, rng: Random) -> Book:
    one = rng.choice(list(book.materials.values()))
    unit = "pieces" if one.by_piece else "kg"
    quote = Quote(NEW, one.id, next(iter(book.suppliers)), book.day, book.day, D(1), unit, D(3), book.workshop.currency)
    chosen = replace(one, quote=NEW)
    return replace(book, quotes={**book.quotes, NEW: quote}, materials={**book.materials, one.id: chosen})


def _wage(book: Book, rng: Random) -> Book:
    number = rng.choice(list(book.people))
    person = replace(book.people[number], wage=Wage(book.day, D(rng.randint(0, 40))))
    return replace(book, people={**book.people, number: person})


def _formula(book: Book, rng: Random) -> Book:
    number = rng.choice(list(book.formulas))
    more: Any = rng.choice(({"loss": D(7)}, {"made_ahead": True}, {"batch_grams": None}, {"density": D("0.95")}))
    return replace(book, formulas={**book.formulas, number: replace(book.formulas[number], **more)})


def _product(book: Book, rng: Random) -> Book:
    number = rng.choice(list(book.products))
    more: Any = rng.choice(({"parts": ()}, {"work": ()}, {"channels": ()}, {"retired": book.day}))
    return replace(book, products={**book.products, number: replace(book.products[number], **more)})


def _product_gone(book: Book, rng: Random) -> Book:
    inside = {member.product for one in book.products.values() for member in one.members}
    free = [number for number in book.products if number not in inside]
    if len(book.products) < 2:  # the last one stays: the other changes choose among what there is
        return book
    gone = rng.choice(free)
    return replace(book, products={key: one for key, one in book.products.items() if key != gone})


def _group(book: Book, rng: Random) -> Book:
    if not book.groups:
        return book
    number = rng.choice(list(book.groups))
    group = replace(book.groups[number], parts=book.groups[number].parts[:1])
    return replace(book, groups={**book.groups, number: group})


def _terms(book: Book, rng: Random) -> Book:
    more: Any = rng.choice(({"overhead": "left out"}, {"making_hours": D(33)}, {"target": D(55)}, {"cost": "direct"}))
    return replace(book, terms=replace(book.terms, **more))


def _bill(book: Book, rng: Random) -> Book:
    return replace(book, bills={**book.bills, NEW: Bill(NEW, "New", book.day, D(rng.randint(1, 500)))})


def _channel(book: Book, rng: Random) -> Book:
    return replace(
        book, channels={**book.channels, NEW: Channel(NEW, "New", book.day, share_net=D(rng.randint(0, 30)))}
    )


def _price(book: Book, rng: Random) -> Book:
    key = (rng.choice(list(book.products)), rng.choice(list(book.channels)))
    return replace(book, prices={**book.prices, key: Price(*key, book.day, D(rng.randint(1, 99)))})


def _registration(book: Book, rng: Random) -> Book:
    return replace(book, registrations=(Registration(book.day - timedelta(rng.randint(0, 900)), rng.random() < 0.5),))


def _workshop(book: Book, rng: Random) -> Book:
    return replace(book, workshop=replace(book.workshop, basis=rng.choice(("latest", "averaged", "dearest"))))


def _day(book: Book, rng: Random) -> Book:
    return replace(book, day=book.day + timedelta(rng.randint(1, 900)))


CHANGES: list[Callable[[Book, Random], Book]] = [
    _new_order, _order_gone, _freight_changed, _material, _new_material, _quote, _wage, _formula, _product,
    _product_gone, _group, _terms, _bill, _channel, _price, _registration, _workshop, _day,
]  # fmt: skip


@pytest.mark.parametrize("change", CHANGES)
@settings(max_examples=examples.of(12))
@given(rng=st.randoms(use_true_random=False))
def test_what_is_carried_over_is_what_would_be_worked_out_afresh(
    change: Callable[[Book, Random], Book], rng: Random
) -> None:
    book = small(rng)
    before = Reckoning(book)
    everything(before)
    after = change(book, rng)
    assert everything(Reckoning(after, before)) == everything(Reckoning(after))
    assert everything(before) == everything(Reckoning(book))


@pytest.mark.parametrize("change", CHANGES)
@settings(max_examples=examples.of(6))
@given(rng=st.randoms(use_true_random=False))
def test_what_is_remembered_as_worked_out_anew_is_all_that_moved(
    change: Callable[[Book, Random], Book], rng: Random
) -> None:
    book = small(rng)
    before = Reckoning(book)
    before.line()
    after = change(book, rng)
    looked_at = Reckoning(after, before)
    moved = moved_rows(before, looked_at)
    looked_at.line()
    again = costed_again(before, looked_at)
    # Nothing kept on either side: every product is looked at.
    afresh = moved_rows(Reckoning(book), Reckoning(after))
    assert moved == afresh
    looked_at.kept.carried_from = None
    assert again == costed_again(before, looked_at)


@settings(max_examples=examples.of(40))
@given(st.randoms(use_true_random=False))
def test_change_upon_change_is_still_what_would_be_worked_out_afresh(rng: Random) -> None:
    book = small(rng)
    of = Reckoning(book)
    for _ in range(4):
        if rng.random() < 0.7:
            everything(of)
        book = rng.choice(CHANGES)(book, rng)
        of = Reckoning(book, of)
    assert everything(of) == everything(Reckoning(book))


SALVE, STICK = 24, 34


def two_products() -> Book:
    salve = Formula(SALVE, "Salve", DAY, PLAIN_BUTTER.lines[:1], "parts", D(500))
    salve = replace(salve, lines=(replace(salve.lines[0], unit="part"),))
    stick = Product(STICK, "Stick", DAY, (replace(PLAIN_TUB.fills[0], formula=SALVE),), (Part(LID),))
    orders = {1: bought(1, DAY, kilos(OIL, "5"))}
    book = room(PLAIN_BUTTER, PLAIN_TUB, salve, stick)
    return replace(book, orders=orders, suppliers={1: Supplier(1, "One")}, channels={5: Channel(5, "Stall", DAY)})


def test_a_change_leaves_the_same_objects_where_nothing_touches_them() -> None:
    before = Reckoning(two_products())
    everything(before)
    dearer = replace(before.book, orders={**before.book.orders, 2: bought(2, DAY, kilos(OIL, "9"))})
    after = Reckoning(dearer, before)
    assert after.sheet(STICK) is before.sheet(STICK)
    assert after.row(STICK, 5) is before.row(STICK, 5)
    assert after.formula(SALVE) is before.formula(SALVE)
    assert after.invoice(1) is before.invoice(1)
    assert after.sheet(TUB) != before.sheet(TUB)
    assert after.material(OIL).unit_cost == D("0.007")


@pytest.mark.parametrize("looked_at", [False, True])
def test_an_order_is_landed_anew_once_a_material_in_it_weighs_something_else(looked_at: bool) -> None:
    """A litre of oil for 9.00 and 900 g of shea for 9.00, and 6.00 of freight by mass.

    At 0.9 g/mL both weigh 900 g and bear 3.00 each: 12 / 900 a gram. At 0.6 the oil weighs 600 g and bears 2.40, which
    is 11.40 / 600 = 0.019; the shea, which nobody touched, bears 3.60: 12.60 / 900 = 0.014.
    """
    litre, shea = OrderLine(OIL, D(1), D(1), "L", D(9)), OrderLine(SHEA, D(1), D(900), "g", D(9))
    book = two_products()
    order = bought(1, DAY, litre, shea, charges=(Charge("freight", D(6), share="mass"),), currency="EUR")
    before = Reckoning(replace(book, workshop=replace(book.workshop, currency="EUR"), orders={1: order}))
    everything(before)
    if looked_at:
        assert [line.landed for line in before.landed(1).lines] == [D(12), D(12)]
    lighter = replace(before.book.materials[OIL], density=density("0.6"))
    after = Reckoning(replace(before.book, materials={**before.book.materials, OIL: lighter}), before)
    assert (after.material(OIL).unit_cost, after.material(SHEA).unit_cost) == (D("0.019"), D("0.014"))
    assert [line.landed for line in after.landed(1).lines] == [D("11.4"), D("12.6")]


def test_an_order_at_the_same_price_moves_no_cost_sheet() -> None:
    before = Reckoning(two_products())
    everything(before)
    older = {2: bought(2, DAY - timedelta(90), kilos(OIL, "9")), **before.book.orders}
    after = Reckoning(replace(before.book, orders=older), before)
    assert after.sheet(TUB) is before.sheet(TUB)
    assert after.material(OIL) is before.material(OIL)


def test_the_price_of_an_ingredient_moves_neither_work_nor_parts_nor_an_accepted_price(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    priced = replace(two_products(), prices={(TUB, 5): Price(TUB, 5, DAY, D(9))})
    before = Reckoning(priced)
    everything(before)
    dearer = replace(priced, orders={**priced.orders, 2: bought(2, DAY, kilos(OIL, "9"))})
    fresh, after = Reckoning(dearer), Reckoning(dearer, before)
    everything(fresh)
    for never in ("made_of", "parts_cost"):
        monkeypatch.setattr(jars, never, lambda *_, name=never: pytest.fail(f"{name} is asked again"))
    assert after.sheet(TUB) == fresh.sheet(TUB) != before.sheet(TUB)
    assert after.row(TUB, 5) == fresh.row(TUB, 5) != before.row(TUB, 5)
    assert after.row(TUB, 5).net is before.row(TUB, 5).net


def test_a_suggested_price_is_solved_only_where_it_is_asked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    of = Reckoning(replace(two_products(), prices={(TUB, 5): Price(TUB, 5, DAY, D(9))}))
    suggested = of.row(TUB, 5).suggested
    again = Reckoning(of.book)
    with monkeypatch.context() as patched:
        patched.setattr(rows, "suggest", lambda *_: pytest.fail("a price is solved that nobody asked for"))
        row = again.row(TUB, 5)
    assert row.suggested == suggested


def test_a_new_material_with_its_order_makes_no_line_counted_anew(monkeypatch: pytest.MonkeyPatch) -> None:
    before = Reckoning(two_products())
    everything(before)
    new = replace(before.book.materials[OIL], id=NEW, name="New oil")
    orders = {**before.book.orders, 2: bought(2, DAY, kilos(NEW, "9"))}
    monkeypatch.setattr(reckoning, "counting", lambda _: pytest.fail("all lines are searched"))
    after = Reckoning(replace(before.book, materials={**before.book.materials, NEW: new}, orders=orders), before)
    assert after.material(NEW).unit_cost == D("0.009")


def test_another_basis_looks_back_further_than_what_was_counted() -> None:
    book = two_products()
    older = {2: bought(2, DAY - timedelta(20), kilos(OIL, "9")), **book.orders}
    before = Reckoning(replace(book, orders=older))
    assert before.material(OIL).unit_cost == D("0.005")
    dearest = replace(book.materials[OIL], basis="dearest")
    after = Reckoning(replace(before.book, materials={**book.materials, OIL: dearest}), before)
    assert after.material(OIL).unit_cost == D("0.009")


def test_the_workshop_looks_back_further_as_an_order_comes() -> None:
    """9.00 a kilogram twenty days ago is the dearest, whatever comes today."""
    book = two_products()
    older = {2: bought(2, DAY - timedelta(20), kilos(OIL, "9")), **book.orders}
    before = Reckoning(replace(book, orders=older))
    assert before.material(OIL).unit_cost == D("0.005")
    dearest, orders = replace(book.workshop, basis="dearest"), {**older, 3: bought(3, DAY, kilos(SHEA, "1"))}
    assert Reckoning(replace(before.book, workshop=dearest, orders=orders), before).material(OIL).unit_cost == D(
        "0.009"
    )


def test_a_material_that_is_taken_back_is_kept_nowhere_and_moves_nothing_else() -> None:
    new = {NEW: Material(NEW, "New oil")}
    before = Reckoning(replace(two_products(), materials={**two_products().materials, **new}))
    everything(before)
    after = Reckoning(
        replace(before.book, materials={k: m for k, m in before.book.materials.items() if k != NEW}), before
    )
    assert NEW in before.kept.materials
    assert NEW not in after.kept.materials
    assert after.sheet(TUB) is before.sheet(TUB)
    assert everything(after) == everything(Reckoning(after.book))


def test_a_price_moves_the_rows_of_its_product_only(monkeypatch: pytest.MonkeyPatch) -> None:
    before = Reckoning(two_products())
    everything(before)
    costed: list[int] = []
    monkeypatch.setattr(formulas, "formula_cost", lambda *_: costed.append(1))
    after = Reckoning(replace(before.book, prices={(TUB, 5): Price(TUB, 5, DAY, D(9))}), before)
    assert after.sheet(TUB) is before.sheet(TUB)
    assert after.row(TUB, 5) != before.row(TUB, 5)
    assert after.row(STICK, 5) is before.row(STICK, 5)
    assert not costed


@pytest.mark.parametrize("step", ["leaning_on", "_carry_landed", "_carry_purchases", "_recosted", "_carry_mixed"])
def test_what_another_thread_works_out_meanwhile_keeps_no_old_cost(monkeypatch: pytest.MonkeyPatch, step: str) -> None:
    """Two questions at once of a book that is new: the one that is looked ahead from is worked out in between."""
    book = sized("S")
    dearer = tuple(OrderLine(one, D(2), D(5), "kg", D(40), tax_rate=D(20)) for one in list(book.materials)[:20])
    supplier = next(iter(book.suppliers))
    after = replace(book, orders={**book.orders, 10_000_000: Order(10_000_000, supplier, book.day, dearer)})
    before, taken = Reckoning(book), getattr(carrying, step)

    def and_another(*given: Any) -> Any:
        found = taken(*given)
        everything(before)
        return found

    monkeypatch.setattr(carrying, step, and_another)
    now = Reckoning(after, before)
    monkeypatch.undo()
    assert everything(now) == everything(Reckoning(after))


def test_the_one_before_is_let_go() -> None:
    import gc
    import weakref

    before = Reckoning(two_products())
    everything(before)
    after = Reckoning(replace(before.book, prices={}), before)
    gone = weakref.ref(before)
    del before
    gc.collect()
    assert gone() is None
    assert everything(after)


def test_a_wage_moves_the_sheets_of_those_who_work_and_no_formula() -> None:
    worked = changed(PLAIN_BUTTER, work=())
    before = Reckoning(room(worked, PLAIN_TUB))
    everything(before)
    people = {**before.book.people, 11: Person(11, "Anna", wage=Wage(DAY, D(99)))}
    after = Reckoning(replace(before.book, people=people), before)
    assert after.sheet(TUB) is before.sheet(TUB)  # nobody's minutes are in it
    assert leaning.uses(before, ("product", TUB)) == {
        ("product", TUB), ("formula", BUTTER), ("material", SHEA), ("material", OIL),
    }  # fmt: skip
