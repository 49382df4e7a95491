"""What a change does: the difference between two books, as material costs and as rows of the line that moved.

Method.md section 7. Costs are in home currency per gram or piece; margins and shares are fractions.
"""

from __future__ import annotations

from decimal import Decimal
from operator import itemgetter
from typing import NamedTuple

from webapp.costing.amounts import ZERO, snap
from webapp.costing.basis import MaterialCost
from webapp.costing.book import Book, Id
from webapp.costing.carrying import not_carried, others
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
    held = after.book.materials
    for ident in others(held, after.kept.materials, before.kept.materials):
        material = held[ident]
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
    found: list[tuple[tuple[int, Decimal, Decimal, str, Id], MovedRow]] = []
    held = after.book.products
    for ident in not_carried(after, before, "rows"):
        product = held[ident]
        if not is_living(after.book, product):
            continue
        now, was = after.rows(ident), before.rows(ident) if ident in before.book.products else ()
        if now is not was:
            old, name = {row.channel: row for row in was}, product.name.casefold()
            for row in now:
                pair = MovedRow(old.get(row.channel), row)
                if _differs(*pair):
                    found.append((_worst_first(pair, name), pair))
    found.sort(key=itemgetter(0))
    return tuple([pair for _, pair in found])


def _differs(was: Row | None, now: Row) -> bool:
    """The cost first: where it moved, no suggested price has to be solved to know."""
    return was is None or (
        was is not now and (was.cost != now.cost or was.margin != now.margin or was.suggested != now.suggested)
    )


def _worst_first(pair: MovedRow, name: str) -> tuple[int, Decimal, Decimal, str, Id]:
    now = pair.after
    group = 2 if now.reaches is not False else 0 if pair.was_right else 1
    lost, distance = pair.lost_more, now.distance
    return (
        group,
        -snap(lost) if isinstance(lost, Decimal) and lost else ZERO,
        distance if isinstance(distance, Decimal) else ZERO,
        name,
        now.product,
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
    book = after.book
    again = not_carried(after, before, "sheets")
    same = book.products is before.book.products and book.day == before.book.day
    of = before.sold if same else after.sold
    return CostedAgain(sum([is_living(book, book.products[ident]) for ident in again]), of)
