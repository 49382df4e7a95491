"""The steps of the bench, each beside the reference that it is judged by."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import partial
from pathlib import Path
from statistics import median
from typing import Any

from sqlalchemy import select
from sqlalchemy.dialects import sqlite

from tests.bench import floats, template
from tests.bench.asking import ask
from tests.bench.filling import fill
from tests.bench.first_page import BARE, first_page, program
from tests.bench.in_browser import usable_after
from tests.bench.measuring import Reference, Verdict, against, alone, equal, told
from tests.bench.packing import seconds
from tests.sized_books import DAY, LINES_AN_ORDER, sized
from webapp.app import make_app
from webapp.costing import book as b
from webapp.costing import size_answers
from webapp.costing.book import Book
from webapp.costing.changes import Put
from webapp.costing.difference import costed_again, moved_materials, moved_rows
from webapp.costing.entry import show
from webapp.costing.month import month
from webapp.costing.reckoning import Reckoning
from webapp.costing.size_facts import Candidate, SizeAnswer, SizeQuestion
from webapp.costing.size_shapes import SIZE_QUESTION
from webapp.costing.supposing import Supposition
from webapp.costing.whatif import suppose
from webapp.pages.addresses import HOME, LINE, LIST, LOOKS, SUGGESTED, WEAKEST, edit, kept_verdict, kept_what_if, thing
from webapp.settings import Settings
from webapp.store.engine import sqlite_engine
from webapp.store.opening import FILE, open_store
from webapp.store.rows import ASPECTS
from webapp.store.snapshots import Reader
from webapp.store.writing import Intent

PREVIEW = "/api/orders/preview"
MEMORY = {"S": 150.0, "M": 150.0, "L": 400.0}
STARTS = 5
#: 1.5 s on a machine on which the packages alone take 0.65 s to their first page
MOST_TO_START = 1.5 / 0.65
ROUNDS_OF_PACKS = 3
#: other looks at the line
VIEWS = (
    ("in groups by formula", f"{LINE}?group=formula"),
    ("sorted by margin", f"{LINE}?sort=margin"),
    ("the weakest three", WEAKEST),
    ("suggested prices", SUGGESTED),
    ("as drawings", LOOKS),
)


@dataclass
class Run:
    """One run: its book, where its store lies, and the references as they are made."""

    size: str
    rounds: int
    book: b.Book
    folder: Path
    references: list[Reference]

    def reference(self, name: str, what: str, work: Callable[[], Any]) -> Reference:
        """A new one; run once beforehand, so that no round pays for what is made once."""
        work()
        made = Reference(name, what, work)
        self.references.append(made)
        return made


def all_steps(run: Run) -> Iterator[Verdict]:
    """Every step; the store is filled on the way."""
    yield from figures(run)
    yield from packs(run)
    settings = fill(run.folder / "data", run.book)
    for steps in (storage, page, start, browser, statements):
        yield from _whatever_comes(steps(run, settings))


def _whatever_comes(steps: Iterator[Verdict]) -> Iterator[Verdict]:
    """Steps that need a process, a disk or a page: what can't be measured is told, and the rest of the run goes on."""
    try:
        yield from steps
    except (OSError, AssertionError) as error:
        yield told("not measured", f"{type(error).__name__}: {error}")


# --- figures


def figures(run: Run) -> Iterator[Verdict]:
    """The whole line from nothing, and again after a change."""
    book, flat = run.book, floats.flattened(run.book)
    a1 = run.reference("A1", "the line in plain floats over flat rows", lambda: floats.costs(flat))
    landed = Reckoning(book)
    for material in book.materials:
        landed.material(material)
    bought = landed.kept.landed, landed.kept.materials

    def with_buying_kept() -> Reckoning:
        known = Reckoning(book)
        known.kept.landed, known.kept.materials = dict(bought[0]), dict(bought[1])
        return known

    yield against("figures of the whole line, from nothing", a1, _sheets, run.rounds, 4, lambda: Reckoning(book))
    yield against("  the same, orders landed already", a1, _sheets, run.rounds, None, with_buying_kept)
    yield against(
        "on two channels with kept sheets, from nothing", a1, Reckoning.line, run.rounds, 9, lambda: Reckoning(book)
    )
    yield against("  the same, orders landed already", a1, Reckoning.line, run.rounds, None, with_buying_kept)
    known = Reckoning(book)
    known.line()
    for name, after in (("after one price", _priced(book)), ("after a 20-line order", _ordered(book))):
        yield against(f"the line again {name}", a1, partial(_again, known), run.rounds, None, partial(_same, after))
    after = _ordered(book)
    yield against("what a 20-line order changes", a1, partial(_changes, known), run.rounds, None, partial(_same, after))
    again = costed_again(known, Reckoning(after, known))
    yield told("  costed again for it", f"{again.products:,} of {again.of:,} products")
    yield against(
        "what a what-if of two changes", a1, partial(_supposed, known), run.rounds, None, lambda: _two_of(book)
    )
    again = costed_again(known, suppose(known, _two_of(book)).known)
    yield told("  costed again for it", f"{again.products:,} of {again.of:,} products")
    asked = _bigger(book)
    yield against("is a bigger jar worth it", a1, partial(_answered, asked), run.rounds, None, lambda: known)


