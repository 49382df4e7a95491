"""Yield and normal loss: the cost of what is lost is borne by what comes out."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from tests.costing.making import DAY, SHEA
from tests.published.making import example, near, sheet, unit_book
from webapp.costing.book import Charge, Order, OrderLine, Supplier
from webapp.costing.weighing import yield_of


def test_normal_loss_is_borne_by_the_good_kilos() -> None:
    """Y01: Kaplan, ACCA F2 workbook (c. 2017), ch. 9, normal loss without scrap value. Standing: see the data file.

    1000 kg of input become jars of 1 kg; the lump of labour is one hour, the lump of overhead that hour's.
    """
    given, answers = example("Y01")
    one = sheet(
        unit_book(
            units=given["input_kg"],
            unit_cost=given["material_per_kg"],
            loss=given["normal_loss_pct"],
            hours="1",
            wage=given["labour"],
            overhead=given["overhead"],
            planned_hours="1",
        )
    )
    assert near(one.full, answers["cost_per_kg"])
    jars = one.fills[0].jars
    assert jars == 900
    assert near(one.full * jars, answers["total"])


def test_what_the_scrap_earns_is_taken_off_the_input() -> None:
    """Y05: OpenTuition, ACCA tutor answers, F2 revision part 4. Standing: see the data file.

    The scrap's value is a credit on the order; labour and overhead together are the hour of the batch.
    """
    given, answers = example("Y05")
    units, loss = Decimal(given["units_in"]), Decimal(given["normal_loss_pct"])
    scrap = units * loss / 100 * Decimal(given["scrap_value"])
    order = Order(
        9,
        8,
        DAY,
        (OrderLine(SHEA, units, Decimal(1), "kg", total=Decimal(given["material"])),),
        (Charge("credit", scrap),),
    )
    book = unit_book(units=given["units_in"], unit_cost="1", loss=str(loss), hours="1", wage=given["labour_oh"])
    one = sheet(replace(book, orders={9: order}, suppliers={8: Supplier(8, "Stuff & Co")}))
    jars = one.fills[0].jars
    assert near(jars, answers["units_out"])
    assert near(one.full * jars, answers["net_cost"])


def test_what_is_bought_less_the_trim_is_usable() -> None:
    """Y07: BC Cook Articulation Committee (BCcampus, 2015), ch. 12, yield testing. Standing: see the data file."""
    given, answers = example("Y07")
    for name, usable in (("tenderloin", "tenderloin_usable"), ("salmon", "salmon_usable")):
        bought, trim = Decimal(given[name]["bought"]), Decimal(given[name]["trim"])
        assert yield_of(bought, Decimal(0), trim) == Decimal(answers[usable])
    carrots = {name: Decimal(grams) for name, grams in given["carrots"].items()}
    lost = 100 * (1 - carrots["usable"] / carrots["bought"])
    assert yield_of(carrots["bought"], lost, Decimal(0)) == carrots["usable"]
