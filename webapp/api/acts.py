"""Bodies that are no record of the book: what is swapped, copied, entered as a list, or to be bought."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from webapp.api import schemas
from webapp.api.asking import Asked
from webapp.api.describing import Operation, described_body
from webapp.api.examples import shown
from webapp.costing import limits as lim
from webapp.costing.amounts import Notation
from webapp.costing.buying_shapes import STARTING
from webapp.costing.decisions import DECISION
from webapp.costing.describing import Field, Part, Rows, Shape
from webapp.costing.entry import read
from webapp.costing.monthly_sales import SHEET as SALES_SHEET
from webapp.costing.own.shapes import OWN_SHEETS
from webapp.costing.pack_asking import ASKING
from webapp.costing.pasted_lines import ROLES
from webapp.costing.sheets import MOST_CHARACTERS, MOST_COLUMNS, SIGNS
from webapp.costing.size_shapes import MOST_CANDIDATES, SIZE_QUESTION
from webapp.costing.supposing import LINES
from webapp.errors import Fault, Unprocessable

MOST_LINES = 200


@dataclass(frozen=True, slots=True)
class Swap:
    """One ingredient for another, by their numbers."""

    old: int
    new: int


@dataclass(frozen=True, slots=True)
class Copy:
    """What the copy is called and from when on it holds."""

    name: str
    since: date


@dataclass(frozen=True, slots=True)
class StartingLine:
    """About what a material costs. Without a `kind` it is packaging where it is bought by the piece."""

    name: str
    amount: Decimal
    unit: str
    kind: str = ""


@dataclass(frozen=True, slots=True)
class StartingList:
    """Starting prices, all or none of which are kept."""

    lines: tuple[StartingLine, ...]


@dataclass(frozen=True, slots=True)
class Column:
    """What one column of a sheet holds: a field of a line, its material or code; "" for nothing that is wanted."""

    holds: str = ""


@dataclass(frozen=True, slots=True)
class PastedLines:
    """Lines of an order as they were pasted, and what was chosen about them: "" or nothing leaves it to the sheet."""

    text: str
    sign: str = ""
    heads: str = ""
    columns: tuple[Column, ...] = ()


@dataclass(frozen=True, slots=True)
class PastedSales:
    """Jars sold a month as they were pasted; without a `sign` the sheet says how its decimals are written."""

    text: str
    sign: str = ""


@dataclass(frozen=True, slots=True)
class SheetText(lim.Text):
    """A sheet as text: kept as it is, since an empty cell at its beginning counts."""

    length: int = MOST_CHARACTERS
    lines: bool = True

    def read(self, text: str, notation: Notation) -> str:
        lim.Text.read(self, text, notation)
        return text


_NAME = Field("name", lim.NAME, True, "Give it a name.")
_SWAP = Shape(
    Swap,
    (
        Field("old", lim.Reference("material"), True, "Say which ingredient is swapped."),
        Field("new", lim.Reference("material"), True, "Say what it is swapped for."),
    ),
)
_COPY = Shape(Copy, (_NAME, Field("since", lim.DAY)))
_STARTING_LINE = Shape(
    StartingLine, (_NAME, *STARTING.fields, Field("kind", lim.Choice(("", "ingredient", "packaging", "bought-in"))))
)
_STARTING = Shape(
    StartingList,
    (Field("lines", Rows(_STARTING_LINE, ("name", "amount"), 1, MOST_LINES), True, "Send at least one line."),),
)
_PASTED = Shape(
    PastedLines,
    (
        Field("text", SheetText(), True, "Send at least one line."),
        Field("sign", lim.Choice(("", *SIGNS))),
        Field("heads", lim.Choice(("", "yes", "no"))),
        Field("columns", Rows(Shape(Column, (Field("holds", lim.Choice(("", *ROLES))),)), (), 0, MOST_COLUMNS)),
    ),
)
_PASTED_SALES = Shape(
    PastedSales,
    (Field("text", SheetText(), True, "Send at least one line."), Field("sign", lim.Choice(("", *SIGNS)))),
)
_WHAT_IF = Shape(dict, (LINES, Field("prices", Rows(DECISION, ("product", "channel", "amount", "why"), 0, 200))))
_KEPT_WHAT_IF = Shape(dict, (_NAME, LINES))
_QUESTION = Field("question", Part(SIZE_QUESTION, ("product", "formula")), True, "Send what is asked.")
_SIZE_OFFER = Shape(dict, (_QUESTION, Field("sales", lim.FLAG)))
_KEPT_VERDICT = Shape(dict, (Field("sentence", lim.NOTE, True, "Write in a sentence what was found out."), _QUESTION))
SHAPES = {
    "size_question": SIZE_QUESTION,
    "size_offer": _SIZE_OFFER,
    "kept_verdict": _KEPT_VERDICT,
    "kept_formula_verdict": _KEPT_VERDICT,
    "swap": _SWAP,
    "copy": _COPY,
    "starting_prices": _STARTING,
    "packs": ASKING,
    "pasted_lines": _PASTED,
    "what_if": _WHAT_IF,
    "kept_what_if": _KEPT_WHAT_IF,
    "monthly_sales": SALES_SHEET,
    "pasted_sales": _PASTED_SALES,
    "own_sheet": OWN_SHEETS,
}
#: which candidate of a question is meant; what takes it
PLACE: schemas.Schema = {
    "type": "integer",
    "minimum": 0,
    "maximum": MOST_CANDIDATES - 1,
    "description": "the place of the candidate in the question, from 0; 0 where nothing is said",
}
PLACED = ("size_offer", "kept_verdict", "kept_formula_verdict")
_BIGGER: dict[str, Any] = {
    "ask": "size",
    "product": "$product",
    "channel": "$channel",
    "candidates": [
        {
            "name": "Hair butter, 200 g",
            "declared": "200",
            "jar_instead": "$jar",
            "jar_name": "Jar, 240 mL",
            "jar_price": "1.15",
            "jar_least": "60",
            "minutes": "2",
            "way": "typed",
            "price": "29.50",
        }
    ],
    "replaced": "grams",
    "jars": "12",
    "jars_low": "8",
    "jars_high": "20",
    "share": "40",
    "monthly": "5.00",
    "one_off": "60.00",
    "within": "12",
}
_NEW_SIZES: dict[str, Any] = {
    "ask": "size",
    "formula": "$formula",
    "channel": "$channel",
    "candidates": [
        {"name": "Butter, small", "declared": "30", "jar": "$jar", "way": "typed", "price": "9.50"},
        {"name": "Butter, large", "declared": "90", "jar": "$jar", "way": "typed", "price": "19.00"},
    ],
    "jars": "8",
    "share": "25",
}
#: as in `examples`: references are the names of what is sent there
EXAMPLES: dict[str, dict[str, Any]] = {
    "size_question": _BIGGER,
    "size_offer": {"question": _BIGGER, "place": 0},
    "kept_verdict": {"sentence": "Worth it from 20 a month on.", "question": _BIGGER, "place": 0},
    "kept_formula_verdict": {"sentence": "The big one pays beside the small one.", "question": _NEW_SIZES, "place": 1},
    "swap": {"old": "$shea", "new": "$wax"},
    "copy": {"name": "Hair butter, 50 g"},
    "starting_prices": {
        "lines": [
            {"name": "Rosemary oil", "amount": "9.50", "unit": "oz"},
            {"name": "Round label", "amount": "0.12", "unit": "pieces"},
        ]
    },
    "packs": {
        "needs": [{"material": "$shea", "amount": "3700", "a_month": "450", "months": "18"}],
        "batches": [{"formula": "$formula", "batches": "2"}],
        "offers": [
            {
                "material": "$shea",
                "supplier": "$barn",
                "size": "1",
                "unit": "kg",
                "price": "9.40",
                "breaks": [{"packs": "5", "price": "8.90"}],
            },
            {"material": "$shea", "supplier": "$barn", "size": "5", "unit": "kg", "price": "41.50"},
        ],
        "freights": [{"supplier": "$barn", "amount": "12.60", "free_from": "100", "least": "25"}],
    },
    "what_if": {
        "suppositions": [
            {"kind": "prices", "channel": "$channel", "way": "up", "percent": "5", "endings": True},
            {"kind": "cost", "material": "$shea", "way": "up", "percent": "10"},
            {"kind": "wage", "person": "$ada", "amount": "20.00"},
        ]
    },
    "kept_what_if": {
        "name": "Butter gets dearer",
        "suppositions": [{"kind": "cost", "material": "$shea", "way": "up", "percent": "10", "counts": True}],
    },
    "monthly_sales": {
        "since": "2026-11-01",
        "sales": [{"product": "$product", "channel": "$channel", "jars": "36"}],
    },
    "pasted_sales": {"text": "Product;Channel;Jars\nHair butter, 100 g;Saturday market;36\n"},
    "own_sheet": {
        "sheets": [
            {"title": "Prices", "text": "Ingredient;Pack;Price\nKokum butter;1 kg;27.50\n"},
            {"title": "Formulas", "text": "Formula;Ingredient;%\nPlain stick;Kokum butter;100\n"},
        ]
    },
    "pasted_lines": {"text": "Item;Qty;Pack size;Price\nShea butter;2;2,5 kg;31,00\nJojoba;1;500 mL;14,80\n"},
}


def taking(name: str) -> Operation:
    """The description of a route that takes one of these bodies."""
    return described_body(schemas.named(name), shown(EXAMPLES[name]))


def components() -> dict[str, schemas.Schema]:
    """The schemas of these bodies, by name."""
    found = {name: schemas.of_body(shape) for name, shape in SHAPES.items()}
    for name in PLACED:
        found[name]["properties"]["place"] = PLACE
    return found


def taken(asked: Asked, name: str, data: Any) -> Any:
    """What was sent as one of these. Unprocessable with every fault of it."""
    entry = read(SHAPES[name], data, today=asked.today)
    if entry.record is None:
        raise Unprocessable([Fault(one.field, one.code, one.sentence) for one in entry.faults])
    return entry.record
