"""A verdict about another size in words: what it comes to, what it assumes, and what would turn it."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

from webapp.costing.amounts import ONE, ZERO, half_up, minor_places, rounded_down, rounded_up, snap
from webapp.costing.deal_facts import Deal, End, Flip, Grid, Swing, Verdict
from webapp.costing.gaps import Figure, Gap
from webapp.pages.decide.size_phrases import BECOMES, COMES, HOLDS, JARS, STAYS, SWINGS, TOLD
from webapp.pages.formats import Formats


def two_answers(grid: Grid) -> bool:
    """Whether nothing is unsure but which of two answers holds to how many jars one takes the place of."""
    return grid.points == 2 and all(one.what == "times" for one in grid.swings)


class Words:
    """Sentences about one answer, figures written as the workshop writes them.

    `other` is what it is set beside; `new` where that is a size that is thought of too, and nothing is sold yet.
    """

    def __init__(
        self, formats: Formats, ask: str, name: str, where: str, other: str = "", *, new: bool = False
    ) -> None:
        self.formats, self.ask, self.name, self.where = formats, ask, name, where
        self.other, self.new = other or "the other jar", new

    # --- the verdict

    def heading(self, verdict: Verdict, *, worth: bool = False) -> str:
        """The verdict in a few words; under which condition, where it has one. `worth` is the answer as expected."""
        said = "Drop it" if self.ask == "drop" else "Worth it"
        if verdict.kind == "worth":
            return f"{said}."
        if verdict.kind == "only if":
            if verdict.condition:
                return f"{said} only if {self.holds(verdict.condition)}."
            comes = " and ".join(self.comes(one) for one in verdict.together)
            return f"{said}, unless {comes}." if worth else f"{said} only if {comes}."
        return {"drop": "Keep it.", "case": "Not at this price."}.get(self.ask, "Not at this price.")

    def comes(self, end: End) -> str:
        """What comes about where one thing comes to one of its ends."""
        told = {**COMES["size"], **COMES.get(self.ask, {})}[end.what]
        return told.format(at=self.plainly(end.what, end.at), other=self.other)

    def sentence(self, deal: Deal, gain: Figure, price: Figure) -> str:
        """What it comes to at what is expected, with its figures."""
        if isinstance(gain, Gap):
            return gain.reason
        change, jars = self.change(gain), self.many(deal.jars)
        at = f" at {self.formats.money(price)}" if isinstance(price, Decimal) else ""
        own, number = self.leave(deal.own), self.plainly("jars", deal.jars)
        if self.ask == "drop":
            return (
                f"Without {self.name} you have {change}: {number} jars of it fewer a month, and {self.of_buyers(deal)}."
            )
        if self.ask == "case":
            each = self.changed_each(deal.own)
            return f"{self.name}{at} brings {change}: {jars}, of which each brings {each} its jars bring now."
        return f"{self.name}{at}, {self.where}, brings {change}: {jars} {own}; {self.of_buyers(deal)}."

    def of_buyers(self, deal: Deal) -> str:
        """How many would have bought another, and what that takes away or brings."""
        percent, each = self.percent(deal.share), self.leave(abs(deal.each))
        times = self.formats.number(half_up(snap(deal.times), 2))
        if self.ask == "drop" and not deal.share:
            return "none of its buyers takes another of yours"
        if self.ask == "drop":
            return f"{percent} of its buyers take {times} of the other size for one, which {self.leave(deal.each)}"
        if self.ask == "set":
            return f"{percent} of the buyers would have bought its jars singly"
        lost = each if deal.each < 0 else "leave nothing"
        jars = "jar" if deal.times == 1 else "jars"
        return f"{percent} of its buyers would have bought {times} {jars} of {self.other} instead, which {lost}"

    def leave(self, amount: Decimal) -> str:
        """What each contributes, in words also where that is a loss."""
        return f"{'leave' if amount >= 0 else 'lose'} {self.formats.money(abs(amount))} each"

    def change(self, gain: Decimal) -> str:
        """A gain or a loss a month beside now."""
        beside = f"with {self.other} alone" if self.new else "now"
        return f"{self._differs(gain, 'a month ')}{'as' if not self._shown(gain) else 'than'} {beside}"

    def changed_each(self, amount: Decimal) -> str:
        """The same of one."""
        return f"{self._differs(amount)}{'as' if not self._shown(amount) else 'than'}"

    def _differs(self, amount: Decimal, per: str = "") -> str:
        shown = self._shown(amount)
        if not shown:
            return f"as much {per}"
        return f"{self.formats.money(abs(shown))} {per}{'more' if shown > 0 else 'less'} "

    def _shown(self, amount: Decimal) -> Decimal:
        return half_up(snap(amount), minor_places(self.formats.currency))

    def earned_back(self, deal: Deal, months: Figure) -> str:
        """When what is paid once is back; "" where nothing is."""
        if not deal.one_off:
            return ""
        paid = self.formats.money(deal.one_off)
        if isinstance(months, Gap):
            return f"The {paid} paid once never comes back so."
        within = self.formats.number(deal.within)
        return f"The {paid} paid once is back after {self.months(months)}; you want it back within {within}."

    def priced(self, verdict: Verdict, grid: Grid | Gap) -> str:
        """From which price it is worth it, where it is as expected, and whatever comes."""
        if isinstance(verdict.worth_from, Gap):
            return "" if self.ask == "drop" else verdict.worth_from.reason
        said = f"Worth it from {self.formats.money(verdict.worth_from)}"
        sure = verdict.sure_from
        if isinstance(grid, Gap) or grid.points == 1 or isinstance(sure, Gap):
            return f"{said}."
        whatever = "whichever of the two answers holds" if two_answers(grid) else "whatever may come of that"
        if sure == verdict.worth_from:
            return f"{said}, {whatever}."
        return f"{said} if all is as you expect; from {self.formats.money(sure)} {whatever}."

    # --- what would turn it

    def first_turns(self, verdict: Verdict) -> tuple[Flip, ...]:
        """The nearest things that would turn it; of price and cost one, since both are the same room."""
        nearest = [one for one in verdict.flips if one.what != "jars" or snap(one.at)]
        if any(one.what == "price" for one in nearest):
            nearest = [one for one in nearest if one.what != "cost"]
        return tuple(nearest[:TOLD])

    def turns(self, flip: Flip, priced: Figure, *, worth: bool) -> str:
        """What would turn the answer, as a sentence; `worth` is the answer as expected, `priced` from where it is."""
        began = (STAYS if worth else BECOMES)[self.ask]
        return f"{began} {self.holds(flip, priced)} (now {self.plainly(flip.what, flip.now)})."

    def holds(self, flip: Flip, priced: Figure | None = None) -> str:
        """What has to hold for it, a limit rounded to the side on which it still holds; a price that can be asked."""
        places = {"share": 3, "jars": 0, "times": 2}.get(flip.what, minor_places(self.formats.currency))
        lean: Callable[[Decimal, int], Decimal] = rounded_up if flip.up else rounded_down
        limit = priced if flip.what == "price" and isinstance(priced, Decimal) else lean(snap(flip.at), places)
        at = self.plainly(flip.what, limit)
        told = {**HOLDS["size"], **HOLDS.get(self.ask, {})}[flip.what]
        saved = self.ask == "drop" and flip.what == "monthly"  # told the other way round: what is saved is no cost
        return told.format(least="at least" if flip.up is not saved else "at most", at=at, other=self.other)

    # --- over the range

    def ranged(self, grid: Grid) -> str:
        """How it comes out over everything that is not sure; "" where all is."""
        if grid.points == 1:
            return ""
        low, high = self.formats.money(grid.lowest), self.formats.money(grid.highest)
        if two_answers(grid):
            who = ("Neither of the two answers above", "One of the two answers above", "Both answers above")[grid.worth]
            be = "are" if grid.worth == grid.points else "is"
            return f"{who} {be} worth it: {low} and {high} a month."
        of = "all" if grid.worth == grid.points else "none" if not grid.worth else f"{grid.worth}"
        is_are = "is" if of == "1" else "are"
        return f"Of {grid.points} combinations of what may come {of} {is_are} worth it: from {low} to {high} a month."

    def swing(self, swing: Swing) -> tuple[str, str, str]:
        """What the gain hangs on, and from where to where it is looked at."""
        words = SWINGS[self.ask][swing.what].format(other=self.other)
        return words, self.plainly(swing.what, swing.low), self.plainly(swing.what, swing.high)

    def plainly(self, what: str, value: Decimal) -> str:
        """A figure of a deal without words."""
        if what == "share":
            return self.percent(value)
        if what in ("jars", "times"):
            return self.formats.number(half_up(snap(value), 2))
        if self.ask == "drop" and what == "monthly":
            return self.formats.money(ZERO - value)
        return self.formats.money(value)

    def share_lies(self, share: Figure, deal: Deal) -> str:
        """Where the break-even share lies beside what is expected."""
        if isinstance(share, Gap):
            return ""
        at = snap(share)
        if at > ONE:
            bought = "its jars singly" if self.ask == "set" else self.other
            return f"above 100 %: even if all of them would have bought {bought}, it pays"
        if at < ZERO:
            return "below 0 %: it doesn't pay even if all its buyers are new"
        expected = "you expect fewer" if snap(deal.share) < at else "you expect as many or more"
        return f"{expected}: {self.percent(deal.share)}"

    def taken_lies(self, share: Figure) -> str:
        """Where the break-even share of a size less lies."""
        if isinstance(share, Gap):
            return ""
        at = snap(share)
        if at > ONE:
            return "above 100 %: it stays a loss even if all take the other size"
        return "below 0 %: it pays even if nobody does" if at < ZERO else "so many have to take the other size"

    # --- figures

    def shown_share(self, share: Figure, deal: Deal | Gap) -> Figure:
        """A break-even share to a tenth of a percent, on the side on which it still holds."""
        if isinstance(share, Gap) or isinstance(deal, Gap):
            return share
        lean: Callable[[Decimal, int], Decimal] = rounded_up if deal.each > 0 else rounded_down
        return lean(snap(share), 3)

    def percent(self, share: Decimal) -> str:
        """A share as a percentage, without zeros at its end."""
        return self.formats.typed_percent(half_up(snap(share.scaleb(2)), 1))

    def many(self, jars: Decimal) -> str:
        """So many jars, sets or cases a month."""
        one, many = JARS[self.ask]
        return f"{self.formats.number(half_up(snap(jars), 2))} {one if jars == 1 else many}"

    def months(self, months: Decimal) -> str:
        """Months to a tenth, rounded up: later is the safe side."""
        shown = rounded_up(snap(months), 1)
        return f"{self.formats.number(shown)} {'month' if shown == 1 else 'months'}"
