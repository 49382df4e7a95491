"""Pack and price of a row of a maker's own price sheet: what a price is for, exactly, and in what it is paid."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal

from webapp.costing import limits as lim
from webapp.costing.amounts import ONE, ZERO, Unreadable, half_up, plain
from webapp.costing.own import cells
from webapp.costing.own.answered import FREE_OF_CHARGE, OF_ONE, UNKNOWN
from webapp.costing.own.basis import basis_of, without_per
from webapp.costing.own.cells import MONEY_PLACES, Read
from webapp.costing.own.columns import BLANK, per_in, unit_in, words_of
from webapp.costing.own.for_one import finely, for_all_of, sum_of
from webapp.costing.own.freight import FREE
from webapp.costing.own.kinds import PACKAGING, as_pieces, first_kind, is_called_packaging
from webapp.costing.own.many import for_how_much, in_packs_of_many
from webapp.costing.own.money_rows import FOR_HOW_MUCH
from webapp.costing.own.named_packs import open_count, pack_named
from webapp.costing.own.pack_prices import packs_at
from webapp.costing.own.price_cells import as_noted, bundle_in, bundled, money_in, price_in
from webapp.costing.own.price_heads import (
    ALL_PACKS,
    ONE_PACK,
    packs_said,
    without_besides,
)
from webapp.costing.own.rows import OwnRow
from webapp.costing.own.taxed import NO_TAX_SAID, Tax, tax_of
from webapp.costing.own.told import Told
from webapp.costing.own.unit_prices import for_pack, is_open
from webapp.costing.own.units import dozens_in, fraction_in
from webapp.costing.units import MASS, PIECES, VOLUME

_HOW_MUCH = (
    "Say how much this price is for: which column holds the pack? Or write it behind the price, such as 12.50/kg, or "
    "choose what each price is for one of."
)
#: what says behind a price that it is for one pack
_EACH = re.compile(r"\b(?:each|ea|apiece)\b", re.IGNORECASE)
#: heads of a price that may be for one piece, without saying each
_OF_ONE = frozenset(
    "price per item, cost per item, einzelpreis, stuckpreis, prix unitaire, precio unitario, prezzo unitario, "
    "stuksprijs".split(", ")
)
#: what people write where they paid nothing
_FREE = FREE | {"gift", "a gift", "free sample", "sample", "geschenkt", "cadeau", "regalo", "omaggio"}
_HALF_A_CENT = Decimal("0.005")
#: how far a price for one may be away for a pound or an ounce that was rounded: 450 g are 0.8 % short
_OF_POUNDS = Decimal("0.01")


@dataclass(frozen=True, slots=True)
class Priced:
    """The price of a pack, the pack, how many were bought, and the currency; None for what the row doesn't say."""

    price: Decimal | None = None
    pack: Read | None = None
    packs: Decimal = ONE
    currency: str = ""
    tax: Tax = NO_TAX_SAID
    """How tax stands in the price."""
    weighs: Decimal | None = None
    """What one mL weighs in g, by the price for so much mass that stands beside the price of a volume."""


def priced(row: OwnRow, kind: str) -> Priced:
    """What a row says of its price. One for one of something is multiplied by the pack, one for all packs divided."""
    pack = row.read("pack", lambda text, told: _in_pack(row, text, told)) or pack_named(row, kind)
    packs = row.read("packs", lambda text, told: _count(row, text, told)) or ONE
    role, paid = _paid(row)
    single = None if _fails_beside(row, paid) else _price(row, "unit_price", money_in, counts=paid is None)
    paid, single = as_noted(row, paid), as_noted(row, single)
    if pack and not pack.unit:
        pack = _with_unit(row, pack, kind)
    basis = basis_of(row, role) if paid and pack else ""
    packs = bundled(row, role, packs, per=basis or (paid[1] if paid else ""))
    if paid is not None and not paid[1] and not basis:
        _remember(row, pack, paid[0])
        found = _of_packs(row, role, Priced(paid[0].value, pack, packs, paid[0].unit), kind)
        return replace(found, tax=tax_of(row, role), weighs=_beside(row, found, single))
    price = paid or single
    _remember(row, pack)
    if price is None:
        return Priced(None, pack, packs)
    role = role if paid else "unit_price"
    found = _for_one(row, role, (price[0], price[1] or basis), Priced(None, pack, packs, price[0].unit), kind)
    return replace(found, tax=tax_of(row, role))


