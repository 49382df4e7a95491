"""Orders of a maker's own sheet whose supplier and day stand only at their head: blank cells below say "as above".

Where a sheet shows that it is kept so, it is read so and said; where that is in doubt and changes what something
costs, it is asked once for the sheet. What is no list of orders stays as it is.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

from webapp.costing.limits import name_key
from webapp.costing.own.columns import MATERIALS, Layout, OwnTable
from webapp.costing.own.month_names import year_of
from webapp.costing.own.order_lines import FREIGHT_ROW, GAP, HEADING, LINE, OF_ORDER, UNCLEAR, Line, lines_of
from webapp.costing.own.plan import ABOUT
from webapp.costing.own.rows import OwnRow, Skipped, Wrong, skipped

#: what a person may say of rows that leave supplier and day blank: they are of the order above, or of none
AS_ABOVE, AS_BLANK = "above", "none"
SAYS_BELOW = "supplier and day of the rows below it"
_UNCLEAR = (
    "This row seems to be the head of an order. Write only its day and supplier here (2026-02-12 - Oak Supply), or "
    "leave this row out."
)
#: how many rows are named
_NAMED = 3


@dataclass(frozen=True, slots=True)
class Ordered:
    """A sheet with what its rows say of supplier and day by those above them, and what is said and asked of that."""

    table: OwnTable
    layout: Layout
    passed: tuple[Skipped, ...] = ()
    wrong: tuple[Wrong, ...] = ()
    remark: str = ""
    asked: str = ""
    offered: bool = False
    """Whether rows leave blank what stands above them, so that it can be said what that means."""


@dataclass(frozen=True, slots=True)
class Told:
    """What was said of the orders of a sheet and of all prices, and the names that stand in several rows."""

    orders: str
    prices: str
    twice: frozenset[str]


@dataclass
class Walk:
    """What is found of orders from the top of a sheet to its end. Rows are by their numbers, with all that they say."""

    wanted: tuple[str, ...]
    now: dict[str, str] = field(default_factory=dict)
    heading: Mapping[str, str] = field(default_factory=dict)
    """What the heading says that stands above, where one does."""
    since: int = 0
    """How many lines stand below the last head."""
    gap: bool = False
    gaps: bool = False
    """Whether anything parts orders."""
    heads: int = 0
    headings: int = 0
    repeats: int = 0
    orphans: int = 0
    parted: int = 0
    blank: dict[int, dict[str, str]] = field(default_factory=dict)
    """Rows that leave something blank and contradict nothing above."""
    neither: list[OwnRow] = field(default_factory=list)
    """Those of them that say nothing of supplier and day."""
    other: dict[int, dict[str, str]] = field(default_factory=dict)
    """Rows that leave something blank and say something else than the row above."""
    ditto: dict[int, dict[str, str]] = field(default_factory=dict)
    """What cells are that say that they are as above."""
    freight: list[str] = field(default_factory=list)
    """Where freight stands: at a head, in a blank row, in a row of its own."""


def orders_in(
    tables: Sequence[OwnTable], layouts: Sequence[Layout], told: Mapping[int, str], left: Collection[str], prices: str
) -> dict[int, Ordered]:
    """The sheets of materials as they are once blank cells of supplier and day are read.

    `told` is what was said of each sheet, `prices` what its prices were said to be, `left` the rows that are left out.
    """
    sheets = [number for number, layout in enumerate(layouts) if layout.holds == MATERIALS]
    found = {number: list(lines_of(number, tables[number], layouts[number], left)) for number in sheets}
    names = Counter(name_key(one.row.text("name")) for lines in found.values() for one in lines if one.what == LINE)
    twice = frozenset(name for name, count in names.items() if count > 1)
    return {
        number: _ordered(found[number], tables[number], layouts[number], Told(told.get(number, ""), prices, twice))
        for number in sheets
    }


def with_remarks(tables: Sequence[OwnTable], orders: Mapping[int, Ordered]) -> tuple[OwnTable, ...]:
    """The sheets as they are, each with what is said of its orders."""
    said = {number: one.remark for number, one in orders.items() if one.remark}
    return tuple(
        replace(table, remarks=(*table.remarks, said[number])) if number in said else table
        for number, table in enumerate(tables)
    )


def with_years(
    tables: Sequence[OwnTable], layouts: Sequence[Layout], orders: Mapping[int, Ordered], today: date
) -> tuple[OwnTable, ...]:
    """The sheets as they are, each with the year that days are of that say none."""
    read = {n: (one.table, one.layout) for n, one in orders.items()}
    every = enumerate(zip(tables, layouts, strict=True))
    years = {n: year for n, one in every if (year := year_of(*read.get(n, one), today))}
    words = "Days without a year are read as of {}. Where they are not, write their year in the title of the sheet."
    return tuple(
        replace(table, remarks=(*table.remarks, words.format(years[number]))) if number in years else table
        for number, table in enumerate(tables)
    )


def _ordered(lines: Sequence[Line], table: OwnTable, layout: Layout, said: Told) -> Ordered:
    """One sheet: blank cells filled where they are as above, its heads of orders passed over."""
    walk, told = _walked(layout, lines), said.orders
    is_log = bool(walk.headings or walk.heads > 1 or (walk.heads and walk.freight))
    clear = told == AS_ABOVE or (not told and is_log and _is_clear(walk, layout))
    filled = {**walk.blank, **(walk.other if told == AS_ABOVE else {})} if clear else {}
    heads = [one for one in lines if one.what in (HEADING, UNCLEAR)]
    doubtful = is_log and not told and not clear and said.prices != ABOUT and _matters(walk, layout, said.twice)
    asked = f"{table.title}: {_without(walk, {**walk.blank, **walk.other})}. Are they of the order above? Say it below."
    remark = f"{_without(walk, filled)}: read as of the order above." if filled and not told else ""
    return replace(
        _filled(table, layout, {**walk.ditto, **filled}, heads),
        passed=tuple(skipped(one.row, SAYS_BELOW) for one in heads if one.what == HEADING),
        wrong=tuple(_unclear(one.row) for one in heads if one.what == UNCLEAR),
        remark=remark,
        asked=asked if doubtful else "",
        offered=bool(is_log and walk.blank) or bool(told),
    )


def _unclear(row: OwnRow) -> Wrong:
    place = next(one for one in range(len(row.table.rows[row.number - 1])) if row.table.cell(row.number, one))
    return Wrong(row.sheet, row.number, place, row.table.cell(row.number, place), _UNCLEAR)


# --- from top to bottom


def _walked(layout: Layout, lines: Sequence[Line]) -> Walk:
    said = {role for one in lines if one.what == HEADING for role in one.said}
    walk = Walk(tuple(role for role in OF_ORDER if role in layout.roles or role in said))
    for one in lines:
        if one.freight:
            own = one.what == FREIGHT_ROW
            is_first = {*one.said} == {*walk.wanted} and one.said != walk.now
            walk.freight.append("row" if own else "head" if is_first else "below")
        if one.what == HEADING:
            walk.now, walk.heading, walk.since, walk.gap = dict(one.said), one.said, 0, False
            walk.heads, walk.headings = walk.heads + 1, walk.headings + 1
        elif one.what in (GAP, UNCLEAR):
            walk.gap = walk.gap or walk.since > 0 or one.what == UNCLEAR
            walk.gaps = walk.gaps or (walk.gap and walk.since > 0)
        elif one.what == LINE and walk.wanted:
            _line(walk, one)
    return walk


def _line(walk: Walk, line: Line) -> None:
    """Add a line of an order: one that says all is a head, others are as what stands above them, or contradict it."""
    number, before = line.row.number, walk.now
    ditto = {role: before[role] for role in line.ditto if role in before}
    if ditto:
        walk.ditto[number] = ditto
    said = {**line.said, **ditto}
    walk.now = {**before, **said}
    walk.since += 1
    left = {role for role in walk.wanted if role not in said}
    if not left:
        is_same = before == walk.now and not walk.gap
        walk.repeats, walk.heads = walk.repeats + (is_same and not ditto), walk.heads + (not is_same)
        walk.gap, walk.heading = False, walk.heading if is_same else {}
    elif _contradicts(said, before) and not left <= {*walk.heading}:
        walk.other[number], walk.gap = walk.now, False
    elif len(walk.now) == len(said):  # nothing above says more
        walk.orphans += 1
    else:
        walk.blank[number] = walk.now
        walk.parted += walk.gap
        walk.neither += [] if said else [line.row]


def _contradicts(said: Mapping[str, str], before: Mapping[str, str]) -> bool:
    return any(name_key(text) != name_key(before.get(role, text)) for role, text in said.items())


def _is_clear(walk: Walk, layout: Layout) -> bool:
    """Whether a sheet is kept so that blank cells can only be as above."""
    at_heads = {*walk.freight} == {"head"}
    is_shown = at_heads or walk.gaps  # where one order ends and the next begins
    if walk.parted or walk.other or (walk.repeats > len(walk.blank) and not is_shown):
        return False
    if walk.headings == walk.heads:
        return True
    return not walk.orphans and (_orders_first(layout) or (not walk.headings and at_heads))


def _orders_first(layout: Layout) -> bool:
    """Whether supplier or day stand left of the names, as they do where rows are lines of orders."""
    names = [place for role in ("name", "inci") if (place := layout.place(role)) is not None]
    places = [place for role in OF_ORDER if (place := layout.place(role)) is not None]
    return bool(places) and min(places) < min(names, default=0)


def _matters(walk: Walk, layout: Layout, twice: Collection[str]) -> bool:
    """Whether what is blank changes what something costs: by freight, or a price that would be the later one."""
    if walk.freight and (walk.blank or (walk.other and _orders_first(layout))):
        return True
    return any(name_key(row.text("name")) in twice for row in walk.neither)


# --- the sheet with it


def _filled(table: OwnTable, layout: Layout, rows: Mapping[int, Mapping[str, str]], heads: Sequence[Line]) -> Ordered:
    """The sheet with what rows say as above, in columns behind the last where it has none, and without its heads."""
    more = [role for role in OF_ORDER if role not in layout.roles and any(role in one for one in rows.values())]
    width = max(table.width, len(layout.roles)) if more else len(layout.roles)
    layout = replace(layout, roles=(*layout.roles, *[""] * (width - len(layout.roles)), *more))
    if not rows and not heads:
        return Ordered(table, layout)
    found = [list(row) for row in table.rows]
    for number, said in rows.items():
        for role, text in said.items():
            _put(found[number - 1], layout.roles.index(role), text)
    _without_heads(found, layout, heads)
    typed = table.typed | {
        (number, place)
        for number, said in rows.items()
        for role, text in said.items()
        if table.cell(number, place := layout.roles.index(role)) != text and not text.isdigit()  # counted days
    }
    return Ordered(replace(table, rows=tuple(map(tuple, found)), typed=typed), layout)


def _without_heads(rows: list[list[str]], layout: Layout, heads: Sequence[Line]) -> None:
    """Empty the rows that are heads of orders; freight and tax that stand there go to the first row of the order."""
    for head in heads:
        for role in ("freight", "order_tax"):
            place, text = layout.place(role), head.row.text(role)
            if place is not None and text and head.what == HEADING:
                _put(rows[head.first - 1], place, text)
        rows[head.row.number - 1] = []


def _put(row: list[str], place: int, text: str) -> None:
    row.extend([""] * (place + 1 - len(row)))
    row[place] = text


# --- in words


def _without(walk: Walk, rows: Collection[int]) -> str:
    """Which rows leave supplier or day blank."""
    first = ", ".join(map(str, sorted(rows)[:_NAMED]))
    more = f" and {len(rows) - _NAMED} more" if len(rows) > _NAMED else ""
    row, says, its = ("Row", "says", "its") if len(rows) == 1 else ("Rows", "say", "their")
    return f"{row} {first}{more} {says} no {' or '.join(walk.wanted)} of {its} own"
