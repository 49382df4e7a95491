"""What would be: a record before it is stored, a swapped ingredient, a price that is only tried. Nothing is stored."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from typing import Annotated, Any

from fastapi import Query
from starlette.responses import JSONResponse, Response

from webapp.api import acts, answers, decided
from webapp.api.answers import picked, value
from webapp.api.asking import ID_PATTERN, Asked, AskedNow, ChannelIdent, Ident, MaterialIdent, TodayNow
from webapp.api.bodies import BodyNow, PricesOnly, TermsNow
from webapp.api.decided import after
from webapp.api.describing import BODY, PRICED
from webapp.api.interface import Interface
from webapp.api.things import NEW_ID, Kind, entered, one, stored, withdrawing
from webapp.costing import headroom, price_working
from webapp.costing.amounts import JSON_NOTATION, ONE, ZERO, Unreadable, percent
from webapp.costing.book import Formula, Price
from webapp.costing.changes import Change, Put, questions, swapped
from webapp.costing.difference import MovedRow, costed_again, lost_more, moved_materials, moved_rows
from webapp.costing.limits import COUNT, FEE, MONEY, Number
from webapp.costing.price_history import quoted_in
from webapp.costing.reckoning import Reckoning
from webapp.costing.working_back import worked_back
from webapp.errors import Fault, NotFound, Unprocessable
from webapp.store.ahead import first_day

router = Interface()
ROW = ("cost", "price", "margin", "reaches", "suggested", "floor")


@router.post(
    "/{stem}/preview",
    summary="What one of {stem} would change; nothing is stored",
    operation_id="preview_{kind}",
    openapi_extra=BODY,
)
def preview(
    asked: TodayNow,
    kind: Kind,
    body: BodyNow,
    change: Annotated[str | None, Query(pattern=ID_PATTERN, description="the number of one that is changed")] = None,
) -> Response:
    """The record with its figures, what would be asked, and every material and row that it changes."""
    ident = int(change) if change else NEW_ID
    if change:
        asked.holding(kind, ident).thing(kind, ident)
    data, prices = decided.parted(body.data)
    record = entered(asked, kind, data, {"id": ident})
    told = {"record": supposed(asked, kind, record), **difference(asked, [Put(record)], prices)}
    return JSONResponse(told, headers={"ETag": asked.whole_tag})


@router.post(
    "/{stem}/{ident}/withdraw/preview",
    summary="What taking it back would change; nothing is stored",
    operation_id="preview_withdraw_{kind}",
    openapi_extra=PRICED,
)
def preview_withdraw(asked: TodayNow, kind: Kind, ident: Ident, body: PricesOnly) -> Response:
    """Every material and row that would have another figure without this order or quote."""
    _, prices = decided.parted(body.data)
    told = difference(asked, withdrawing(asked, kind, ident), prices)
    return JSONResponse(told, headers={"ETag": asked.whole_tag})


def supposed(asked: Asked, kind: str, record: Any) -> answers.Answer:
    """The record as it would be, with its figures: of its first day, where that lies ahead."""
    held = asked.supposing(after(asked, [Put(record)]))
    if record.id not in held.shelf(kind):
        ahead = asked.of(first_day(record))
        held = ahead.supposing(after(ahead, [Put(record)]))
    return answers.with_figures(held, kind, held.thing(kind, record.id))


def difference(asked: Asked, changes: Sequence[Change], prices: Sequence[Any] = ()) -> dict[str, Any]:
    """What would be asked, and what would be another figure afterwards; as if `prices` were taken too."""
    old = asked.reckoning
    old.line()  # what is known of it is carried over, so that only what depends on the change is costed again
    with_them = decided.with_prices(asked, changes, prices, "")
    new = Reckoning(decided.after(asked, with_them), old)
    moved = moved_rows(old, new)
    return {
        "questions": [value(one) for one in decided.at_their_rows(questions(asked.book, with_them), prices)],
        "materials": changed_materials(old, new),
        "rows": changed_rows(moved, new),
        "lost_more": value(lost_more(moved)),
        "costed_again": costed_again(old, new)._asdict(),
    }


def changed_materials(old: Reckoning, new: Reckoning) -> list[dict[str, Any]]:
    """Materials whose cost per gram or piece is another one afterwards."""
    return [
        {
            "material": moved.material,
            "name": new.book.materials[moved.material].name,
            "before": value(moved.before.unit_cost) if moved.before else None,
            "after": value(moved.after.unit_cost),
            "change": None if moved.change is None else value(moved.change),
            "standing": None if (found := moved.standing(old, new.book)) is None else value(found),
            "tax": None if (tax := moved.tax(old, new)) is None else value(tax),
            "change_share": None if moved.change_share is None else value(moved.change_share),
        }
        for moved in moved_materials(old, new)
    ]


def changed_rows(rows: Sequence[MovedRow], known: Reckoning) -> list[dict[str, Any]]:
    """Rows with another cost or suggestion afterwards, the worst first."""
    return [
        {
            "product": moved.after.product,
            "channel": moved.after.channel,
            "falls_below_target": moved.falls_below,
            "quoted": list(quoted_in(known, moved.after.product)),
            "before": picked(moved.before, ROW) if moved.before else None,
            "after": picked(moved.after, ROW),
            "margin_suggested": value(moved.margin_suggested),
            "lost_more": value(moved.lost_more),
        }
        for moved in rows
    ]


# --- one ingredient of a formula for another

SWAP = "/formulas/{ident}/swap"


def swap_of(asked: Asked, ident: int, data: Any) -> Formula:
    """The formula as the swap makes it from today on."""
    formula = asked.thing("formula", ident)
    swap = acts.taken(asked, "swap", data)
    if swap.old not in {line.material for line in formula.lines}:
        raise Unprocessable([Fault("old", "reference", "That ingredient is not in this formula.")])
    return swapped(formula, swap.old, swap.new, asked.today)


@router.post(
    f"{SWAP}/preview",
    tags=["formulas"],
    summary="What swapping an ingredient would change; nothing is stored",
    operation_id="preview_swap",
    openapi_extra=acts.taking("swap"),
)
def preview_swap(asked: TodayNow, ident: Ident, body: BodyNow) -> Response:
    """The formula with another ingredient in the place of one, and every row that this changes."""
    formula = swap_of(asked, ident, body.data)
    return JSONResponse({"record": supposed(asked, "formula", formula), **difference(asked, [Put(formula)])})


@router.post(
    SWAP,
    tags=["formulas"],
    summary="Swap an ingredient for another",
    operation_id="swap",
    openapi_extra=acts.taking("swap"),
)
def swap(asked: TodayNow, ident: Ident, body: BodyNow, terms: TermsNow) -> Response:
    """From today on the formula is made with the other ingredient, in the same amounts."""
    stored(asked, [Put(swap_of(asked, ident, body.data))], terms, body, "formula saved", must_match=True)
    return one(asked.now(), "formula", ident)


# --- trying a price

PAIR = "/products/{ident}/channels/{channel}"


@router.get(
    f"{PAIR}/try", tags=["products"], summary="What a price would leave; nothing is stored", operation_id="try_price"
)
def try_price(  # noqa: PLR0917 - one argument a word of the address
    asked: AskedNow,
    ident: Ident,
    channel: ChannelIdent,
    amount: Annotated[str, Query(max_length=24, description="a price of all the jars together")] = "",
    jars: Annotated[str, Query(max_length=24, description="how many jars that is for; 1 where nothing is said")] = "",
    off: Annotated[str, Query(max_length=24, description="a discount in percent; of the present price alone")] = "",
) -> Response:
    """The row as it would be at a price, an offer such as 2 for 25, or a discount.

    `back`: what the jar and its ingredients may cost at most for its target, and what an own hour then pays.
    """
    asked.thing("product", ident)
    asked.thing("channel", channel)
    now = asked.reckoning.row(ident, channel)
    each = price_of_one({"amount": amount, "jars": jars, "off": off}, now.price)
    prices = {**asked.book.prices, (ident, channel): Price(ident, channel, asked.today, each)}
    there = asked.supposing(replace(asked.book, prices=prices))
    row = there.reckoning.row(ident, channel)
    working = price_working.working(there.reckoning, row, "margin")
    told = {"each": value(each), "now": answers.row(asked, now), "tried": answers.row(there, row)}
    back = value(worked_back(there.reckoning, row))
    return JSONResponse({**told, "back": back, "working": answers.working(working)})


def price_of_one(typed: dict[str, str], present: Any) -> Decimal:
    """The price of one jar in an offer. Unprocessable where it can't be read, or where none is named."""
    kinds: dict[str, Number] = {"amount": MONEY, "jars": COUNT, "off": FEE}
    read: dict[str, Decimal] = {}
    faults = []
    for name, kind in kinds.items():
        try:
            if typed[name]:
                read[name] = kind.read(typed[name], JSON_NOTATION)
        except Unreadable as unreadable:
            faults.append(Fault(name, unreadable.code, unreadable.sentence))
    start = read.get("amount", present if "off" in read else None)
    if not faults and not isinstance(start, Decimal):
        faults.append(Fault("amount", "required", "Say which price is tried."))
    if faults or not isinstance(start, Decimal):
        raise Unprocessable(faults)
    return start * (ONE - percent(read.get("off", ZERO))) / read.get("jars", ONE)


