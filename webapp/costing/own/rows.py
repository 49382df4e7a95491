"""Rows of a maker's own sheet: which of them say something, and what is wrong at which cell."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import TypeVar

from webapp.costing import limits as lim
from webapp.costing.amounts import Unreadable
from webapp.costing.limits import name_key
from webapp.costing.own import cells
from webapp.costing.own.answered import UNKNOWN
from webapp.costing.own.cells import Doubt
from webapp.costing.own.columns import (
    AMOUNTS,
    BLANK,
    MATERIALS,
    PRICES,
    Layout,
    OwnTable,
    words_of,
)
from webapp.costing.own.ounces import POUNDS, joined
from webapp.costing.own.price_heads import currency_said
from webapp.costing.own.taxes import SAYS_NOTHING, TaxSaid
from webapp.costing.own.told import Told
from webapp.costing.own.units import is_range
from webapp.costing.written_units import unit_of

T = TypeVar("T")
_TOTAL = re.compile(
    r"(grand |sub ?)?totals?|sum|summe|gesamt|zwischensumme|totale?|somme|suma|subtotaal|totaal"
    r"|average|average (?:price|cost)|mean|durchschnitt|moyenne|promedio|media|gemiddelde"
)
_TOTAL_OF = re.compile(
    rf"(?:{_TOTAL.pattern}) (?:in )?(?:g|gr|kg|%|ml|oz|lb|grams?|gramm|grammes|grammi|gramos|percent)"
)
NOT_IN_ANY, FIGURES, WITHOUT_AMOUNTS = "in none of these formulas", "figures beside the formulas", "no amounts below it"
#: what holds a number, so that 30-40 is no name or code
AMOUNTS_OF = frozenset(
    ("pack", "packs", "tax_rate", "freight", "order_tax", "density", "batch", "size", *AMOUNTS, *PRICES)
)
FOOTNOTE = "a note"
#: of a title
LEFT_OUT = "left out, with what stands below it"
#: what a note begins with, and how many words it has at least where it doesn't
_NOTE = re.compile(
    r"[*\u2020\u2021]|(?:(?:last )?updated?|(?:all )?prices?|notes?|n\.?b\.?|sources?|see|excl?|incl?|stand|hinweis|"
    r"(?:alle )?preise|(?:tous les )?prix|precios|prezzi)\b",
    re.IGNORECASE,
)
_NOTE_WORDS = 5
HEADING, TOTAL, HEADS, UNITS, COMMENT = "a heading", "a total", "heads once more", "units", "words outside the columns"


#: what people write where a price is not known yet
_NO_PRICE = frozenset(
    "tbc, tbd, tba, n/a, n.a., na, unknown, not known, not yet, to be confirmed, to come, ask, ask for price, poa, "
    "price on request, on request, no price, none, missing, offen, unbekannt, k.a., k. a., auf anfrage, folgt, "
    "keine angabe, inconnu, sur demande, a confirmer, \u00e0 confirmer, a voir, \u00e0 voir, n.c., nc, desconocido, "
    "on order, ordered, out of stock, not available, unavailable, not priced, pending, discontinued, en commande, "
    "bestellt, por confirmar, sin precio, da confermare, su richiesta, onbekend, op aanvraag, n.v.t., nvt".split(", ")
)


#: what people write that have still to ask for it
_ASKING = re.compile(
    r"(?:ask|call|check|phone|ring|e-?mail|enquire|inquire|confirm|await(?:ing)?|wait(?:ing)?|"
    r"(?:get|need) (?:a )?(?:price|quote)|fragen|anfragen|nachfragen|demander|appeler|preguntar|llamar|chiedere|"
    r"chiamare|vragen|bellen)\b[^0-9]*"
)


def says_no_price(text: str) -> bool:
    """Whether a cell says that a price is not known yet: "?", "tbc", "\u20ac ?"."""
    bare = re.sub(r"[\s$\u00a2-\u00a5\u20a0-\u20bf]", " ", text.casefold()).strip(" :")
    return (
        bool(re.fullmatch(r"[-\u2013\u2014?.\u2026x*_/() ]+", bare))
        or bare.strip("?() ") in _NO_PRICE
        or bool(_ASKING.fullmatch(bare))
    )


def column_letters(column: int) -> str:
    """What spreadsheets call a column, counted from 0: A, B … Z, AA."""
    letters = ""
    number = column + 1
    while number:
        number, last = divmod(number - 1, 26)
        letters = chr(ord("A") + last) + letters
    return letters


@dataclass(frozen=True, slots=True)
class Wrong:
    """What is wrong at a cell: sheet and column from 0, row from 1. `choice`: one choice for all sheets cures it.

    `other` is the sheet and the row that it contradicts, which may be left out as well.
    """

    sheet: int
    row: int
    column: int
    read: str
    sentence: str
    choice: str = ""
    other: tuple[int, int] | None = None

    @property
    def mark(self) -> str:
        """The cell, as a correction of it is sent."""
        return cell_mark(self.sheet, self.row, self.column)

    @property
    def cell(self) -> str:
        """The cell as spreadsheets call it: B7."""
        return f"{column_letters(self.column)}{self.row}"


def cell_mark(sheet: int, row: int, column: int) -> str:
    """A cell as a word that a field's name may hold."""
    return f"s{sheet}_r{row}_c{column}"


