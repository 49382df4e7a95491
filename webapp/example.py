"""The invented workshop: seed_data/workshop.json read through the same door as everything typed, and its line as text.

The seed names things by a key and counts its days from the day of opening, so that it never grows old.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, timedelta
from decimal import Decimal
from itertools import count
from pathlib import Path
from typing import Any

from webapp import resource_dir
from webapp.costing import book as b
from webapp.costing import describing, entry, limits, shapes
from webapp.costing.amounts import half_up, minor_places, snap
from webapp.costing.book import Book, Id
from webapp.costing.changes import Put
from webapp.costing.gaps import Figure, Gap
from webapp.costing.prices import margin_percent
from webapp.costing.reckoning import Reckoning
from webapp.errors import CannotStart
from webapp.settings import Settings
from webapp.store.opening import Store, open_store
from webapp.store.writing import Intent

Typed = Mapping[str, Any]
#: in the order in which one may refer to another
KINDS = (
    "workshop terms person bill supplier material order quote formula group channel product price target sales batch"
).split()
SINGLE = {"workshop": b.WORKSHOP_ID, "terms": b.WORKSHOP_ID}
#: tells that a folder holds the example, so that nobody's own data is ever taken for it and started anew
MARKER = "this-is-the-example.txt"
MARKER_TEXT = "Brimful made this folder for its example. Everything in it goes when the example is started anew.\n"


def prepare(settings: Settings, today: date, fresh: bool) -> None:
    """Make the example in `settings.data` where it holds nothing, or anew when `fresh`.

    CannotStart where the folder holds data that is not the example: that is never touched.
    """
    folder = settings.data
    marker = folder / MARKER
    if not marker.exists():
        if any(folder.glob("*.db")):
            raise CannotStart(f"{folder} holds data of your own. Give the example another folder with --data.")
        folder.mkdir(parents=True, exist_ok=True)
        marker.write_text(MARKER_TEXT, encoding="utf-8")
    elif fresh:
        _empty(folder)
    store = open_store(settings, anew=True)
    try:
        if not store.snapshot(today).book.products:
            fill(store, today)
    finally:
        store.close()


def _empty(folder: Path) -> None:
    """Take away the example's data file and what the database laid beside it; backups stay."""
    for file in folder.glob("*.db*"):
        file.unlink()


def fill(store: Store, today: date) -> None:
    """Store the seed: first every thing, then the later versions of those that have some."""
    ids: dict[str, Id] = {}
    for number, wave in enumerate(waves(seed())):
        snapshot = store.snapshot(today)
        changes = list(puts(wave, ids, today))
        why = "the example" if number == 0 else "the example, later on"
        intent = Intent("Example workshop loaded", why=why, epoch=snapshot.epoch, version=snapshot.version)
        saved = store.save(changes, intent, today)
        ids.update({key: saved.real(number) for key, number in ids.items()})


# --- reading the seed ---


def seed() -> dict[str, list[Typed]]:
    """The seed as it stands in its file: kind to typed records."""
    read = json.loads((resource_dir("seed_data") / "workshop.json").read_text("utf-8"))
    return {kind: read[kind] for kind in KINDS}


def waves(data: Mapping[str, Sequence[Typed]]) -> list[list[tuple[str, Typed]]]:
    """The records one save may hold together: no thing twice, and none that refers to a later one.

    A material and the quote chosen for it refer to each other, so the choice comes in the second wave.
    """
    found: list[list[tuple[str, Typed]]] = []
    seen: dict[tuple[str, Any], int] = {}
    for kind in KINDS:
        for typed in data[kind]:
            steps = [typed]
            if kind == "material" and typed.get("quote"):
                steps = [{name: value for name, value in typed.items() if name != "quote"}, typed]
            for step in steps:
                which = (kind, step.get("key") or (step["product"], step["channel"]))
                wave = seen[which] = seen.get(which, -1) + 1
                while len(found) <= wave:
                    found.append([])
                found[wave].append((kind, step))
    return found


def puts(wave: Iterable[tuple[str, Typed]], ids: dict[str, Id], today: date) -> Iterator[Put]:
    """The changes of one wave. `ids` gets a temporary number for each new key, in the order of the wave."""
    new = count(min([0, *ids.values()]) - 1, -1)
    for kind, typed in wave:
        if (key := typed.get("key")) is not None and key not in ids:
            ids[key] = SINGLE.get(kind) or next(new)
        yield Put(_record(kind, typed, ids, today))


