"""Everything that was worked out on one book, each figure once, and carried over where a change left it alone.

A reckoning fills itself as it is asked. Given the one before, it takes over every result whose records, and the results
it depends on, are the same objects; `before` is read only while the new one is made, so no chain of old books stays
alive. Threads may ask at the same time: a result is published by one assignment, and whoever comes second takes it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal
from functools import cached_property

from webapp.costing import basis, batches, carrying, channels, formulas, jars, labour, line, orders, overhead, parts
from webapp.costing.book import Book, Formula, Id, Material, Product
from webapp.costing.gaps import Figure, Gap, Ref
from webapp.costing.line import Row, Totals
from webapp.costing.purchases import Purchase, counting, history
from webapp.costing.working import Working


class _Asked(dict[Id, Figure]):
    """Figures by id, asked for so often that a call each would be felt."""

    def __init__(self, ask: Callable[[Id], Figure]) -> None:
        self._ask = ask

    def __missing__(self, one: Id) -> Figure:
        """Ask once."""
        return self.setdefault(one, self._ask(one))


class Reckoning:
    """Answers about one book. KeyError for an id that is not in it; retired things can still be asked for."""

    def __init__(self, book: Book, before: Reckoning | None = None) -> None:
        """`before` must not be in the middle of being made; other threads may go on asking it."""
        self.book = book
        self.overhead = overhead.monthly_overhead(book)
        self.kept = carrying.Kept()
        self.making_minutes = overhead.making_minutes(book)
        self.unit_costs: Mapping[Id, Figure] = _Asked(lambda one: self.material(one).unit_cost)
        self.rates = labour.rates_of(book)
        self.unpaid = frozenset(one for one, rate in self.rates.items() if rate.own and not rate.an_hour)
        self.sheet_marks = jars.marks_of_all(book, self.overhead)
        if before is not None:
            carrying.carry_over(self, before)

    # --- buying ---

    def invoice(self, order: Id) -> orders.Invoice:
        """What the order's lines are landed from."""
        kept = self.kept.invoices.get(order)
        return kept or carrying.keep(self.kept.invoices, order, orders.invoice(self.book, self.book.orders[order]))

    def landed(self, order: Id) -> orders.Landed:
        """The order's lines with what they cost landed."""
        kept = self.kept.landed.get(order)
        return kept or carrying.keep(self.kept.landed, order, orders.landed_from(self.book, self.invoice(order)))

    def landed_line(self, order: Id, index: int) -> orders.LandedLine:
        """One line alone: of an old order most lines are never asked for."""
        kept = self.kept.landed.get(order)
        return kept.lines[index] if kept else orders.landed_line(self.book, self.invoice(order), index)

    def purchases(self, material: Id) -> tuple[tuple[Id, int], ...]:
        """(order, index of its line) of every price-setting purchase, oldest first."""
        if self.kept.history is None:
            self.kept.history = history(self.book)
        return tuple((order, index) for _, order, index in self.kept.history.get(material, ()))

    def material(self, material: Id) -> basis.MaterialCost:
        """What the material costs on the book's day."""
        kept = self.kept.materials.get(material)
        return kept or carrying.keep(self.kept.materials, material, self.material_cost(self.book.materials[material]))

    def _counting(self) -> dict[Id, list[Purchase]]:
        if self.kept.counting is None:
            self.kept.counting = counting(self.book)
        return self.kept.counting

    def material_cost(self, material: Material) -> basis.MaterialCost:
        """The cost worked out anew; `material` remembers it."""
        lines = [self.landed_line(order, index) for _, order, index in self._counting().get(material.id, ())]
        return basis.material_cost(self.book, material, lines)

    def material_working(self, material: Id) -> Working:
        """How the material's cost came about, down to the order lines."""
        return basis.working(self.book, self.material(material), self._line_of)

    def _line_of(self, order: Id, index: int) -> tuple[orders.Landed, orders.LandedLine]:
        landed = self.landed(order)
        return landed, landed.lines[index]

    @cached_property
    def names_quotes(self) -> bool:
        """Whether any material has a quote that may count."""
        return any(one.quote is not None for one in self.book.materials.values())

    # --- making ---

    def formula(self, formula: Id) -> formulas.FormulaCost:
        """What a gram of the formula costs."""
        kept = self.kept.formulas.get(formula)
        return kept if kept is not None else self._cost_formula(self.book.formulas[formula])

    def _cost_formula(self, top: Formula) -> formulas.FormulaCost:
        """Inner formulas first, so that neither a loop nor a deep nest can run away."""
        held = self.book.formulas
        if not any(one.formula is not None for one in top.lines):
            return carrying.keep(self.kept.formulas, top.id, formulas.formula_cost(self, top))
        order, loops = formulas.inner_first(top.id, lambda one: formulas.nested(held[one]), self.kept.formulas)
        for one in order:
            if one in loops:
                gap = formulas.loop_gap("formula", (held[way].name for way in loops[one]), Ref("formula", one, "lines"))
                carrying.keep(self.kept.formulas, one, formulas.without_cost(held[one], gap))
            else:
                carrying.keep(self.kept.formulas, one, formulas.formula_cost(self, held[one]))
        return self.kept.formulas[top.id]

    def shares(self, formula: Id) -> tuple[formulas.FormulaShare, ...]:
        """Every line of the formula with its share of mass and of cost; built each time."""
        return formulas.formula_shares(self, self.book.formulas[formula])

    def leaves(self, formula: Id) -> Mapping[Id, Decimal] | Gap:
        """Grams of each bought material per gram weighed in of the formula, through every pre-blend."""
        kept = self.kept.leaves.get(formula)
        if kept is None:
            cost = self.formula(formula)  # a loop or too deep a nest shows here, before anything is opened
            whole = cost.whole
            made = whole if isinstance(whole, Gap) else formulas.leaves_of(self, self.book.formulas[formula])
            kept = carrying.keep(self.kept.leaves, formula, made)
        return kept

    # --- jars ---

    def batch(self, formula: Id) -> batches.Batch:
        """A batch of the formula as it says it, which most of its products share."""
        kept = self.kept.batches.get(formula)
        if kept is None:
            kept = carrying.keep(self.kept.batches, formula, batches.own_batch(self, self.book.formulas[formula]))
        return kept

    def hourly(self, person: Id) -> Figure:
        """What an hour of the person costs."""
        return self.rates[person].an_hour

    def group(self, group: Id) -> Figure:
        """What one use of a group of parts costs."""
        kept = self.kept.groups.get(group)
        if kept is None:
            kept = carrying.keep(self.kept.groups, group, parts.parts_cost(self, self.book.groups[group].parts))
        return kept

    @cached_property
    def overhead_a_jar(self) -> Figure:
        """The month's bills equally over the planned jars."""
        return overhead.overhead_a_jar(self.book, self.overhead)

    def sheet(self, product: Id) -> jars.CostSheet:
        """The cost sheet of the product."""
        kept = self.kept.sheets.get(product)
        return kept if kept is not None else self._cost_sheet(self.book.products[product])

    def _cost_sheet(self, top: Product) -> jars.CostSheet:
        if not top.members:
            return carrying.keep(self.kept.sheets, top.id, jars.cost_sheet(self, top))
        held = self.book.products
        order, loops = formulas.inner_first(
            top.id, lambda one: (member.product for member in held[one].members), self.kept.sheets
        )
        for one in order:
            if one in loops:
                gap = formulas.loop_gap("set", (held[way].name for way in loops[one]), Ref("product", one, "members"))
                carrying.keep(self.kept.sheets, one, jars.without_cost(held[one], gap))
            else:
                carrying.keep(self.kept.sheets, one, jars.cost_sheet(self, held[one]))
        return self.kept.sheets[top.id]

    # --- selling ---

    @cached_property
    def terms(self) -> dict[Id, channels.PriceTerms]:
        """What selling costs on each channel."""
        return channels.all_terms(self.book)

    @cached_property
    def _everywhere(self) -> tuple[channels.PriceTerms, ...]:
        return self._terms_of(self.book.channels)

    def sold_on(self, product: Product) -> tuple[channels.PriceTerms, ...]:
        """The terms of the channels where a product is sold, by channel; one that names none is on all of them."""
        return self._terms_of(product.channels) if product.channels else self._everywhere

    def _terms_of(self, named: Iterable[Id]) -> tuple[channels.PriceTerms, ...]:
        held, terms = self.book.channels, self.terms
        return tuple(terms[one] for one in sorted(named) if one in held and overhead.is_living(self.book, held[one]))

    def rows(self, product: Id) -> tuple[Row, ...]:
        """The product on every channel where it is sold."""
        kept = self.kept.rows.get(product)
        if kept is None:
            kept = carrying.keep(self.kept.rows, product, tuple(line.product_rows(self, self.book.products[product])))
        return kept

    def row(self, product: Id, channel: Id) -> Row:
        """The product on one channel, also where it is not sold (yet)."""
        for one in self.kept.rows.get(product, ()):
            if one.channel == channel:
                return one
        return line.row(self, product, channel)

    @cached_property
    def sold(self) -> int:
        """How many products are not retired."""
        return sum([overhead.is_living(self.book, one) for one in self.book.products.values()])

    def line(self) -> tuple[Row, ...]:
        """The whole product line."""
        return self._line

    @property
    def has_line(self) -> bool:
        """Whether the whole line was asked for already, and so every product that is not retired is worked out."""
        return "_line" in vars(self)

    @cached_property
    def _line(self) -> tuple[Row, ...]:
        return line.line(self)

    @cached_property
    def totals(self) -> Totals:
        """What the whole product line adds up to a month."""
        return line.totals(self.book, self.line())