def mark_of(name: str) -> str:
    """A name as a word that a field's name may hold; names that are the same have the same."""
    digits = 0
    for letter in name_key(name):
        digits = (digits * 1_000_003 + ord(letter)) % (1 << 61)
    return f"n{digits:x}"


def row_mark(sheet: int, row: int) -> str:
    """A row in the same way."""
    return f"s{sheet}_r{row}"


@dataclass(frozen=True, slots=True)
class Skipped:
    """A row that was passed over: what it is, and its first words."""

    sheet: int
    row: int
    what: str
    words: str


@dataclass(frozen=True, slots=True)
class Noted:
    """What a note says of a price: how tax stands, for one of what it is, or for one of how many that are beside it.

    Of its order it may say the freight.
    """

    tax: TaxSaid = SAYS_NOTHING
    per: str = ""
    of: Decimal | None = None
    each: bool = False
    whole: bool = False
    freight: str = ""

    def beside(self, other: Noted | None) -> Noted:
        """What two notes of one row say together, where the other one counts already."""
        if other is None:
            return self
        tax, of = self.tax if self.tax.how else other.tax, other.of if self.of is None else self.of
        return Noted(tax, self.per or other.per, of, freight=self.freight or other.freight)


@dataclass
class OwnRow:
    """One row while it is read: its cells by what they hold, faults and remarks as they are found."""

    sheet: int
    number: int
    table: OwnTable
    layout: Layout
    told: Told
    wrong: list[Wrong] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)
    noted: Noted | None = None
    """What a note beside it says of its price, where that is to count."""

    def text(self, role: str) -> str:
        """The cell that holds something, with the ounces beside pounds; "" where no column does."""
        place = self.layout.place(role)
        if place is None:
            return ""
        beside = self.layout.place("ounces") if role == POUNDS.get(self.layout.holds) else None
        text = self.table.cell(self.number, place)
        return text if beside is None else joined(text, self.table.cell(self.number, beside))

    def head(self, role: str) -> str:
        """The head above that cell."""
        place = self.layout.place(role)
        return "" if place is None or not self.layout.heads else self.table.cell(self.layout.heads, place)

    def fault(self, role: str, sentence: str, choice: str = "", *also: str) -> None:
        """Note what is wrong, at the cell of `role` or of the first other that there is a column for."""
        places = (self.layout.place(one) for one in (role, *also))
        self.fault_at(next((one for one in places if one is not None), 0), sentence, choice)

    def fault_at(self, place: int, sentence: str, choice: str = "") -> None:
        """Note what is wrong at a column."""
        read = self.table.cell(self.number, place)
        self.wrong.append(Wrong(self.sheet, self.number, place, read, sentence, choice))

    def told_of(self, role: str) -> Told:
        """What was said for all, with what the cell that holds something and its head say."""
        place = self.layout.place(role)
        return self.told if place is None else self.told_at(place)

    def told_at(self, place: int) -> Told:
        """What was said for all, with what a cell and its head say: that it came as a number, its currency."""
        head = self.table.cell(self.layout.heads, place) if self.layout.heads else ""
        exact = self.table.is_exact(self.number, place)
        beside = self.layout.place("ounces")
        if beside is not None and place == self.layout.place(POUNDS[self.layout.holds]):
            exact = exact and self.table.is_exact(self.number, beside)
        return replace(self.told, exact=exact, currency=currency_said(head) or self.told.currency)

    def read(self, role: str, how: Callable[[str, Told], T]) -> T | None:
        """What a cell says; None where it is blank, or wrong: then that is noted."""
        place = self.layout.place(role)
        if place is None:
            return None
        return self.read_at(place, how, self.text(role))

    def read_at(self, place: int, how: Callable[[str, Told], T], said: str | None = None) -> T | None:
        """The same of a column, or of what its cell says with the one beside it."""
        text = self.table.cell(self.number, place) if said is None else said
        if text in BLANK:
            return None
        if self.layout.roles[place] in PRICES and says_no_price(text):
            self.remarks.append(f"{text[:24]} stands for its price.")
            return None
        if self._has_no_value(place, text):
            return None
        if self.layout.roles[place] in AMOUNTS_OF and is_range(text):
            self.fault_at(place, f"{text[:24]} is a range: type one amount.")
            return None
        try:
            return how(text, self.told_at(place))
        except Doubt as doubt:
            self.fault_at(place, doubt.sentence, doubt.choice)
        except Unreadable as unreadable:
            self.fault_at(place, unreadable.sentence)
        return None

    def _has_no_value(self, place: int, text: str) -> bool:
        """Whether a formula failed, or words stand in place of a price: it is not known, if so was said; else asked."""
        if text.startswith("#") and not re.match("# ?[0-9]", text):
            self.fault_at(place, f"{text[:20]} is what a spreadsheet writes where a formula failed. Type the value.")
            return True
        of_price = self.layout.holds == MATERIALS and self.layout.roles[place] in PRICES
        if not of_price or any(map(str.isnumeric, text)):
            return False
        if self.told.words == UNKNOWN:
            self.remarks.append(f"{text[:24]} stands for its price, which is not known yet.")
        else:
            words = f"{text[:24]} is no price. Type it, or say once for this sheet that such words mean that it is not"
            self.fault_at(place, f"{words} known yet.", "words")
        return True

    def words(self, role: str, kind: lim.Text = lim.NAME) -> str:
        """A cell as a name; "" where it is blank, or can't be kept as one: then that is noted."""
        return self.read(role, lambda text, _: cells.words(text, kind)) or ""


