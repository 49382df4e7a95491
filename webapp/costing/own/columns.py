"""A maker's own sheets: what a sheet and each of its columns can hold, and what heads and cells say of it.

Heads are known in English, and as the trade writes them in German, French, Spanish, Italian and Dutch.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from webapp.costing.own.content_heads import with_contents, without_place
from webapp.costing.own.currencies import is_money, named_so
from webapp.costing.own.densities import is_density
from webapp.costing.own.freight import is_freight
from webapp.costing.own.made_heads import FORMULA_HEADS, PRODUCT_HEADS
from webapp.costing.own.material_heads import MATERIAL_HEADS, OF_PIECES
from webapp.costing.own.minute_heads import is_of_jar, of_batch
from webapp.costing.own.price_heads import (
    TAX_OUT,
    currency_said,
    many_in,
    names_tax,
    says_rate,
    tax_said,
    without_besides,
)
from webapp.costing.own.sold_heads import without_price_words
from webapp.costing.own.taxes import phrase_in
from webapp.costing.own.units import (
    DOZEN,
    IMPERIAL,
    US,
    dozens_in,
    fraction_in,
    measure_in,
    multiple_in,
    pounds_and_ounces,
    unit_first,
)
from webapp.costing.own.weight_heads import may_be_of_packs, other_unit, weight_unit
from webapp.costing.units import MASS, PIECES, VOLUME
from webapp.costing.written_units import AMOUNT, unit_of

MATERIALS, FORMULAS, PRODUCTS, NOTHING = "materials", "formulas", "products", "nothing"
#: how many rows may stand above the heads, and are looked at to guess from; how many sheets, columns and rows are read
ABOVE, LOOKED_AT, MOST_SHEETS, MOST_COLUMNS, MOST_ROWS = 20, 60, 30, 40, 2_000

#: what stands in a cell that says nothing
BLANK = ("", "-", "\u2013", "\u2014", "n/a", "N/A")
OF_FORMULA, OF_INGREDIENT = "of_formula", "of_ingredient"

#: what a column of materials can hold, for people
MATERIAL_ROLES: Mapping[str, str] = {
    "name": "the material's name",
    "inci": "its INCI name",
    "kind": "ingredient or packaging",
    "supplier": "the supplier",
    "code": "the supplier's code",
    "packs": "how many packs were bought",
    "pack": "how much is in a pack",
    "ounces": "the ounces beside its pounds",
    "unit": "the unit of the pack",
    "price": "the price of a pack",
    "net_price": "the price of a pack without tax",
    "unit_price": "the price for one (kg, g, L, piece, pack)",
    "currency": "the currency",
    "tax_rate": "the rate of sales tax",
    "taxed": "whether tax is in its price",
    "freight": "the freight of its order",
    "order_tax": "the sales tax of its order (money)",
    "day": "the day of the price",
    "density": "its density (g/mL)",
}
FORMULA_ROLES: Mapping[str, str] = {
    "formula": "the formula's name",
    "ingredient": "the ingredient",
    "percent": "its percent",
    "grams": "its grams",
    "parts": "its parts",
    "amount": "its amount, unit as said",
    "ounces": "the ounces beside its pounds",
    "unit": "the unit of the amount",
    "batch": "the size of the batch",
    "stage": "the stage (oil phase …)",
    "unit_price": "the price for one kg, g, L … of the ingredient",
    OF_FORMULA: "amounts of the formula in its head",
    OF_INGREDIENT: "amounts of the ingredient in its head",
}
#: what a column of materials holds that says what one costs
PRICES = ("price", "net_price", "unit_price")
#: what several columns of one sheet may hold: formulas side by side, or ingredients
SIDE_BY_SIDE = (OF_FORMULA, OF_INGREDIENT)
#: what a column of a list of formulas holds that says how much
AMOUNTS = ("percent", "grams", "parts", "amount")
PRODUCT_ROLES: Mapping[str, str] = {
    "name": "the product's name",
    "formula": "the formula in it",
    "size": "the content of a jar",
    "unit": "the unit of the content",
    "part": "its jar, lid or label",
    "minutes": "minutes of work for one jar",
    "batch_minutes": "minutes of work for a batch",
    "some_minutes": "minutes: for a jar, or a batch?",
    "makes": "how many jars a batch makes",
    "price": "its selling price",
}
#: what several columns of one sheet may hold, by what the sheet holds
MAY_REPEAT: Mapping[str, tuple[str, ...]] = {FORMULAS: SIDE_BY_SIDE, PRODUCTS: ("formula", "size", "part", "price")}
ROLES: Mapping[str, Mapping[str, str]] = {
    MATERIALS: MATERIAL_ROLES,
    FORMULAS: FORMULA_ROLES,
    PRODUCTS: PRODUCT_ROLES,
    NOTHING: {},
}

_WORDS = {
    kind: {head.strip(): role for role, said in heads.items() for head in said.split(",")}
    for kind, heads in ((MATERIALS, MATERIAL_HEADS), (FORMULAS, FORMULA_HEADS), (PRODUCTS, PRODUCT_HEADS))
}
#: hundredths of money in a head
_PENCE = re.compile(r"(?:^|[^a-z])(?:p|pence|cents?|ct|cts|centimes?)(?:[^a-z]|$)|\u00a2")
#: a head with a price for one of something: "€/kg", "Price per 100 g", "cost (per lb)"
_PER = re.compile(
    r"(?:/|\bper\b|\ba\b|\bpro\b|\bje\b|\bau\b|\bpar\b|\bpor\b|\bal\b)\s*([0-9]*\s*[^\W\d_]+\.?(?: [^\W\d_]+\.?)*)"
)


@dataclass(frozen=True, slots=True)
class OwnTable:
    """One sheet as texts; row 1 is `rows[0]`. `exact`: plain numbers have a decimal point whatever else is written."""

    title: str
    rows: tuple[tuple[str, ...], ...]
    exact: bool = False
    hidden: bool = False
    remarks: tuple[str, ...] = ()
    typed: frozenset[tuple[int, int]] = frozenset()
    struck: frozenset[int] = frozenset()
    """Where numbers are exact, the cells (row from 1, column from 0) that came as text; rows that are struck out."""

    def is_exact(self, row: int, column: int) -> bool:
        """Whether the number of a cell came as a number."""
        return self.exact and (row, column) not in self.typed

    def cell(self, row: int, column: int) -> str:
        """The text in a row (from 1) and a column (from 0), on one line; "" where there is none."""
        cells = self.rows[row - 1] if 0 < row <= len(self.rows) else ()
        return " ".join(cells[column].split()) if column < len(cells) else ""

    @property
    def begins(self) -> int:
        """How many rows at its top are empty."""
        return next((number for number, row in enumerate(self.rows) if any(map(str.strip, row))), 0)

    @property
    def width(self) -> int:
        """How many columns have anything in them."""
        return max(map(len, self.rows), default=0)


@dataclass(frozen=True, slots=True)
class Layout:
    """What a sheet holds, in which row its heads stand (0: nowhere), and what each column holds ("": left out)."""

    holds: str
    heads: int = 0
    roles: tuple[str, ...] = ()

    def place(self, role: str) -> int | None:
        """The column that holds something; None where none does."""
        return self.roles.index(role) if role in self.roles else None

    def places(self, role: str) -> tuple[int, ...]:
        """All columns that hold something: several only where formulas or ingredients stand side by side."""
        return tuple(place for place, one in enumerate(self.roles) if one == role)


#: cells are looked at several times in each reading, as heads, as totals, as what their column holds
_MOST_KNOWN = 16_384


@lru_cache(maxsize=_MOST_KNOWN)
def words_of(head: str) -> str:
    """A head without case, accents, marks and what stands in brackets."""
    bare = unicodedata.normalize("NFKD", head.casefold().replace("\u00df", "ss"))
    bare = "".join(one for one in bare if not unicodedata.combining(one))
    without = re.sub(r"[(\[].*?[)\]]", " ", bare)
    return " ".join(re.sub(r"[^a-z%]+", " ", without if without.strip() else bare).split())


def unit_in(head: str) -> str:
    """A unit that a head names for the numbers below: in brackets, or as its last word; "" where it names none."""
    if words_of(head) in OF_PIECES:
        return PIECES
    inside = re.findall(r"[(\[](.+?)[)\]]", head)
    words = [*inside, re.sub(r"[(\[].*?[)\]]", " ", head).strip().rpartition(" ")[2]]
    return next((unit for word in words if (unit := _unit(word.removeprefix("in ").strip()))), weight_unit(head))


def _unit(word: str) -> str:
    """A unit by what people write for it; a measure only where it says whose; a dozen as it is written."""
    system, name = measure_in(word)
    if dozens_in(word) == DOZEN or multiple_in(word):  # "gross" in a head is a weight with its wrapping
        return word.strip(" .:")
    return unit_of(word) or (f"{system} {name}" if name not in ("", "oz") and system in (US, IMPERIAL) else "")


def per_in(head: str) -> str:
    """For one of what a head says that its prices are: "kg" in "Price (€/kg)"; "" where it says nothing."""
    if many := many_in(head):
        return f"{many} {PIECES}"
    found = _PER.search(re.sub("[$\u00a3-\u00a5\u20a0-\u20bf]", " ", without_besides(head)))
    said = found[1].strip() if found else ""
    words = said.lstrip("0123456789 ")
    unit = unit_first(words)
    return f"{said.removesuffix(words)}{unit}" if unit else ""


def roles_in(heads: Sequence[str], holds: str) -> tuple[str, ...]:
    """What the heads of a row say: the first of two that say the same; a jar is a product where nothing else is."""
    roles = [role_of(head, holds) if len(head) < 60 else "" for head in heads]
    for place, head in enumerate(heads):
        if (
            holds == PRODUCTS
            and words_of(head) in ("jar", "jars")
            and any(one in ("name", "formula") for other, one in enumerate(roles) if other != place)
        ):
            roles[place] = "part"
        if roles[place] == "minutes" and "makes" in roles and not is_of_jar(head):
            roles[place] = "some_minutes"
        if roles[place] == "batch" and re.search(r"[0-9]", head):  # "Batch 1 (500 g)": the grams of that batch
            roles[place] = "grams" if other_unit(head) in ("", "kg") else "amount"  # "Batch 1 (16 oz)": who knows
    roles = with_contents(heads, roles) if holds == PRODUCTS else roles
    return tuple(
        "" if role in roles[:place] and role not in MAY_REPEAT.get(holds, ()) else role
        for place, role in enumerate(roles)
    )


def known_role(head: str, holds: str) -> str:
    """What a head that is known whole says that its column holds; "" where it is not."""
    if head[:1].isdigit():  # "500 g" is an amount of a row
        return ""
    known = _WORDS.get(holds, {})
    said = known.get(words_of(head), "")
    rest = words_of(without_besides(head))
    if holds == PRODUCTS:
        return of_batch(head, known) or said or _of_product(rest, head)
    if said or holds != MATERIALS:
        return said
    said = known.get(rest, "")
    if not rest and (currency_said(head) or tax_said(head)) and not re.search("[0-9]", head):
        said = "price"  # a currency alone, and no amount of it, or "Net"
    before, _, unit = words_of(head).rpartition(" ")
    if not said and unit_of(unit) and known.get(before) in ("pack", "packs"):
        return known[before]
    if not said and may_be_of_packs(head):
        return "pack"
    return said if said in ("price", "unit_price") else ""


def _of_product(rest: str, head: str) -> str:
    """What a head of products says beside tax, or with a currency or a unit at its end: "Market price R", "Fill ml".

    A price that says to be without tax is none that is asked for.
    """
    known, (before, _, last) = _WORDS[PRODUCTS], words_of(head).rpartition(" ")
    said = (rest, without_price_words(rest), before if named_so(head.rpartition(" ")[2], "") else "")
    is_price = "price" in map(known.get, said)
    if last and is_price and tax_said(head) != TAX_OUT:
        return "price"
    return "size" if unit_of(last) in {*MASS, *VOLUME} and known.get(before.removesuffix(" in")) == "size" else ""


def role_of(head: str, holds: str) -> str:
    """What a head says that its column holds; "" where it says nothing that is known."""
    if holds == MATERIALS and says_rate(head):
        return "tax_rate"
    head = without_place(head) if holds == PRODUCTS else head
    if head[:1].isdigit() or (holds in (MATERIALS, FORMULAS) and is_density(head)):
        return "density" if holds == MATERIALS and is_density(head) else ""
    besides = ("freight" if is_freight(head) else "price" if many_in(head) else "") if holds == MATERIALS else ""
    said = besides or known_role(head, holds)
    if holds == MATERIALS and said in ("pack", "packs"):
        return "price" if currency_said(head) else said  # an amount of money
    if holds == MATERIALS and said in ("", *PRICES):
        return _of_price(head, said)
    return _of_amount(head, said) if holds == FORMULAS and said in ("", "amount", "grams") else said


def _of_amount(head: str, said: str) -> str:
    """What a head of a formula says that may be one of amounts: grams only where it names no other unit."""
    unit = weight_unit(head) or (unit_in(head) if said else "")
    if unit in MASS:
        return "grams" if unit == "g" else "amount"
    if not said:
        return _of_formula(head)
    return "amount" if other_unit(head) else said


def _of_price(head: str, said: str) -> str:
    """What sort of price a head of a material speaks of; "" for none, and for one in hundredths of money."""
    if _PENCE.search(head.casefold()):
        return ""
    if said in ("", "price") and per_in(head):
        return "unit_price"
    return "net_price" if said == "price" and tax_said(head) == TAX_OUT else said


def _of_formula(head: str) -> str:
    """What a head that is not known whole says among formulas: a share, or the price of the ingredient.

    A share is none of tax; a price is not its cost, nor anything for 100 g, which may be of the whole.
    """
    if "%" in head and not names_tax(head) and not phrase_in(head).how:
        return "percent"
    per = per_in(head)
    is_price = bool(per) and not per[0].isdigit() and not {"cost", "kosten", "cout"} & {*words_of(head).split()}
    return "unit_price" if is_price else ""


def sort_of_most(cells: Sequence[str]) -> str:
    """What most cells of a column are."""
    counts: dict[str, int] = {}
    for cell in cells:
        sort = sort_of(cell)
        counts[sort] = counts.get(sort, 0) + 1
    return max(counts, key=lambda one: counts[one]) if counts else ""


@lru_cache(maxsize=_MOST_KNOWN)
def sort_of(cell: str) -> str:
    """What one cell looks like: money, percent, a day, an amount with its unit, a bare number, or text."""
    if is_money(cell) or re.fullmatch(r"[0-9]{1,4} ?p", cell):
        return "money"
    if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}|[0-9]{1,2}[./][0-9]{1,2}[./][0-9]{2,4}", cell):
        return "day"
    divided, found = fraction_in(cell), AMOUNT.fullmatch(cell)
    if not found and not divided:
        return "amount" if pounds_and_ounces(cell) else "text"
    unit = divided[2] if divided else found["unit"].strip() if found else ""
    if unit == "%":
        return "percent"
    if divided and not unit and re.fullmatch("[0-9]+/[0-9]+", cell):
        return "text"  # it may be a day
    return "amount" if unit_of(unit) or dozens_in(unit) or multiple_in(unit) else "text" if unit else "number"
