"""Notes of freight beside a price: an amount of it, or that it comes on top, is asked; what is free or inside not."""

from __future__ import annotations

from decimal import Decimal

import pytest

from tests.costing.own.test_sheets import costs, read, sentences
from webapp.costing.own.freight_notes import says_freight
from webapp.costing.own.told import Told

HEADS = "Date|Supplier|What|Pack|No. of packs|Total|Notes"
POINT = Told(sign=".", days="day first")


@pytest.mark.parametrize(
    "note",
    [
        "+ 4.50 postage", "+\u00a34.50 postage", "postage 4.50", "Postage: 4,50", "P&P 4.50 on top", "4.50 carriage",
        "plus 2.40 delivery", "plus delivery", "plus 4.50 p&p", "p+p 3", "postage extra", "delivery charge is extra",
        "postage on top", "postage not included", "excl. delivery", "without postage", "zzgl. 4,90 Versand",
        "Versandkosten 4,90 \u20ac", "Porto 3,50", "frais de port 5,90", "frais d'exp\u00e9dition en sus", "port 5",
        "plus $12 shipping for the order", "5 postage for the order", "delivery was 6, split", "Post 3.20",
        "shipping & handling 7.50", "incl VAT, postage 4.50", "postage 4.50 incl VAT", "delivery paid 4.50",
        "free sample, + 2.40 postage", "doesn't include postage",
    ],
)  # fmt: skip
def test_freight_with_an_amount_or_on_top_is_asked(note: str) -> None:
    """37.00 for 500 labels are 0.074 each; with 4.50 of postage they were 0.083, left out without a word."""
    assert says_freight(note)
    text = f"{HEADS}\n10/02/2025|Fennimore|Labels|250 pieces|2|37.00|{note}\n10/02/2025|Fennimore|Lids|50 pcs|1|9|nice"
    asked = read(text, told=POINT)
    assert [(one.cell, one.choice.partition("-")[0]) for one in asked.wrong] == [("G2", "note")], sentences(asked)
    assert read(text, told=POINT, notes={"s0_r2": "as"}).good
    mended = read(text, told=POINT, fixes={"s0_r2_c5": "41.50"})
    assert mended.good
    assert costs(mended)["Labels"] == Decimal("0.083")


@pytest.mark.parametrize(
    "note",
    [
        "free delivery", "free delivery over 40", "delivery free over 40", "incl. postage", "inc p&p 4.50",
        "postage included", "postage 4.50 included", "postage 4.50 already in the price", "no postage",
        "carriage paid", "post free", "portofrei", "kein Porto", "incl. 4,90 Versand", "delivery next week",
        "delivery 12/3", "delivery 12 March", "next day delivery 12 March", "delivery in 3 days", "delivery 3-5 days",
        "48h delivery", "Lieferung 2 Wochen", "shipping weight 12 kg", "postage 0", "delivery 2 of 3",
        "2 shipping boxes", "delivery note 4417", "heavy duty", "port wine", "24mm transport cap", "import 12",
        "delivered 3 days late", "order no. 4417/3 delivery by van",
    ],
)  # fmt: skip
def test_freight_that_is_free_or_inside_and_days_and_counts_ask_nothing(note: str) -> None:
    assert not says_freight(note)
    assert read(f"{HEADS}\n10/02/2025|Fennimore|Labels|250 pieces|2|37.00|{note}", told=POINT).good