def _for_one(row: OwnRow, role: str, price: tuple[Read, str], beside: Priced, kind: str) -> Priced:
    """A price for one of something, as its cell or its head says, or that of a unit that may be the pack."""
    pack = beside.pack
    if role == "unit_price" and not price[1] and pack and pack.unit and is_open(row.head(role)):
        return _of_unit_price(row, price[0], pack, beside)
    unit = price[1] or for_how_much(row, role, is_packaging=_is_packaging(row, kind))
    if not unit and row.layout.place("pack") is not None and not _is_packaging(row, kind):
        words = "For one of what is this price? Write it behind the price (12.50/kg), or say that it is that of a pack."
        row.fault(role, words)
        return replace(beside, price=price[0].value)
    each = _one_of(row, unit or row.told.unit, kind, role)
    if each is None:
        return replace(beside, price=price[0].value, pack=None)
    if pack is None or not pack.unit:
        kept, each = finely(price[0], each, row.told)
        _remember(row, kept)
        return Priced(kept.value, each, in_packs_of_many(row, role, beside.packs), kept.unit)
    return replace(beside, price=for_all_of(row, price[0], each, pack))


def _of_unit_price(row: OwnRow, price: Read, pack: Read, beside: Priced) -> Priced:
    """A price whose head leaves open whether its unit is the pack: as its sheet says, else that is asked."""
    way = for_pack(row, price, pack)
    if way == OF_ONE:
        return replace(beside, price=for_all_of(row, price, Read(ONE, pack.unit), pack))
    if way and pack.value != ONE:
        size = f"{row.told.written.number(pack.value)} {pack.unit}"
        row.remarks.append(f"{sum_of(row, price.value, price.unit)} is read as the price of {size}.")
    return replace(beside, price=price.value)


def _fails_beside(row: OwnRow, paid: tuple[Read, str] | None) -> bool:
    """Whether a price for one of something failed in the spreadsheet, and isn't needed beside the one that counts."""
    return paid is not None and row.text("unit_price").startswith("#")


def _price(
    row: OwnRow, role: str, read_in: Callable[[str, Told], tuple[Read, str]], *, counts: bool
) -> tuple[Read, str] | None:
    """A price as it stands; of one that is 0, and counts, it is asked whether that is free or not known yet."""
    free = row.text(role).casefold().strip(" .!") in _FREE
    found = (Read(ZERO, row.told.home), "") if free else row.read(role, read_in)
    if found is None or found[0].value or not counts:
        return found
    if row.told.zero == UNKNOWN:
        row.remarks.append(f"{row.text(role)[:24]} stands for a price that is not known yet.")
        return None
    if row.told.zero != FREE_OF_CHARGE:
        words = f"{row.text(role)[:24]} stands as its price. Is it free, or is its price not known yet? Choose it for"
        row.fault(role, f"{words} this sheet, or type the price.", "zero")
    return found


def _paid(row: OwnRow) -> tuple[str, tuple[Read, str] | None]:
    """The price of a pack and what holds it: of one with tax and one without that which is a cost of the workshop."""
    with_tax, without = (_price(row, role, price_in, counts=True) for role in ("price", "net_price"))
    if with_tax is None or without is None:
        return ("net_price", without) if with_tax is None else ("price", with_tax)
    one, other, why = (without, with_tax, "reclaimed") if row.told.registered else (with_tax, without, "a cost here")
    words = ("without tax", "with it") if row.told.registered else ("with tax", "without it")
    row.remarks.append(
        f"{sum_of(row, one[0].value, one[0].unit)} {words[0]} counts, since tax is {why}; "
        f"{sum_of(row, other[0].value, other[0].unit)} is {words[1]}."
    )
    return ("net_price" if row.told.registered else "price"), one


def _beside(row: OwnRow, paid: Priced, single: tuple[Read, str] | None) -> Decimal | None:
    """What one mL weighs by a price for one of something beside the one that counts; said where the two contradict."""
    unit = single and (single[1] or per_in(row.head("unit_price")))
    if not single or not unit or not single[0].value or not paid.price or paid.pack is None:
        return None
    try:
        each = cells.amount(_one(unit), row.told)
    except (cells.Doubt, Unreadable):
        return None
    if single[0].unit != paid.currency or each.unit not in (*MASS, *VOLUME):
        return None
    if paid.pack.unit in VOLUME and each.unit in MASS:
        weighs = half_up(
            paid.price / (paid.pack.value * VOLUME[paid.pack.unit]) * each.value * MASS[each.unit] / single[0].whole,
            lim.DENSITY.places,
        )
        return weighs if lim.DENSITY.low <= weighs <= lim.DENSITY.high else None
    factor = MASS if each.unit in MASS else VOLUME
    if paid.pack.unit in factor:
        makes = paid.price * each.value * factor[each.unit] / (paid.pack.value * factor[paid.pack.unit])
        if abs(makes - single[0].whole) > max(_rounding(row, single[0].whole), makes * _OF_POUNDS):
            row.remarks.append(_compared(row, paid, each, half_up(makes, MONEY_PLACES), single[0].whole))
    return None