# --- how a figure on a channel came about


@router.get(
    f"{PAIR}/workings/{{figure}}", tags=["products"], summary="A figure in full", operation_id="product_row_working"
)
def row_working(asked: AskedNow, ident: Ident, channel: ChannelIdent, figure: str) -> Response:
    """How one figure of the product on the channel came about."""
    asked.thing("product", ident)
    asked.thing("channel", channel)
    if figure not in price_working.FIGURES:
        raise NotFound("There is no such figure.")
    row = asked.reckoning.row(ident, channel)
    return JSONResponse(answers.working(price_working.working(asked.reckoning, row, figure)))


@router.get(
    f"{PAIR}/headroom/{{material}}",
    tags=["products"],
    summary="How much dearer an ingredient may get, in full",
    operation_id="product_headroom_working",
)
def headroom_working(asked: AskedNow, ident: Ident, channel: ChannelIdent, material: MaterialIdent) -> Response:
    """How far the price of a gram may rise before the product misses its target there; the rest stays as it is."""
    for kind, number in (("product", ident), ("channel", channel), ("material", material)):
        asked.thing(kind, number)
    found = headroom.opened(asked.reckoning, ident, channel, material)
    if found is None:
        raise NotFound("There is none of it in this product, or the product is not sold there.")
    return JSONResponse(answers.working(found))
