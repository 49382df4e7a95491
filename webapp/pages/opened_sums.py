"""The figures of a row, or of a material, opened while a change is looked at: the sums behind them, then and now."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, replace

from webapp.costing.difference import MovedMaterial, MovedRow
from webapp.costing.gaps import Figure, Gap
from webapp.costing.price_working import working
from webapp.costing.reckoning import Reckoning
from webapp.costing.working import Step, Working
from webapp.pages.rendering import Desk

#: what the press of a row or a material asks for, before what it is of
HOW = "how"
#: the figures of a row that are opened; each holds all that it is made of
FIGURES = ("margin", "suggested")


@dataclass(frozen=True, slots=True)
class Sums:
    """Figures opened to their working: those of then, or those of now."""

    title: str
    workings: tuple[Working, ...]


def in_place(one: Working) -> Working:
    """The sum without links: what it comes from may not be saved yet, and going there would lose what is typed."""
    steps = tuple(
        replace(step, source=None, amount=_words(step.amount), working=step.working and in_place(step.working))
        for step in one.steps
    )
    return replace(one, steps=steps, result=_words(one.result))


def opened_elsewhere(one: Working, others: Iterable[Working], words: str) -> Working:
    """The sum without what `others` of the same page open already: there it stays closed and says so in `words`.

    What a jar costs is part of most figures of a row: a page that opened it in each would hold it over and over.
    """
    return _closed(one, {told for other in others for told in _told(other)}, words)


def opened_in_turn(sums: Iterable[Working], words: str) -> Iterator[Working]:
    """The sums of a page, each without what those before it open. One of a figure that is missing opens nothing."""
    before: list[Working] = []
    for one in sums:
        yield opened_elsewhere(one, before, words)
        if not isinstance(one.result, Gap):
            before.append(one)


def _told(one: Working) -> Iterator[tuple[str, Figure]]:
    """What says which sum it is, of a sum and of all that it opens to."""
    yield one.title, one.result
    yield from (told for step in one.steps if step.working for told in _told(step.working))


def _closed(one: Working, known: Collection[tuple[str, Figure]], words: str) -> Working:
    def step_of(step: Step) -> Step:
        below = step.working
        if below is None:
            return step
        if (below.title, below.result) in known:
            return replace(step, working=None, words=f"{step.words}, {words}")
        return replace(step, working=_closed(below, known, words))

    return replace(one, steps=tuple(step_of(step) for step in one.steps))


def _words(figure: Figure) -> Figure:
    return replace(figure, cure=None) if isinstance(figure, Gap) else figure


def row_sums(desk: Desk, after: Reckoning, decided: Reckoning, moved: MovedRow) -> tuple[Sums, ...]:
    """The margin and the suggested price of a row, down to the last purchase: then, with the price decided, and now.

    `decided` is `after` with the prices that were answered; now is left out where the row was not sold yet.
    """
    row = decided.row(moved.after.product, moved.after.channel)
    found = [_sums("Then", working(after, moved.after, "margin"), working(decided, row, "suggested"))]
    if row.price != moved.after.price:
        found.append(_sums("With the new price", working(decided, row, "margin")))
    if moved.before is not None:
        found.append(_sums("Now", *(working(desk.reckoning, moved.before, figure) for figure in FIGURES)))
    return tuple(found)


def cost_sums(desk: Desk, after: Reckoning, moved: MovedMaterial) -> tuple[Sums, ...]:
    """What a material costs; now only where it was there already."""
    found = [_sums("Then", after.material_working(moved.material))]
    if moved.before is not None:
        found.append(_sums("Now", desk.reckoning.material_working(moved.material)))
    return tuple(found)


def _sums(title: str, *workings: Working) -> Sums:
    return Sums(title, tuple(in_place(one) for one in workings))
