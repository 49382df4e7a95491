"""What is told of an answer about another size: every figure a text or a gap, rows with the make-up of their cost."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from webapp.api import answers
from webapp.api.answers import Answer, picked, told_fields
from webapp.costing.changes import Put, key_of
from webapp.costing.entry import show
from webapp.costing.rows import Row
from webapp.costing.size_facts import CandidateAnswer, CaseAnswer, DropAnswer, Rung, SizeAnswer, SizeQuestion
from webapp.costing.size_shapes import SIZE_QUESTION

#: what of each is not told as it stands: rows and records
_OTHERWISE = ("product", "changes", "row", "rows", "taken", "cased")
ROW = ("product", "channel", *answers.ROW_FIGURES, "sheet")


def told_of(kind: type[Any]) -> tuple[str, ...]:
    """What is told of a part of an answer as it stands."""
    return tuple(name for name in told_fields(kind) if name not in _OTHERWISE)


CANDIDATE, DROP, CASE, RUNG = (told_of(kind) for kind in (CandidateAnswer, DropAnswer, CaseAnswer, Rung))


def answer(found: SizeAnswer) -> Answer:
    """All that was found out; of a drop and a case there are no candidates and no ladders."""
    return {
        "question": question(found.question),
        "candidates": [_candidate(one) for one in found.candidates],
        "ladders": [
            {"channel": channel, "rungs": [_rung(one) for one in rungs]} for channel, rungs in found.ladders.items()
        ],
        "drop": None if found.drop is None else _drop(found.drop),
        "case": None if found.case is None else _case(found.case),
    }


def question(asked: SizeQuestion) -> Answer:
    """A question as it is sent."""
    return show(SIZE_QUESTION, asked)


def row(found: Row) -> Answer:
    """A row with its cost sheet."""
    return picked(found, ROW)


def _rows(found: Iterable[Row]) -> list[Answer]:
    return [row(one) for one in found]


def _candidate(one: CandidateAnswer) -> Answer:
    changes = [_change(each) for each in one.changes]
    return {**picked(one, CANDIDATE), "product": answers.record(one.product), "changes": changes, "row": row(one.row)}


def _change(one: Put) -> dict[str, Any]:
    return {"kind": key_of(one.record)[0], "record": answers.record(one.record)}


def _rung(one: Rung) -> Answer:
    return {**picked(one, RUNG), "row": row(one.row)}


def _drop(one: DropAnswer) -> Answer:
    return {**picked(one, DROP), "rows": _rows(one.rows), "taken": _rows(one.taken)}


def _case(one: CaseAnswer) -> Answer:
    return {**picked(one, CASE), "row": row(one.row), "cased": row(one.cased)}
