"""What a change does: the difference between two books, as material costs and as rows of the line that moved.

Method.md section 7. Costs are in home currency per gram or piece; margins and shares are fractions.
"""

from __future__ import annotations

from decimal import Decimal
from typing import NamedTuple

from webapp.costing.amounts import ZERO, snap
from webapp.costing.basis import MaterialCost
from webapp.costing.book import Book, Id
from webapp.costing.gaps import Figure, Gap, from_known
from webapp.costing.overhead import is_living
from webapp.costing.reckoning import Reckoning
from webapp.costing.rows import Row
from webapp.costing.standing import Standing, paid, standing
from webapp.costing.tax_in_cost import TaxChange, bought_since, tax_change, tax_sides


class MovedMaterial(NamedTuple):
    """A material whose cost per gram or piece is another one afterwards; `before` is None for a new material."""

    material: Id
    before: MaterialCost | None
    after: MaterialCost

    @property
    def change(self) -> Figure | None:
        """The cost afterwards less the cost before, per gram or piece; None for a new material."""
        if self.before is None:
            return None
        return self.after.unit_cost - self.before.unit_cost

    def standing(self, before: Reckoning, after: Book) -> Standing | None:
        """Where the new cost stands among what was paid: highest where it rises, lowest where it falls.

        An order that the change corrects or takes back is no part of what was paid, in neither form.
        Only where it is what is paid: an average or a quote is no purchase to be held against others.
        """
        change, cost = self.change, self.after.unit_cost
        if (
            self.after.rule != "latest"
            or not isinstance(change, Decimal)
            or not isinstance(cost, Decimal)
            or self.material not in before.book.materials
        ):
            return None
        found = standing(paid(before, self.material, before.book.day, after), cost, before.book.day)
        return found if found is not None and (found.side == "highest") == (change > 0) else None

    def tax(self, before: Reckoning, after: Reckoning) -> TaxChange | None:
        """Where tax is in one of the costs that are compared and not in another: before, after, and paid earlier."""
        if self.before is None or not after.book.registrations:
            return None
        found = self.standing(before, after.book)
        earlier = bought_since(before, self.material, found.since) if found else ()
        compared = (*earlier, *tax_sides(before, self.before.used), *tax_sides(after, self.after.used))
        return tax_change(after.book, compared)

    @property
    def change_share(self) -> Figure | None:
        """The change as a share of the cost before; None for a new material."""
        if self.before is None:
            return None
        if self.before.unit_cost == 0:
            return Gap("It cost nothing before, so the change is no share of it.")
        return from_known(lambda now, was: (now - was) / was, self.after.unit_cost, self.before.unit_cost)


class MovedRow(NamedTuple):
    """A row whose cost, margin or suggestion is another one afterwards; `before` is None for a new row."""

    before: Row | None
    after: Row

    @property
    def falls_below(self) -> bool:
        """It reached its target before, or was not known to miss it, and misses it now."""
        return self.after.reaches is False and self.was_right

    @property
    def was_right(self) -> bool:
        """It reached its target before, or was not known to miss it."""
        return self.before is None or self.before.reaches is not False

    @property
    def lost_more(self) -> Figure:
        """What being below target costs a month afterwards, less what it cost before; below zero it costs less."""
        if self.before is None:
            return self.after.lost_a_month
        return self.after.lost_a_month - self.before.lost_a_month

    @property
    def margin_suggested(self) -> Figure:
        """The margin at the price that is suggested afterwards."""
        return self.after.margin_at(self.after.suggested)

    @property
    def asks_for_price(self) -> bool:
        """Whether another price than the present one is suggested, or none is accepted yet."""
        row = self.after
        return isinstance(row.suggested, Decimal) and (not row.accepted or row.suggested != row.price)


def moved_materials(before: Reckoning, after: Reckoning) -> tuple[MovedMaterial, ...]:
    """Materials with another cost afterwards, by name. The same book gives none."""
    found = []
    for ident, material in after.book.materials.items():
        was = before.material(ident) if ident in before.book.materials else None
        now = after.material(ident)
        if was is not now and (was is None or was.unit_cost != now.unit_cost):
            found.append((material.name.casefold(), ident, MovedMaterial(ident, was, now)))
    return tuple(moved for _, _, moved in sorted(found, key=lambda one: one[:2]))


def moved_rows(before: Reckoning, after: Reckoning) -> tuple[MovedRow, ...]:
    """Rows that moved, the worst first.

    Those that fall below their target, then those that were below it already, then the rest; in each by what they lose
    more a month, then by how far they are short, then as in the line.
    """
    found: list[MovedRow] = []
    kept_now, kept_before = after.kept.rows, before.kept.rows
    for ident, product in after.book.products.items():
        carried = kept_now.get(ident)
        # Nearly all are carried over, so that is asked first.
        if (carried is not None and carried is kept_before.get(ident)) or not is_living(after.book, product):
            continue
        now, was = after.rows(ident), before.rows(ident) if ident in before.book.products else ()
        if now is not was:
            old = {row.channel: row for row in was}
            pairs = (MovedRow(old.get(row.channel), row) for row in now)
            found += (pair for pair in pairs if _differs(pair.before, pair.after))
    by_name = {ident: after.book.products[ident].name.casefold() for ident in {one.after.product for one in found}}
    return tuple(sorted(found, key=lambda one: (_worst_first(one), by_name[one.after.product], one.after.product)))


def _differs(was: Row | None, now: Row) -> bool:
    if was is None:
        return True
    return was is not now and (was.cost, was.margin, was.suggested) != (now.cost, now.margin, now.suggested)


def _worst_first(pair: MovedRow) -> tuple[int, Decimal, Decimal]:
    group = 2 if pair.after.reaches is not False else 0 if pair.was_right else 1
    lost, distance = pair.lost_more, pair.after.distance
    return (
        group,
        -snap(lost) if isinstance(lost, Decimal) else ZERO,
        distance if isinstance(distance, Decimal) else ZERO,
    )


class LostMore(NamedTuple):
    """What rows lose more a month together, of those whose sales are known; and how many are below without any."""

    amount: Decimal
    unknown: int


def lost_more(rows: tuple[MovedRow, ...]) -> LostMore:
    """The sum of what the rows lose more a month (home currency), and the rows below target with unknown sales."""
    known = [lost for one in rows if isinstance(lost := one.lost_more, Decimal)]
    unknown = [one for one in rows if one.after.reaches is False and isinstance(one.lost_more, Gap)]
    return LostMore(sum(known, ZERO), len(unknown))


class CostedAgain(NamedTuple):
    """How many products were costed again, of all that are sold."""

    products: int
    of: int


def costed_again(before: Reckoning, after: Reckoning) -> CostedAgain:
    """The products whose cost sheet was not carried over from the book before."""
    now, was, book = after.kept.sheets, before.kept.sheets, after.book
    sold = sum([is_living(book, product) for product in book.products.values()])
    others = [ident for ident in book.products if ident not in now or was.get(ident) is not now[ident]]
    return CostedAgain(sum([is_living(book, book.products[ident]) for ident in others]), sold)
