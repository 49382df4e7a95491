"""Lines of an order from a pasted sheet: what each column holds, and each row as the fields of a line.

Columns are known by their heads in any order; what no head tells is asked. Nothing is filled in that the sheet does
not say.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal

from webapp.costing.amounts import JSON_NOTATION, MINOR_UNITS, ZERO, Unreadable, half_up, plain
from webapp.costing.buying_shapes import ORDER_LINE
from webapp.costing.called import Names, or_meant
from webapp.costing.sheets import Line, Sheet, Sign, bare, number_in, sign_of, written_with
from webapp.costing.written_units import AMOUNT, WHICH, unit_of

#: what a column can hold -> the heads that say so, without case, marks and what stands in brackets
HEADS: dict[str, str] = {
    "material": "material, ingredient, item, item name, product, product name, article, goods, description, name, "
    "what, raw material",
    "code": "code, item code, product code, article code, material code, sku, ref, reference, item no, item number, "
    "article no, article number, product no, part no, part number, cat no, catalogue number, supplier code",
    "packs": "packs, quantity, qty, count, number, number of packs, no of packs, packs ordered, ordered, how many, "
    "quantity ordered",
    "size": "pack size, size, in a pack, pack, per pack, content, contents, pack content, net content, size of pack, "
    "quantity per pack",
    "unit": "unit, uom, measure, unit of measure, pack unit, size unit",
    "price": "price, pack price, price per pack, price a pack, price each, each, cost, unit price, unit cost, "
    "cost each, net price",
    "total": "total, line total, net total, total net, net amount, line amount, total price, subtotal, sum, value, "
    "line value",
    "tax_rate": "tax rate, vat rate, sales tax rate, gst rate, tax percent, vat percent, tax %, vat %, sales tax %, "
    "gst %",
}
ROLES = tuple(HEADS)
#: the fields of an order's line that a row can say
SAID = ("packs", "size", "unit", "price", "total", "tax_rate")
NUMBERS = ("packs", "size", "price", "total", "tax_rate")
ROLE_OF = {head: role for role, heads in HEADS.items() for head in heads.split(", ")}
#: heads that say a rate only where every cell of the column is written with a percent sign
PERHAPS_RATE = ("tax", "vat", "sales tax", "gst")
_FIELDS = {one.name: one.kind for one in ORDER_LINE.fields}


@dataclass(frozen=True, slots=True)
class Row:
    """One pasted row as the fields of a line, its numbers as digits with a point; what is wrong; what to look at."""

    number: int
    texts: Mapping[str, str]
    material: str = ""
    """The number of the material, where its name or its code means one that is in the book."""
    name: str = ""
    faults: tuple[tuple[str, str], ...] = ()
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Reading:
    """A whole sheet as lines of an order. `faults` concern all of it, at "text", "columns" or "sign"."""

    rows: tuple[Row, ...] = ()
    roles: tuple[str, ...] = ()
    heads: tuple[str, ...] = ()
    sign: Sign = field(default=Sign("."))
    faults: tuple[tuple[str, str], ...] = ()
    remarks: tuple[str, ...] = ()

    @property
    def good(self) -> bool:
        """Whether every row can be put into an order."""
        return bool(self.rows) and not self.faults and not any(row.faults for row in self.rows)


def read_lines(sheet: Sheet, names: Names, sign: str = "", roles: Sequence[str] = (), has_heads: str = "") -> Reading:
    """The sheet as lines of an order.

    `sign`, `roles` and `has_heads` ("yes", "no") are what a person chose; "" leaves it to the sheet.
    """
    if sheet.fault or not sheet.lines:
        return Reading(faults=(("text", sheet.fault or "Paste at least one line, with heads above."),))
    first = sheet.lines[0].cells
    heads = first if has_heads == "yes" or (not has_heads and any(map(role_of, first))) else ()
    lines = sheet.lines[1:] if heads else sheet.lines
    found = tuple(roles) or roles_of(heads, lines) or ("",) * len(first)
    number_cells = [_number_part(cell) for role, cell in _cells(lines, found) if role in NUMBERS]
    told = Sign(sign) if sign else sign_of(number_cells)
    faults = (*_column_faults(found, lines), *_sign_faults(told))
    read = [_row(line, found, heads, told.sign or ".", names) for line in lines] if not faults else []
    if read and not sign:  # nobody has said how decimals are written: a number that is read by another one's is named
        read = [_with_doubts(row, line, found, told.sign) for row, line in zip(read, lines, strict=True)]
    return Reading(tuple(read), found, heads, told, faults, _remarks(lines, found))


# --- columns


def role_of(head: str) -> str:
    """What a head says that its column holds; "" where it says nothing that is known."""
    return ROLE_OF.get(_head_words(head), "")


def _head_words(head: str) -> str:
    without = re.sub(r"[(\[].*?[)\]]", " ", head.casefold())
    return " ".join(re.sub(r"[^a-z%]+", " ", without).split())


def roles_of(heads: Sequence[str], lines: Sequence[Line]) -> tuple[str, ...]:
    """What each column holds by its head; of two that say the same, only the first counts."""
    found: list[str] = []
    for place, head in enumerate(heads):
        role = role_of(head)
        if _head_words(head) in PERHAPS_RATE and _all_percent(lines, place):
            role = "tax_rate"
        found.append("" if role in found else role)
    return tuple(found)


def _all_percent(lines: Sequence[Line], place: int) -> bool:
    cells = [line.cells[place] for line in lines if place < len(line.cells) and line.cells[place]]
    return bool(cells) and all(cell.endswith("%") for cell in cells)


def _column_faults(roles: Sequence[str], lines: Sequence[Line]) -> list[tuple[str, str]]:
    if not lines:
        return [("columns", "There is no row below the heads. Paste at least one line.")]
    named = [role for role in roles if role]
    twice = next((role for role in named if named.count(role) > 1), "")
    if twice:
        return [("columns", f"Two columns are said to hold the same ({WORDS[twice]}). Choose one of them.")]
    wanted = (("material", "code"), ("packs",), ("price", "total"))
    missing = [" or ".join(WORDS[role] for role in each) for each in wanted if not set(each) & set(named)]
    if missing:
        return [("columns", f"No column was understood as: {'; '.join(missing)}. Choose below what each column holds.")]
    return []


#: what a column holds, for people
WORDS = {
    "material": "the material",
    "code": "the supplier's code",
    "packs": "how many packs",
    "size": "how much is in a pack",
    "unit": "the unit of the pack",
    "price": "the price of a pack",
    "total": "the total of the line",
    "tax_rate": "the rate of sales tax",
}


# --- numbers


def _sign_faults(told: Sign) -> list[tuple[str, str]]:
    if told.sign:
        return []
    if len(told.doubt) > 1:
        return [
            ("sign", f"{told.doubt[0]} is written with a decimal point and {told.doubt[1]} with a comma. Choose one.")
        ]
    return [("sign", f"{told.doubt[0]} can be read in two ways. Choose how decimals are written.")]


def _cells(lines: Sequence[Line], roles: Sequence[str]) -> list[tuple[str, str]]:
    return [pair for line in lines for pair in zip(roles, line.cells, strict=False)]


def _number_part(cell: str) -> str:
    found = AMOUNT.fullmatch(_without_money(cell))
    return found["number"].strip() if found else ""


def _without_money(cell: str) -> str:
    """A cell without the sign or the code of a currency beside its number."""
    signs = "\\$\u00a2-\u00a5\u20a0-\u20bf"
    text = re.sub(rf"^[{signs}]\s*|\s*[{signs}]$", "", cell.strip())
    code = re.match(r"^([A-Z]{3})\s|.*\s([A-Z]{3})$", text)
    if code and (code[1] or code[2]) in MINOR_UNITS:
        return (text[3:] if code[1] else text[:-3]).strip()
    return text


def _remarks(lines: Sequence[Line], roles: Sequence[str]) -> tuple[str, ...]:
    cells = [cell for role, cell in _cells(lines, roles) if role in ("price", "total")]
    marked = next((cell for cell in cells if _without_money(cell) != cell), "")
    said = [f"Amounts are written like {marked}: see that the order's currency is that one."] if marked else []
    if "size" not in roles and "packs" in roles:
        said.append("No column says how much is in a pack: each is read as one of its unit.")
    return tuple(said)


# --- rows


def _with_doubts(row: Row, line: Line, roles: Sequence[str], sign: str) -> Row:
    """The row with a remark at each number that can be read in two ways: 96,000."""
    other = "," if sign == "." else "."
    said = []
    for role, cell in _cells([line], roles):
        number = _number_part(cell) if role in row.texts and role in NUMBERS else ""
        if number and written_with(bare(number)) == "?":
            read, not_so = (plain(Decimal(number_in(number, one))) for one in (sign, other))
            said.append(f"{number} is read as {read}, not as {not_so}: look whether that is right.")
    return replace(row, remarks=(*row.remarks, *said)) if said else row


def _row(line: Line, roles: Sequence[str], heads: Sequence[str], sign: str, names: Names) -> Row:
    faults: list[tuple[str, str]] = []
    cells = {role: cell for role, cell in zip(roles, line.cells, strict=False) if role}
    if any(line.cells[len(roles) :]):
        words = (
            f"This row has {len(line.cells)} cells under {len(roles)} heads. "
            "Put quotation marks around what holds a comma."
        )
        return Row(line.number, cells, name=cells.get("material", ""), faults=(("", words),))
    texts = {role: _number(role, cells[role], sign, faults) for role in NUMBERS if cells.get(role)}
    texts["unit"] = _unit(cells, roles, heads, faults)
    if "size" not in roles and texts["unit"]:
        texts["size"] = "1"
    for needed, sentence in (("packs", "Type how many packs."), ("price", "Type a price or a total.")):
        if not cells.get(needed) and not (needed == "price" and cells.get("total")):
            faults.append((needed, sentence))
    number, name, remarks = _meant(cells, names, faults)
    kept = {role: text for role, text in texts.items() if text}
    return Row(line.number, kept, number, name, tuple(faults), (*remarks, *_asked(kept, faults)))


def _number(role: str, cell: str, sign: str, faults: list[tuple[str, str]]) -> str:
    money = _without_money(cell) if role in ("price", "total") else cell
    found = AMOUNT.fullmatch(money.removesuffix("%").strip() if role == "tax_rate" else money)
    unit_wanted = role in ("packs", "size")
    if not found or (found["unit"].strip() and not unit_wanted):
        faults.append((role, f"{cell[:40]} is no amount. Type digits."))
        return ""
    try:
        text = number_in(found["number"].strip(), sign)
        _FIELDS[role].read(text, JSON_NOTATION)  # type: ignore[union-attr]
    except Unreadable as unreadable:
        faults.append((role, unreadable.sentence))
        return ""
    return text


def _unit(cells: Mapping[str, str], roles: Sequence[str], heads: Sequence[str], faults: list[tuple[str, str]]) -> str:
    """The unit of the pack: beside the number, in its own column, or in the column's head; "" where none is said."""
    measured = "size" if "size" in roles else "packs"
    found = AMOUNT.fullmatch(cells.get(measured, ""))
    head = heads[roles.index(measured)] if heads and measured in roles else ""
    in_head = re.search(r"[(\[](.+?)[)\]]", head)
    said = [found["unit"].strip() if found else "", cells.get("unit", ""), in_head[1] if in_head else ""]
    known = [unit_of(one) for one in said if one and (one != said[2] or unit_of(one))]
    if "" in known:
        wrong = next(one for one in said if one and not unit_of(one))
        which = WHICH.fullmatch(wrong.casefold())
        words = (
            f"Say which {wrong}: US or imp, such as US fl oz."
            if which
            else f"{wrong[:40]} is no unit that is known here."
        )
        faults.append(("unit", words))
        return ""
    if len(set(known)) > 1:
        faults.append(("unit", f"The unit is said twice: {known[0]} and {known[1]}. Leave one out."))
    return known[0] if known else ""


