"""The reference A3: a bare template of the line's rows, its figures already text."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from jinja2 import Environment, Template

from webapp.costing.book import Book
from webapp.costing.gaps import Figure
from webapp.costing.line import Row

_BARE = """{% for row in rows %}<tr><th><a href="{{ row.href }}">{{ row.name }}</a></th><td>{{ row.channel }}</td>
<td>{{ row.margin }}</td><td>{{ row.price }}</td><td>{{ row.cost }}</td><td>{{ row.left }}</td><td>{{ row.hour }}</td>
</tr>{% endfor %}"""


@dataclass(frozen=True, slots=True)
class BareRow:
    """A row as text."""

    href: str
    name: str
    channel: str
    margin: str
    price: str
    cost: str
    left: str
    hour: str


def template() -> Template:
    """Compiled once."""
    return Environment(autoescape=True).from_string(_BARE)


def rows(book: Book, line: tuple[Row, ...]) -> list[BareRow]:
    """The rows of the line as the bare template wants them."""
    return [
        BareRow(
            f"/price/products/{row.product}",
            book.products[row.product].name,
            book.channels[row.channel].name,
            *map(_text, (row.margin, row.price, row.cost, row.contribution, row.per_labour_hour)),
        )
        for row in line
    ]


def _text(figure: Figure) -> str:
    return f"{figure:.2f}" if isinstance(figure, Decimal) else figure.reason
