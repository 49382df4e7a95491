"""A column of what was paid beside a total: less what was taken off it, so that it counts; else it is asked."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from webapp.costing.amounts import ONE
from webapp.costing.own.columns import BLANK, MATERIALS, Layout, OwnTable, role_of, words_of
from webapp.costing.own.counts import is_total, number_at, number_of
from webapp.costing.own.pack_prices import packs_at
from webapp.costing.own.price_heads import ALL_PACKS, without_besides
from webapp.costing.own.rows import says_total

#: heads of what is left to be paid of a price or a total
_PAID = frozenset(
    "paid, amount paid, total paid, net paid, price paid, i paid, what i paid, you paid, to pay, amount to pay, "
    "amount due, total due, payable, bezahlt, gezahlt, zu zahlen, zahlbetrag, paye, prix paye, montant paye, "
    "net a payer, a payer, pagado, importe pagado, a pagar, pagato, da pagare, betaald, te betalen".split(", ")
)
#: heads of what is taken off it, in percent or in money
_OFF = frozenset(
    "discount, discounts, disc, discount %, % discount, disc %, % off, off, less discount, rabatt, rabatt %, nachlass, "
    "remise, remise %, rabais, descuento, descuento %, sconto, sconto %, korting, korting %".split(", ")
)
_A_CENT = Decimal("0.01")


def take_paid(table: OwnTable, layout: Layout, roles: list[str]) -> None:
    """What was paid is the price where it is a total less its discount; beside a total that is more it is asked."""
    paid = next((one for one in _columns(table, layout, len(roles), _PAID)), None)
    if paid is None or not layout.heads:
        return
    base = _base(table, layout, roles, paid)
    if base is None:
        return
    if _is_of_packs(table, layout, base, paid):
        roles[base], roles[paid] = roles[base] or "price", ""
    elif roles[base] != "net_price" and _is_of_all(table, layout, roles, base, paid):
        roles[base], roles[paid] = "", "price"
    elif _is_less_discount(table, layout, base, paid):
        roles[base], roles[paid] = "", roles[base] or "price"
    elif roles[base] != "net_price" and roles[paid] in ("", "price") and _is_less(table, layout, base, paid):
        roles[paid], roles[base] = "price", "price"


def paid_for_all(table: OwnTable, layout: Layout) -> str:
    """ALL_PACKS where the price is what was paid of a total of all packs, less its discount; "" else."""
    price = next((one for role in ("price", "net_price") if (one := layout.place(role)) is not None), None)
    if price is None or not layout.heads or price not in _columns(table, layout, len(layout.roles), _PAID):
        return ""
    others = [one for one in range(table.width) if one != price and is_total(table.cell(layout.heads, one))]
    left = [one for one in range(table.width) if not any(layout.roles[one : one + 1])]
    prices = [one for one in left if role_of(table.cell(layout.heads, one), MATERIALS) == "price"]
    if any(_is_of_all(table, layout, layout.roles, one, price) for one in prices):
        return ALL_PACKS
    proved = any(_is_less_discount(table, layout, one, price) for one in others)
    return ALL_PACKS if proved else ""


def is_net_of_discount(table: OwnTable, layout: Layout, place: int) -> bool:
    """Whether a column is what was paid beside one of discounts, so that "net" in its head says nothing of tax."""
    width, head = len(layout.roles), table.cell(layout.heads, place) if layout.heads else ""
    if not {words_of(head), words_of(without_besides(head))} & _PAID:
        return False
    return place in _columns(table, layout, width, _PAID) and bool(_columns(table, layout, width, _OFF))


def _columns(table: OwnTable, layout: Layout, width: int, heads: frozenset[str]) -> list[int]:
    """The columns whose heads are of some; "Net paid" is of them, whatever it says of tax."""
    wide = max(width, len(table.rows[layout.heads - 1])) if 0 < layout.heads <= len(table.rows) else 0
    texts = [table.cell(layout.heads, place) for place in range(wide)]
    return [place for place, text in enumerate(texts) if {words_of(text), words_of(without_besides(text))} & heads]


def _base(table: OwnTable, layout: Layout, roles: list[str], paid: int) -> int | None:
    """The price that something is taken off: the other one, else one whose head says so; no price for one kg."""
    prices = [one for one, role in enumerate(roles) if role in ("price", "net_price") and one != paid]
    named = (one for one in range(len(roles)) if one != paid and not roles[one])
    others = [one for one in named if role_of(table.cell(layout.heads, one), MATERIALS) == "price"]
    return next(iter((*prices, *others)), None)


def _is_less_discount(table: OwnTable, layout: Layout, base: int, paid: int) -> bool:
    """Whether what was paid is in each row the price less its discount, which some row has, and none lacks it."""
    off = next(iter(_columns(table, layout, table.width, _OFF)), None)
    if off is None:
        return False
    some = False
    for row in _rows(table, layout):
        whole, left = number_at(table, row, base), number_at(table, row, paid)
        if whole is None or left is None:
            if whole is not None or left is not None:
                return False
            continue
        taken = table.cell(row, off)
        if not any(abs(left - one) <= _A_CENT for one in _less(table, row, off, whole)):
            return False
        some = some or (taken not in BLANK and left < whole)
    return some


def _less(table: OwnTable, row: int, off: int, whole: Decimal) -> tuple[Decimal, ...]:
    """What is left of a price by what stands in the column of discounts: as percent, as a share, as money."""
    text = table.cell(row, off)
    value = None if text in BLANK else number_at(table, row, off)
    if value is None:
        return (whole,) if text in BLANK else ()
    percent = whole * (ONE - value / 100)
    return (percent,) if "%" in text else (percent, whole - value, whole * (ONE - value))


def _is_of_packs(table: OwnTable, layout: Layout, base: int, paid: int) -> bool:
    """Whether what was paid is in each row its price times the packs that the cell of the price says: 2 @ €4.50."""
    some = False
    for row in _rows(table, layout):
        text, left = table.cell(row, base), number_at(table, row, paid)
        if text in BLANK and left is None:
            continue
        many, each = packs_at(text)
        value = number_of(each, exact=table.is_exact(row, base))
        if value is None or left is None or abs(many * value - left) > _A_CENT:
            return False
        some = some or many != ONE
    return some


def _is_of_all(table: OwnTable, layout: Layout, roles: Sequence[str], base: int, paid: int) -> bool:
    """Whether what was paid is for all packs of a row: more than one of them costs, and in no row more than all do."""
    packs = roles.index("packs") if "packs" in roles else None
    if packs is None or is_total(table.cell(layout.heads, base)):
        return False
    some = False
    for row in _rows(table, layout):
        each, left = number_at(table, row, base), number_at(table, row, paid)
        if each is None or left is None:
            if each is not None or left is not None:
                return False
            continue
        many = ONE if table.cell(row, packs) in BLANK else number_at(table, row, packs)
        if many is None or left > many * each + _A_CENT:
            return False
        some = some or left > each + _A_CENT
    return some


def _is_less(table: OwnTable, layout: Layout, base: int, paid: int) -> bool:
    """Whether less was paid in any row than its price, and in none more."""
    pairs = [(number_at(table, row, base), number_at(table, row, paid)) for row in _rows(table, layout)]
    away = [left - whole for whole, left in pairs if whole is not None and left is not None]
    return any(one < -_A_CENT for one in away) and all(one <= _A_CENT for one in away)


def _rows(table: OwnTable, layout: Layout) -> list[int]:
    """The rows below the heads, but for sums."""
    every = range(layout.heads + 1, len(table.rows) + 1)
    return [row for row in every if not any(says_total(words_of(text)) for text in table.rows[row - 1])]
