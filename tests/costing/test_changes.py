"""A change gives a new book or says what is wrong; the book that was given is never touched."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from tests.books import example_book
from webapp.costing import book as b
from webapp.costing.book import Book
from webapp.costing.changes import (
    Put,
    Restore,
    Retire,
    Withdraw,
    affected,
    apply,
    apply_all,
    key_of,
    questions,
    renumber,
)

DAY = date(2026, 6, 15)
EARLIER = date(2026, 1, 1)
LATER = date(2026, 9, 1)


def d(text: str) -> Decimal:
    return Decimal(text)


def butter(**more: object) -> b.Material:
    return replace(b.Material(1, "Shea butter"), **more)  # type: ignore[arg-type]


def base(*lines: b.FormulaLine, id: int = 10, name: str = "Base", **more: object) -> b.Formula:  # noqa: A002
    return replace(b.Formula(id, name, EARLIER, lines), **more)  # type: ignore[arg-type]


def book(*records: object) -> Book:
    start = Book(DAY)
    after = apply_all(start, [Put(record) for record in records])  # type: ignore[arg-type]
    assert isinstance(after, Book), after
    return after


def codes(outcome: object) -> list[tuple[str, str]]:
    assert not isinstance(outcome, Book), "no fault was found"
    return [(fault.field, fault.code) for fault in outcome]  # type: ignore[attr-defined]


def test_a_new_thing_is_in_the_new_book_only() -> None:
    before = Book(DAY)
    after = apply(before, Put(butter()))
    assert isinstance(after, Book)
    assert after.materials == {1: butter()}
    assert before.materials == {}


def test_other_records_stay_the_same_objects() -> None:
    before = book(butter(), b.Material(2, "Olive oil"))
    after = apply(before, Put(butter(inci="Butyrospermum Parkii Butter")))
    assert isinstance(after, Book)
    assert after.materials[2] is before.materials[2]
    assert after.suppliers is before.suppliers


def test_a_name_is_taken_without_regard_to_case_form_and_spaces() -> None:
    held = book(b.Material(1, "Karit\u00e9"))
    assert codes(apply(held, Put(b.Material(2, "KARITE\u0301")))) == [("name", "duplicate")]


def test_a_thing_keeps_its_own_name() -> None:
    assert isinstance(apply(book(butter()), Put(butter(nut=True))), Book)


def test_retired_things_come_back_as_they_were() -> None:
    held = book(butter())
    retired = apply(held, Retire("material", 1, DAY))
    assert isinstance(retired, Book)
    assert retired.materials[1].retired == DAY
    assert apply(retired, Restore("material", 1)) == held


def test_changing_a_retired_thing_leaves_it_retired() -> None:
    retired = apply_all(book(butter()), [Retire("material", 1, DAY), Put(butter(nut=True))])
    assert isinstance(retired, Book)
    assert retired.materials[1].retired == DAY


def test_retiring_what_is_used_asks_first() -> None:
    held = book(butter(), base(b.FormulaLine(material=1, amount=d("100"))))
    asked = questions(held, [Retire("material", 1, DAY)])
    assert [question.code for question in asked] == ["in-use"]
    assert "Base" in asked[0].sentence


def test_a_later_price_does_not_hold_yet() -> None:
    held = book(
        butter(),
        base(b.FormulaLine(material=1, amount=d("100"))),
        b.Product(20, "Jar", EARLIER, fills=(b.Fill(10, d("50")),)),
        b.Channel(30, "Stall", EARLIER),
        b.Price(20, 30, EARLIER, d("9.50")),
    )
    later = apply(held, Put(b.Price(20, 30, LATER, d("11"))))
    assert isinstance(later, Book)
    assert later.prices[20, 30].amount == d("9.50")
    now = apply(held, Put(b.Price(20, 30, DAY, d("11"))))
    assert isinstance(now, Book)
    assert now.prices[20, 30].amount == d("11")


def test_a_back_dated_price_changes_nothing_today() -> None:
    held = book(
        butter(),
        base(b.FormulaLine(material=1, amount=d("100"))),
        b.Product(20, "Jar", EARLIER, fills=(b.Fill(10, d("50")),)),
        b.Channel(30, "Stall", EARLIER),
        b.Price(20, 30, DAY, d("9.50")),
    )
    after = apply(held, Put(b.Price(20, 30, EARLIER, d("8"))))
    assert isinstance(after, Book)
    assert after.prices[20, 30].amount == d("9.50")


def test_an_older_density_does_not_push_out_the_newer() -> None:
    newer = b.Density(DAY, d("0.91"))
    held = book(butter(density=newer))
    after = apply(held, Put(butter(density=b.Density(EARLIER, d("0.90")))))
    assert isinstance(after, Book)
    assert after.materials[1].density == newer


def test_tax_status_keeps_its_history() -> None:
    held = book(b.Terms(since=EARLIER, registered=False), b.Terms(since=DAY, registered=True))
    assert not held.registered_on(date(2026, 6, 14))
    assert held.registered_on(DAY)
    assert held.terms.registered


def test_back_dated_terms_are_history_only() -> None:
    held = book(b.Terms(since=DAY, registered=True), b.Terms(since=EARLIER, registered=False))
    assert held.terms.registered
    assert [entry.since for entry in held.registrations] == [EARLIER, DAY]


@pytest.mark.parametrize(
    ("amounts", "rest", "wanted"),
    [
        (("60", "39"), False, [("lines", "formula-sum")]),
        (("60", "40.0001"), False, [("lines", "formula-sum")]),
        (("60", "40"), True, [("lines", "formula-sum")]),
    ],
)
def test_a_formula_in_percent_adds_up(amounts: tuple[str, ...], rest: bool, wanted: list[tuple[str, str]]) -> None:
    lines = [b.FormulaLine(material=index + 1, amount=d(amount)) for index, amount in enumerate(amounts)]
    if rest:
        lines.append(b.FormulaLine(material=3, rest=True))
    held = book(butter(), b.Material(2, "Olive oil"), b.Material(3, "Castor oil"))
    assert codes(apply(held, Put(base(*lines)))) == wanted


def test_the_sum_says_by_how_much() -> None:
    held = book(butter(), b.Material(2, "Olive oil"))
    lines = (b.FormulaLine(material=1, amount=d("60")), b.FormulaLine(material=2, amount=d("39")))
    (fault,) = apply(held, Put(base(*lines)))  # type: ignore[misc]
    assert "add up to 99 %: 1 short of 100" in fault.sentence


def test_one_line_takes_the_rest() -> None:
    held = book(butter(), b.Material(2, "Olive oil"))
    lines = (b.FormulaLine(material=1, amount=d("99.9999")), b.FormulaLine(material=2, rest=True))
    assert isinstance(apply(held, Put(base(*lines))), Book)
    two = (*lines[1:], b.FormulaLine(material=1, rest=True))
    assert codes(apply(held, Put(base(*two)))) == [("lines-1-rest", "rest")]


def test_a_loop_is_refused_and_named() -> None:
    first = base(b.FormulaLine(material=1, amount=d("100")), id=10, name="Melt")
    second = base(b.FormulaLine(formula=10, amount=d("100")), id=11, name="Butter")
    held = book(butter(), first, second)
    lines = (b.FormulaLine(material=1, amount=d("40")), b.FormulaLine(formula=11, amount=d("60")))
    (fault,) = apply(held, Put(base(*lines, id=10, name="Melt")))  # type: ignore[misc]
    assert (fault.field, fault.code) == ("lines-1-formula", "cycle")
    assert "Melt → Butter → Melt" in fault.sentence


def test_a_formula_cannot_hold_itself() -> None:
    held = book(butter(), base(b.FormulaLine(material=1, amount=d("100"))))
    assert codes(apply(held, Put(base(b.FormulaLine(formula=10, amount=d("100")))))) == [("lines-0-formula", "cycle")]


def chain(length: int) -> list[object]:
    formulas: list[object] = [butter(), base(b.FormulaLine(material=1, amount=d("100")), id=100, name="F0")]
    formulas += [
        base(b.FormulaLine(formula=99 + index, amount=d("100")), id=100 + index, name=f"F{index}")
        for index in range(1, length)
    ]
    return formulas


def test_twenty_deep_is_kept_and_twenty_one_is_not() -> None:
    held = book(*chain(20))
    lines = (b.FormulaLine(formula=100, amount=d("40")), b.FormulaLine(formula=119, amount=d("60")))
    assert codes(apply(held, Put(base(*lines, id=200, name="One more")))) == [("lines-1-formula", "too-deep")]


def test_depth_is_seen_from_above_too() -> None:
    held = book(*chain(20), base(b.FormulaLine(material=1, amount=d("100")), id=300, name="Below"))
    lower = base(b.FormulaLine(formula=300, amount=d("100")), id=100, name="F0")
    assert codes(apply(held, Put(lower))) == [("lines-0-formula", "too-deep")]


def test_a_missing_reference_is_named_at_its_field() -> None:
    assert codes(apply(Book(DAY), Put(base(b.FormulaLine(material=9, amount=d("100")))))) == [
        ("lines-0-material", "reference")
    ]


def order(**more: object) -> b.Order:
    line = b.OrderLine(1, d("2"), d("1"), "kg", price=d("12.40"))
    return replace(b.Order(40, 50, DAY, (line,)), **more)  # type: ignore[arg-type]


def shop(*more: object) -> Book:
    return book(butter(), b.Supplier(50, "Mill"), b.Material(2, "Tin", kind="packaging"), *more)


def test_an_order_in_foreign_money_needs_its_rate() -> None:
    assert codes(apply(shop(), Put(order(currency="USD")))) == [("exchange-amount", "currency-mismatch")]
    rate = b.Exchange("home per unit", d("0.92"))
    assert isinstance(apply(shop(), Put(order(currency="USD", exchange=rate))), Book)
    assert codes(apply(shop(), Put(order(exchange=rate)))) == [("exchange-amount", "currency-mismatch")]


def line(**more: object) -> b.OrderLine:
    return replace(order().lines[0], **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("wrong", "wanted"),
    [
        ({"price": None}, ("lines-0-price", "required")),
        ({"unit": "pieces"}, ("lines-0-unit", "unit")),
        ({"material": 2}, ("lines-0-unit", "unit")),
        ({"discount": d("24.81")}, ("lines-0-discount", "goods-below-zero")),
        ({"discount": d("100.1"), "discount_in": "percent"}, ("lines-0-discount", "number-range")),
        ({"total": d("24.805")}, ("lines-0-total", "number-decimals")),
    ],
)
def test_a_wrong_order_line_is_named_at_its_field(wrong: dict[str, object], wanted: tuple[str, str]) -> None:
    assert codes(apply(shop(), Put(order(lines=(line(**wrong),))))) == [wanted]


def test_a_discount_may_take_the_whole_line() -> None:
    assert isinstance(apply(shop(), Put(order(lines=(line(discount=d("24.80")),)))), Book)


def test_freight_by_mass_names_what_has_no_mass() -> None:
    tins = b.OrderLine(2, d("1"), d("48"), "pieces", price=d("30"))
    freight = b.Charge("freight", d("8"), share="mass")
    held = shop()
    wrong = apply(held, Put(order(lines=(*order().lines, tins), charges=(freight,))))
    assert codes(wrong) == [("charges-0-share", "mass-missing")]
    assert "Tin" in wrong[0].sentence  # type: ignore[index]
    weighed = apply(held, Put(b.Material(2, "Tin", kind="packaging", piece_grams=d("21"))))
    assert isinstance(weighed, Book)
    assert isinstance(apply(weighed, Put(order(lines=(*order().lines, tins), charges=(freight,)))), Book)


def test_tax_is_not_entered_twice() -> None:
    taxed = order(lines=(line(tax_rate=d("20")),), tax_total=d("4.96"))
    assert codes(apply(shop(), Put(taxed))) == [("tax_total", "tax-twice")]


@pytest.mark.parametrize(
    ("changed", "wanted"),
    [
        ({"lines": (replace(order().lines[0], price=d("0")),)}, ["zero-price"]),
        ({"lines": (replace(order().lines[0], price=d("0"), not_priced="sample"),)}, []),
        ({"lines": (replace(order().lines[0], arrived=d("2.5")),)}, ["arrived-more"]),
        ({"lines": (replace(order().lines[0], arrived=d("2")),)}, []),
        ({"day": LATER}, ["future-day"]),
    ],
)
def test_what_is_rare_is_asked(changed: dict[str, object], wanted: list[str]) -> None:
    assert [question.code for question in questions(shop(), [Put(order(**changed))])] == wanted


def bought(price: str, **more: object) -> b.Order:
    """Another order of 1 kg packs of shea butter, which costs 12.40 a kg in the book."""
    return order(id=-1, lines=(line(price=d(price), **more),))


@pytest.mark.parametrize(
    ("price", "words"),
    [
        ("6.20", None),  # half and double are not yet far
        ("24.80", None),
        # 1 - 2.48 / 12.40 = 0.8; 37.20 / 12.40 = 3
        ("2.48", "Shea butter would cost 80 % less than before: 2.48 instead of 12.40 EUR per kg. Is that right?"),
        (
            "37.20",
            "Shea butter would cost 3 times as much as before: 37.20 instead of 12.40 EUR per kg. Is that right?",
        ),
        ("6.19", "50.1 % less"),
        ("24.81", "2 times as much"),
        ("30.88", "would cost 2.5 times as much"),  # 2.4903…
    ],
)
def test_a_cost_far_from_the_present_one_is_asked(price: str, words: str | None) -> None:
    held = shop(order())
    asked = questions(held, [Put(bought(price))])
    assert [question.code for question in asked] == ([] if words is None else ["price-jump"])
    assert words is None or words in asked[0].sentence
    assert all(question.field == "lines-0-price" for question in asked)


def test_a_jump_is_asked_at_each_line_and_not_of_what_sets_no_price_or_stays_as_it_is() -> None:
    tins = b.Order(41, 50, DAY, (b.OrderLine(2, d("1"), d("100"), "pieces", price=d("40")),))
    held = shop(order(), tins)
    dear = b.OrderLine(2, d("1"), d("10"), "pieces", price=d("10"))
    butter, tin = questions(held, [Put(order(id=-1, lines=(line(price=d("1")), dear)))])
    assert (butter.field, tin.field) == ("lines-0-price", "lines-1-price")
    assert "Shea butter would cost 91.9 % less than before: 1.00 instead of 12.40 EUR per kg." in butter.sentence
    assert "Tin would cost 2.5 times as much as before: 1.00 instead of 0.40 EUR per piece." in tin.sentence
    assert butter.answer != tin.answer
    small = b.OrderLine(2, d("1"), d("3000"), "pieces", price=d("100"))
    (cheaper,) = questions(held, [Put(order(id=-1, lines=(small,)))])
    assert "0.03333 instead of 0.40 EUR per piece" in cheaper.sentence  # 100 / 3000, five decimals below 1
    assert questions(held, [Put(bought("1", not_priced="sample"))]) == ()
    assert questions(held, [Put(bought("30", discount=d("20")))]) == ()
    cheap = shop(order(), replace(bought("1"), id=42, day=EARLIER))
    assert questions(cheap, [Put(replace(bought("1"), id=42, day=EARLIER, note="found it"))]) == ()
    assert questions(cheap, [Put(replace(bought("2"), id=42, day=EARLIER))]) != ()


def test_an_answer_holds_for_what_was_read_and_for_nothing_else() -> None:
    """Another figure is another question; the same one at another line, asked twice, has two answers."""
    held = shop(order())
    (once,) = questions(held, [Put(bought("1"))])
    assert questions(held, [Put(replace(bought("1"), note="found it"))])[0].answer == once.answer
    assert questions(held, [Put(bought("1.10"))])[0].answer != once.answer
    free = line(price=d("0"))
    first, second = questions(held, [Put(order(id=-1, lines=(free, free)))])
    assert first.sentence == second.sentence
    assert first.answer != second.answer


def jar(**more: object) -> b.Product:
    return replace(b.Product(20, "Jar", EARLIER, fills=(b.Fill(10, d("100")),)), **more)  # type: ignore[arg-type]


def kitchen(**formula: object) -> Book:
    melt = replace(base(b.FormulaLine(material=1, amount=d("100"))), batch_grams=d("1000"), **formula)  # type: ignore[arg-type]
    return book(butter(), melt, b.Material(2, "Tin", kind="packaging", holds_ml=d("100")), b.Person(60, "Ann"))


def test_a_batch_must_leave_a_jar_to_sell() -> None:
    assert isinstance(apply(kitchen(), Put(jar(set_aside=d("9")))), Book)
    assert codes(apply(kitchen(), Put(jar(set_aside=d("10"))))) == [("set_aside", "no-jar")]
    assert codes(apply(kitchen(), Put(jar(fills=(b.Fill(10, d("1000.000001")),))))) == [("fills-0-declared", "no-jar")]
    assert isinstance(apply(kitchen(), Put(jar(fills=(b.Fill(10, d("1000")),)))), Book)


def test_whether_a_batch_leaves_a_jar_by_volume_is_asked_once_its_density_is_known() -> None:
    """1000 g: a jar of 2000 mL at 0.9 g/mL would take 1800 g."""
    huge = jar(fills=(b.Fill(10, d("2000"), "mL"),))
    assert isinstance(apply(kitchen(), Put(huge)), Book)
    assert codes(apply(kitchen(density=d("0.9")), Put(huge))) == [("fills-0-declared", "no-jar")]


def test_losing_the_whole_batch_is_refused() -> None:
    assert codes(apply(kitchen(), Put(jar(loss_grams=d("1000"))))) == [("batch_grams", "all-lost")]


def test_a_product_needs_something_in_it() -> None:
    assert ("fills", "required") in codes(apply(kitchen(), Put(jar(fills=()))))


def test_overrides_belong_to_one_filling() -> None:
    two = jar(fills=(b.Fill(10, d("100")), b.Fill(10, d("50"))), batch_grams=d("500"), set_aside=d("1"))
    assert codes(apply(kitchen(), Put(two))) == [("batch_grams", "one-fill"), ("set_aside", "one-fill")]


def test_a_set_cannot_hold_itself() -> None:
    held = apply(kitchen(), Put(jar()))
    assert isinstance(held, Book)
    box = b.Product(21, "Box", EARLIER, members=(b.Member(20),))
    with_box = apply(held, Put(box))
    assert isinstance(with_box, Book)
    loop = replace(jar(), members=(b.Member(21),))
    assert codes(apply(with_box, Put(loop))) == [("members-0-product", "cycle")]


def test_more_than_the_jar_holds_is_asked() -> None:
    held = kitchen(density=d("0.9"))
    tin = b.Part(material=2)
    timed = (b.Work(60, per_jar=d("2")),)
    over = jar(fills=(b.Fill(10, d("60")),), parts=(tin,), work=timed)
    assert questions(held, [Put(over)]) == ()
    heavy = jar(fills=(b.Fill(10, d("90.1")),), parts=(tin,), work=timed)
    assert [question.code for question in questions(held, [Put(heavy)])] == ["overfull"]
    exact = jar(fills=(b.Fill(10, d("90")),), parts=(tin,), work=timed)
    assert questions(held, [Put(exact)]) == ()


@pytest.mark.parametrize(
    ("spoiled", "asked"), [("0", []), ("49.9", []), ("50", ["much-spoiled"]), ("150", ["much-spoiled"])]
)
def test_very_many_spoiled_are_asked(spoiled: str, asked: list[str]) -> None:
    held, parts = kitchen(), (b.Part(material=2, spoiled=d(spoiled)),)
    timed = (b.Work(60, per_jar=d("2")),)
    assert [one.code for one in questions(held, [Put(jar(parts=parts, work=timed))])] == asked
    group = b.PartGroup(30, "Dressed tin", EARLIER, parts)
    assert [one.code for one in questions(held, [Put(group)])] == asked
    if asked:
        words = questions(held, [Put(group)])[0].sentence
        assert f"{int(spoiled) + 100} are paid for" in words


def test_a_jar_without_working_time_is_asked_where_somebody_works() -> None:
    held = kitchen()
    assert [question.code for question in questions(held, [Put(jar())])] == ["no-minutes"]
    assert questions(held, [Put(jar(work=(b.Work(60, per_jar=d("0")),)))]) == ()
    assert questions(replace(held, people={}), [Put(jar())]) == ()
    timed = replace(held.formulas[10], work=(b.Work(60, per_batch=d("30")),))
    assert questions(replace(held, formulas={10: timed}), [Put(jar())]) == ()
    in_set = replace(held, products={20: jar(work=(b.Work(60, per_jar=d("1")),))})
    assert questions(in_set, [Put(b.Product(21, "Box", EARLIER, members=(b.Member(20),)))]) == ()


def test_what_is_counted_cannot_be_melted() -> None:
    assert codes(apply(kitchen(), Put(base(b.FormulaLine(material=2, amount=d("100")), id=11, name="Odd")))) == [
        ("lines-0-material", "reference")
    ]


@pytest.mark.parametrize(
    ("wrong", "wanted"),
    [
        ({"pitch": d("30")}, ("jars_a_day", "required")),
        ({"endings": "x95"}, ("endings", "endings")),
        ({"endings": ".995"}, ("endings", "endings")),
        ({"step": d("0.005")}, ("step", "endings")),
        ({"endings": ".95", "step": d("0.5")}, ("step", "choice")),
        ({"share_paid": d("60"), "share_net": d("40")}, ("share_paid", "number-range")),
        ({"tax": "in", "tax_rate": d("100"), "share_paid": d("50")}, ("share_paid", "number-range")),
    ],
)
def test_a_channel_that_cannot_be_reckoned_is_refused(wrong: dict[str, object], wanted: tuple[str, str]) -> None:
    channel = replace(b.Channel(30, "Stall", EARLIER), **wrong)  # type: ignore[arg-type]
    assert codes(apply(Book(DAY), Put(channel))) == [wanted]


@pytest.mark.parametrize(
    ("changed", "wanted"),
    [
        ({}, ["consignment-share"]),
        ({"share_paid": d("40")}, []),
        ({"share_net": d("40")}, []),
        ({"kind": "stall"}, []),
    ],
)
def test_a_shop_on_consignment_that_keeps_nothing_is_asked_about(changed: dict[str, object], wanted: list[str]) -> None:
    channel = replace(b.Channel(30, "Salon", EARLIER, kind="consignment"), **changed)  # type: ignore[arg-type]
    assert [question.code for question in questions(Book(DAY), [Put(channel)])] == wanted


def test_home_currency_stays_once_amounts_are_kept() -> None:
    held = apply(shop(), Put(order()))
    assert isinstance(held, Book)
    assert codes(apply(held, Put(replace(held.workshop, currency="GBP")))) == [("currency", "in-use")]
    assert isinstance(apply(shop(), Put(replace(held.workshop, currency="GBP"))), Book)


def test_a_wage_and_a_density_of_a_day_to_come_leave_those_that_hold() -> None:
    now, then = b.Wage(EARLIER, d("15")), b.Wage(LATER, d("18"))
    held = book(b.Person(60, "Ann", wage=now))
    after = apply(held, Put(b.Person(60, "Ann B.", wage=then)))
    assert isinstance(after, Book)
    assert after.people[60] == b.Person(60, "Ann B.", wage=now)
    weighed = apply(book(butter()), Put(butter(density=b.Density(LATER, d("0.9"), None, "weighed"))))
    assert isinstance(weighed, Book)
    assert weighed.materials[1].density is None


def test_withdrawing_an_order_takes_it_out() -> None:
    held = apply(shop(), Put(order()))
    assert isinstance(held, Book)
    assert apply(held, Withdraw("order", 40)) == shop()
    assert codes(apply(shop(), Withdraw("order", 40))) == [("", "not-found")]


def test_a_quote_that_a_price_rests_on_stays() -> None:
    quote = b.Quote(70, 1, 50, EARLIER, LATER, d("1"), "kg", d("11"))
    held = apply_all(shop(), [Put(quote), Put(butter(quote=70))])
    assert isinstance(held, Book)
    assert codes(apply(held, Withdraw("quote", 70))) == [("", "in-use")]


def test_new_things_get_their_ids_everywhere() -> None:
    new = base(b.FormulaLine(material=-1, amount=d("100")), id=-2, work=(b.Work(-3),))
    assert renumber(Put(new), {-1: 7, -2: 8, -3: 9}) == Put(
        base(b.FormulaLine(material=7, amount=d("100")), id=8, work=(b.Work(9),))
    )
    price = b.Price(-2, -4, DAY, d("3"))
    assert renumber(Put(price), {-2: 8, -4: 5}) == Put(b.Price(8, 5, DAY, d("3")))


def test_a_change_says_what_it_is_about() -> None:
    assert key_of(b.Price(20, 30, DAY, d("3"))) == ("price", (20, 30))
    assert affected(Put(butter())) == ("material", 1)
    assert affected(Withdraw("order", 40)) == ("order", 40)
    assert affected(Retire("formula", 10, DAY)) == ("formula", 10)


def test_nothing_of_a_pair_of_changes_holds_when_the_second_fails() -> None:
    assert codes(apply_all(Book(DAY), [Put(butter()), Put(b.Material(2, "shea  BUTTER"))])) == [("name", "duplicate")]


def test_prices_placed_at_once_are_as_if_placed_one_by_one() -> None:
    start, _ = example_book(DAY)
    news = [
        Put(replace(price, since=day, amount=price.amount + number))
        for number, price in enumerate(start.prices.values())
        for day in (DAY, EARLIER, LATER)
    ]
    one_by_one: object = start
    for change in news:
        assert isinstance(one_by_one, Book)
        one_by_one = apply(one_by_one, change)
    assert apply_all(start, news) == one_by_one
    wrong = Put(replace(next(iter(start.prices.values())), amount=d("1.001")))
    assert codes(apply_all(start, [*news, wrong, *news])) == [("amount", "number-decimals")]
