"""Lines of an order pasted from a sheet: read and looked at here, then put into the order's form and saved there.

Nothing is stored by pasting. What was typed in the order's form before is carried along and stands there again.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from starlette.responses import Response

from webapp.costing.amounts import plain
from webapp.costing.buying_shapes import ORDER_LINE
from webapp.costing.describing import Shape
from webapp.costing.pasted_lines import ROLES, SAID, WORDS, Reading, Row, read_lines
from webapp.costing.shapes import SHAPES
from webapp.costing.sheets import MOST_CHARACTERS, MOST_COLUMNS, cut
from webapp.errors import Unprocessable
from webapp.pages import addresses, drafts, forms, impact
from webapp.pages.buy.ahead import desk_of
from webapp.pages.buy.beginning import beginning
from webapp.pages.buy.last_time import names_of
from webapp.pages.buy.ordering import started
from webapp.pages.done import new_token
from webapp.pages.drawn import Form, default_text
from webapp.pages.forms import TypedNow
from webapp.pages.rendering import Desk, DeskNow, View, show, whole_number
from webapp.pages.typed import Typed, flat
from webapp.routes import Routes

router = Routes()
LINES = f"{addresses.LIST['order']}/lines"
#: before the names of the fields of the order's form that are carried along, and of the order that is corrected
KEPT, ORDER_OF = "kept", "order"
#: under which mark, and on which page, the order's form keeps what is half entered
MARK, PAGE = "kept_mark", "kept_page"
#: ticked where the lines that stand in the order's form already are to be left out
ANEW = "anew"
MOST_LINES = 120
"""Lines that the form of an order takes: more of them have more fields than one form may send."""
#: where a fault of the whole sheet is said
AT = {"text": "list", "columns": "columns-0"}
SIGNS = {"point": ".", "comma": ","}
NO_SHAPE = Shape(object, ())


@dataclass(frozen=True, slots=True)
class LinesView:
    """What stands on the page: what was read, and what each column may hold."""

    reading: Reading
    columns: tuple[tuple[str, str], ...] = ()
    """Of each column: its head, and the first cell below it."""
    roles: tuple[tuple[str, str], ...] = (("", "nothing that is wanted"), *((role, WORDS[role]) for role in ROLES))
    kept: tuple[tuple[str, str], ...] = ()
    back: str = ""
    sign: str = "."
    already: int = 0
    """How many lines stand in the order's form, below which the pasted ones are put."""

    def cell(self, row: Row, role: str) -> str:
        """An amount as it is typed here, or the unit."""
        return as_typed(role, row.texts[role], self.sign) if role in row.texts else ""

    @property
    def amounts(self) -> tuple[str, ...]:
        """The fields of a line that are shown, in the order of the table."""
        return tuple(role for role in SAID if role in self._said)

    @property
    def _said(self) -> set[str]:
        return {role for row in self.reading.rows for role in row.texts}


@router.get(LINES)
def ask(desk: DeskNow) -> Response:
    """An empty field to paste into; the order that it goes into starts today."""
    typed = Typed({KEPT: dict(beginning(desk).texts)})
    return show(desk, page(desk, typed, Reading()))


@router.post(LINES)
def read(desk: DeskNow, typed: TypedNow, order: str = "") -> Response:
    """Look at what was pasted, or put it into the form of the order. Nothing is stored.

    From the form of an order, whose number `order` is where one is corrected, it is an empty field to paste into.
    """
    if "list" not in typed.data:
        fields, _ = impact.parted(typed)
        data = {KEPT: fields.data, ORDER_OF: order, MARK: typed.draft, PAGE: typed.page}
        return show(desk, page(desk, replace(typed, data=data), Reading()))
    reading = reading_of(desk, typed)
    if typed.more or not reading.good:
        return show(desk, page(desk, typed, reading), 200 if reading.good else Unprocessable.status)
    return into_the_order(desk, typed, reading)


def reading_of(desk: Desk, typed: Typed) -> Reading:
    """The lines that were pasted, read as was chosen beside them."""
    sheet = cut(_text(typed.data, "list"))
    given = typed.data.get("columns")
    same = bool(sheet.lines) and _text(typed.data, "seen") == _seen(sheet.lines[0].cells)
    chosen = [str(one or "") for one in given[:MOST_COLUMNS]] if same and isinstance(given, list) else []
    roles = tuple(one if one in ROLES else "" for one in chosen)
    has_heads = _text(typed.data, "heads") if same else ""
    found = read_lines(sheet, names_of(desk), SIGNS.get(_text(typed.data, "sign"), ""), roles, has_heads)
    room = MOST_LINES - len(_above(typed))
    if len(found.rows) > room:
        words = f"The form of an order takes {MOST_LINES} lines; there is room for {max(room, 0)}. Paste fewer."
        return replace(found, faults=(*found.faults, ("text", words)))
    return found


