"""What an invoice says of all its lines at once: a difference to their sum, and one rate of tax.

The difference is put in as a charge or a discount, the rate on whatever has none.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from webapp.costing.amounts import ZERO, Unreadable, plain
from webapp.costing.gaps import Figure
from webapp.costing.limits import TAX_RATE
from webapp.pages.buy.on_the_spot import ALL_INCLUDED, ALL_RATE, FOR_ALL
from webapp.pages.rendering import Desk
from webapp.pages.typed import Typed

#: what the buttons beside a difference ask for -> the kind of charge that is put in, and whether it is taken off
SAME_TAX = "same-tax"
KINDS = {"as-freight": ("freight", False), "as-charge": ("other", False), "as-discount": ("discount", True)}

Faults = tuple[tuple[str, str], ...]


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


def rate_to_type(desk: Desk, typed: Typed) -> Faults:
    """The fault at the rate for all lines: it can't be read, or one tax is asked for and none is typed anywhere."""
    try:
        text = rate_for_all(typed)
        if text:
            TAX_RATE.read(text, desk.notation)
    except Unreadable as unreadable:
        return ((ALL_RATE, unreadable.sentence),)
    if text or any(not _untaxed(row) for name in ("lines", "charges") for row in _rows(typed, name)):
        return ()
    return ((ALL_RATE, "Type the rate of tax here, then press “One tax for all” again."),)


def rate_left(typed: Typed) -> Faults:
    """The fault at a rate for all lines that was typed and put on none of them: it must not be left out unseen."""
    words = "This rate is on no line yet. Press “One tax for all”, or empty this."
    return ((ALL_RATE, words),) if rate_for_all(typed) else ()


def rate_for_all(typed: Typed) -> str:
    """The rate that is typed for all lines; "" where none is."""
    return str(typed.data.get(ALL_RATE) or "").strip()


def taxed_alike(typed: Typed) -> Typed:
    """The same form with one rate on every line and charge that says none: the one typed for all, else the first's."""
    rows = [row for name in ("lines", "charges") for row in _rows(typed, name)]
    first = next((row for row in rows if not _untaxed(row)), {})
    named = {"tax_rate": ALL_RATE, "tax_included": ALL_INCLUDED}
    given = {name: typed.data[field] for name, field in named.items() if field in typed.data}
    tax = given if rate_for_all(typed) else {name: first[name] for name in named if name in first}
    data = {name: one for name, one in typed.data.items() if name not in FOR_ALL}
    for name, begun in (("lines", "material"), ("charges", "amount")) if tax else ():
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
