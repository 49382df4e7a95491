"""What was chosen beside a maker's own sheets: from the fields of the page to the core's words, and back."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from contextlib import suppress
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

from webapp.costing import limits
from webapp.costing.amounts import MINOR_UNITS, Notation, Unreadable
from webapp.costing.own.columns import (
    MOST_COLUMNS,
    MOST_SHEETS,
    ROLES,
    Layout,
    OwnTable,
)
from webapp.costing.own.contents import OUNCES
from webapp.costing.own.layouts import laid_out, laid_out_as, laid_out_at, laid_out_together
from webapp.costing.own.noted import AS_READ, COUNTS
from webapp.costing.own.prices import ABOUT, LIST, PAID, How
from webapp.costing.own.reading import Choices, OwnReading
from webapp.costing.own.rows import mark_of
from webapp.costing.own.taxes import TaxSaid
from webapp.costing.own.told import OfSheet, Told
from webapp.costing.own.totals import IN, OUT
from webapp.costing.own.written import Written
from webapp.errors import Problem
from webapp.pages import addresses
from webapp.pages.data import own_questions
from webapp.pages.data.own_leaving import rows_called
from webapp.pages.data.own_remembered import REMEMBERED, known_by_heads, known_layout, mark_of_heads, remembered
from webapp.pages.formats import Formats
from webapp.pages.rendering import Desk
from webapp.pages.symbols import signs_of
from webapp.store.drafts import Draft

#: what is chosen for one sheet, and the codes of its options
OF_SHEET: Mapping[str, tuple[str, ...]] = {
    name: tuple(code for code, _ in options if code) for name, (_, options) in own_questions.OF_SHEET.items()
}
SIGNS = {"point": ".", "comma": ","}
MOST_TYPED = 500
#: what is chosen for all sheets and is likely to be so the next time too
FOR_ALL = (
    *("sign", "days", "system", "currency", "amounts", "prices", "tax", "published", "by_price", "channel"),
    "below",
)
#: what is said of these sheets alone
_ONCE = ("supplier", "day", "file", "person", "batch", "ounces", "money", "registered")


def choices_of(desk: Desk, data: Mapping[str, Any], tables: Sequence[OwnTable]) -> Choices:
    """What was chosen, as the core takes it; whatever is none of the choices is left to be guessed."""
    prices = _one_of(data, "prices", (PAID, LIST, ABOUT))
    how = How(
        prices,
        _name(_text(data, "supplier")),
        _day(_text(data, "day")),
        _text(data, "tax") == "in",
        _rates(desk, data),
        bool(_text(data, "published")),
        _texts(data, "means"),
        densities={mark: value for mark, value in _densities(desk, data).items() if isinstance(value, Decimal)},
        channels={mark: _name(text) for mark, text in _texts(data, "sold").items()},
        person=_name(_text(data, "person")),
        by_price=bool(_text(data, "by_price")),
        written=written(desk.formats),
    )
    told = Told(
        SIGNS.get(_text(data, "sign"), ""),
        _one_of(data, "days", ("day first", "month first")),
        _one_of(data, "system", ("US", "imp")),
        currency=_one_of(data, "currency", tuple(MINOR_UNITS)),
        written=written(desk.formats),
    )
    layouts = _layouts(desk, data, tables)
    left = frozenset(mark for mark, text in _texts(data, "leave").items() if text)
    called = rows_called(tables, layouts, left).values()
    return Choices(
        layouts,
        told,
        _one_of(data, "amounts", ("percent", "grams", "parts")),
        prices,
        how,
        _texts(data, "fix"),
        left.union(*called),
        {mark: text for mark, text in _texts(data, "kind").items() if text in ("percent", "grams", "parts")},
        _batch(desk, data),
        _one_of(data, "ounces", tuple(OUNCES)),
        _of_sheets(desk, data, tables),
        _open(desk, data, tables),
        _one_of(data, "below", (OUT, IN)),
        _one_of(data, "money", tuple(MINOR_UNITS)),
        _one_of(data, "registered", ("yes", "no")),
        {mark: text for mark, text in _texts(data, "note").items() if text in (AS_READ, COUNTS)},
    )


def written(formats: Formats) -> Written:
    """Figures in sentences as the workshop writes them."""
    return Written(formats.number, formats.whole_money, formats.day, signs_of(formats.locale))


def _of_sheets(desk: Desk, data: Mapping[str, Any], tables: Sequence[OwnTable]) -> dict[int, OfSheet]:
    """What was chosen for each sheet alone; before that as it was for the same heads."""
    chosen = _sheets_sent(data)
    if chosen is None:
        known = remembered(desk)
        before = {number: known_by_heads(table, known) for number, table in enumerate(tables)}
        chosen = {number: found[1] for number, found in before.items() if found}
    told = {number: _of_sheet(desk, one) for number, one in chosen.items()}
    return {number: one for number, one in told.items() if one != OfSheet()}


def _of_sheet(desk: Desk, sent: Mapping[str, Any]) -> OfSheet:
    chosen: dict[str, Any] = {name: _one_of(sent, name, allowed) for name, allowed in OF_SHEET.items()}
    return OfSheet(**chosen, rate=_rate_of_tax(desk, sent))


def _sheets_sent(data: Mapping[str, Any]) -> dict[int, Mapping[str, Any]] | None:
    """What was sent of each sheet; None where nothing was."""
    sent = data.get("sheets")
    if not isinstance(sent, list):
        return None
    return {number: one for number, one in enumerate(sent[:MOST_SHEETS]) if isinstance(one, Mapping)}


def _rate_of_tax(desk: Desk, sent: Mapping[str, Any]) -> Decimal | None:
    with suppress(Unreadable):
        return limits.TAX_RATE.read(_text(sent, "rate"), desk.notation) if _text(sent, "rate").strip() else None
    return None


def _layouts(desk: Desk, data: Mapping[str, Any], tables: Sequence[OwnTable]) -> dict[int, Layout]:
    """What each sheet holds: as was chosen; before that as it was for the same heads; else as it is guessed."""
    sent = data.get("sheets")
    if not isinstance(sent, list):
        known = remembered(desk)
        guessed = laid_out_together(tables)
        return {number: known_layout(table, known) or guessed[number] for number, table in enumerate(tables)}
    found = {}
    for number, table in enumerate(tables[:MOST_SHEETS]):
        one = sent[number] if number < len(sent) and isinstance(sent[number], Mapping) else {}
        found[number] = _layout(one, table)
    return found


def _open(desk: Desk, data: Mapping[str, Any], tables: Sequence[OwnTable]) -> frozenset[int]:
    """The sheets whose columns nobody chose or saw yet: none once the page was sent."""
    if isinstance(data.get("sheets"), list):
        return frozenset()
    known = remembered(desk)
    return frozenset(number for number, table in enumerate(tables) if known_by_heads(table, known) is None)


def _layout(sent: Mapping[str, Any], table: OwnTable) -> Layout:
    holds = _one_of(sent, "holds", tuple(ROLES))
    if not holds:
        return laid_out(table)
    heads = _heads(_text(sent, "heads"), table)
    if holds != _text(sent, "was"):
        return laid_out_as(table, holds)
    if _text(sent, "heads") != _text(sent, "was_heads"):
        return laid_out_at(table, holds, heads)
    columns = sent.get("columns")
    chosen = [str(one or "") for one in columns[:MOST_COLUMNS]] if isinstance(columns, list) else []
    return Layout(holds, heads, tuple(one if one in ROLES[holds] else "" for one in chosen) or ("",))


def _heads(text: str, table: OwnTable) -> int:
    return min(int(text), len(table.rows)) if re.fullmatch(r"[0-9]{1,5}", text.strip(), re.ASCII) else 0


def _rates(desk: Desk, data: Mapping[str, Any]) -> dict[str, Decimal]:
    """The rates that could be read; one that could not is asked for again."""
    found = {}
    for code, text in _texts(data, "rates").items():
        with suppress(Unreadable):
            if text.strip() and code.upper() in MINOR_UNITS:
                found[code.upper()] = limits.RATE.read(text, desk.notation)
    return found


def _densities(desk: Desk, data: Mapping[str, Any]) -> dict[str, Decimal | str]:
    """What one mL of each weighs, by the mark of its name; a sentence where that can't be read."""
    found: dict[str, Decimal | str] = {}
    for mark, text in _texts(data, "density").items():
        if text.strip():
            try:
                found[mark] = limits.DENSITY.read(text, desk.notation)
            except Unreadable as unreadable:
                found[mark] = unreadable.sentence
    return found


