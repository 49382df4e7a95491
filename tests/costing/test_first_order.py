"""The first order of a candidate's parts: how long it lasts, what it ties up; do its jars sell while they keep."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from tests.costing.sizing import BOOK, DAY, IDS, KNOWN, D, asked, big, rounded
from webapp.costing.book import Book, Quote, Supplier
from webapp.costing.gaps import Gap, Ref
from webapp.costing.reckoning import Reckoning
from webapp.costing.size_answers import answer
from webapp.costing.size_facts import CandidateAnswer


def found(known: Reckoning = KNOWN, jars: Any = "10", **typed: Any) -> CandidateAnswer:
    return answer(known, asked(big(way="typed", price="17", **typed), jars=jars)).candidates[0]


@pytest.mark.parametrize(
    ("typed", "pieces", "cash", "lasts"),
    [
        # 19 tins a batch with one in a hundred spoiled: 19.19, so 20 pieces; 10.1 a month at ten sold
        ({}, "20", "12.40", "1.98"),
        ({"jar_least": "50"}, "50", "31.00", "4.95"),
        # less than a batch needs is not enough to fill it
        ({"jar_least": "12"}, "20", "12.40", "1.98"),
        # 60 at 0.50 are 30.00: less than 50 at 0.62
        ({"jar_least": "50", "jar_from": "60", "jar_then": "0.50"}, "60", "30.00", "5.94"),
        ({"jar_least": "50", "jar_from": "63", "jar_then": "0.50"}, "50", "31.00", "4.95"),
        # the batch itself reaches the first break
        ({"jar_from": "15", "jar_then": "0.60", "jar_from_2": "40", "jar_then_2": "0.40"}, "20", "12.00", "1.98"),
        ({"jar_from": "15", "jar_then": "0.60", "jar_from_2": "25", "jar_then_2": "0.40"}, "25", "10.00", "2.48"),
    ],
)
def test_a_new_part_is_ordered_for_the_least_cash(typed: dict[str, Any], pieces: str, cash: str, lasts: str) -> None:
    (part,) = found(**typed).parts
    assert (rounded(part.needed), part.pieces, rounded(part.cash), rounded(part.lasts)) == (
        "10.10", D(pieces), cash, lasts,
    )  # fmt: skip
    assert part.price == part.cash / part.pieces
    assert not part.used


def test_the_next_price_break_says_what_it_would_change() -> None:
    """300 at 0.45 cost 135.00 and last 29.70 months; a jar, with one in a hundred spoiled, is 0.1717 cheaper."""
    (part,) = found(jar_least="50", jar_from="300", jar_then="0.45", jar_from_2="900", jar_then_2="0.4").parts
    assert (part.next_from, part.next_price, part.next_cash) == (D(300), D("0.45"), D(135))
    assert rounded(part.next_lasts) == "29.70"  # type: ignore[arg-type]
    assert rounded(part.saves, 4) == "0.1717"  # type: ignore[arg-type]


def test_what_nothing_else_uses_ties_up_cash() -> None:
    one = found(jar_least="50", lid_name="Foil", lid_price="0.10", lid_least="100")
    assert [rounded(part.cash) for part in one.parts] == ["31.00", "10.00"]
    assert one.tied_up == D(41)


def without(*products: str) -> Book:
    gone = {IDS[key]: replace(BOOK.products[IDS[key]], retired=DAY) for key in products}
    return replace(BOOK, products={**BOOK.products, **gone})


def test_a_known_part_comes_in_the_cheapest_whole_packs() -> None:
    """A box of 100 tins at 47.50 and 32.00 of freight, as on the last order of that supplier; 90 g: 21 tins a batch.

    The tin of 90 g has it in it already, so nothing is tied up for the candidate; without that product, all of it.
    """
    known_tin: dict[str, Any] = {"jar": IDS["tin-100"], "jar_name": "", "jar_price": None, "declared": "90"}
    one = found(**known_tin)
    (part,) = one.parts
    assert (part.pieces, part.cash, part.used) == (D(100), D("79.50"), True)
    assert rounded(part.lasts) == "9.90"
    assert one.tied_up == 0
    alone = found(Reckoning(without("pomade-90")), **known_tin)
    assert (alone.parts[0].used, alone.tied_up) == (False, D("79.50"))


def test_a_known_part_that_nobody_offers_is_taken_at_what_it_costs() -> None:
    """Labels have a starting price of 0.085 only: 20 more pieces, in place of a tin."""
    (part,) = found(jar=IDS["label"], jar_name="", jar_price=None).parts
    assert (part.pieces, part.cash) == (D(60), D(60) * D("0.085"))  # two labels with 5 spoiled, and one with 1: 59.09


def test_a_part_that_more_offer_than_can_be_compared_for_sure_says_so() -> None:
    mills = {number: Supplier(number, f"Mill {number}") for number in range(9001, 9010)}
    home = BOOK.workshop.currency
    quotes = {
        number: Quote(number, IDS["tin-100"], number, DAY, DAY, D(100), "pieces", D(50), home) for number in mills
    }  # fmt: skip
    book = replace(BOOK, suppliers={**BOOK.suppliers, **mills}, quotes={**BOOK.quotes, **quotes})
    (part,) = found(Reckoning(book), jar=IDS["tin-100"], jar_name="", jar_price=None, declared="90").parts
    for figure in (part.pieces, part.cash, part.lasts):
        assert isinstance(figure, Gap)
        assert "suppliers are too many to be sure of the cheapest" in figure.reason


def test_a_part_without_any_price_is_a_gap_that_says_why() -> None:
    one = found(Reckoning(without("pomade-15")), jar=IDS["tin-20"], jar_name="", jar_price=None, declared="15")
    assert isinstance(one.tied_up, Gap)
    assert one.tied_up.reason.startswith("Travel tin 20 mL has no price yet.")


@pytest.mark.parametrize("typed", [{}, {"jar": IDS["tin-100"], "jar_name": "", "jar_price": None}])
def test_without_a_batch_nobody_knows_how_many_are_ordered(typed: dict[str, Any]) -> None:
    formula = replace(BOOK.formulas[IDS["pomade"]], batch_grams=None)
    one = found(Reckoning(replace(BOOK, formulas={**BOOK.formulas, formula.id: formula})), **typed)
    (part,) = one.parts
    for figure in (part.jars, part.batch, part.pieces, part.cash):
        assert isinstance(figure, Gap)
        assert figure.cure == Ref("formula", formula.id, "batch_grams")
    assert rounded(part.needed) == "10.10"


def test_how_long_it_lasts_needs_the_jars_a_month() -> None:
    (part,) = found(jars=None).parts
    assert isinstance(part.lasts, Gap)
    assert part.lasts.reason == "How many jars do you expect to sell a month? Type it."
    (part,) = found(jars="0").parts
    assert isinstance(part.lasts, Gap)
    assert rounded(part.cash) == "12.40"


def test_jars_set_aside_need_their_tin_too() -> None:
    """18 good tins of 19 filled: 1.01 x 19 / 18 a good one; a batch still takes 20."""
    aside = replace(BOOK.products[IDS["pomade-50"]], set_aside=D(1))
    known = Reckoning(replace(BOOK, products={**BOOK.products, aside.id: aside}))
    (part,) = found(known).parts
    assert rounded(part.needed, 4) == "10.6611"
    assert part.pieces == 20


# --- shelf life


def keeping(months: str | None) -> Reckoning:
    formula = replace(BOOK.formulas[IDS["pomade"]], shelf_months=None if months is None else D(months))
    return Reckoning(replace(BOOK, formulas={**BOOK.formulas, formula.id: formula}))


def test_jars_that_would_not_sell_while_they_keep_are_said() -> None:
    """19 tins a batch; two a month for six months are twelve, so seven are left over. Four a month sell all of it."""
    one = found(keeping("6"), jars="2")
    assert one.shelf == (D(19), D(6), D(12), D(7))
    assert "unsold" in one.remarks
    four = found(keeping("6"), jars="4")
    assert four.shelf == (D(19), D(6), D(24), D(0))
    assert "unsold" not in four.remarks


def test_a_formula_that_nobody_said_how_long_it_keeps_is_asked_about() -> None:
    shelf = found(keeping(None)).shelf
    assert shelf is not None
    assert shelf.months is None
    assert isinstance(shelf.unsold, Gap)
    assert shelf.unsold.cure is not None
    assert (shelf.unsold.cure.kind, shelf.unsold.cure.field) == ("formula", "shelf_months")