def _record(kind: str, typed: Typed, ids: Mapping[str, Id], today: date) -> Any:
    shape = shapes.SHAPES[kind]
    given = {}
    for name in shape.given:
        given[name] = ids[typed["key" if name == "id" else name]]
    body = {name: value for name, value in typed.items() if name != "key" and name not in given}
    read = entry.read(shape, _settled(shape, body, ids, today), today=today, given=given)
    if read.faults:
        said = "; ".join(f"{fault.field}: {fault.sentence}" for fault in read.faults)
        raise ValueError(f"The example's {kind} {typed.get('key', '')} can't be read. {said}")
    return read.record


def _settled(shape: describing.Shape, typed: Typed, ids: Mapping[str, Id], today: date) -> dict[str, Any]:
    """`typed` with days written out and keys turned into numbers."""
    return {name: _settled_field(shape.field(name).kind, value, ids, today) for name, value in typed.items()}


def _settled_field(kind: Any, value: Any, ids: Mapping[str, Id], today: date) -> Any:
    if isinstance(kind, describing.Part):
        return _settled(kind.shape, value, ids, today)
    if isinstance(kind, describing.Rows):
        return [_settled(kind.shape, row, ids, today) for row in value]
    if isinstance(kind, describing.Many):
        return [ids[key] for key in value]
    if isinstance(kind, limits.Reference):
        return ids[value]
    if isinstance(kind, limits.Day):
        return (today + timedelta(int(value.removesuffix(" d")))).isoformat()
    return value


# --- the line, printed ---

HEADINGS = ("Jar", "Cost", "Wholesale", "Margin", "Retail", "Margin", "Not known yet, because")


def line_text(settings: Settings, today: date) -> str:
    """The line of the workshop in `settings.data` as plain text: a jar a line, aligned."""
    store = open_store(settings)
    try:
        return printed(store.snapshot(today).reckoning)
    finally:
        store.close()


def printed(known: Reckoning) -> str:
    """Every product with its cost, its prices on the first wholesale and the first retail channel, and its gaps."""
    book = known.book
    wholesale, retail = _first(book, wholesale=True), _first(book, wholesale=False)
    table = [HEADINGS, *(_row(known, product, wholesale, retail) for product in _living(book))]
    widths = [max(len(row[place]) for row in table) for place in range(len(HEADINGS))]
    said = [f"{book.workshop.name}, {book.day.isoformat()}, in {book.workshop.currency}", ""]
    said += [_aligned(row, widths) for row in table]
    where = [f"{word}: {channel.name}." for word, channel in (("Wholesale", wholesale), ("Retail", retail)) if channel]
    said += ["", " ".join(where), "* suggested, no price accepted yet.  < below its target."]
    return "\n".join(said)


def _living(book: Book) -> list[b.Product]:
    living = [one for one in book.products.values() if one.retired is None or one.retired > book.day]
    return sorted(living, key=lambda one: one.id)


def _first(book: Book, *, wholesale: bool) -> b.Channel | None:
    """The channel of that sort on which most products are sold, the earliest of several."""
    fitting = [one for one in book.channels.values() if (one.kind == "wholesale") == wholesale]
    fitting = [one for one in fitting if one.retired is None or one.retired > book.day]
    return max(fitting, key=lambda one: (_sold_on(book, one), -one.id), default=None)


def _sold_on(book: Book, channel: b.Channel) -> int:
    return sum(not product.channels or channel.id in product.channels for product in _living(book))


def _row(
    known: Reckoning, product: b.Product, wholesale: b.Channel | None, retail: b.Channel | None
) -> tuple[str, ...]:
    sheet = known.sheet(product.id)
    cost = sheet.direct if known.book.terms.cost == "direct" else sheet.full
    cells, gaps = [_money(known.book, cost)], [cost]
    for channel in (wholesale, retail):
        if channel is None or (product.channels and channel.id not in product.channels):
            cells += ["–", ""]
            continue
        row = known.row(product.id, channel.id)
        mark = "" if row.accepted or isinstance(row.price, Gap) else "*"
        cells += [_money(known.book, row.price) + mark, _margin(row)]
        gaps += [row.price, row.margin]
    reasons = dict.fromkeys(gap.reason for gap in gaps if isinstance(gap, Gap))
    return (product.name, *cells, " ".join(reasons))


def _money(book: Book, figure: Figure) -> str:
    if isinstance(figure, Gap):
        return "?"
    return str(half_up(snap(figure), minor_places(book.workshop.currency)))


def _margin(row: Any) -> str:
    if isinstance(row.margin, Gap):
        return "?"
    shown: Decimal = margin_percent(row.margin, row.target)
    return f"{'< ' if row.reaches is False else ''}{shown} %"


def _aligned(row: Sequence[str], widths: Sequence[int]) -> str:
    """Words to the left, figures to the right."""
    last = len(row) - 1
    cells = [
        text.ljust(width) if place in (0, last) else text.rjust(width)
        for place, (text, width) in enumerate(zip(row, widths, strict=True))
    ]
    return "  ".join(cells).rstrip()
