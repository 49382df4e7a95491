"""A row of the line, opened in place: its cost sheet and what its price leaves, every figure opening to its working."""

from __future__ import annotations

from dataclasses import dataclass

from starlette.responses import Response

from webapp.costing.gaps import Figure
from webapp.costing.line import Row
from webapp.pages import addresses
from webapp.pages.needs import name_of
from webapp.pages.price.deciding import row_of
from webapp.pages.price.products import SHEET
from webapp.pages.rendering import ChannelIdent, Desk, DeskNow, ProductIdent, View, show
from webapp.routes import Routes

router = Routes()
PLACE = "price"
#: from the price to what is left: figure of the row, words, how it is written
LEFT = (
    ("net", "Price net of tax", "money"),
    ("fees", "What selling costs", "money"),
    ("cost", "Cost, its selling work in it", "money"),
    ("profit", "Left of a jar", "money"),
    ("margin", "Margin", "percent"),
    ("floor", "Lowest without a loss", "money"),
)


@dataclass(frozen=True, slots=True)
class OpenedLine:
    """One figure of the sheet or of the price, and where its working is."""

    words: str
    amount: Figure
    kind: str
    sum: bool
    how: str


@dataclass(frozen=True, slots=True)
class OpenedView:
    """What stands in an opened row. `at` keeps the places of its workings apart from those of other rows."""

    name: str
    at: str
    sheet: tuple[OpenedLine, ...]
    left: tuple[OpenedLine, ...]
    product: str
    decide: str
    why: str
    size: str


@router.get(addresses.OPENED)
def opened_row(desk: DeskNow, product: ProductIdent, channel: ChannelIdent) -> Response:
    """The cost sheet of one row of the line."""
    view = view_of(desk, row_of(desk, product, channel))
    return show(desk, View("price/line/opened.html", view.name, PLACE, view, fragment="price/line/_opened.html"))


def view_of(desk: Desk, row: Row) -> OpenedView:
    """The cost sheet and the price of a row."""
    pair = (row.product, row.channel)
    return OpenedView(
        name_of(desk, row),
        f"{row.product}-{row.channel}",
        tuple(
            OpenedLine(words, getattr(row.sheet, figure), "money", is_sum, desk.at(addresses.how(row.product, figure)))
            for figure, words, is_sum in SHEET
        ),
        tuple(
            OpenedLine(
                words, getattr(row, figure), kind, figure == "profit", desk.at(addresses.how_pair(*pair, figure))
            )
            for figure, words, kind in LEFT
        ),
        desk.at(f"{addresses.thing('product', row.product)}#c-{row.channel}"),
        addresses.pair("price", *pair),
        "" if row.gap else desk.at(addresses.why(*pair)),
        addresses.another_size(*pair) if _has_sizes(desk, row) else "",
    )


def _has_sizes(desk: Desk, row: Row) -> bool:
    """Whether another size of it can be thought of: it is one filling in a jar."""
    product = desk.book.products[row.product]
    return len(product.fills) == 1 and not product.members
