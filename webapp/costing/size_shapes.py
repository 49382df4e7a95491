"""How a question about another size is described: for forms, JSON and what is kept of it."""

from __future__ import annotations

from webapp.costing import limits as lim
from webapp.costing.describing import Field, Rows, Shape
from webapp.costing.making_shapes import MEMBER
from webapp.costing.size_facts import ASKS, PRICE_WAYS, REPLACED, Candidate, SizeQuestion

#: how many sizes can be set side by side
MOST_CANDIDATES = 4


def _part(name: str) -> tuple[Field, ...]:
    return (
        Field(name, lim.Reference("material")),
        Field(f"{name}_instead", lim.Reference("material")),
        Field(f"{name}_name", lim.NAME),
        Field(f"{name}_price", lim.MONEY),
        Field(f"{name}_least", lim.COUNT),
        Field(f"{name}_from", lim.COUNT),
        Field(f"{name}_then", lim.MONEY),
        Field(f"{name}_from_2", lim.COUNT),
        Field(f"{name}_then_2", lim.MONEY),
    )


def _span(name: str, kind: lim.Number) -> tuple[Field, ...]:
    return Field(name, kind), Field(f"{name}_low", kind), Field(f"{name}_high", kind)


CANDIDATE = Shape(
    Candidate,
    (
        Field("name", lim.NAME),
        Field("declared", lim.QUANTITY),
        Field("unit", lim.Choice(("g", "mL"))),
        Field("overfill", lim.QUANTITY_OR_NONE),
        *_part("jar"),
        *_part("lid"),
        Field("minutes", lim.MINUTES),
        Field("way", lim.Choice(PRICE_WAYS)),
        Field("price", lim.MONEY),
        Field("discount", lim.FEE),
        *_span("jars", lim.JARS_A_MONTH),
        *_span("share", lim.PERCENT),
        Field("width", lim.WIDTH),
    ),
)
SIZE_QUESTION = Shape(
    SizeQuestion,
    (
        Field("ask", lim.Choice(ASKS)),
        Field("product", lim.Reference("product")),
        Field("formula", lim.Reference("formula")),
        Field("channel", lim.Reference("channel")),
        Field("other", lim.Reference("product")),
        Field("candidates", Rows(CANDIDATE, ("declared", "name", "jar", "lid"), 0, MOST_CANDIDATES)),
        Field("members", Rows(MEMBER, ("product",))),
        Field("replaced", lim.Choice(REPLACED)),
        Field("number", lim.JARS_A_MONTH),
        *_span("jars", lim.JARS_A_MONTH),
        *_span("share", lim.PERCENT),
        *_span("monthly", lim.MONEY),
        Field("one_off", lim.MONEY),
        Field("within", lim.MONTHS),
        Field("case_jars", lim.COUNT),
        Field("case_price", lim.MONEY),
        Field("discount", lim.FEE),
        Field("width", lim.WIDTH),
    ),
)
