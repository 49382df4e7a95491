"""The workshop reckoned a second time in exact fractions, from formulas to what a jar costs: see tests/reckoning.py."""

from __future__ import annotations

from collections.abc import Iterable
from math import floor
from typing import Any

from tests.reckoning_buying import Buying, F, Gap, Record, n, pct, remembered, snap


class Books(Buying):
    """Formulas, batches and jars, on top of what things cost to buy."""

    @remembered
    def shares(self, formula: Any) -> list[tuple[Record, F]]:
        """Each line with its fraction of the mass."""
        record = self.shelf["formula"][formula]
        lines = record["lines"]
        if record.get("way", "percent") == "percent":
            typed = sum((pct(line.get("amount")) for line in lines if not line.get("rest")), F(0))
            return [(line, 1 - typed if line.get("rest") else pct(line.get("amount"))) for line in lines]
        masses = [self._line_mass(line) for line in lines]
        return [(line, mass / sum(masses)) for line, mass in zip(lines, masses, strict=True)]

    def _line_mass(self, line: Record) -> F:
        amount, unit = n(line["amount"]), line.get("unit")
        if unit not in ("mL", "drops"):
            return amount
        if unit == "drops":
            per_ml = self.shelf["material"][line["material"]].get("drops_per_ml")
            if not per_ml:
                raise Gap("no drops per mL")
            amount /= n(per_ml)
        if line.get("formula"):
            return amount * n(self.shelf["formula"][line["formula"]].get("density"), None)
        return amount * self.density(line["material"])

    @remembered
    def per_gram(self, formula: Any) -> F:
        """Ingredient cost per gram as weighed."""
        return sum((share * self._line_cost(line) for line, share in self.shares(formula)), F(0))

    def _line_cost(self, line: Record) -> F:
        if line.get("formula"):
            return self.per_gram(line["formula"]) * self.swell(line["formula"])
        return self.material(line["material"])[0]

    @remembered
    def swell(self, formula: Any) -> F:
        """Grams weighed in for a good gram out of a blend made ahead; 1 for a plain pre-blend."""
        return self.weighed_for_one(formula) if self.shelf["formula"][formula].get("made_ahead") else F(1)

    def weighed_for_one(self, formula: Any) -> F:
        """Grams weighed in for a gram that comes out of the formula's own batch."""
        record = self.shelf["formula"][formula]
        if not n(record.get("loss_grams")):
            return 1 / (1 - pct(record.get("loss")))
        batch = n(record.get("batch_grams"), None)
        out = batch * (1 - pct(record.get("loss"))) - n(record.get("loss_grams"))
        if out <= 0:
            raise Gap("nothing left of the batch")
        return batch / out

    @remembered
    def carried(self, formula: Any) -> dict[Any, F]:
        """Minutes per gram as weighed that blends made ahead bring along, by person."""
        minutes: dict[Any, F] = {}
        for index, line in enumerate(self.shelf["formula"][formula]["lines"]):
            for person, each in (self.ahead(line["formula"]) if line.get("formula") else {}).items():
                minutes[person] = minutes.get(person, F(0)) + self.shares(formula)[index][1] * each
        return minutes

    @remembered
    def ahead(self, formula: Any) -> dict[Any, F]:
        """Minutes per good gram of a pre-blend, by person: its own only where it is made ahead."""
        record = self.shelf["formula"][formula]
        minutes = dict(self.carried(formula))
        if record.get("made_ahead"):
            for work in record.get("work") or []:
                each = n(work.get("per_kg")) / 1000
                if n(work.get("per_batch")):
                    each += n(work["per_batch"]) / n(record.get("batch_grams"), None)
                minutes[work["person"]] = minutes.get(work["person"], F(0)) + each
        return {person: each * self.swell(formula) for person, each in minutes.items()}

    @remembered
    def leaves(self, formula: Any) -> dict[Any, F]:
        """Grams of each material charged per gram as weighed."""
        grams: dict[Any, F] = {}
        for line, share in self.shares(formula):
            inner = line.get("formula")
            within = {line["material"]: F(1)} if not inner else self.leaves(inner)
            scale = share * (self.swell(inner) if inner else 1)
            for material, each in within.items():
                grams[material] = grams.get(material, F(0)) + scale * each
        return grams

    def finished_density(self, formula: Any) -> F:
        record = self.shelf["formula"][formula]
        if not record.get("density"):
            raise Gap("no density of the melt")
        return n(record["density"]) / (1 + pct(record.get("air")))

    def batch(self, product: Any, fill: Record) -> F:
        own = self.shelf["product"][product].get("batch_grams")
        return n(own or self.shelf["formula"][fill["formula"]].get("batch_grams"), None)

    def jars(self, product: Any, index: int) -> F:
        """Good jars of a batch."""
        record = self.shelf["product"][product]
        fill = record["fills"][index]
        formula = self.shelf["formula"][fill["formula"]]
        loss, fixed = (
            formula.get(name) if record.get(name) in (None, "") else record[name] for name in ("loss", "loss_grams")
        )
        batch = self.batch(product, fill)
        out = batch * (1 - pct(loss)) - n(fixed)
        takes = n(fill["declared"]) + n(fill.get("overfill"))
        if fill.get("unit", "g") == "mL":
            takes *= self.finished_density(fill["formula"])
        good = floor(snap(out / takes)) - int(n(record.get("set_aside")))
        if good < 1:
            raise Gap("no jar left")
        return F(good)

    def _filled(self, record: Record, good: F) -> F:
        """Jars filled for each good one: those set aside are filled too."""
        return (good + n(record.get("set_aside"))) / good

    @remembered
    def ingredients(self, product: Any) -> F:
        record = self.shelf["product"][product]
        cost = F(0)
        for index, fill in enumerate(record.get("fills") or []):
            cost += self.batch(product, fill) * self.per_gram(fill["formula"]) / self.jars(product, index)
        for member in record.get("members") or []:
            cost += n(member.get("count"), "1") * self.ingredients(member["product"])
        return cost

    def _parts(self, parts: Iterable[Record]) -> F:
        cost = F(0)
        for part in parts:
            used = n(part.get("pieces"), "1") * (1 + pct(part.get("spoiled")))
            if part.get("group"):
                cost += used * self._parts(self.shelf["group"][part["group"]]["parts"])
            else:
                cost += used * self.material(part["material"])[0]
        return cost

    @remembered
    def packaging(self, product: Any) -> F:
        record = self.shelf["product"][product]
        cost = self._parts(record.get("parts") or [])
        if cost and n(record.get("set_aside")) and len(record.get("fills") or []) == 1:
            cost *= self._filled(record, self.jars(product, 0))
        for member in record.get("members") or []:
            cost += n(member.get("count"), "1") * self.packaging(member["product"])
        return cost

    @remembered
    def minutes(self, product: Any) -> dict[Any, F]:
        """Minutes of making for one good jar, by person."""
        record = self.shelf["product"][product]
        spent: dict[Any, F] = {}
        own = {work["person"]: work for work in record.get("work") or []}
        filled = F(1)
        for index, fill in enumerate(record.get("fills") or []):
            good, batch = self.jars(product, index), self.batch(product, fill)
            filled = self._filled(record, good)
            theirs = {work["person"]: work for work in self.shelf["formula"][fill["formula"]].get("work") or []}
            for person in [*theirs, *(one for one in own if one not in theirs)]:
                fixed, per_kg = (
                    n(_typed(own.get(person), name) or _typed(theirs.get(person), name))
                    for name in ("per_batch", "per_kg")
                )
                spent[person] = spent.get(person, F(0)) + (fixed + per_kg * batch / 1000) / good
            for person, each in self.carried(fill["formula"]).items():
                spent[person] = spent.get(person, F(0)) + each * batch / good
        for person, work in own.items():
            spent[person] = spent.get(person, F(0)) + n(work.get("per_jar")) * filled
        for member in record.get("members") or []:
            for person, each in self.minutes(member["product"]).items():
                spent[person] = spent.get(person, F(0)) + each * n(member.get("count"), "1")
        return spent

    def hour(self, person: Any) -> F:
        wage = self.shelf["person"][person].get("wage")
        if not wage:
            raise Gap("no wage")
        return n(wage["per_hour"]) * (1 + pct(wage.get("extra")))

    def labour(self, minutes: dict[Any, F], whose: str) -> F:
        return sum((each / 60 * self.hour(p) for p, each in minutes.items() if each and self.whose(p) == whose), F(0))

    def whose(self, person: Any) -> str:
        return str(self.shelf["person"][person].get("whose", "own"))

    @remembered
    def overhead(self, product: Any) -> F:
        how = self.terms.get("overhead", "hours")
        month = sum((n(bill["a_month"]) for bill in self.shelf["bill"].values() if not bill.get("retired")), F(0))
        if how == "left out" or not month:
            return F(0)
        if how == "hours":
            hours = sum(self.minutes(product).values(), F(0)) / 60
            return hours * month / n(self.terms.get("making_hours"), None)
        members = self.shelf["product"][product].get("members") or []
        if members:
            return sum((n(one.get("count"), "1") * self.overhead(one["product"]) for one in members), F(0))
        return month / n(self.terms.get("planned_jars"), None)

    @remembered
    def one_offs(self, product: Any) -> F:
        record = self.shelf["product"][product]
        own = sum((n(one["amount"]) / n(one["jars"]) for one in record.get("one_offs") or []), F(0))
        members = record.get("members") or []
        return own + sum((n(one.get("count"), "1") * self.one_offs(one["product"]) for one in members), F(0))

    def materials(self, product: Any) -> F:
        return self.ingredients(product) + self.packaging(product)

    def own(self, product: Any) -> F:
        return self.labour(self.minutes(product), "own")

    def hired(self, product: Any) -> F:
        return self.labour(self.minutes(product), "hired")

    @remembered
    def direct(self, product: Any) -> F:
        return self.materials(product) + self.own(product) + self.hired(product)

    @remembered
    def full(self, product: Any) -> F:
        return self.direct(product) + self.overhead(product) + self.one_offs(product)

    @remembered
    def declared(self, product: Any, unit: str) -> F:
        """Grams (or mL) that the labels of one product declare, a set's together."""
        record = self.shelf["product"][product]
        total = F(0)
        for fill in record.get("fills") or []:
            amount, typed = n(fill["declared"]), fill.get("unit", "g")
            if typed != unit:
                density = self.finished_density(fill["formula"])
                amount = amount * density if unit == "g" else amount / density
            total += amount
        for member in record.get("members") or []:
            total += n(member.get("count"), "1") * self.declared(member["product"], unit)
        if not total:
            raise Gap("nothing declared")
        return total

    @remembered
    def charged(self, product: Any, material: Any) -> F:
        """Grams of an ingredient charged per jar."""
        record = self.shelf["product"][product]
        grams = F(0)
        for index, fill in enumerate(record.get("fills") or []):
            share = self.leaves(fill["formula"]).get(material, F(0))
            grams += share * self.batch(product, fill) / self.jars(product, index)
        for member in record.get("members") or []:
            grams += n(member.get("count"), "1") * self.charged(member["product"], material)
        return grams


def _typed(work: Record | None, name: str) -> Any:
    value = (work or {}).get(name)
    return None if value == "" else value
