"""Jars sold a month pasted from a sheet: looked at first, each row with what is wrong; then all of it or nothing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from starlette.responses import Response

from webapp.costing.called import Names, known
from webapp.costing.describing import Field, Shape
from webapp.costing.limits import DAY
from webapp.costing.monthly_sales import read_sales
from webapp.costing.pasted_sales import Reading, Row, read_sales_sheet
from webapp.costing.sheets import MOST_CHARACTERS, cut
from webapp.errors import Unprocessable
from webapp.pages import addresses, forms
from webapp.pages.decide.sales import PLACE, keep
from webapp.pages.drawn import Form
from webapp.pages.forms import TypedNow
from webapp.pages.rendering import Desk, DeskNow, View, show
from webapp.pages.typed import Typed
from webapp.routes import Routes

router = Routes()
TITLE = "Paste jars sold a month"
SHAPE = Shape(dict, (Field("since", DAY, True),))
SIGNS = {"point": ".", "comma": ","}
LOOK = "look"


@dataclass(frozen=True, slots=True)
class PastedRow:
    """One row as it is shown."""

    number: int
    product: str
    channel: str
    jars: str
    faults: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PasteView:
    """What stands on the page."""

    rows: tuple[PastedRow, ...]
    good: bool


@router.get(addresses.SALES_PASTE)
def paste(desk: DeskNow) -> Response:
    """An empty field to paste into."""
    form = forms.press(desk, addresses.SALES_PASTE)
    form = replace(form, shape=SHAPE, texts={"since": desk.today.isoformat(), "list": "", "sign": ""})
    return show(desk, page(desk, form, Reading()))


@router.post(addresses.SALES_PASTE)
def keep_pasted(desk: DeskNow, typed: TypedNow) -> Response:
    """Look at what was pasted; without "look" and with nothing wrong in it, keep all of it."""
    reading = reading_of(desk, typed)
    form = _form(desk, typed)
    if typed.more or not reading.good:
        form = replace(form, faults=_faults(reading))
        return show(desk, page(desk, form, reading), 200 if reading.good else Unprocessable.status)
    rows = [{"product": row.product, "channel": row.channel, "jars": _typed(desk, row)} for row in reading.rows]
    return keep(desk, typed, rows, lambda there, again: page(there, again, reading), form)


def reading_of(desk: Desk, typed: Typed) -> Reading:
    """What was pasted, and at each row what its page would refuse: it is told before it is kept."""
    sign = SIGNS.get(_text(typed.data, "sign"), "")
    products, channels = Names(known(desk.things("product"))), Names(known(desk.things("channel")))
    reading = read_sales_sheet(cut(_text(typed.data, "list")), products, channels, sign)
    sent = [{"product": one.product, "channel": one.channel, "jars": _typed(desk, one)} for one in reading.rows]
    refused = read_sales(desk.reckoning, sent, desk.today, desk.notation, desk.today).faults
    told = [_with(row, [one.sentence for one in refused if one.field.startswith(f"sales-{place}-")])
            for place, row in enumerate(reading.rows)]  # fmt: skip
    return reading._replace(rows=tuple(told))


def _with(row: Row, refused: list[str]) -> Row:
    """A row that could be read, with what is refused all the same."""
    return row if row.faults else row._replace(faults=tuple(refused))


def _typed(desk: Desk, row: Row) -> str:
    return row.jars.replace(".", desk.notation.decimal_sign)


def _form(desk: Desk, typed: Typed) -> Form:
    fresh = forms.press(desk, addresses.SALES_PASTE)
    texts = {name: _text(typed.data, name) for name in ("since", "list", "sign")}
    texts["list"] = texts["list"][:MOST_CHARACTERS]
    version = fresh.version if typed.version is None else str(typed.version)
    return replace(
        fresh, shape=SHAPE, texts=texts, token=typed.token or fresh.token, epoch=typed.epoch or fresh.epoch,
        version=version, sure=typed.sure,
    )  # fmt: skip


def _faults(reading: Reading) -> tuple[tuple[str, str], ...]:
    if reading.fault:
        return (("list", reading.fault),)
    wrong = [str(row.number) for row in reading.rows if row.faults]
    if not wrong:
        return ()
    named = ", ".join(wrong[:10]) + (" and others" if len(wrong) > 10 else "")
    return (("list", f"{len(wrong)} of {len(reading.rows)} rows cannot be kept yet (line {named}). Below stands why."),)


def page(desk: Desk, form: Form, reading: Reading) -> View:
    """The field, and below it what was read."""
    sign = desk.notation.decimal_sign
    rows = tuple(_shown(desk, row, sign) for row in reading.rows)
    view = PasteView(rows, reading.good)
    return View("decide/sales/paste.html", TITLE, PLACE, view, form, "decide/sales/_paste.html")


def _shown(desk: Desk, row: Row, sign: str) -> PastedRow:
    """What is meant, else what stands there."""
    product = desk.book.products[int(row.product)].name if row.product else row.cells[0]
    channel = desk.book.channels[int(row.channel)].name if row.channel else row.cells[1]
    jars = row.jars.replace(".", sign) if row.jars else row.cells[2] or "not known"
    return PastedRow(row.number, product, channel, jars, row.faults)


def _text(data: Mapping[str, Any], name: str) -> str:
    text = data.get(name, "")
    return text if isinstance(text, str) else ""