def _meant(cells: Mapping[str, str], names: Names, faults: list[tuple[str, str]]) -> tuple[str, str, list[str]]:
    """Which material a row means by its name or its code, what it is called, and what is worth a look."""
    name, code = cells.get("material", ""), cells.get("code", "")
    by_name, by_code = names.meant(name), names.meant(code)
    if not name and not code:
        faults.append(("material", "Name the material."))
    if by_name.value and by_code.value and by_name.value != by_code.value:
        faults.append(("code", f"{name} and {code} are two different materials here. Leave one out."))
    found = by_name.value or by_code.value
    if found:
        own = names.name_of(found)
        return found, own, [f"{name or code} is {own} here."] if not by_name.value else []
    typed = name or code
    if by_name.several or by_code.several:
        near = (by_name if by_name.several else by_code).near
        return (
            "",
            typed,
            [f"More than one material is called that: {' or '.join(near)}. Type its own name in the form."],
        )
    return (
        "",
        typed,
        [f"{typed} is not in the book yet.{or_meant(by_name.near)} The form asks for it."] if typed else [],
    )


def _asked(texts: Mapping[str, str], faults: Sequence[tuple[str, str]]) -> list[str]:
    """What the form will ask for, and a total that is not what packs and price come to."""
    said = []
    if not faults and (not texts.get("unit") or not texts.get("size")):
        said.append("The form asks for the pack's size and unit.")
    if {"packs", "price", "total"} <= texts.keys():
        come = half_up(Decimal(texts["packs"]) * Decimal(texts["price"]), 2)
        if half_up(Decimal(texts["total"]) - come, 2) != ZERO:
            said.append(f"Packs and price come to {come}, the total says {texts['total']}: the total counts.")
    return said