def faults_of(desk: Desk, data: Mapping[str, Any], reading: OwnReading) -> tuple[tuple[str, str], ...]:
    """What can't be read of what was typed beside the sheets, each at its field."""
    shown = {mark_of(name) for name in (*reading.undense, *(name for name, _ in reading.published))}
    found = _densities(desk, data).items()
    taxes = _sheets_sent(data) or {}
    wrong = [n for n, one in taxes.items() if _text(one, "rate").strip() and _rate_of_tax(desk, one) is None]
    of_tax = tuple((f"sheets-{number}-rate", "Type the rate of tax in percent, such as 20.") for number in wrong)
    return of_tax + tuple((f"density-{mark}", said) for mark, said in found if isinstance(said, str) and mark in shown)


def _batch(desk: Desk, data: Mapping[str, Any]) -> Decimal | None:
    with suppress(Unreadable):
        return limits.GRAMS.read(_text(data, "batch"), desk.notation)
    return None


def _name(text: str) -> str:
    try:
        return limits.NAME.read(text, Notation())
    except Unreadable:
        return ""


def _day(text: str) -> date | None:
    try:
        return limits.DAY.read(text, Notation()) if text.strip() else None
    except Unreadable:
        return None


def _text(data: Mapping[str, Any], name: str) -> str:
    text = data.get(name, "")
    return text if isinstance(text, str) else ""


