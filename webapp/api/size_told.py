"""What is told of an answer about another size: every figure a text or a gap, rows with the make-up of their cost."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from webapp.api import answers
from webapp.api.answers import Answer, picked, told_fields
from webapp.costing.changes import Put, key_of
from webapp.costing.entry import show
from webapp.costing.first_order_working import tied_up_working
from webapp.costing.rows import Row
from webapp.costing.size_facts import CandidateAnswer, CaseAnswer, DropAnswer, Rung, SizeAnswer, SizeQuestion, Trade
from webapp.costing.size_ladder import others_sold
from webapp.costing.size_shapes import SIZE_QUESTION
from webapp.costing.worth_working import FIGURES, working

#: what of each is not told as it stands: rows, records, and what may have its sums beside it
_OTHERWISE = ("product", "changes", "row", "rows", "taken", "cased", "trades")
ROW = ("product", "channel", *answers.ROW_FIGURES, "sheet")


def told_of(kind: type[Any]) -> tuple[str, ...]:
    """What is told of a part of an answer as it stands."""
    return tuple(name for name in told_fields(kind) if name not in _OTHERWISE)


def summed(kind: type[Any]) -> tuple[str, ...]:
    """The figures of a part of an answer that have a sum behind them."""
    return tuple(name for name in FIGURES if name in kind._fields)


CANDIDATE, DROP, CASE, RUNG, TRADE = map(told_of, (CandidateAnswer, DropAnswer, CaseAnswer, Rung, Trade))
#: of another size that is sold beside it, whose buyers are in no sum
OTHER = ("product", "price", "jars_a_month")
#: of the verdict on a candidate
WORTH_FROM, TIED_UP = "worth_from", "tied_up"


def answer(found: SizeAnswer, *, workings: bool = False) -> Answer:
    """All that was found out; of a drop and a case there are no candidates and no ladders."""
    return {
        "question": question(found.question),
        "candidates": [_candidate(found, one, workings=workings) for one in found.candidates],
        "ladders": [
            {"channel": channel, "rungs": [_rung(one) for one in rungs]} for channel, rungs in found.ladders.items()
        ],
        "drop": None if found.drop is None else _drop(found, found.drop, workings=workings),
        "case": None if found.case is None else _case(found, found.case, workings=workings),
    }


def question(asked: SizeQuestion) -> Answer:
    """A question as it is sent."""
    return show(SIZE_QUESTION, asked)


def row(found: Row) -> Answer:
    """A row with its cost sheet."""
    return picked(found, ROW)


def _rows(found: Iterable[Row]) -> list[Answer]:
    return [row(one) for one in found]


def _candidate(found: SizeAnswer, one: CandidateAnswer, *, workings: bool) -> Answer:
    told = {
        **picked(one, CANDIDATE),
        "product": answers.record(one.product),
        "changes": [_change(each) for each in one.changes],
        "row": row(one.row),
        "others_sold": [picked(each, OTHER) for each in others_sold(found, one)],
        "trades": [_trade(found, one, place, workings=workings) for place in range(len(one.trades))],
    }
    if not workings or found.known is None:
        return told
    tied_up = answers.working(tied_up_working(found.known, one))
    return {**told, "workings": {**_sums(found, (WORTH_FROM,), one.place), TIED_UP: tied_up}}


def _trade(found: SizeAnswer, one: CandidateAnswer, place: int, *, workings: bool) -> Answer:
    told = picked(one.trades[place], TRADE)
    return {**told, "workings": _sums(found, summed(Trade), one.place, place)} if workings else told


def _sums(found: SizeAnswer, names: Iterable[str], place: int = 0, trade: int = 0) -> Answer:
    return {name: answers.working(working(found, name, place, trade)) for name in names}


def _change(one: Put) -> dict[str, Any]:
    return {"kind": key_of(one.record)[0], "record": answers.record(one.record)}


def _rung(one: Rung) -> Answer:
    return {**picked(one, RUNG), "row": row(one.row)}


def _drop(found: SizeAnswer, one: DropAnswer, *, workings: bool) -> Answer:
    told = {**picked(one, DROP), "rows": _rows(one.rows), "taken": _rows(one.taken)}
    return {**told, "workings": _sums(found, summed(DropAnswer))} if workings else told


def _case(found: SizeAnswer, one: CaseAnswer, *, workings: bool) -> Answer:
    told = {**picked(one, CASE), "row": row(one.row), "cased": row(one.cased)}
    return {**told, "workings": _sums(found, summed(CaseAnswer))} if workings else told