def _compared(row: OwnRow, paid: Priced, each: Read, makes: Decimal, said: Decimal) -> str:
    """What pack and price come to, which counts, and what the column of prices for one of something says instead."""
    number, currency = row.told.written.number, paid.currency
    pack = "" if paid.pack is None else f"{number(paid.pack.value)} {paid.pack.unit}"
    one = f"{number(each.value)} {each.unit}"
    head = f"\u201c{row.head('unit_price')[:40]}\u201d" if row.head("unit_price") else "the price for one"
    comes = "" if one == pack else f" comes to {sum_of(row, makes, currency)} for {one}, which"
    price, other = sum_of(row, paid.price or makes, currency), sum_of(row, said, currency)
    return f"{price} for {pack}{comes} counts; {head} says {other} for {one}."


def _rounding(row: OwnRow, value: Decimal) -> Decimal:
    """How far a price may be away for having been rounded: half of its last place, of a number half a cent."""
    half = ONE.scaleb(int(value.as_tuple().exponent)) / 2
    return min(half, _HALF_A_CENT) if row.told_of("unit_price").exact else half


def _count(row: OwnRow, text: str, told: Told) -> Decimal:
    return cells.fitting(cells.number(text, told) * (_dozens(row) or 1), lim.QUANTITY, text)


def _dozens(row: OwnRow) -> int:
    """How many one of a number of packs is, where its head counts in dozens; 0 where it doesn't."""
    return dozens_in(unit_in(row.head("packs")))


def _one(unit: str) -> str:
    """What a price is for one of as an amount: "kg" is 1 kg, "100 g" and "\u00bd lb" are as they are."""
    return unit if re.match("[0-9]", unit) or fraction_in(unit) else f"1 {unit}"


def _in_pack(row: OwnRow, text: str, told: Told) -> Read:
    """How much is in a pack; boxes, sheets or bags of what is one itself are its pieces."""
    return cells.amount(as_pieces(row.text("name"), text), told, _unit_beside(row))


def _unit_beside(row: OwnRow) -> str:
    return row.text("unit") or unit_in(row.head("pack"))


def _remember(row: OwnRow, *reads: Read | None) -> None:
    row.remarks += [read.remark for read in reads if read is not None and read.remark]


# --- a price of one pack, or of several


def _of_packs(row: OwnRow, role: str, read: Priced, kind: str) -> Priced:
    """A price that is not for one of a unit: of one pack, or of all that were bought."""
    price, pack, packs = read.price or ZERO, read.pack, read.packs
    said = "" if packs == ONE else _for_what(row, role)
    if _asks_for_what(row, role, read, said, kind):
        return read
    if pack is None and row.text("pack") in BLANK:
        pieces = PIECES if _dozens(row) else unit_in(row.head("packs"))
        if said == ALL_PACKS and not row.text("unit"):
            counted = Read(packs, pieces) if pieces else _with_unit(row, Read(packs), kind, "packs")
            return replace(read, pack=counted, packs=ONE)
        if row.layout.place("pack") is not None:  # an empty cell is not one of its unit
            pack = _piece(row, kind)
        else:
            pack = _one_of(row, row.text("unit") or pieces or row.told.unit, kind)
    if said != ALL_PACKS or pack is None:
        return replace(read, pack=pack)
    one, whole, number = price / packs, pack.value * packs, row.told.written.number
    if half_up(one, MONEY_PLACES) == one:
        each = sum_of(row, one, read.currency)
        row.remarks.append(f"{sum_of(row, price, read.currency)} for {number(packs)} packs makes {each} for one.")
        return replace(read, price=one, pack=pack)
    try:
        pack = Read(cells.fitting(whole, lim.QUANTITY, plain(whole)), pack.unit)
    except Unreadable as unreadable:
        row.fault("packs", unreadable.sentence)
    paid, size = sum_of(row, price, read.currency), f"{number(whole)} {pack.unit}"
    row.remarks.append(f"{number(packs)} packs for {paid} together: read as one of {size}.")
    return replace(read, pack=pack, packs=ONE)


