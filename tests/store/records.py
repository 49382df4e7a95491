"""A small workshop with a record of every kind, and a change of each."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from webapp.costing import book as b
from webapp.costing.changes import Change, Put

EARLY = date(2026, 1, 1)


def every_kind() -> list[Change]:
    """Something of every kind; each refers only to what stands before it."""
    records: list[b.Record] = [
        b.Workshop(name="Juniper Lane", contact="Ada\n1 Mill Row"),
        b.Terms(since=EARLY, registered=True, making_hours=Decimal(60)),
        b.Person(-1, "Ada", wage=b.Wage(EARLY, Decimal("18.5"), Decimal(20))),
        b.Bill(-2, "Rent", EARLY, Decimal(300)),
        b.Supplier(-3, "Mill"),
        b.Material(
            -4,
            "Shea",
            density=b.Density(EARLY, Decimal("0.91"), Decimal(25), "printed"),
            starting=b.StartingPrice(Decimal("12.3456"), "kg"),
        ),
        b.Material(-5, "Jar", kind="packaging", piece_grams=Decimal("85.000001")),
        b.Order(
            -6,
            -3,
            EARLY,
            (
                b.OrderLine(-4, Decimal("2.5"), Decimal(5), "kg", Decimal("60.25")),
                b.OrderLine(-5, Decimal(1), Decimal(48), "pieces", Decimal(40)),
            ),
            (b.Charge("freight", Decimal("9.99")),),
            currency="USD",
            exchange=b.Exchange("home per unit", Decimal("0.912345")),
            tax_total=Decimal(3),
        ),
        b.Review(-4, EARLY, reason="asked the mill"),
        b.Quote(-7, -4, -3, EARLY, date(2027, 1, 1), Decimal(10), "kg", Decimal(110)),
        b.Formula(
            -8,
            "Butter",
            EARLY,
            (b.FormulaLine(-4, amount=Decimal(100)),),
            batch_grams=Decimal(1000),
            work=(b.Work(-1, Decimal(30)),),
            pot_grams=Decimal("2500.5"),
        ),
        b.PartGroup(-9, "Closing", EARLY, (b.Part(-5, None, Decimal(1), Decimal(2)),)),
        b.Channel(
            -10,
            "Stall",
            EARLY,
            work=(b.SellingTime(-1, Decimal(2), Decimal(6)),),
            pitch=Decimal(25),
            jars_a_day=Decimal(20),
            least_order=Decimal("150.5"),
            list_terms="14 days\nCarriage paid",
        ),
        b.Product(
            -11,
            "Butter 100 g",
            EARLY,
            (b.Fill(-8, Decimal(100)),),
            (b.Part(None, -9),),
            (),
            (b.Work(-1, per_jar=Decimal(2)),),
            (b.OneOff("Plate", Decimal(80), Decimal(500)),),
            channels=(-10,),
            case_jars=Decimal(12),
        ),
        b.Product(-12, "Pair", EARLY, members=(b.Member(-11, Decimal(2)),)),
        b.Price(-11, -10, EARLY, Decimal("14.5"), "first", Decimal(9), Decimal(14)),
        b.Target(-11, -10, EARLY, Decimal(45)),
        b.Sales(-11, -10, EARLY, Decimal("12.5")),
        b.MadeBatch(
            -13,
            EARLY,
            -8,
            (b.Weighed(-4, None, Decimal(1000), Decimal("1001.5")),),
            (b.Filled(-11, Decimal(9)),),
            (b.Spent(-1, Decimal("42.5")),),
            "warm",
        ),
    ]
    return [Put(record) for record in records]
