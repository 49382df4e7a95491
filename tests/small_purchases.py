"""Draws materials, orders and quotes for small hostile books: see tests/small_books.py."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from itertools import count
from random import Random
from typing import TypeVar

from webapp.costing import book as b
from webapp.costing.amounts import half_up, minor_places
from webapp.costing.units import MASS, VOLUME

D = Decimal
T = TypeVar("T")
DAY = date(2026, 11, 25)
DENSITIES = ("0.8", "0.91", "0.915", "0.92", "1", "0.5", "1.25", "0.958")


class Buying:
    """Draws what is bought."""

    def __init__(self, rng: Random) -> None:
        self.rng = rng
        self.materials: dict[int, b.Material] = {}
        self.suppliers: dict[int, b.Supplier] = {}
        self.number = count(2)
        self.home = rng.choice(("EUR", "GBP", "EUR", "JPY", "KWD"))
        self.foreign = rng.choice([one for one in ("USD", "JPY", "KWD", "EUR") if one != self.home])
        self.places = minor_places(self.home)

    def often(self, chance: float) -> bool:
        return self.rng.random() < chance

    def one(self, several: Sequence[T]) -> T:
        return self.rng.choice(several)

    def some(self, several: Sequence[T], least: int, most: int) -> list[T]:
        return self.rng.sample(several, min(len(several), self.rng.randint(least, most)))

    def number_of(self, low: int, high: int, places: int) -> D:
        """A round number more often than not: they are what people type, and where ties are."""
        if self.often(0.6):
            return D(self.rng.randint(max(low, 1), high))
        return D(self.rng.randint(low * 10**places, high * 10**places)).scaleb(-places)

    def money(self, high: int, currency: str = "") -> D:
        places = minor_places(currency or self.home)
        if places == 0:
            high *= 100
        value = half_up(self.number_of(0, high, 4), places)
        return value or D(1).scaleb(-places)

    def back(self, days: int) -> date:
        return DAY - timedelta(self.rng.randint(0, days))

    def all_materials(self) -> list[b.Material]:
        kinds = ["ingredient"] * self.rng.randint(3, 6) + ["packaging"] * self.rng.randint(2, 4)
        return [self.material(kind) for kind in kinds]

    def material(self, kind: str) -> b.Material:
        number = next(self.number)
        weighed = kind == "ingredient"
        start = b.StartingPrice(self.money(30), self.unit() if weighed else "pieces")
        return b.Material(
            number,
            f"Material {number}",
            kind,
            density=b.Density(self.back(700), D(self.one(DENSITIES))) if weighed and self.often(0.93) else None,
            drops_per_ml=self.number_of(15, 45, 2) if weighed and self.often(0.85) else None,
            piece_grams=None if weighed or self.often(0.1) else self.number_of(1, 200, 2),
            starting=start if self.often(0.9) else None,
            basis=self.one(("", "", "latest", "averaged", "dearest")),
            basis_months=D(self.rng.randint(1, 18)) if self.often(0.3) else None,
        )

    def unit(self) -> str:
        return self.one((*MASS, "kg", "kg", "g")) if self.often(0.7) else self.one(tuple(VOLUME))

    def order(self) -> b.Order:
        currency = self.foreign if self.often(0.35) else self.home
        lines = [self.order_line(currency) for _ in range(self.rng.randint(1, 5))]
        way = self.one(("home per unit", "units per home", "paid"))
        exchange = b.Exchange(way, self.money(400) if way == "paid" else self.number_of(0, 3, 6) or D(1))
        rated = self.often(0.6)
        if not rated:
            lines = [replace(one, tax_rate=D(0)) for one in lines]
        return b.Order(
            next(self.number),
            self.one(tuple(self.suppliers)),
            self.back(900) if self.often(0.8) else DAY - timedelta(100),
            tuple(lines),
            tuple(self.charges(lines, currency, rated=rated)),
            currency,
            None if currency == self.home else exchange,
            tax_total=self.money(9, currency) if not rated and self.often(0.4) else None,
        )

    def order_line(self, currency: str) -> b.OrderLine:
        material = self.materials[self.one(tuple(self.materials))]
        packs = self.number_of(1, 5, 2)
        size = self.number_of(1, 1000 if material.by_piece else 30, 2)
        price = D(0) if self.often(0.05) else self.money(60, currency)
        in_percent = self.often(0.5)
        discount = self.number_of(0, 50, 4) if in_percent else price * packs / 4
        return b.OrderLine(
            material.id,
            packs,
            size,
            "pieces" if material.by_piece else self.unit(),
            price=price,
            discount=half_up(discount, 4) if self.often(0.3) else None,
            discount_in="percent" if in_percent else "money",
            total=self.money(200, currency) if self.often(0.15) else None,
            tax_rate=D(self.one(("0", "19", "20", "5.5", "20", "17.5"))),
            tax_included=self.often(0.4),
            arrived=half_up(packs * size * D("0.9"), 6) if self.often(0.15) else None,
            not_priced=self.one(("sample", "emergency", "replacement", "credit")) if self.often(0.1) else "",
        )

    def charges(self, lines: Sequence[b.OrderLine], currency: str, *, rated: bool) -> list[b.Charge]:
        found = []
        massless = any(
            ((one := self.materials[line.material]).by_piece and one.piece_grams is None)
            or (not one.by_piece and line.unit in VOLUME and one.density is None)
            for line in lines
        )  # fmt: skip
        for kind in self.some(("freight", "duty", "handling", "other"), 0, 3):
            money = "order" if self.often(0.7) else "home"
            share = self.one(("value", "equally") if massless else ("value", "mass", "mass", "equally"))
            amount = D(0) if self.often(0.05) else self.money(40, currency if money == "order" else self.home)
            rate = D(self.one(("0", "19", "20"))) if rated else D(0)
            found.append(b.Charge(kind, amount, money, share, rate, self.often(0.5)))
        return [*found, *self.credit(lines, currency, taxed=rated and self.often(0.5))]

    def credit(self, lines: Sequence[b.OrderLine], currency: str, *, taxed: bool) -> list[b.Charge]:
        """A discount on the whole order, small enough that no line comes out below zero."""
        most = min(map(_at_least, lines)) / 3
        share = self.one(("value", "equally"))
        amount = half_up(most if share == "value" else most / len(lines), minor_places(currency))
        if amount <= 0 or self.often(0.7):
            return []
        rate = D(20) if taxed else D(0)
        return [b.Charge(self.one(("discount", "credit")), amount, "order", share, rate, self.often(0.5))]

    def quotes(self) -> list[b.Quote]:
        found = []
        for material in list(self.materials.values()):
            if not self.often(0.15):
                continue
            currency = self.one((self.home, self.foreign))
            rate = b.Exchange(self.one(("home per unit", "units per home")), self.number_of(0, 3, 6) or D(1))
            since = self.back(60)
            quote = b.Quote(
                next(self.number), material.id, self.one(tuple(self.suppliers)), since,
                since + timedelta(self.rng.randint(0, 90)), self.number_of(1, 20, 2),
                "pieces" if material.by_piece else self.unit(), self.money(60, currency), currency,
                None if currency == self.home else rate,
            )  # fmt: skip
            found.append(quote)
            if self.often(0.8):
                self.materials[material.id] = replace(material, quote=quote.id)
        return found


def _at_least(line: b.OrderLine) -> D:
    """At least so much are the goods of the line, net of tax."""
    goods = line.total if line.total is not None else line.packs * (line.price or D(0)) / 2
    return goods / (1 + line.tax_rate / 100) - 1