def _asks_for_what(row: OwnRow, role: str, read: Priced, said: str, kind: str) -> bool:
    """Whether it is asked for how many a price is: packs, pieces, or a dozen."""
    price = row.told.written.number(read.price or ZERO)
    paid = sum_of(row, read.price or ZERO, read.currency)
    if read.packs != ONE and said not in (ONE_PACK, ALL_PACKS):
        words = f"{row.text('packs')} and {row.text(role)}: is {paid} for one of them, or for all? "
        row.fault("packs", words + "Choose it for this sheet.", "priced")
    elif said == ONE_PACK and _dozens(row):
        words = f"Is {paid} for one piece, or for a dozen? Write it behind the price: "
        row.fault(role, f"{words}{price}/piece or {price}/dozen.")
    elif count := open_count(row, kind, read.packs) if read.pack is None else _may_be_of_one(row, role, read.pack):
        words = f"Is {paid} for one piece, or for all {count}? Write it behind the price: "
        row.fault(role, f"{words}{price}/piece or {price}/{count} pieces.")
    else:
        return False
    return True


def _may_be_of_one(row: OwnRow, role: str, pack: Read) -> str:
    """How many pieces a pack has of which a price "each" may be that of one, where no number of packs was bought."""
    several = pack.unit == PIECES and pack.value != ONE and row.layout.place("packs") is None
    head = row.head(role).casefold()
    said = _EACH.search(row.text(role)) or _EACH.search(head) or words_of(head) in _OF_ONE
    return plain(pack.value) if several and said else ""


def _for_what(row: OwnRow, role: str) -> str:
    """Whether a price is for one pack or for all: as its cell says, its head, or what was chosen for the sheet."""
    if _EACH.search(row.text(role)) or packs_at(row.text(role))[0] != ONE:
        return ONE_PACK
    if bundle_in(row.text(role)) != ONE:
        return ALL_PACKS
    return packs_said(words_of(without_besides(row.head(role)))) or row.told.priced


def _piece(row: OwnRow, kind: str) -> Read | None:
    """What a price is for where the cell of its pack is empty: a piece of packaging, else that is asked for."""
    if _is_packaging(row, kind):
        return Read(ONE, PIECES)
    row.fault("pack", FOR_HOW_MUCH)
    return None


def _is_packaging(row: OwnRow, kind: str) -> bool:
    """Whether what has no unit is counted in pieces, since the sheet or its name says that it is packaging."""
    if kind == PACKAGING or (not kind and is_called_packaging(row.text("name"))):
        if first_kind(row.text("kind")) != PACKAGING:
            row.remarks.append("No unit stands here, and it is packaging: counted in pieces.")
        return True
    return False


def _with_unit(row: OwnRow, pack: Read, kind: str, role: str = "pack") -> Read:
    """A pack whose unit nobody wrote: pieces of packaging, else the one that was chosen, else that is asked for."""
    if _is_packaging(row, kind):
        return Read(pack.value, PIECES)
    if row.told.unit:
        return Read(pack.value, row.told.unit)
    said = row.text(role)[:24] or plain(pack.value)
    words = f"{said} of what? Write the unit behind it (1 kg), or choose one for all that have none."
    row.fault(role, words, "unit")
    return pack


def _one_of(row: OwnRow, unit: str, kind: str, role: str = "price") -> Read | None:
    """One of what a price is for: "kg", "100 g"; None where nobody says, which is a fault."""
    unit = without_per(unit)
    if re.fullmatch("[0-9]+", unit):
        counted = _with_unit(row, Read(cells.number(unit, row.told)), kind, "unit")
        return counted if counted.unit else None
    if unit in ("", "each"):
        if unit or _is_packaging(row, kind):
            return Read(ONE, PIECES)
        row.fault(role, _HOW_MUCH, "unit")
        return None
    try:
        read = cells.amount(_one(unit), row.told)
        if read.unit:
            return read
        row.fault(role, _HOW_MUCH, "unit")
    except cells.Doubt as doubt:
        row.fault(role, doubt.sentence, doubt.choice)
    except Unreadable as unreadable:
        row.fault(role, unreadable.sentence)
    return None
