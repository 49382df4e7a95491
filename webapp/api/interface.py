"""What all routes of the interface have in common: where they lie, and how they refuse."""

from __future__ import annotations

from typing import Any

from webapp.api.schemas import ERROR_NAME, named
from webapp.routes import Routes

PREFIX = "/api"
_REFUSED = {
    400: "the body cannot be read",
    404: "there is no such record",
    409: "it was changed meanwhile, or contradicts what is stored",
    422: "something in it is wrong, or a question has to be answered with `sure`",
    428: "If-Match is missing",
}


class Interface(Routes):
    """The routes of a part of the interface."""

    def __init__(self, **options: Any) -> None:
        refused: dict[int | str, dict[str, Any]] = {
            status: {"description": words, "content": {"application/json": {"schema": named(ERROR_NAME)}}}
            for status, words in _REFUSED.items()
        }
        super().__init__(prefix=PREFIX, responses=refused, **options)
