"""What was chosen about a maker's own sheets, and all that was read of them so."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal

from webapp.costing.book import Book
from webapp.costing.changes import Change
from webapp.costing.densities import Suggestion
from webapp.costing.own.columns import Layout, OwnTable
from webapp.costing.own.names import NameAsked
from webapp.costing.own.prices import How
from webapp.costing.own.rows import Skipped, Wrong
from webapp.costing.own.seen import FormulaSeen, MaterialSeen, ProductSeen
from webapp.costing.own.selling import PriceColumn
from webapp.costing.own.taxes import TaxSaid
from webapp.costing.own.told import OfSheet, Told
from webapp.costing.sheets import Sign


@dataclass(frozen=True, slots=True)
class Choices:
    """What a person chose; whatever is empty is guessed from the sheets. Sheets that are not named are guessed."""

    layouts: Mapping[int, Layout] = field(default_factory=dict)
    told: Told = field(default=Told())
    amounts: str = ""
    """What bare amounts of formulas are: "percent", "grams", "parts"."""
    prices: str = ""
    how: How = field(default=How())
    fixes: Mapping[str, str] = field(default_factory=dict)
    left_out: frozenset[str] = frozenset()
    kinds: Mapping[str, str] = field(default_factory=dict)
    """What all amounts of one formula are: the mark of its name -> as `amounts`."""
    batch: Decimal | None = None
    """The grams of a batch of each formula that says none."""
    ounces: str = ""
    """What ounces of contents are: "weight", or fluid ones, "US" or "imp"."""
    of_sheets: Mapping[int, OfSheet] = field(default_factory=dict)
    """What was said of one sheet alone."""
    open: frozenset[int] = frozenset()
    """Of the layouts those that nobody chose or saw yet."""


def with_likely(choices: Choices, names: Sequence[NameAsked]) -> Choices:
    """The choices with yes said to each of the names that is likely one thing; what was said of them stays."""
    likely = {one.mark: one.best for one in names if one.best and not one.chosen}
    return replace(choices, how=replace(choices.how, means={**likely, **choices.how.means}))


@dataclass(frozen=True, slots=True)
class OwnReading:
    """Everything that the sheets say. `asks` are the choices that have to be made, or were made, for all of them."""

    tables: tuple[OwnTable, ...]
    layouts: tuple[Layout, ...]
    sign: Sign
    prices: str
    materials: tuple[MaterialSeen, ...] = ()
    formulas: tuple[FormulaSeen, ...] = ()
    products: tuple[ProductSeen, ...] = ()
    selling: tuple[PriceColumn, ...] = ()
    """The columns of their prices, each with its channel."""
    unpriced: tuple[str, ...] = ()
    wrong: tuple[Wrong, ...] = ()
    unsized: tuple[str, ...] = ()
    """Formulas of which no sheet and no book says the batch, by name."""
    names: tuple[NameAsked, ...] = ()
    offered: tuple[NameAsked, ...] = ()
    """New names in formulas, without a price, that may be something else: nothing waits for an answer."""
    skipped: tuple[Skipped, ...] = ()
    asks: frozenset[str] = frozenset()
    currencies: tuple[str, ...] = ()
    """Other currencies than the workshop's that prices are in."""
    published: tuple[tuple[str, Suggestion], ...] = ()
    """What is bought by volume, has no density, and has a published one, with that."""
    undense: tuple[str, ...] = ()
    """What is bought by volume and has neither: what one mL of it weighs has to be typed, or is not known yet."""
    by_price: tuple[tuple[str, Decimal], ...] = ()
    """Of both, what one mL weighs by the sheet's own price for one kg."""
    changes: tuple[Change, ...] = ()
    after: Book | None = None
    faults: tuple[tuple[str, str], ...] = ()
    """What concerns a whole sheet: its field, and a sentence."""
    of_sheets: Mapping[int, OfSheet] = field(default_factory=dict)
    """What was said of one sheet alone."""
    assumed: Mapping[str, str] = field(default_factory=dict)
    """Of the choices for all of them those that nobody made, and what they are taken for where the workshop is."""
    taxes: Mapping[int, TaxSaid] = field(default_factory=dict)
    """Of each sheet whose title or notes say how tax stands in its prices, what they say."""
    beyond: tuple[str, ...] = ()
    """Sheets behind the last one that is looked at, by their titles: nothing of them is read."""

    @property
    def says_nothing_new(self) -> bool:
        """Whether all of it stands in the book already."""
        understood = bool(self.materials or self.formulas or self.products)
        return understood and not (self.changes or self.wrong or self.names)

    @property
    def good(self) -> bool:
        """Whether all of it can be saved."""
        return bool(self.changes) and not (self.wrong or self.faults or self.names)
