"""What an invoice says of all its lines at once: a difference to their sum, and one rate of tax.

The difference is put in as a charge or a discount, the rate on whatever has none.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from webapp.costing.amounts import ZERO, plain
from webapp.costing.gaps import Figure
from webapp.pages.rendering import Desk
from webapp.pages.typed import Typed

#: what the buttons beside a difference ask for -> the kind of charge that is put in, and whether it is taken off
SAME_TAX = "same-tax"
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


def rate_to_type(typed: Typed) -> tuple[tuple[str, str], ...]:
    """The fault at the first line where one tax is asked for and none is typed yet."""
    if any(not _untaxed(row) for name in ("lines", "charges") for row in _rows(typed, name)):
        return ()
    return (("lines-0-tax_rate", "Type the rate of tax here, then press “One tax for all” again."),)


def taxed_alike(typed: Typed) -> Typed:
    """The same form with the rate of the first line that has one on every line and charge that says none."""
    rows = [row for name in ("lines", "charges") for row in _rows(typed, name)]
    first = next((row for row in rows if not _untaxed(row)), None)
    if first is None:
        return typed
    tax = {name: first[name] for name in ("tax_rate", "tax_included") if name in first}
    data = dict(typed.data)
    for name, begun in (("lines", "material"), ("charges", "amount")):
        if isinstance(data.get(name), list):
            data[name] = [
                {**row, **tax} if isinstance(row, dict) and row.get(begun, "").strip() and _untaxed(row) else row
                for row in data[name]
            ]
    return replace(typed, data=data)


def _rows(typed: Typed, name: str) -> list[dict[str, str]]:
    found = typed.data.get(name)
    return [row for row in found if isinstance(row, dict)] if isinstance(found, list) else []


def _untaxed(row: dict[str, str]) -> bool:
    return row.get("tax_rate", "").strip() in ("", "0")
