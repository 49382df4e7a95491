"""Starting prices from a pasted list: one line each, previewed with its errors, then all of it or nothing."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import Any

from starlette.responses import Response

from webapp.costing.amounts import Notation
from webapp.costing.book import Material
from webapp.costing.buying_shapes import MATERIAL
from webapp.costing.changes import Put
from webapp.costing.checks import faults_of
from webapp.costing.describing import Shape
from webapp.costing.entry import read
from webapp.costing.limits import NOTE_LENGTH, name_key
from webapp.errors import Problem, Unprocessable
from webapp.pages import addresses, drafts, forms
from webapp.pages.drawn import Form
from webapp.pages.forms import TypedNow
from webapp.pages.rendering import Desk, DeskNow, View, show
from webapp.pages.typed import Typed
from webapp.routes import Routes

router = Routes()
PASTE = f"{addresses.LIST['material']}/paste"
MOST_LINES = 200
MOST_CHARACTERS = NOTE_LENGTH * 10
UNITS = {
    "piece": "pieces",
    "pieces": "pieces",
    "pcs": "pieces",
    "pc": "pieces",
    "kilo": "kg",
    "kilogram": "kg",
    "gram": "g",
    "litre": "L",
    "liter": "L",
    "ml": "mL",
    "l": "L",
    "pound": "lb",
    "lbs": "lb",
    "ounce": "oz",
}
NO_SHAPE = Shape(object, ())


@dataclass(frozen=True, slots=True)
class Line:
    """One pasted line: what was read, or what is wrong with it."""

    number: int
    text: str
    material: Material | None
    faults: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PasteView:
    """What stands on the page."""

    lines: tuple[Line, ...]
    good: bool


def _page(form: Form, lines: tuple[Line, ...] = ()) -> View:
    good = bool(lines) and not any(line.faults for line in lines)
    view = PasteView(lines, good)
    return View("buy/materials/paste.html", "Paste starting prices", "buy", view, form, "buy/materials/_paste.html")


def _form(desk: Desk, text: str, sign: str, typed: Typed | None = None) -> Form:
    token = typed.token if typed and typed.token else forms.press(desk, PASTE).token
    texts = {"list": text, "sign": sign}
    form = Form(PASTE, NO_SHAPE, texts, token, desk.snapshot.epoch, str(desk.snapshot.version))
    return replace(form, draft=typed.draft, page=typed.page) if typed else drafts.marked(desk, "material", form)


@router.get(PASTE)
def paste(desk: DeskNow) -> Response:
    """An empty list."""
    sign = "comma" if desk.notation.decimal_sign == "," else "point"
    return drafts.again(desk, keep) or show(desk, _page(_form(desk, "", sign)))


@router.post(PASTE)
def keep(desk: DeskNow, typed: TypedNow) -> Response:
    """Preview the list; with "keep" and no error in it, store all of it."""
    text, sign = (one if isinstance(one := typed.data.get(name, ""), str) else "" for name in ("list", "sign"))
    lines = read_list(desk, text, "," if sign == "comma" else ".")
    form = _form(desk, text[:MOST_CHARACTERS], sign, typed)
    faults = _whole_faults(text, lines) or _line_faults(lines)
    if faults and typed.more not in drafts.ONLY_KEPT:
        form = replace(form, faults=faults)
        return drafts.shown_again(desk, typed, _page(form, lines), Unprocessable.status)
    if typed.more:
        return drafts.shown_again(desk, typed, _page(form, lines))
    return _store(desk, typed, form, lines)


def _whole_faults(text: str, lines: tuple[Line, ...]) -> tuple[tuple[str, str], ...]:
    if not lines:
        return (("list", "Paste at least one line: name, price, unit."),)
    if len(lines) > MOST_LINES or len(text) > MOST_CHARACTERS:
        return (("list", f"At most {MOST_LINES} lines at once. Paste the rest afterwards."),)
    return ()


def _line_faults(lines: tuple[Line, ...]) -> tuple[tuple[str, str], ...]:
    wrong = [str(line.number) for line in lines if line.faults]
    if not wrong:
        return ()
    named = ", ".join(wrong[:10]) + (" and others" if len(wrong) > 10 else "")
    return (("list", f"{len(wrong)} of {len(lines)} lines cannot be kept yet: {named}. Below stands why."),)


def _store(desk: Desk, typed: Typed, form: Form, lines: tuple[Line, ...]) -> Response:
    puts = [Put(line.material) for line in lines if line.material is not None]
    try:
        saved = desk.store.save(puts, forms.intent(desk, typed, f"{len(puts)} starting prices saved"), desk.today)
    except Problem as problem:
        view = _page(replace(form, faults=(("", problem.sentence),)), lines)
        return drafts.shown_again(desk, typed, view, problem.status)
    return forms.go_on(desk, addresses.listing("material"), saved.change)


def read_list(desk: Desk, text: str, decimal_sign: str) -> tuple[Line, ...]:
    """Every line that is not blank, as a material with its starting price; a known name gets the price."""
    notation = Notation(decimal_sign, desk.notation.currency_signs)
    held = {name_key(one.name): one for one in desk.book.materials.values()}
    seen: set[str] = set()
    lines = []
    texts = [one for one in text.replace("\r", "\n").split("\n") if one.strip()][: MOST_LINES + 1]
    for number, one in enumerate(texts, 1):
        line = _read_line(desk, number, one, notation, held)
        key = name_key(line.material.name) if line.material else ""
        if key and key in seen:
            line = Line(number, one, None, ("This name stands on an earlier line already.",))
        seen.add(key)
        lines.append(line)
    return tuple(lines)


def _read_line(desk: Desk, number: int, text: str, notation: Notation, held: dict[str, Material]) -> Line:
    cells = _cells(text, notation.decimal_sign)
    if len(cells) < 3:
        return Line(number, text, None, ("Write name, price and unit, with a tab, a comma or a semicolon between.",))
    name, price, unit = cells[:3]
    unit = UNITS.get(unit.casefold(), unit)
    known = held.get(name_key(name))
    kind = cells[3] if len(cells) > 3 and cells[3] else "packaging" if unit == "pieces" else "ingredient"
    data: dict[str, Any] = {"name": name, "kind": kind, "starting": {"amount": price, "unit": unit}}
    entry = read(MATERIAL, data, notation, today=desk.today, given={"id": -number})
    if entry.faults:
        return Line(number, text, None, tuple(f"{_where(fault.field)}: {fault.sentence}" for fault in entry.faults))
    material = entry.record
    if known is not None:
        material = replace(known, starting=material.starting)
    faults = faults_of(desk.book, material)
    return Line(number, text, None if faults else material, tuple(fault.sentence for fault in faults))


def _cells(text: str, decimal_sign: str) -> list[str]:
    """Parted at tabs, else semicolons, else commas (not within a number where the comma is the decimal sign)."""
    for sign in ("\t", ";"):
        if sign in text:
            return [cell.strip() for cell in text.split(sign)]
    pattern = r",(?![0-9])" if decimal_sign == "," else ","
    return [cell.strip() for cell in re.split(pattern, text)]


def _where(field: str) -> str:
    return {"name": "Name", "kind": "Kind", "starting-amount": "Price", "starting-unit": "Unit"}.get(field, "Line")
