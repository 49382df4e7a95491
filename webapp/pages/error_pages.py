"""The page of an error: what happened, in our words, and where to go on."""

from __future__ import annotations

from dataclasses import dataclass

from starlette.requests import Request

from webapp.door.asking import Shut, visitor_of
from webapp.errors import Problem, SignInFirst
from webapp.pages import addresses
from webapp.pages.as_of import today_of
from webapp.pages.formats import formats_for
from webapp.pages.plates import plate_of, whereabouts_of
from webapp.pages.rendering import PageFrame, render

TITLES = {
    400: "That could not be read",
    401: "Sign in first",
    403: "That is not allowed from here",
    404: "There is nothing at this address",
    405: "That cannot be done here",
    408: "That took too long",
    409: "That contradicts what is stored",
    413: "That is too much at once",
    415: "That kind of content is not read here",
    416: "That part of the file is not given",
    422: "Something is not right yet",
    428: "This page is too old to save from",
    429: "Too many tries",
    500: "Something went wrong inside the program",
    503: "The data is busy just now",
    507: "The disk is full",
}


@dataclass(frozen=True, slots=True)
class ErrorView:
    """What the error page says."""

    status: int
    title: str
    words: str
    what_to_do: tuple[tuple[str, str], ...]
    reference: str


def error_page(request: Request, problem: Problem, reference: str = "") -> str:
    """An error as a page; as a part of one where htmx asked. It needs no store: that may be what is broken."""
    headers = request.headers
    partial = headers.get("HX-Request") == "true" and headers.get("HX-Request-Type") == "partial"
    is_shut = isinstance(problem, Shut)
    title = "Closed for now" if is_shut else TITLES.get(problem.status, "That did not work")
    words = " ".join([problem.sentence, *(fault.sentence for fault in problem.faults)][:4])
    ways: tuple[tuple[str, str], ...] = (("First page", addresses.HOME),)
    if problem.status == SignInFirst.status:
        ways = (("Sign in", addresses.SIGN_IN),)
    if "on" in request.query_params:
        ways = (("The same page today", today_of(request)), *ways)
    error = ErrorView(problem.status, title, words, ways, reference)
    template = "errors/_error.html" if partial else "errors/error.html"
    places = addresses.PLACES if visitor_of(request.scope).is_in else ()
    plate = None if is_shut else plate_of(request)
    frame = PageFrame(title, "none", places=places, plate=plate, where=whereabouts_of(request))
    return render(formats_for("en_GB", "EUR", "kg"), template, error=error, page=frame)
