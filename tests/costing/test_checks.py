"""What is refused at a field of a record, and what is asked before it is kept or put away."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from tests.costing.making import (
    ANNA,
    BUTTER,
    DAY,
    DUO,
    INFUSED,
    JAR,
    OIL,
    PLAIN_BUTTER,
    PLAIN_TUB,
    SEALED,
    SET,
    SHEA,
    TUB,
    D,
    changed,
    fill,
    formula,
    line,
    product,
    room,
    work,
)  # fmt: skip
from webapp.costing import book as b
from webapp.costing import checks
from webapp.costing.book import Book

BEFORE = date(2026, 6, 1)
STALL, SHOP = 51, 52
#: a room with a formula inside a formula, a product, a set, a channel, a quote and an order
HELD = replace(
    room(
        PLAIN_BUTTER,
        formula(INFUSED, line(BUTTER, "50", blend=True), line(SHEA, "50"), work=(work(ANNA, per_batch="30"),)),
        replace(PLAIN_TUB, parts=(b.Part(None, SEALED),), work=(work(ANNA, per_jar="1"),)),
        b.Product(SET, "Gift set", DAY, members=(b.Member(TUB, D(2)),), parts=(b.Part(JAR),)),
    ),
    channels={STALL: b.Channel(STALL, "Stall", DAY, work=(b.SellingTime(ANNA, per_order=D(1)),))},
    suppliers={1: b.Supplier(1, "Hollow Lane Oils")},
    quotes={71: b.Quote(71, OIL, 1, BEFORE, DAY, D(1), "kg", D(5))},
    workshop=b.Workshop(currency="EUR"),
)


def found(record: Any, book: Book = HELD) -> list[tuple[str, str]]:
    return [(fault.field, fault.code) for fault in checks.faults_of(book, record)]


def bought(**more: Any) -> b.Order:
    """A pack of shea for 8.00."""
    typed: dict[str, Any] = {"price": D(8), **more}
    return b.Order(81, 1, BEFORE, (b.OrderLine(SHEA, D(1), D(1), "kg", **typed),))


PAID = b.Exchange("paid", D(9))
RATE = b.Exchange("home per unit", D("0.9"))


@pytest.mark.parametrize(
    ("record", "faults"),
    [
        # formulas
        (formula(24, line(SHEA, "60"), line(OIL, "40")), []),
        (formula(24, replace(line(SHEA, "100"), formula=BUTTER)), [("lines-0-material", "required")]),
        (formula(24, line(JAR, "100")), [("lines-0-material", "reference")]),
        (formula(24, line(SHEA, "60"), line(OIL, "40", rest=True)),
         [("lines-1-amount", "rest"), ("lines", "formula-sum")]),
        (formula(24, line(SHEA, None), line(OIL, "40")), [("lines-0-amount", "required")]),
        (formula(24, line(SHEA, "60", "g"), line(OIL, "40")), [("lines-0-unit", "unit")]),
        (formula(24, line(SHEA, "101"), line(OIL, None, rest=True)),
         [("lines-0-amount", "number-range"), ("lines", "formula-sum")]),
        (formula(24, line(SHEA, "1", "part"), line(OIL, None, "part", rest=True), way="parts"),
         [("lines-1-rest", "rest")]),
        (formula(24, line(SHEA, None, rest=True), line(OIL, None, rest=True)), [("lines-1-rest", "rest")]),
        (formula(24, line(SHEA, "60"), line(OIL, "39")), [("lines", "formula-sum")]),
        (formula(24, line(SHEA, "60"), line(OIL, "41")), [("lines", "formula-sum")]),
        # 1000 g less 50 % less 500 g leaves nothing; 501 g less than nothing; 499 g a gram
        (formula(24, line(SHEA, "100"), batch_grams="1000", loss="50", loss_grams="500"), [("loss_grams", "all-lost")]),
        (formula(24, line(SHEA, "100"), batch_grams="1000", loss="50", loss_grams="501"), [("loss_grams", "all-lost")]),
        (formula(24, line(SHEA, "100"), batch_grams="1000", loss="50", loss_grams="499"), []),
        (formula(24, line(SHEA, "100"), work=(work(ANNA, per_batch="1"), work(ANNA, per_kg="1"))),
         [("work-1-person", "twice")]),
        (formula(BUTTER, line(SHEA, "50"), line(INFUSED, "50", blend=True)), [("lines-1-formula", "cycle")]),
        # parts of a jar, and jars
        (b.PartGroup(42, "Odd", DAY, (b.Part(SHEA),)), [("parts-0-material", "reference")]),
        (b.Product(34, "Nothing", DAY), [("fills", "required")]),
        (product(34, fill(BUTTER, "100"), parts=(b.Part(),)), [("parts-0-material", "required")]),
        (product(34, fill(BUTTER, "100"), parts=(b.Part(JAR, SEALED),)), [("parts-0-material", "required")]),
        (product(34, fill(BUTTER, "100"), parts=(b.Part(SHEA),)), [("parts-0-material", "reference")]),
        (product(34, fill(BUTTER, "60"), fill(BUTTER, "40"), batch_grams="500", set_aside="1"),
         [("batch_grams", "one-fill"), ("set_aside", "one-fill")]),
        (product(34, fill(BUTTER, "60"), fill(BUTTER, "40"), work=(work(ANNA, "5", "2", "1"),)),
         [("work-0-per_batch", "one-fill"), ("work-0-per_kg", "one-fill")]),
        # a batch of 1000 g is ten jars of 100 g: nine can be set aside and one be sold
        (product(34, fill(BUTTER, "100"), set_aside="9"), []),
        (product(34, fill(BUTTER, "100"), set_aside="10"), [("set_aside", "no-jar")]),
        (product(34, fill(BUTTER, "1001")), [("fills-0-declared", "no-jar")]),
        (product(34, fill(BUTTER, "100"), batch_grams="100", loss_grams="100"), [("batch_grams", "all-lost")]),
        (product(34, fill(24, "100")), [("fills-0-formula", "reference")]),
        # materials, quotes, orders
        (b.Material(6, " SHEA "), [("name", "duplicate")]),
        (b.Material(6, "Wax", starting=b.StartingPrice(D(3), "pieces")), [("starting-unit", "unit")]),
        (b.Material(6, "Lid", "packaging", starting=b.StartingPrice(D(3), "kg")),
         [("name", "duplicate"), ("starting-unit", "unit")]),
        (changed(HELD.materials[SHEA], quote=71), [("quote", "reference")]),
        (changed(HELD.materials[OIL], quote=71), []),
        (replace(HELD.materials[SHEA], kind="packaging", starting=None), [("kind", "in-use")]),
        (replace(HELD.materials[3], kind="packaging", starting=None), []),
        (replace(HELD.quotes[71], currency="USD"), [("exchange-amount", "currency-mismatch")]),
        (replace(HELD.quotes[71], exchange=RATE), [("exchange-amount", "currency-mismatch")]),
        (replace(HELD.quotes[71], currency="USD", exchange=RATE), []),
        (replace(HELD.quotes[71], until=date(2026, 5, 31)), [("until", "date-range")]),
        (replace(HELD.quotes[71], currency="USD", exchange=PAID), [("exchange-way", "choice")]),
        (b.Review(SHEA, date(2026, 7, 1)), [("since", "date-range")]),
        (bought(), []),
        (bought(price=None), [("lines-0-price", "required")]),
        (bought(price=None, total=D("8.001")), [("lines-0-total", "number-decimals")]),
        (bought(discount=D(100), discount_in="percent"), []),
        (bought(discount=D("100.01"), discount_in="percent"), [("lines-0-discount", "number-range")]),
        (bought(discount=D(8), discount_in="money"), []),
        (bought(discount=D("8.01"), discount_in="money"), [("lines-0-discount", "goods-below-zero")]),
        (replace(bought(), currency="USD", exchange=b.Exchange("paid", D("9.005"))),
         [("exchange-amount", "number-decimals")]),
        (replace(bought(), currency="USD", exchange=PAID), []),
        # the home money of a rate is not an amount that is paid: it may be finer
        (replace(bought(), currency="USD", exchange=b.Exchange("home per unit", D("0.9005"))), []),
        (replace(bought(tax_rate=D(19)), tax_total=D("1.52")), [("tax_total", "tax-twice")]),
        (replace(bought(), tax_total=D("1.52"), invoice_total=D("9.525")), [("invoice_total", "number-decimals")]),
        # selling
        (b.Channel(53, "Fair", DAY, pitch=D(40)), [("jars_a_day", "required")]),
        (b.Channel(53, "Fair", DAY, pitch=D(40), jars_a_day=D(20)), []),
        (b.Channel(53, "Fair", DAY, work=(b.SellingTime(ANNA, per_day=D(300)),)), [("jars_a_day", "required")]),
        (b.Channel(53, "Web", DAY, share_paid=D(60), share_net=D(40)), [("share_paid", "number-range")]),
        (b.Channel(53, "Web", DAY, share_paid=D(60), share_net=D("39.99")), []),
        # 85 % of a price with 20 % tax in it is 102 % of the price without
        (b.Channel(53, "Web", DAY, tax="in", tax_rate=D(20), share_paid=D(85)), [("share_paid", "number-range")]),
        (b.Channel(53, "Web", DAY, endings="x"), [("endings", "endings")]),
        (b.Channel(53, "Web", DAY, endings=".50", step=D("0.10")), [("step", "choice")]),
        (b.Price(TUB, STALL, DAY, D("9.995")), [("amount", "number-decimals")]),
        # the workshop
        (b.Terms(since=DAY, overhead="jars"), [("planned_jars", "required")]),
        (b.Terms(since=DAY, overhead="jars", planned_jars=D(100)), []),
        (b.Person(13, "anna", "own"), [("name", "duplicate")]),
    ],
)  # fmt: skip
def test_what_is_refused_and_where(record: Any, faults: list[tuple[str, str]]) -> None:
    assert found(record) == faults


def test_a_charge_by_mass_needs_the_mass_of_every_line() -> None:
    by_mass = b.Charge("freight", D(5), share="mass")

    def shared(material: int, unit: str, book: Book = HELD) -> list[tuple[str, str]]:
        one = b.Order(81, 1, BEFORE, (b.OrderLine(material, D(1), D(2), unit, price=D(8)),), (by_mass,))
        return found(one, book)

    assert shared(SHEA, "kg") == []
    assert shared(OIL, "L") == []  # by its density
    assert shared(SHEA, "L") == [("charges-0-share", "mass-missing")]
    assert shared(JAR, "pieces") == [("charges-0-share", "mass-missing")]
    weighed = replace(HELD, materials={**HELD.materials, JAR: changed(HELD.materials[JAR], piece_grams="92")})
    assert shared(JAR, "pieces", weighed) == []


def test_formulas_are_nested_no_deeper_than_twenty() -> None:
    """Twenty formulas in one another, from the innermost on, are allowed and twenty-one are not."""
    chain = [formula(100, line(SHEA, "100"))]
    chain += [formula(number, line(number - 1, "100", blend=True)) for number in range(101, 120)]
    twenty = room(*chain)
    assert found(chain[-1], twenty) == []
    assert found(formula(120, line(119, "100", blend=True)), twenty) == [("lines-0-formula", "too-deep")]
    # a line within makes what stands on it too deep: said at that line
    inner = formula(100, line(121, "100", blend=True))
    below = replace(twenty, formulas={**twenty.formulas, 121: formula(121, line(SHEA, "100"))})
    assert found(inner, below) == [("lines-0-formula", "too-deep")]


def test_a_set_in_itself_is_said_at_its_line() -> None:
    duo = b.Product(DUO, "Duo", DAY, members=(b.Member(SET, D(1)),))
    book = replace(HELD, products={**HELD.products, DUO: duo})
    around = replace(HELD.products[SET], members=(b.Member(TUB, D(1)), b.Member(DUO, D(1))))
    assert found(around, book) == [("members-1-product", "cycle")]


def asked(record: Any, book: Book = HELD) -> list[tuple[str, str]]:
    return [(one.code, one.field) for one in checks.questions_of(book, record)]


def test_what_is_asked_before_an_order_is_kept() -> None:
    assert asked(bought()) == []
    assert asked(replace(bought(), day=date(2026, 7, 1))) == [("future-day", "day")]
    assert asked(bought(price=D(0))) == [("zero-price", "lines-0-price")]
    assert asked(bought(price=D(0), not_priced="sample")) == []
    # 8.00 for a pack, 7.99 on the invoice; one kg billed, more came than that
    assert asked(bought(total=D("7.99"))) == [("line-total", "lines-0-total")]
    assert asked(bought(total=D("8.00"))) == []
    assert asked(bought(arrived=D("1.01"))) == [("arrived-more", "lines-0-arrived")]
    assert asked(bought(arrived=D(1))) == []


def test_a_price_of_nothing_and_a_shop_that_keeps_nothing_are_asked_about() -> None:
    assert [one.pair for one in checks.questions_of(HELD, b.Price(TUB, STALL, DAY, D(0)))] == [(TUB, STALL)]
    assert asked(b.Price(TUB, STALL, DAY, D("0.01"))) == []
    keeps = b.Channel(SHOP, "Shop", DAY, kind="consignment")
    assert asked(keeps) == [("consignment-share", "share_paid")]
    assert asked(replace(keeps, share_paid=D(30))) == []
    assert asked(b.Bill(61, "Rent", DAY, D(0))) == []


@pytest.mark.parametrize(
    ("kind", "one", "users"),
    [
        ("material", SHEA, ("Butter", "Infused oil")),
        ("material", JAR, ("Gift set", "Jar and lid")),
        ("formula", BUTTER, ("Infused oil", "Tub")),
        ("group", SEALED, ("Tub",)),
        ("product", TUB, ("Gift set",)),
        ("person", ANNA, ("Infused oil", "Tub", "Stall")),
        ("supplier", 1, ()),
        ("person", 12, ()),
    ],
)
def test_what_uses_a_thing(kind: str, one: int, users: tuple[str, ...]) -> None:
    assert checks.users_of(HELD, kind, one) == users
    assert [question.code for question in checks.in_use(HELD, kind, one)] == (["in-use"] if users else [])


def test_what_is_used_by_many_names_three_and_counts_the_rest() -> None:
    many = room(*(formula(100 + number, line(SHEA, "100")) for number in range(5)))
    (question,) = checks.in_use(many, "material", SHEA)
    assert question.sentence.startswith("It is used in Formula 100, Formula 101, Formula 102 and 2 more, ")


def test_the_same_words_are_asked_once_and_two_that_say_the_same_have_answers_of_their_own() -> None:
    one = checks.Question("zero-price", "lines-0-price", "Shea costs nothing here. Is that right?")
    told = checks.told_apart([one, one, replace(one, field="lines-1-price")])
    assert [question.field for question in told] == ["lines-0-price", "lines-1-price"]
    assert told[1].answer == f"{told[0].answer}-2"


def test_the_currency_is_settled_with_the_first_amount() -> None:
    assert found(b.Workshop(currency="GBP")) == [("currency", "in-use")]
    assert found(b.Workshop(currency="GBP"), Book(DAY)) == []
