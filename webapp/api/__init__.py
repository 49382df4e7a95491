"""The JSON interface: everything that a page can do and show, by the same stems. It asks and shows, as pages do."""

from __future__ import annotations

from fastapi import APIRouter

from webapp.api import (
    changes,
    docs,
    line,
    lists,
    materials,
    needs,
    orders,
    packs,
    previews,
    products,
    reviews,
    settings,
    things,
)
from webapp.api.asking import STEMS
from webapp.api.schemas import ERROR_NAME, named

_REFUSED = {
    400: "the body cannot be read",
    404: "there is no such record",
    409: "it was changed meanwhile, or contradicts what is stored",
    422: "something in it is wrong, or a question has to be answered with `sure`",
    428: "If-Match is missing",
}

__all__ = ["PARTS", "PREFIX", "STEMS", "router"]

PREFIX = "/api"
#: fixed addresses stand before those with a variable
PARTS = (settings, orders, lists, materials, packs, previews, products, reviews, line, needs, changes, docs, things)
router = APIRouter(
    prefix=PREFIX,
    responses={
        status: {"description": words, "content": {"application/json": {"schema": named(ERROR_NAME)}}}
        for status, words in _REFUSED.items()
    },
)
for part in PARTS:
    router.include_router(part.router)