def _one_of(data: Mapping[str, Any], name: str, allowed: Sequence[str]) -> str:
    text = _text(data, name)
    return text if text in allowed else ""


def _texts(data: Mapping[str, Any], name: str) -> dict[str, str]:
    found = data.get(name)
    pairs = found.items() if isinstance(found, Mapping) else ()
    return {key: text[: limits.NOTE_LENGTH] for key, text in list(pairs)[:MOST_TYPED] if isinstance(text, str)}


# --- what stands in the fields


def texts_of(desk: Desk, data: Mapping[str, Any], reading: OwnReading) -> dict[str, str]:
    """The fields as they stand: what was typed, and what was guessed where nothing was."""
    texts = {name: _text(data, name) for name in (*FOR_ALL, *_ONCE)}
    channels = {} if reading.after is None else reading.after.channels
    texts |= {one.choice: channels[one.channel].name for one in reading.selling if one.channel is not None}
    texts |= reading.assumed
    texts["prices"] = reading.prices
    texts["tax"] = _text(data, "tax") or "out"
    for group in ("fix", "means", "rates", "leave", "density", "sold", "kind", "note"):
        typed = _texts(data, group).items()
        texts |= {f"{group}-{key}": text for key, text in typed if text.strip() or group != "fix"}
    for number, layout in enumerate(reading.layouts):
        at = f"sheets-{number}"
        texts |= {f"{at}-holds": layout.holds, f"{at}-was": layout.holds}
        texts |= {f"{at}-heads": str(layout.heads), f"{at}-was_heads": str(layout.heads)}
        texts |= {f"{at}-columns-{place}": role for place, role in enumerate(layout.roles)}
        told = reading.of_sheets.get(number, OfSheet())
        texts |= {f"{at}-{name}": getattr(told, name) for name in OF_SHEET}
        texts[f"{at}-tax"] = told.tax or reading.taxes.get(number, TaxSaid()).how
        texts[f"{at}-rate"] = _rate_typed(desk, data, number, told)
    return texts


def _rate_typed(desk: Desk, data: Mapping[str, Any], number: int, told: OfSheet) -> str:
    """The rate of tax of a sheet as it was typed, or is remembered."""
    sent = _sheets_sent(data)
    if sent is None:
        return "" if told.rate is None else desk.formats.number(told.rate)
    return _text(sent.get(number, {}), "rate")


def chosen_before(desk: Desk, tables: Sequence[OwnTable]) -> dict[str, Any]:
    """What was chosen for all sheets, and what names were said to mean, when heads of these were met before."""
    known = remembered(desk)
    for table in tables:
        found = known_by_heads(table, known)
        if found is not None:
            said = {name: found[1][name] for name in FOR_ALL if found[1].get(name)}
            return {**said, "means": _begun_with("means", found[1]), "note": _begun_with("note", found[1])}
    return {}


def met_before(desk: Desk, tables: Sequence[OwnTable]) -> tuple[str, ...]:
    """What the sheets are called whose heads were met before."""
    known = remembered(desk)
    return tuple(one.title for one in tables if known_by_heads(one, known))


def _begun_with(group: str, texts: Mapping[str, str]) -> dict[str, str]:
    """What is remembered of names, or of notes, by their marks."""
    return {key.removeprefix(f"{group}-"): text for key, text in texts.items() if key.startswith(f"{group}-")}


def remember(desk: Desk, reading: OwnReading, data: Mapping[str, Any]) -> None:
    """Keep what the columns hold and what was chosen, for the next sheet with these heads.

    Where that can't be done nothing is lost.
    """
    known = remembered(desk)
    beside = {name: _text(data, name) for name in FOR_ALL if _text(data, name)}
    for group in ("means", "note"):
        beside |= {f"{group}-{mark}": text for mark, text in _texts(data, group).items() if text}
    for number, (table, layout) in enumerate(zip(reading.tables, reading.layouts, strict=True)):
        mark = mark_of_heads(table, layout)
        if not mark or not any(layout.roles):
            continue
        told = reading.of_sheets.get(number, OfSheet())
        of = {name: getattr(told, name) for name in OF_SHEET if getattr(told, name)}
        of |= {} if told.rate is None else {"rate": desk.formats.number(told.rate)}
        texts = {"holds": layout.holds, "columns": "|".join(layout.roles), **of, **beside}
        if known.get(mark) == texts:
            continue
        draft = Draft(mark, REMEMBERED, addresses.OWN, texts, datetime.now(UTC), desk.snapshot.epoch, 0)
        with suppress(Problem):
            desk.store.keep_draft(draft, mark)
