"""What an invoice says beside what its lines and charges come to: the difference put in as a charge or a discount."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from webapp.costing.amounts import ZERO, plain
from webapp.costing.gaps import Figure
from webapp.pages.rendering import Desk
from webapp.pages.typed import Typed

#: what the buttons beside a difference ask for -> the kind of charge that is put in, and whether it is taken off
KINDS = {"as-freight": ("freight", False), "as-charge": ("other", False), "as-discount": ("discount", True)}


def settled(desk: Desk, typed: Typed, difference: Figure | None) -> Typed:
    """The same form with one charge more that makes up the difference, where the button fits what is missing."""
    kind, taken_off = KINDS[typed.more]
    if not isinstance(difference, Decimal) or difference == ZERO or (difference < ZERO) != taken_off:
        return typed
    charge = {"kind": kind, "amount": plain(abs(difference), desk.notation.decimal_sign, 2)}
    given = typed.data.get("charges")
    charges = [one for one in given if isinstance(one, dict) and one.get("amount", "").strip()] if given else []
    fields = {"money": "order", "share": "value", "label": "", "tax_rate": "0"}
    return replace(typed, data={**typed.data, "charges": [*charges, {**fields, **charge}]})
