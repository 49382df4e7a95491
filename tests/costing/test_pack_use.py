"""How much of a material is used in a month and in planned batches. Expected figures are from paper."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from tests.costing.making import (
    BUTTER,
    INFUSED,
    JAR,
    LID,
    OIL,
    PLAIN_BUTTER,
    SEALED,
    SET,
    SHEA,
    TUB,
    D,
    fill,
    formula,
    gap,
    line,
    product,
    reckoned,
)
from tests.costing.test_line import SHOP, STALL, STALLED, channel, selling
from webapp.costing.amounts import snap
from webapp.costing.book import Book, Member, Part
from webapp.costing.gaps import Ref
from webapp.costing.pack_use import keeps, planned, use
from webapp.costing.reckoning import Reckoning

#: 100 g of 60 % shea and 40 % oil: ten jars of a batch of 1000 g; a jar, and a lid of which 10 in 100 are spoiled
TUBS = product(TUB, fill(BUTTER, "100"), parts=(Part(group=SEALED),))


def sold(*things: Any, **facts: Any) -> Reckoning:
    return Reckoning(selling(STALLED, channel(SHOP, "online"), *things, **facts))


def test_a_month_takes_the_jars_sold_times_what_a_jar_pays_for() -> None:
    known = sold(TUBS, sales=[(TUB, STALL, "30"), (TUB, SHOP, "20")])
    # 50 jars x 60 g, x 40 g, x 1 jar, x 1.1 lids
    assert [use(known, one).a_month for one in (SHEA, OIL, JAR, LID)] == [D(3000), D(2000), D(50), D(55)]
    assert use(known, SHEA).of == ((TUB, D(3000)),)


def test_losses_and_jars_set_aside_are_used_too() -> None:
    lossy = formula(BUTTER, line(SHEA, "60"), line(OIL, "40"), batch_grams="1000", loss="10")
    known = sold(lossy, replace(TUBS, set_aside=D(1)), sales=[(TUB, STALL, "8")])
    # 900 g fill nine jars, eight are good: each pays for 1000 / 8 x 60 % = 75 g and 9 / 8 of a jar
    assert use(known, SHEA).a_month == D(600)
    assert use(known, JAR).a_month == D(9)


def test_a_set_uses_what_is_in_it() -> None:
    gift = product(SET, members=(Member(TUB, D(2)),), parts=(Part(JAR),))
    known = sold(TUBS, gift, sales=[(SET, STALL, "10")])
    assert use(known, SHEA).a_month == D(1200)
    assert use(known, JAR).a_month == D(30)
    assert use(known, SHEA).unsold == (TUB,)


def test_without_any_sale_it_is_not_known_and_says_where_to_type_it() -> None:
    reason = gap(use(sold(TUBS), SHEA).a_month)
    assert "Tub" in reason.reason
    assert reason.cure == Ref("product", TUB)
    assert "in no product" in gap(use(sold(), OIL).a_month).reason


def test_a_product_that_sells_and_cannot_be_reckoned_makes_it_missing_by_name() -> None:
    boundless = formula(BUTTER, line(SHEA, "60"), line(OIL, "40"))
    reason = gap(use(sold(boundless, TUBS, sales=[(TUB, STALL, "30")]), SHEA).a_month)
    assert reason.reason.startswith("Tub: ")
    assert use(sold(boundless, TUBS, sales=[(TUB, STALL, "30")]), LID).a_month == D(33)


def test_a_product_that_was_put_away_uses_nothing() -> None:
    book: Book = sold(TUBS, sales=[(TUB, STALL, "30")]).book
    away = replace(book, products={TUB: replace(TUBS, retired=book.day)})
    assert "in no product" in gap(use(Reckoning(away), SHEA).a_month).reason


def test_planned_batches_take_their_grams_through_every_pre_blend() -> None:
    # the infused oil loses a tenth: 400 g of it take 400 / 0.9 = 444.44… g of oil
    infused = formula(INFUSED, line(OIL, "100"), batch_grams="2000", loss="10", made_ahead=True)
    butter = formula(BUTTER, line(SHEA, "60"), line(INFUSED, "40", blend=True), batch_grams="1000")
    found = planned(reckoned(infused, butter), BUTTER, D(3))
    assert {one: snap(amount) for one, amount in dict(found).items()} == {SHEA: D(1800), OIL: snap(D(12000) / 9)}  # type: ignore[arg-type]


def test_a_batch_without_its_size_asks_for_it() -> None:
    boundless = formula(BUTTER, line(SHEA, "60"), line(OIL, "40"))
    assert "Type the batch size" in gap(planned(reckoned(boundless), BUTTER, D(1))).reason


def test_an_ingredient_keeps_as_long_as_its_shelf_life_and_packaging_for_good() -> None:
    known = reckoned(PLAIN_BUTTER)
    assert keeps(known, JAR) is None
    assert gap(keeps(known, SHEA)).cure == Ref("material", SHEA, "shelf_months")
    materials = {**known.book.materials, SHEA: replace(known.book.materials[SHEA], shelf_months=D(24))}
    assert keeps(Reckoning(replace(known.book, materials=materials)), SHEA) == D(24)