def is_units(row: OwnRow) -> bool:
    """Whether a row says pounds and ounces below a head that stands over both."""
    if "ounces" not in row.layout.roles:
        return False
    here = filled(row)
    return [unit_of(one) for one in here] == ["lb", "oz"]


def rows_of(sheet: int, table: OwnTable, layout: Layout, told: Told, left_out: frozenset[str]) -> Iterator[OwnRow]:
    """The rows below the heads that are not blank and were not left out."""
    told = replace(told, exact=table.exact)
    for number in range(layout.heads + 1, len(table.rows) + 1):
        if any(cell.strip() for cell in table.rows[number - 1]) and row_mark(sheet, number) not in left_out:
            yield OwnRow(sheet, number, table, layout, told)


def is_total(row: OwnRow) -> bool:
    """Whether a row is a sum: one of its cells says so, before any other that is no number."""
    for cell in row.table.rows[row.number - 1]:
        words = words_of(cell)
        if words:
            return says_total(words)
    return False


def says_total(words: str) -> bool:
    """Whether the words of a cell say that a sum stands beside or below it."""
    return bool(_TOTAL.fullmatch(words) or _TOTAL_OF.fullmatch(words)) or words.startswith("total ")


def is_footnote(row: OwnRow) -> bool:
    """Whether a row is only a note: one cell, beginning as notes do or of many words. A name alone stays a name."""
    here = filled(row)
    return len(here) == 1 and is_note(here[0])


def is_note(text: str) -> bool:
    """Whether words begin as notes do, or are many."""
    return bool(_NOTE.match(text)) or len(re.findall(r"[^\W\d_]+", text)) >= _NOTE_WORDS


def filled(row: OwnRow) -> list[str]:
    """The cells of a row that hold anything, in any column."""
    width = len(row.table.rows[row.number - 1])
    return [text for place in range(width) if (text := row.table.cell(row.number, place))]


def mentioned(row: OwnRow) -> list[str]:
    """The roles whose cells hold anything."""
    return [role for role in row.layout.roles if role and row.text(role)]


def skipped(row: OwnRow, what: str) -> Skipped:
    """The note of a row that was passed over."""
    return Skipped(row.sheet, row.number, what, ", ".join(filled(row))[:60])


def place_of(mark: str) -> tuple[int, int, int] | None:
    """Sheet, row and column that a mark of a cell means, or of a row (column 0); None for what is no mark."""
    found = re.fullmatch(r"s([0-9]{1,2})_r([0-9]{1,5})(?:_c([0-9]{1,3}))?", mark, re.ASCII)
    return (int(found[1]), int(found[2]), int(found[3] or 0)) if found else None