def page(desk: Desk, typed: Typed, reading: Reading) -> View:
    """The page with what was read so far."""
    text = _text(typed.data, "list")[:MOST_CHARACTERS]
    first = (cut(text).lines or (None,))[0]
    below = reading.heads and cut(text).lines[1:2]
    cells = below[0].cells if below else (first.cells if first else ())
    heads = reading.heads or ("",) * len(cells)
    columns = tuple((head, cells[place] if place < len(cells) else "") for place, head in enumerate(heads))
    texts = {"list": text, "sign": _text(typed.data, "sign"), "seen": _seen(first.cells) if first else ""}
    texts["heads"] = "yes" if reading.heads else "no" if reading.roles else ""
    texts |= {f"columns-{place}": role for place, role in enumerate(reading.roles)}
    texts |= {name: _text(typed.data, name) for name in (ORDER_OF, MARK, PAGE, ANEW)}
    form = Form(LINES, NO_SHAPE, texts, *_steering(desk, typed), _faults(reading))
    ident = _ident(typed)
    back = addresses.thing("order", ident, "edit") if ident else addresses.new("order")
    carried = tuple(flat(_kept(typed), KEPT).items())
    already = len(_lines_of(_kept(typed)))
    view = LinesView(reading, columns, kept=carried, back=back, sign=desk.notation.decimal_sign, already=already)
    return View("buy/orders/lines.html", "Paste lines from a sheet", "buy", view, form, "buy/orders/_lines.html")


def _steering(desk: Desk, typed: Typed) -> tuple[str, str, str]:
    fresh = forms.press(desk, LINES)
    version = fresh.version if typed.version is None else str(typed.version)
    return typed.token or fresh.token, typed.epoch or fresh.epoch, version


def _faults(reading: Reading) -> tuple[tuple[str, str], ...]:
    """What is wrong with the whole at its field; what is wrong with rows stands at the rows, and is counted here."""
    wrong = [str(row.number) for row in reading.rows if row.faults]
    if not wrong:
        return tuple((AT.get(at, at), words) for at, words in reading.faults)
    named = ", ".join(wrong[:10]) + (" and others" if len(wrong) > 10 else "")
    words = f"{len(wrong)} of {len(reading.rows)} rows cannot be put in yet (line {named}). Below stands why."
    return ((AT["text"], words),)


# --- into the form of the order


def into_the_order(desk: Desk, typed: Typed, reading: Reading) -> Response:
    """The form of the order with the pasted lines below those that were typed."""
    kept = _kept(typed)
    new = [line_of(desk, row) for row in reading.rows]
    ident = _ident(typed)
    data = {**kept, "lines": [*_above(typed), *new]}
    desk = desk_of(desk, ident) if ident else desk
    mark = _text(typed.data, MARK) or new_token()
    there = _text(typed.data, PAGE) or (addresses.edit("order", ident) if ident else addresses.new("order"))
    typed = replace(typed, data=data, more="", less="", draft=mark, page=there)
    return drafts.shown_again(desk, typed, started(desk, typed, ident or None))


def line_of(desk: Desk, row: Row) -> dict[str, str]:
    """One row as the form of the order types it."""
    fields = {one.name: default_text(SHAPES["order"], f"lines-__n__-{one.name}") for one in ORDER_LINE.fields}
    sign = desk.notation.decimal_sign
    return {**fields, **{role: as_typed(role, text, sign) for role, text in row.texts.items()}, "material": row.name}


def as_typed(role: str, text: str, sign: str) -> str:
    """A field of a row as it is typed where decimals are written with `sign`."""
    return text if role == "unit" else plain(Decimal(text), sign, 2 if role in ("price", "total") else 0)


def _ident(typed: Typed) -> int:
    """The order that is corrected; 0 for a new one."""
    text = _text(typed.data, ORDER_OF)
    return whole_number(text) if text else 0


def _kept(typed: Typed) -> dict[str, Any]:
    kept = typed.data.get(KEPT)
    return dict(kept) if isinstance(kept, Mapping) else {}


def _above(typed: Typed) -> list[Any]:
    """The lines below which the pasted ones are put: none where it was said to start anew."""
    return [] if _text(typed.data, ANEW) else _lines_of(_kept(typed))


def _lines_of(kept: Mapping[str, Any]) -> list[Any]:
    """The lines that were typed before, without those that are blank."""
    rows = kept.get("lines")
    names = ("material", "packs", "size", "price", "total")
    found = [row for row in rows if isinstance(row, Mapping)] if isinstance(rows, list) else []
    return [row for row in found if any(str(row.get(name) or "").strip() for name in names)]


def _seen(cells: tuple[str, ...]) -> str:
    return "|".join(cells)[:400]


def _text(data: Mapping[str, Any], name: str) -> str:
    text = data.get(name, "")
    return text if isinstance(text, str) else ""