def _bigger(book: Book) -> SizeQuestion:
    """Twice the first product in a jar of its own, with ranges: 27 points for each of two answers."""
    product, channel = next(iter(book.prices))
    (fill,) = book.products[product].fills
    jar = Candidate(
        "Twice as much",
        fill.declared * 2,
        fill.unit,
        jar_instead=book.products[product].parts[0].material,
        jar_name="A bigger jar",
        jar_price=Decimal("1.20"),
        jar_least=Decimal(100),
    )
    low, likely, high = Decimal(10), Decimal(20), Decimal(40)
    return SizeQuestion(
        product=product, channel=channel, candidates=(jar,), one_off=Decimal(150),
        jars=likely, jars_low=low, jars_high=high, share=likely, share_low=low, share_high=high,
        monthly=likely, monthly_low=low, monthly_high=high,
    )  # fmt: skip


def _answered(question: SizeQuestion, known: Reckoning) -> SizeAnswer:
    return size_answers.answer(known, question)


def _two_of(book: Book) -> list[tuple[int, Supposition]]:
    """All prices 5 % up, and the first ingredient 10 % dearer."""
    prices = Supposition("prices", percent=Decimal(5))
    return [(0, prices), (1, Supposition("cost", material=_first_ingredient(book), percent=Decimal(10)))]


def _first_ingredient(book: Book) -> int:
    return next(one.id for one in book.materials.values() if not one.by_piece)


def _supposed(known: Reckoning, some: list[tuple[int, Supposition]]) -> Any:
    after = suppose(known, some).known
    return moved_materials(known, after), moved_rows(known, after), month(after)


def _changes(known: Reckoning, book: Book) -> Any:
    after = Reckoning(book, known)
    return moved_materials(known, after), moved_rows(known, after), costed_again(known, after)


def _again(known: Reckoning, book: Book) -> Any:
    return Reckoning(book, known).line()


def _same(book: Book) -> Book:
    return book


def _sheets(known: Reckoning) -> list[Any]:
    return [known.sheet(product) for product in known.book.products]


def _priced(book: b.Book) -> b.Book:
    key, price = next(iter(book.prices.items()))
    return replace(book, prices={**book.prices, key: replace(price, amount=price.amount + 1)})


def _ordered(book: b.Book) -> b.Book:
    newest = max(book.orders)
    lines = tuple(
        b.OrderLine(material, Decimal(2), Decimal(5), "kg", Decimal(40), tax_rate=Decimal(20))
        for material in list(book.materials)[:LINES_AN_ORDER]
    )
    order = b.Order(10_000_000, book.orders[newest].supplier, DAY, lines, (b.Charge("freight", Decimal(12)),))
    return replace(book, orders={**book.orders, order.id: order})


# --- which packs to buy


def packs(run: Run) -> Iterator[Verdict]:
    """The cheapest packs of ten materials, eight sizes, four suppliers, with the two next best plans."""
    for name, everywhere in (("each size from one supplier", False), ("each size from all four", True)):
        times = [seconds(everywhere=everywhere) for _ in range(min(ROUNDS_OF_PACKS, run.rounds))]
        yield alone(f"packs 10 x 8 x 4, {name}", [middle for middle, _ in times], "s", 1)
        yield told("  the longest of all", f"{max(longest for _, longest in times):.2f} s")


# --- the store


