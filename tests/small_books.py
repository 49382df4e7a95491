"""Small hostile books: a few of everything, nested, whipped, foreign, with gaps and zeros.

All of one book comes out of one `random.Random`, so that a seed names it and hypothesis can draw it.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from random import Random

from tests.small_purchases import DAY, DENSITIES, Buying, D
from webapp.costing import book as b
from webapp.costing.amounts import half_up

ENDINGS = {
    2: (".00 .50 .95 .99", ".99", ".00", "9.99 4.95", ".49 .99", ""),
    0: ("80 00", "0 5", "00", ""),
    3: (".000 .500 .950", ".250 .750", ""),
}
STEPS = {2: ("0.05", "0.10", "0.25", "1", "0.03"), 0: ("10", "50", "3"), 3: ("0.005", "0.250", "0.007")}
LOSSES = ("0", "0", "2", "2.5", "3", "5", "10", "12.5", "33.3333")


class Maker(Buying):
    """Draws one book."""

    # --- the workshop ---

    def book(self) -> b.Book:
        people = [self.person() for _ in range(self.rng.randint(1, 3))]
        self.people = {one.id: one for one in people}
        suppliers = [
            b.Supplier(next(self.number), f"Supplier {i}", self.one((self.home, self.foreign))) for i in (1, 2)
        ]
        self.suppliers = {one.id: one for one in suppliers}
        self.materials = {one.id: one for one in self.all_materials()}
        orders = [self.order() for _ in range(self.rng.randint(2, 6))]
        quotes = self.quotes()
        self.formulas: dict[int, b.Formula] = {}
        for _ in range(self.rng.randint(2, 5)):
            formula = self.formula()
            self.formulas[formula.id] = formula
        self.groups = {one.id: one for one in (self.group() for _ in range(self.rng.randint(0, 2)))}
        self.channels = {one.id: one for one in (self.channel() for _ in range(self.rng.randint(1, 4)))}
        self.products: dict[int, b.Product] = {}
        for _ in range(self.rng.randint(2, 5)):
            product = self.product()
            self.products[product.id] = product
        terms = self.terms()
        registrations = [b.Registration(terms.since, terms.registered)]
        if self.often(0.4):
            registrations.insert(0, b.Registration(DAY - timedelta(700), not terms.registered))
        bills = [
            b.Bill(next(self.number), f"Bill {i}", self.back(300), self.money(300), retired=self.retired(0.1))
            for i in range(self.rng.randint(0, 2))
        ]
        pairs = [(p, c) for p, one in self.products.items() for c in (one.channels or tuple(self.channels))]
        return b.Book(
            day=DAY,
            workshop=self.workshop(),
            terms=terms,
            registrations=tuple(registrations),
            people=self.people,
            bills={one.id: one for one in bills},
            suppliers=self.suppliers,
            materials=self.materials,
            orders={one.id: one for one in orders},
            quotes={one.id: one for one in quotes},
            formulas=self.formulas,
            groups=self.groups,
            products=self.products,
            channels=self.channels,
            prices={(p, c): b.Price(p, c, self.back(200), self.price()) for p, c in pairs if self.often(0.6)},
            targets={(p, c): b.Target(p, c, self.back(200), self.target()) for p, c in pairs if self.often(0.2)},
            sales={(p, c): b.Sales(p, c, self.back(200), self.jars()) for p, c in pairs if self.often(0.6)},
            batches={one.id: one for one in (self.batch() for _ in range(self.rng.randint(0, 3)))},
        )

    def batch(self) -> b.MadeBatch:
        """One that was made: of any formula, weighed as it is written or with something else, into what it fills."""
        formula = self.one(tuple(self.formulas.values()))
        into = [one.id for one in self.products.values() if any(fill.formula == formula.id for fill in one.fills)]
        weighed = [
            b.Weighed(line.material, line.formula, D(self.rng.randint(0, 900)), D(self.rng.randint(1, 900)) / 4)
            for line in formula.lines
            if line.material is not None or line.formula is not None
        ]
        workers = self.rng.sample(sorted(self.people), self.rng.randint(0, len(self.people)))
        return b.MadeBatch(
            next(self.number),
            self.back(90),
            formula.id,
            tuple(weighed),
            tuple(b.Filled(one, D(self.rng.randint(1, 12))) for one in into if self.often(0.7)),
            tuple(b.Spent(one, D(self.rng.randint(0, 240)) / 2) for one in workers),
        )

    def retired(self, chance: float) -> date | None:
        return DAY - timedelta(self.rng.randint(-5, 50)) if self.often(chance) else None

    def price(self) -> D:
        return D(0) if self.often(0.04) else self.money(40)

    def jars(self) -> D | None:
        return None if self.often(0.1) else D(self.rng.randint(0, 40))

    def target(self) -> D | None:
        return None if self.often(0.2) else self.number_of(0, 99, 4)

    def workshop(self) -> b.Workshop:
        return b.Workshop(
            currency=self.home,
            basis=self.one(("latest", "latest", "averaged", "dearest")),
            basis_months=D(self.rng.randint(1, 24)),
            stale_months=D(self.rng.randint(1, 24)),
        )

    def terms(self) -> b.Terms:
        return b.Terms(
            since=DAY - timedelta(self.rng.randint(0, 400)),
            registered=self.often(0.5),
            cost=self.one(("full", "full", "direct")),
            target=self.number_of(0, 60, 4),
            overhead=self.one(("hours", "hours", "jars", "left out")),
            making_hours=self.number_of(10, 120, 4) if self.often(0.9) else None,
            planned_jars=D(self.rng.randint(1, 900)) if self.often(0.9) else None,
        )

    def person(self) -> b.Person:
        number = next(self.number)
        wage = b.Wage(self.back(400), D(0) if self.often(0.1) else self.money(30), self.number_of(0, 30, 4))
        return b.Person(
            number, f"Person {number}", self.one(("own", "own", "hired")), wage if self.often(0.97) else None
        )

    # --- making ---

    def formula(self) -> b.Formula:
        number = next(self.number)
        way = self.one(("percent", "percent", "grams", "parts"))
        ingredients = [one.id for one in self.materials.values() if not one.by_piece]
        chosen = self.some(ingredients, 1, 4)
        inner = self.some(tuple(self.formulas), 0, 2) if self.often(0.6) else []
        amounts = self.amounts(len(chosen) + len(inner), way)
        lines = []
        for place, amount in enumerate(amounts):
            of_material = place < len(chosen)
            unit = {"percent": "percent", "parts": "part"}.get(way) or (
                self.one(("g", "g", "g", "mL", "drops")) if of_material else "g"
            )
            lines.append(
                b.FormulaLine(
                    chosen[place] if of_material else None,
                    None if of_material else inner[place - len(chosen)],
                    amount,
                    unit,
                    rest=amount is None,
                )
            )
        return b.Formula(
            number,
            f"Formula {number}",
            self.back(300),
            tuple(lines),
            way,
            batch_grams=self.number_of(400, 5000, 2) if self.often(0.97) else None,
            loss=D(self.one(LOSSES)),
            loss_grams=D(0) if self.often(0.6) else self.number_of(1, 30, 2),
            work=tuple(b.Work(one, self.minutes(90), self.minutes(30)) for one in self.some(tuple(self.people), 0, 2)),
            made_ahead=self.often(0.4),
            density=D(self.one(DENSITIES)) if self.often(0.9) else None,
            air=D(self.one(("0", "0", "25", "50", "45", "200"))),
        )

    def minutes(self, most: int) -> D | None:
        return self.number_of(0, most, 2) if self.often(0.8) else None

    def amounts(self, lines: int, way: str) -> list[D | None]:
        if way != "percent":
            return [self.number_of(1, 500, 2) for _ in range(lines)]
        left, found = D(100), []
        for _ in range(lines - 1):
            exact = left * self.rng.randint(1, 8) / 10
            rounded = half_up(exact, self.one((0, 1, 4)))
            amount = rounded if 0 < rounded < left else half_up(exact, 4)
            found.append(amount)
            left -= amount
        rest = self.often(0.5)
        return [*found, None if rest else left]

    def group(self) -> b.PartGroup:
        number = next(self.number)
        pieces = [one.id for one in self.materials.values() if one.by_piece]
        return b.PartGroup(number, f"Group {number}", self.back(200), tuple(self.parts(pieces, 1, 3)))

    def parts(self, pieces: Sequence[int], least: int, most: int) -> list[b.Part]:
        return [
            b.Part(one, None, self.number_of(1, 3, 1), D(0) if self.often(0.5) else self.number_of(0, 9, 2))
            for one in self.some(pieces, least, most)
        ]

    def product(self) -> b.Product:
        number = next(self.number)
        set_of = [one for one in self.products if self.often(0.5)] if self.often(0.25) else []
        fills = self.fills(0 if set_of and self.often(0.7) else self.one((1, 1, 1, 2)))
        pieces = [one.id for one in self.materials.values() if one.by_piece]
        parts = self.parts(pieces, 0, 3)
        if self.groups and self.often(0.5):
            parts.append(b.Part(None, self.one(tuple(self.groups)), D(self.rng.randint(1, 2))))
        single = len(fills) == 1
        work = [
            b.Work(one, self.minutes(60) if single and self.often(0.3) else None,
                   self.minutes(20) if single and self.often(0.3) else None, self.minutes(6))
            for one in self.some(tuple(self.people), 0, 2)
        ]  # fmt: skip
        own_loss = single and self.often(0.2)
        return b.Product(
            number,
            f"Product {number}",
            self.back(200),
            fills=tuple(fills),
            parts=tuple(parts),
            members=tuple(b.Member(one, D(self.rng.randint(1, 3))) for one in set_of),
            work=tuple(work),
            one_offs=(b.OneOff("Mould", self.money(200), D(self.rng.randint(1, 700))),) if self.often(0.3) else (),
            batch_grams=self.number_of(400, 5000, 2) if single and self.often(0.3) else None,
            loss=D(self.one(LOSSES)) if own_loss else None,
            loss_grams=D(self.rng.randint(0, 20)) if own_loss else None,
            set_aside=D(1) if single and self.often(0.3) else D(0),
            channels=tuple(self.some(tuple(self.channels), 1, 3)) if self.often(0.6) else (),
            case_jars=D(number % 7) if number % 7 else None,
            retired=self.retired(0.05),
        )

    def fills(self, many: int) -> list[b.Fill]:
        return [
            b.Fill(one, self.number_of(10, 80, 1), self.one(("g", "g", "mL")), D(self.one(("0", "0", "0.5", "1"))))
            for one in self.some(tuple(self.formulas), many, many)
        ]

    # --- selling ---

    def channel(self) -> b.Channel:
        number = next(self.number)
        kind = self.one(("stall", "web shop", "marketplace", "wholesale", "wholesale", "consignment"))
        endings = self.one(ENDINGS[self.places])
        step = D(self.one(STEPS[self.places])) if not endings and self.often(0.6) else None
        days = self.often(0.4)
        work = [
            b.SellingTime(one, self.number_of(0, 20, 2), self.number_of(0, 8, 2) if days else D(0))
            for one in self.some(tuple(self.people), 0, 2)
        ]
        return b.Channel(
            number, f"Channel {number}", self.back(200), kind,
            tax=self.one(("in", "in", "added", "none")),
            tax_rate=D(self.one(("20", "19", "7", "0", "17.5"))),
            share_paid=self.number_of(0, 12, 4) if self.often(0.6) else D(0),
            share_net=self.number_of(0, 9, 4) if self.often(0.3) else D(0),
            fee=self.money(1) if self.often(0.5) else D(0),
            fee_tax=D(self.one(("0", "20", "19"))),
            jars_per_order=self.number_of(1, 24, 1),
            carton=self.money(2) if self.often(0.4) else D(0),
            postage=self.money(5) if self.often(0.4) else D(0),
            postage_charged=self.money(5) if self.often(0.4) else D(0),
            pitch=self.money(60) if days else D(0),
            jars_a_day=self.number_of(5, 80, 1) if days or self.often(0.2) else None,
            work=tuple(work), endings=endings, step=step,
            target=self.target(), stockist_margin=self.number_of(0, 60, 4),
            stockist_tax=D(self.one(("0", "20", "19"))),
            retired=self.retired(0.05),
        )  # fmt: skip


def small(rng: Random) -> b.Book:
    """One small hostile book, on DAY."""
    return Maker(rng).book()
