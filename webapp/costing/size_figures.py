"""The figures of an answer that a note keeps: a few of what was asked about another size, by name, as exact texts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from webapp.costing.amounts import plain, snap
from webapp.costing.deal_facts import Verdict
from webapp.costing.gaps import Figure, Gap
from webapp.costing.size_facts import CaseAnswer, DropAnswer, SizeAnswer, Trade

#: what comes of a note's question: its verdict, and figures in home currency (months in months, shares as fractions)
KEPT = ("verdict", "price", "gain", "break_even_share", "months", "fair_price", "worth_from", "sure_from")


def kept_figures(answer: SizeAnswer, place: int = 0) -> dict[str, Any]:
    """The figures of the candidate at `place`, of the size less or of the case, as far as there are such.

    Amounts are snapped and written plainly; what can't be worked out is an object with its reason, as in JSON.
    IndexError where there is no such candidate.
    """
    return {name: _text(one) for name, one in _figures(answer, place).items()}


def _figures(answer: SizeAnswer, place: int) -> Mapping[str, Figure | str]:
    if answer.drop is not None:
        return dict(_of(answer.drop, "gain break_even_share months", answer.drop.verdict))
    if answer.case is not None:
        return dict(_of(answer.case, "case_price gain break_even_share", answer.case.verdict))
    one = answer.candidates[place]
    trade = one.trades[0] if one.trades else None
    of_trade = dict(_of(trade, "gain break_even_share months fair_price", one.verdict))
    return {"price": one.price, **of_trade}


def _of(
    found: Trade | DropAnswer | CaseAnswer | None, names: str, verdict: Verdict | Gap
) -> Iterator[tuple[str, Figure | str]]:
    yield "verdict", verdict if isinstance(verdict, Gap) else verdict.kind
    if found is not None:
        yield from ((name.replace("case_price", "price"), getattr(found, name)) for name in names.split())
    if isinstance(verdict, Verdict) and not isinstance(found, DropAnswer):
        yield from (("worth_from", verdict.worth_from), ("sure_from", verdict.sure_from))


def _text(found: Figure | str) -> Any:
    if isinstance(found, Gap):
        return {"gap": {"reason": found.reason, "cure": None}}
    return found if isinstance(found, str) else plain(snap(found))
