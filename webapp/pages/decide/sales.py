"""Jars sold a month: all products on all their channels in one form, kept by one save with one undo."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Annotated, Any

from fastapi import Query
from starlette.responses import Response

from webapp.costing.amounts import Unreadable
from webapp.costing.limits import DAY, JARS_A_MONTH
from webapp.costing.line import Row
from webapp.costing.monthly_sales import SALES, SHEET, read_sales
from webapp.errors import Problem, Questions, Unprocessable
from webapp.pages import addresses, forms
from webapp.pages.done import new_token
from webapp.pages.drawn import Form
from webapp.pages.forms import TypedNow
from webapp.pages.price.line_asked import paged
from webapp.pages.rendering import Desk, DeskNow, View, show
from webapp.pages.typed import Typed, flat
from webapp.routes import Routes

router = Routes()
PLACE = "decide"
TITLE = "Jars sold a month"
#: products on one page: with five channels each that is a form of six hundred fields
MOST = 40


@dataclass(frozen=True, slots=True)
class GridRow:
    """One product, and by channel the name of its field; "" where it is not sold."""

    name: str
    href: str
    cells: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class SalesView:
    """What stands on the page."""

    channels: tuple[str, ...]
    rows: tuple[GridRow, ...]
    pages: tuple[tuple[str, str, bool], ...]
    any: bool


def part_of(desk: Desk, page: str) -> tuple[tuple[Row, ...], int, int]:
    """The rows of the products that are on this page; which page of how many."""
    line = desk.reckoning.line()
    products = list(dict.fromkeys(row.product for row in line))
    place, places = paged(products, page, MOST)  # type: ignore[arg-type]  # it only counts them
    shown = set(products[(place - 1) * MOST : place * MOST])
    return tuple(row for row in line if row.product in shown), place, places


def address(page: int) -> str:
    """Where one page of the form is."""
    return addresses.SALES if page == 1 else f"{addresses.SALES}?page={page}"


def view_of(desk: Desk, form: Form, page: str) -> View:
    """The form as it is drawn."""
    rows, place, places = part_of(desk, page)
    channels = sorted({row.channel for row in rows}, key=lambda one: (desk.book.channels[one].name.casefold(), one))
    at = {(row.product, row.channel): f"{SALES}-{number}" for number, row in enumerate(rows)}
    grid = tuple(
        GridRow(
            desk.book.products[product].name,
            addresses.thing("product", product),
            tuple((desk.book.channels[one].name, at.get((product, one), "")) for one in channels),
        )
        for product in dict.fromkeys(row.product for row in rows)
    )
    pages = tuple((str(n), address(n), n == place) for n in range(1, places + 1) if places > 1)
    view = SalesView(tuple(desk.book.channels[one].name for one in channels), grid, pages, bool(rows))
    return View("decide/sales/page.html", TITLE, PLACE, view, form, "decide/sales/_form.html")


def form_of(desk: Desk, page: str, typed: Typed | None = None) -> Form:
    """The form with what holds now, or with what was typed."""
    rows, place, _ = part_of(desk, page)
    action = address(place)
    if typed is None:
        texts = {"since": desk.today.isoformat()}
        for number, row in enumerate(rows):
            told = {"product": str(row.product), "channel": str(row.channel), "jars": _jars(desk, row)}
            texts |= flat(told, f"{SALES}-{number}")
        return Form(action, SHEET, texts, new_token(), desk.snapshot.epoch, str(desk.snapshot.version))
    version = "" if typed.version is None else str(typed.version)
    texts = flat(typed.data)
    return Form(action, SHEET, texts, typed.token or new_token(), typed.epoch, version, sure=typed.sure)


def _jars(desk: Desk, row: Row) -> str:
    return "" if row.jars_a_month is None else JARS_A_MONTH.show(row.jars_a_month, desk.notation)


PageAsked = Annotated[str, Query(alias="page")]


@router.get(addresses.SALES)
def sales(desk: DeskNow, page: PageAsked = "") -> Response:
    """The form, with what is sold now."""
    return show(desk, view_of(desk, form_of(desk, page), page))


@router.post(addresses.SALES)
def keep_sales(desk: DeskNow, typed: TypedNow, page: PageAsked = "") -> Response:
    """Keep all that differs from what holds, or nothing where something is wrong."""
    return keep(desk, typed, rows_of(typed), lambda there, form: view_of(there, form, page), form_of(desk, page, typed))


def rows_of(typed: Typed) -> list[Any]:
    """The rows that were sent."""
    rows = typed.data.get(SALES)
    return rows if isinstance(rows, list) else []


def keep(desk: Desk, typed: Typed, rows: Sequence[Any], draw: forms.Draw, form: Form) -> Response:
    """Store what differs in one change, or show the form again with what is wrong."""
    since, wrong = _since(desk, typed.data)
    read = read_sales(desk.reckoning, rows, since, desk.notation, desk.today)
    faults = (*wrong, *((one.field, one.sentence) for one in read.faults))
    if faults:
        return show(desk, draw(desk, replace(form, faults=faults)), Unprocessable.status)
    try:
        saved = desk.store.save(read.puts, forms.intent(desk, typed, said(len(read.puts))), desk.today)
    except Questions as asked:
        return show(desk, draw(desk, forms.asking(form, asked)))
    except Problem as problem:
        return forms.not_saved(desk, typed, draw, form, problem)
    return forms.go_on(desk, form.action, saved.change)


def said(many: int) -> str:
    """What the history calls it."""
    return (
        f"Jars sold a month saved, of {many} products where they are sold" if many != 1 else "Jars sold a month saved"
    )


def _since(desk: Desk, data: Mapping[str, Any]) -> tuple[date, tuple[tuple[str, str], ...]]:
    text = data.get("since", "")
    try:
        return DAY.read(text if isinstance(text, str) else "", desk.notation), ()
    except Unreadable as unreadable:
        return desk.today, (("since", unreadable.sentence),)