def storage(run: Run, settings: Settings) -> Iterator[Verdict]:
    """The book read from nothing, and again after a write."""
    queries = _raw_queries()
    engine = sqlite_engine(settings.data / FILE)
    with closing(sqlite3.connect(settings.data / FILE)) as raw:
        read_raw = lambda: [raw.execute(query).fetchall() for query in queries]  # noqa: E731 - a reference is one call
        a2 = run.reference("A2", "the raw rows of every table", read_raw)
        first = against("", a2, lambda reader: reader.snapshot(DAY), 1, None, lambda: Reader(engine))
        yield told("book read, the first time in this process", first.words.strip())
        yield against(
            "book read", a2, lambda reader: reader.snapshot(DAY), run.rounds, 3.5, lambda: Reader(engine)
        )  # fmt: skip
        with closing(open_store(settings)) as store:
            store.snapshot(DAY)

            def write() -> None:
                now = store.snapshot(DAY)
                price = next(iter(now.book.prices.values()))
                changed = replace(price, since=DAY, amount=price.amount + 1)
                store.save(Put(changed), Intent("price", epoch=now.epoch, version=now.version), DAY)

            yield against(
                "book brought up to date after a write", a2, lambda _: store.snapshot(DAY), run.rounds, None, write
            )  # fmt: skip
    engine.dispose()


def _raw_queries() -> list[str]:
    found = []
    for aspect in ASPECTS.values():
        table = aspect.table
        query = select(*(table.c[name] for name in ("id", *aspect.key, "made_in", *aspect.columns)))
        holds = query.where(table.c.ended_in.is_(None))
        found.append(str(holds.compile(dialect=sqlite.dialect())))
    return found


# --- pages


def page(run: Run, settings: Settings) -> Iterator[Verdict]:
    """The page of the line, asked in process, everything behind it being kept already."""
    with closing(open_store(settings)) as store:
        app = make_app(settings, store, lambda: DAY)
        if (answer := ask(app, LINE)).status != 200:
            yield told("live page of the line", f"not measured: it answered {answer.status}")
            return
        known = store.snapshot(DAY).reckoning
        bare, rows = template.template(), template.rows(known.book, known.line())
        a3 = run.reference("A3", "a bare template of the line's rows", lambda: bare.render(rows=rows))
        yield against("live page of the line", a3, lambda _: ask(app, LINE), run.rounds, 2.2)
        yield against("  to print, at most 1,000 rows", a3, lambda _: ask(app, f"{LINE}?page=all"), run.rounds, None)
        for name, path in VIEWS:
            yield against(f"  {name}", a3, lambda _, path=path: ask(app, path), run.rounds, None)  # type: ignore[misc]
        yield told(
            "  its size", f"{len(answer.body) / 1000:.0f} kB, the bare one {len(bare.render(rows=rows)) / 1000:.0f}"
        )

    yield from one_by_one(run, settings)
    yield from what_if(run, settings)
    yield from another_size(run, settings)


def one_by_one(run: Run, settings: Settings) -> Iterator[Verdict]:
    """Other pages that are opened most, and the JSON of the line, asked in process."""
    a3 = next(one for one in run.references if one.name == "A3")
    book = run.book
    material, product, formula, order = (
        next(iter(each)) for each in (book.materials, book.products, book.formulas, book.orders)
    )
    looks = (
        ("first page", HOME),
        ("a product", thing("product", product)),
        ("a product being edited", edit("product", product)),
        ("a formula", thing("formula", formula)),
        ("a material", thing("material", material)),
        ("an order", thing("order", order)),
        ("list of materials", LIST["material"]),
        ("the line by JSON, 100 rows", "/api/line"),
        ("a cost sheet by JSON", f"/api/products/{product}/sheet"),
    )
    with closing(open_store(settings)) as store:
        app = make_app(settings, store, lambda: DAY)
        for name, path in looks:
            answer = ask(app, path)
            if answer.status != 200:
                yield told(name, f"not measured: {path} answered {answer.status}")
                continue
            yield against(name, a3, lambda _, path=path: ask(app, path), run.rounds, None)  # type: ignore[misc]
            yield told("  its size", f"{len(answer.body) / 1000:.0f} kB")
        sends = _as_sent(_ordered(book))
        answer = ask(app, PREVIEW, sends)
        if answer.status != 200:
            yield told("a 20-line order looked at by JSON", f"not measured: it answered {answer.status}")
            return
        yield against("a 20-line order looked at by JSON", a3, lambda _: ask(app, PREVIEW, sends), run.rounds, None)
        yield told("  its size", f"{len(answer.body) / 1000:.0f} kB")


