"""The weighing sheet of a batch that is to be made, and what of one that was made opens."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated

from fastapi import Query
from starlette.responses import JSONResponse, Response

from webapp.api.answers import picked, value, working
from webapp.api.asking import AskedNow, Ident
from webapp.api.interface import Interface
from webapp.api.pay import read
from webapp.costing.gaps import Figure
from webapp.costing.limits import COUNT, GRAMS
from webapp.costing.made_batch_working import FIGURES, JAR_FIGURES
from webapp.costing.made_batch_working import working as opened
from webapp.costing.made_batches import expected_jars, grams_for, learnt, usual_grams, weighing_sheet

router = Interface()
LINE = ("material", "formula", "name", "grams", "stage", "into")
LEARNT = ("batches", "weighed", "lost", "loss", "planned_loss")
LONGEST = 40
_GRAMS = Query(max_length=LONGEST, description="Grams to weigh in; else the usual batch.")
_JARS = Query(max_length=LONGEST, description="Good jars wanted; else the usual batch.")


@router.get(
    "/formulas/{ident}/weighing", tags=["formulas"], summary="Its weighing sheet", operation_id="formula_weighing"
)
def formula_weighing(asked: AskedNow, ident: Ident, grams: Annotated[str, _GRAMS] = "") -> Response:
    """What to weigh for a batch, and what the batches of it so far have lost (fractions of what was weighed)."""
    formula, wanted = asked.thing("formula", ident), read("grams", GRAMS, grams)
    found = usual_grams(asked.reckoning, formula, None) if wanted is None else wanted
    return JSONResponse(_sheet(asked, ident, found))


@router.get(
    "/products/{ident}/weighing", tags=["products"], summary="Its weighing sheet", operation_id="product_weighing"
)
def product_weighing(asked: AskedNow, ident: Ident, jars: Annotated[str, _JARS] = "") -> Response:
    """What to weigh so that so many good jars are filled, losses and jars set aside added; `jars` are expected."""
    product, known = asked.thing("product", ident), asked.reckoning
    wanted = read("jars", COUNT, jars)
    found: Figure = grams_for(known, product, Decimal(1) if wanted is None else wanted)
    if wanted is None and product.fills:
        found = usual_grams(known, asked.book.formulas[product.fills[0].formula], product)
    told = _sheet(asked, product.fills[0].formula, found) if len(product.fills) == 1 else {"lines": [], "learnt": None}
    expected = expected_jars(known, product, found) if isinstance(found, Decimal) else found
    return JSONResponse({**told, "grams": value(found), "jars": value(expected)})


def _sheet(asked: AskedNow, formula: int, grams: Figure) -> dict[str, object]:
    lines = weighing_sheet(asked.reckoning, formula, grams)
    made = learnt(asked.reckoning, formula)
    return {
        "grams": value(grams),
        "lines": [picked(one, LINE) for one in lines],
        "learnt": picked(made, LEARNT) if made else None,
    }


@router.get("/batches/{ident}/workings", tags=["batches"], summary="Its figures in full", operation_id="batch_workings")
def batch_workings(asked: AskedNow, ident: Ident) -> Response:
    """How each figure of a batch came about, and those of the jars that it filled."""
    record, known = asked.thing("batch", ident), asked.reckoning
    jars = [
        {name: working(opened(known, ident, f"jars-{place}-{name}")) for name in JAR_FIGURES}
        for place in range(len(record.filled))
    ]
    return JSONResponse({"batch": {name: working(opened(known, ident, name)) for name in FIGURES}, "jars": jars})
