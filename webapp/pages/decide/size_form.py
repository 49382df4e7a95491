"""The form that asks about another size: what was typed, what it begins with, what the present jar says beside it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import Any
from urllib.parse import parse_qsl, urlencode

from webapp.costing import limits, size_asking
from webapp.costing.book import Product
from webapp.costing.gaps import Gap
from webapp.costing.parts import part_costs
from webapp.costing.rows import Row
from webapp.costing.size_facts import ASKS, SizeQuestion
from webapp.costing.size_shapes import MOST_CANDIDATES, SIZE_QUESTION
from webapp.pages import addresses
from webapp.pages.done import new_token
from webapp.pages.drawn import Form, defaults
from webapp.pages.rendering import Desk
from webapp.pages.typed import Typed, flat, typed_from

CANDIDATES, MEMBERS = "candidates", "members"
#: what a button asks for: the answer, beside more lines and the acts of an answer
ASK = "ask"
#: words behind the question mark that are not of the question
_BESIDE = ("on", "done", "kept", "start", "draft")
#: what the form begins with and nobody typed: it says nothing, so it is left out of an address
_EMPTY_AMOUNTS = ("monthly", "one_off")


@dataclass(frozen=True, slots=True)
class Now:
    """What the present jar has, as words beside the fields that are left empty for it."""

    unit: str = "g"
    declared: str = ""
    overfill: str = ""
    minutes: str = ""
    parts: tuple[tuple[str, str, str], ...] = ()
    """Material, name, and what a piece of it costs."""
    price: str = ""
    jars: str = ""


@dataclass(frozen=True, slots=True)
class Sizing:
    """A question as it was sent: its form, and what could be read of it."""

    form: Form
    question: SizeQuestion | None = None
    typed: Mapping[str, Any] = field(default_factory=dict)
    asked: bool = False
    starts: bool = False
    """Whether the address says to start from a formula."""
    selling: bool = False
    """Whether the jars that are expected are to be saved with an offer, as what is sold."""

    @property
    def starts_from_formula(self) -> bool:
        """Whether a formula is chosen, or is to be."""
        return self.starts or self.form.value("formula") != ""

    @property
    def ask(self) -> str:
        """Which of the questions it is."""
        found = self.form.value("ask")
        return found if found in ASKS else ASKS[0]

    @property
    def is_new(self) -> bool:
        """Whether sizes of a formula are asked about that is not sold yet."""
        return self.ask == ASKS[0] and not self.form.value("product") and self.starts_from_formula

    def at(self, address: str, **more: str) -> str:
        """An address with the question behind its question mark, and more."""
        told = {name: text for name, text in self.form.texts.items() if text}
        return f"{address}?{urlencode({**told, **more})}"

    @property
    def fields(self) -> tuple[tuple[str, str], ...]:
        """The question as the hidden fields of an act."""
        return tuple((name, text) for name, text in self.form.texts.items() if text)


def typed_in_address(desk: Desk) -> Typed:
    """What the address asks, as if a form had been sent."""
    pairs = parse_qsl(desk.request.url.query, keep_blank_values=True, max_num_fields=limits.FIELDS)
    return typed_from([(name, text) for name, text in pairs if name not in _BESIDE])


def sizing(desk: Desk, typed: Typed, *, asked: bool = True, action: str = addresses.SIZE) -> Sizing:
    """The question that was sent; where it is `asked` for an answer, with what is wrong at its fields."""
    data = _with_all_lines(typed.data)
    form = form_of(desk, data, typed, action)
    if not asked:
        return Sizing(form, None, data)
    read = size_asking.read(desk.book, data, desk.notation)
    faults = tuple((fault.field, fault.sentence) for fault in read.faults)
    return Sizing(replace(form, faults=faults), None if faults else read.question, data, asked=True)


def _with_all_lines(data: Mapping[str, Any]) -> dict[str, Any]:
    """The lines closed up: one that was left out of an address is none, and what is typed keeps its order."""
    kept = {name: one for name, one in data.items() if name not in (CANDIDATES, MEMBERS)}
    for name in (CANDIDATES, MEMBERS):
        rows = data.get(name)
        if isinstance(rows, list):
            lines = [row for row in rows if isinstance(row, Mapping)]
            first = lines[:1] if name == CANDIDATES else []
            kept[name] = [*first, *(row for row in lines[len(first) :] if _is_typed(row))]
    return kept


def _is_typed(row: Mapping[str, Any]) -> bool:
    """Whether anything of a line was typed or chosen beyond what it begins with."""
    return any(text for name, text in row.items() if name not in ("unit", "way") and (name, text) != ("count", "1"))


def form_of(desk: Desk, data: Mapping[str, Any], typed: Typed | None = None, action: str = addresses.SIZE) -> Form:
    """The form with a question in it, by the names of its fields."""
    begun = {name: "" if name in _EMPTY_AMOUNTS else text for name, text in defaults(SIZE_QUESTION).items()}
    texts = {**begun, **flat(data)}
    if typed is None or typed.version is None:
        return Form(action, SIZE_QUESTION, texts, new_token(), desk.snapshot.epoch, str(desk.snapshot.version))
    form = Form(action, SIZE_QUESTION, texts, typed.token or new_token(), typed.epoch, str(typed.version))
    return replace(form, sure=typed.sure, draft=typed.draft, page=typed.page)


def begun(desk: Desk) -> Sizing:
    """What an address begins: a product, where it sells most, and its unit; the rest is for whoever asks."""
    form = sizing(desk, typed_in_address(desk), asked=False).form
    product = product_of(desk, form)
    more: dict[str, str] = {}
    if product is not None and not form.value("channel") and form.value("ask") != "drop":
        more["channel"] = _where_it_sells(desk, product, wholesale=form.value("ask") == "case")
    if product is not None and not form.value(f"{CANDIDATES}-0-declared"):
        more[f"{CANDIDATES}-0-unit"] = now_of(desk, form).unit
    texts = {**form.texts, **{name: text for name, text in more.items() if text}}
    return Sizing(replace(form, texts=texts), starts=desk.request.query_params.get("start") == "formula")


def _where_it_sells(desk: Desk, product: Product, *, wholesale: bool) -> str:
    rows = [row for row in desk.reckoning.rows(product.id) if not wholesale or not row.terms.retail]
    best = max(rows, key=lambda row: row.jars_a_month or Decimal(0), default=None)
    return "" if best is None else str(best.channel)


def product_of(desk: Desk, form: Form) -> Product | None:
    """The product that is chosen, or None."""
    text = form.value("product")
    return desk.book.products.get(int(text)) if text.isascii() and text.isdigit() and len(text) <= 9 else None


def now_of(desk: Desk, form: Form) -> Now:
    """What the present jar has; nothing where none is chosen."""
    product = product_of(desk, form)
    if product is None or len(product.fills) != 1:
        return Now()
    fill, shown = product.fills[0], desk.formats
    minutes = sum((one.per_jar or Decimal(0) for one in product.work), Decimal(0))
    row = row_of(desk, form)
    return Now(
        str(fill.unit),
        shown.shown(fill.declared, str(fill.unit)),
        shown.shown(fill.overfill, str(fill.unit)),
        shown.minutes(minutes),
        tuple(_parts(desk, product)),
        "" if row is None or isinstance(row.price, Gap) else shown.money(row.price),
        "" if row is None or row.jars_a_month is None else shown.number(row.jars_a_month),
    )


def _parts(desk: Desk, product: Product) -> Iterator[tuple[str, str, str]]:
    for part in part_costs(desk.reckoning, product):
        cost = part.unit_cost
        yield str(part.material), part.name, "" if isinstance(cost, Gap) else desk.formats.fine_money(cost)


def row_of(desk: Desk, form: Form) -> Row | None:
    """The present jar on the channel that is asked about."""
    product, channel = product_of(desk, form), form.value("channel")
    if product is None:
        return None
    return next((row for row in desk.reckoning.rows(product.id) if str(row.channel) == channel), None)


def candidate_rows(form: Form) -> Sequence[str]:
    """The lines of further candidates: those typed and one more, as long as there is room."""
    typed = max(form.typed_rows(CANDIDATES), 1)
    return [f"{CANDIDATES}-{place}" for place in range(1, min(typed + 1, MOST_CANDIDATES))]


#: what can be asked: its key, what the way there says, and what an address says for it
_ASKS = (
    ("size", "Another size"),
    ("new", "Sizes of something new"),
    ("set", "A gift set"),
    ("drop", "One size less"),
    ("case", "A case for shops"),
)


def asks_of(sized: Sizing) -> tuple[tuple[str, str, bool], ...]:
    """The ways to the other questions, the product and the channel taken along: words, address, whether it is open."""
    now = "new" if sized.is_new else sized.ask
    found = []
    for key, words in _ASKS:
        told = {"ask": "size" if key == "new" else key, "start": "formula" if key == "new" else ""}
        told |= {} if key == "new" else {name: sized.form.value(name) for name in ("product", "channel")}
        found.append((words, f"{addresses.SIZE}?{urlencode({n: t for n, t in told.items() if t})}", key == now))
    return tuple(found)