def _as_sent(book: Book) -> bytes:
    """The newest order of a book as a program sends it."""
    order = book.orders[max(book.orders)]
    lines = [
        {"material": one.material, "packs": f"{one.packs}", "size": f"{one.size}", "unit": one.unit}
        | {"price": f"{one.price}", "tax_rate": f"{one.tax_rate}"}
        for one in order.lines
    ]
    charges = [{"kind": one.kind, "amount": f"{one.amount}"} for one in order.charges]
    told = {"supplier": order.supplier, "day": order.day.isoformat(), "currency": order.currency}
    return json.dumps({**told, "lines": lines, "charges": charges}).encode()


def another_size(run: Run, settings: Settings) -> Iterator[Verdict]:
    """The page of a bigger jar, as a note that is kept asks it again."""
    a1, asked = next(one for one in run.references if one.name == "A1"), _bigger(run.book)
    with closing(open_store(settings)) as store:
        app = make_app(settings, store, lambda: DAY)
        address = kept_verdict(store.keep_verdict(asked.product or 0, DAY, "Kept.", show(SIZE_QUESTION, asked), {}))
        answer = ask(app, address)
        if answer.status != 200:
            yield told("page of a bigger jar", f"not measured: it answered {answer.status}")
            return
        yield against("page of a bigger jar", a1, lambda _: ask(app, address), run.rounds, None)
        yield told("  its size", f"{len(answer.body) / 1000:.0f} kB")


def what_if(run: Run, settings: Settings) -> Iterator[Verdict]:
    """The page of a what-if that is kept: all prices 5 % up, one ingredient 10 % dearer."""
    a1 = next(one for one in run.references if one.name == "A1")
    with closing(open_store(settings)) as store:
        app = make_app(settings, store, lambda: DAY)
        rows = [
            {"kind": "prices", "percent": "5"},
            {"kind": "cost", "material": _first_ingredient(run.book), "percent": "10"},
        ]
        address = kept_what_if(store.keep_what_if("Two changes", rows))
        answer = ask(app, address)
        if answer.status != 200:
            yield told("page of a what-if", f"not measured: it answered {answer.status}")
            return
        yield against("page of a what-if", a1, lambda _: ask(app, address), run.rounds, None)
        yield told("  its size", f"{len(answer.body) / 1000:.0f} kB")


def start(run: Run, settings: Settings) -> Iterator[Verdict]:
    """From the command to the first page, and how much memory that and the line take."""
    many = min(STARTS, run.rounds)
    asked = partial(first_page, program(settings.data), settings.data)
    bare = partial(first_page, BARE, settings.data, "/")
    asked("/")  # the first of all compiles the program
    a4 = run.reference("A4", "start to first page of the packages alone, one table, one page", bare)
    yield against("start to first page", a4, lambda _: asked("/"), many, MOST_TO_START)
    line = [asked(LINE) for _ in range(min(2, many))]
    yield alone("memory, most, with the line shown once", [memory for _, memory in line], "MB", MEMORY[run.size])


def browser(run: Run, settings: Settings) -> Iterator[Verdict]:
    """How long in a browser until the line, all of it, and the what-if kept before can be used."""
    paths = (LINE, f"{LINE}?page=all", kept_what_if(1))
    found = usable_after(settings.data, paths, min(STARTS, run.rounds))
    for name, path in zip(("the line", "  to print", "a what-if"), paths, strict=True):
        words = "not measured: no browser here" if found is None else f"{median(found[path]):10.0f} ms"
        yield told(f"in a browser until usable, {name}", words)


def statements(run: Run, settings: Settings) -> Iterator[Verdict]:
    """SQL statements of a page are the same however big the workshop is."""
    other = fill(run.folder / "other", sized("M" if run.size == "S" else "S"))
    for name, path in (("first page", "/"), ("line", LINE)):
        counts = [_statements(one, path) for one in (settings, other)]
        yield equal(f"SQL statements, {name}, at two sizes", *counts)


def _statements(settings: Settings, path: str) -> int:
    with closing(open_store(settings)) as store:
        app = make_app(settings, store, lambda: DAY)
        ask(app, path)
        return ask(app, path).statements
