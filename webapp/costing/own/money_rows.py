"""Rows of a maker's own price sheet that are money beside its materials: freight, a discount, tax, a total."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import lru_cache
from itertools import chain

from webapp.costing.own.cells import is_below_zero
from webapp.costing.own.columns import BLANK, MATERIALS, PRICES, Layout, OwnTable, role_of, sort_of, words_of
from webapp.costing.own.freight import is_freight
from webapp.costing.own.named_packs import pack_in_name
from webapp.costing.own.price_heads import FREIGHT as CARRYING
from webapp.costing.own.price_heads import plain_words
from webapp.costing.own.rows import TOTAL, OwnRow, filled, says_total

FREIGHT, DISCOUNT, TAX = "freight", "a discount", "tax"
NO_AMOUNT_OF_TAX = "tax, not taken: no amount stands beside it"
#: how an order is sent, before or behind the word for freight
_HOW = r"(?:free|standard|express|economy|tracked|insured|courier|parcel|inland|paket|versicherte[rs]?|gratis)"
_OF = re.compile(rf"^(?:(?:plus|zzgl|add)\.? )?(?:{_HOW} )*|(?: {_HOW})*$")
_DISCOUNT = re.compile(
    r"(?:(?:less|minus|abzuglich|abzgl|total|order|trade|loyalty|volume|bulk|quantity|customer|wholesale|early payment|"
    r"%|your) )*"
    r"(?:discounts?|rabatte?|(?:mengen|neukunden|stammkunden|treue|preis|sofort)(?:rabatt|nachlass)|skonto|nachlass|"
    r"remises?|rabais|ristourne|escompte|descuentos?|sconto|sconti|korting|price reduction)"
    r"(?: (?:code|voucher|applied|given|allowed|commerciale?))?(?: %)?|"
    r"(?:less )?(?:(?:%|money|cash|price) ?)?off(?: (?:your )?(?:(?:first|next) )?order)?"
    r"(?: (?:vouchers?|coupons?|code))?|promo code|"
    r"(?:less )?(?:(?:promo|promotion(?:al)?|welcome|gift|store) )?(?:vouchers?|coupons?|rebates?)(?: code)?|"
    r"(?:(?:part(?:ial)?|full|less|your) )*refund(?:s|ed)?(?: (?:received|given|applied))?|"
    r"(?:(?:store|supplier|less|your) )*credit(?: ?notes?| memos?)?|"
    r"(?:(?:less|loyalty|bonus|reward|club|store|my|your) )*(?:points?|rewards?|credits?) "
    r"(?:used|redeemed|applied|spent)|loyalty (?:points?|rewards?)|(?:treue|bonus)?punkte eingelost|treuepunkte|"
    r"(?:(?:geschenk|rabatt|willkommens)?gutschein(?:e|code)?|gutschrift(?:en)?|(?:ruck)?erstattung)(?: eingelost)?|"
    r"bons?(?: d achat| de reduction)?|avoirs?|code promo|reductions?|remboursements?|nota de credito|reembolso|"
    r"nota di credito|buono(?: sconto)?|rimborso|tegoed(?:bon)?|kortings(?:bon|code)|creditnota|terugbetaling"
)
#: the code of a voucher behind its word: WELCOME5, SAVE
_CODE = re.compile(r"((?i:voucher|coupon|code|gutschein|bon))\W+(?:[A-Z0-9]*[0-9][A-Z0-9]*|[A-Z]{3,})\)?$")
_TAX = re.compile(
    r"(?:(?:plus|zzgl|incl|inkl|inc|total) )?(?:vat|sales tax|tax|gst|hst|mwst|ust|umsatzsteuer|mehrwertsteuer|tva|iva|"
    r"btw)(?: (?:at|of|zu|a))?(?: %)?"
)
_TOTAL = re.compile(
    r"(?:gesamt|end|rechnungs|netto|brutto|auftrags|bestell)(?:summe|betrag)|"
    r"(?:(?:invoice|order|net|gross|receipt|grand|sub|till|bill) ?)?total|(?:[a-z]+ ){1,3}totals?|"
    r"(?:amount|total|balance) due|(?:montant|total) (?:total|ht|ttc|general)|importe total|totaalbedrag|net a payer"
)
#: what else is paid to bring or to send an order, named in a row and never in a head
_ERRAND = re.compile(
    r"(?:petrol|fuel|diesel|benzin|sprit|taxi|cab|uber|bolt|matatu|boda(?: ?boda)?|tuk ?tuk|"
    r"(?:bakkie|van|truck|lorry|trailer|pick ?up) (?:hire|rental)|(?:road )?tolls?|parking|"
    r"(?:collection|packing|handling|delivery|clearing|clearance|agents?|small order|minimum order|import|courier) "
    r"(?:fees?|charges?|surcharges?)|bank (?:charges?|fees?)|clear(?:ing|ance) (?:and |& )?customs|"
    r"customs (?:and |& )?clear(?:ing|ance)|(?:porto|versand) (?:und |& )?(?:verpackung|versand)|"
    r"versand(?:kosten)?pauschale|paket(?:versand|porto)?|mindermengenzuschlag|mindermengen(?:aufschlag|pauschale)|"
    rf"{CARRYING})(?: (?:money|costs?))?(?: (?:to|from|for|nach|von|vers|jusqu a|a) [^0-9]+)?"
)
_HANDLING = re.compile(r"(?:order )?handling(?: (?:fee|charge|cost)s?)?|small order (?:fee|charge|surcharge)")
#: a part of some word of such a name, since most names have none
_ABOUT = re.compile(
    rf"{CARRYING}|post|ship|shpg|p ?&|hand|petrol|fuel|diesel|benzin|sprit|taxi|cab|uber|bolt|matatu|boda|tuk|hire|"
    r"rental|parking|fee|charge|paket|mindermengen|disc|off|rab|remise|skonto|escompte|nachlass|refund|credit|voucher|coupon|"
    r"points|reward|punkte|gutsch|erstattung|bon|avoir|vat|tax|gst|hst|mwst|ust|steuer|tva|iva|btw|due|summe|betrag"
)
#: what stands between words of money and a supplier
_FROM = re.compile(
    r"^(?:(?:to|from|for|of|by|at|nach|von|vom|bei|de|du|des|chez|vers|a|da|van) )+| (?:by|from|von|de)$"
)
#: one of something, as it may stand beside what is no pack
_ONE = re.compile(
    r"1(?:[.,]0+)?(?: ?(?:x|pcs?|piece|st|stk|stuck|each|ea|order|mal|pauschal|trip|fahrt|journey|trajet|viaje|load|"
    r"job|lot|way|delivery|lieferung|sendung|shipment|consignment|waybill|parcel|paket))?\.?|x|pauschal"
)
#: what a person says in the cell of its pack of what is no material and was paid for its order
OF_ORDER = "cost of this order"
#: what is asked where a row has a price and no pack
FOR_HOW_MUCH = (
    "Say how much this price is for, such as 1 kg. Where it is no material, such as a fare, say "
    f"\u201c{OF_ORDER}\u201d."
)


def besides_in(row: OwnRow) -> str:
    """What a row is that is named for money and no material; "" for any other, also where its name says more.

    A supplier of the sheet may stand in such a name; an amount below zero of no pack and no material is a discount.
    """
    if says_of_order(row):
        return FREIGHT
    return named_for(row.text("name")) or _with_supplier(row)[0] or (DISCOUNT if _is_given_back(row) else "")


@lru_cache(maxsize=4_096)
def named_for(name: str) -> str:
    """What a name says that is one of money; "" for any other."""
    words, plain = words_of(name), plain_words(re.sub(r"[(\[].*?[)\]]", " ", name))
    is_errand = _ERRAND.fullmatch(re.sub(r"[-/.]", " ", plain)) or _HANDLING.fullmatch(words)
    if is_freight(_OF.sub("", plain)) or is_errand:
        return FREIGHT
    if says_total(words):
        return TOTAL
    for what, named in ((DISCOUNT, _DISCOUNT), (TAX, _TAX), (TOTAL, _TOTAL)):
        if named.fullmatch(words) or (what == DISCOUNT and named.fullmatch(words_of(_CODE.sub(r"\1", name)))):
            return what
    return ""


# --- a supplier in its name


def supplier_of(row: OwnRow) -> str:
    """The supplier of a row of money: as its column says, else as its name does; a fault where these are two."""
    said, named = row.words("supplier"), _with_supplier(row)[1]
    if said and named and words_of(said) != words_of(named):
        words = f"{row.text('name')} names {named}, and {said} stands beside it. Correct one of them, or leave this row"
        row.fault("name", f"{words} out.")
    return said or named


def _with_supplier(row: OwnRow) -> tuple[str, str]:
    """What a name is of money with a supplier of the sheet in it, and that one: "Delivery Mere", "Postage (Mere)"."""
    for what, who in _parts_of(row.text("name")):
        found = [one for one in _suppliers(row.table, row.layout) if _of_name(one) == who]
        found = found or [one for one in _suppliers(row.table, row.layout) if _of_name(one).startswith(f"{who} ")]
        if len({_of_name(one) for one in found}) == 1 and not pack_beside(row):
            return what, found[0]
    return "", ""


@lru_cache(maxsize=4_096)
def _parts_of(name: str) -> tuple[tuple[str, str], ...]:
    """Each way to read a name as words of money and others, before or behind them, which may be a supplier."""
    words = _of_name(name).split() if _ABOUT.search(plain_words(name)) else []
    parts = [(words[:at], words[at:]) for at in range(1, len(words))]
    parts += [(words[at:], words[:at]) for at in range(1, len(words))]
    said = [(named_for(" ".join(one)), _FROM.sub("", " ".join(other))) for one, other in parts]
    return tuple((what, who) for what, who in said if what and who)


def _of_name(name: str) -> str:
    return " ".join(re.sub(r"[^\w%& ]+", " ", plain_words(name)).split())


@lru_cache(maxsize=8)
def _suppliers(table: OwnTable, layout: Layout) -> tuple[str, ...]:
    """The suppliers of a sheet, each once."""
    place = layout.place("supplier")
    rows = range(layout.heads + 1, len(table.rows) + 1) if place is not None else ()
    return tuple(dict.fromkeys(text for row in rows if (text := table.cell(row, place or 0)) not in BLANK))


# --- what was given back


def _is_given_back(row: OwnRow) -> bool:
    """Whether a row is an amount below zero, of no pack, whose name is none of what is bought in its sheet."""
    if not any(map(is_below_zero, filled(row))):
        return False
    place, pack, name = place_of_amount(row), row.text("pack"), words_of(row.text("name"))
    if place is None or not name or not is_below_zero(row.table.cell(row.number, place)):
        return False
    of_money = row.layout.roles[place] in ("freight", "order_tax")
    is_bought = pack_beside(row) or pack_in_name(row, "")[1] or (pack not in BLANK and not _ONE.fullmatch(pack.lower()))
    bought = _bought(row.table, row.layout)
    return bool(bought) and not (of_money or is_bought or any(f" {one} " in f" {name} " for one in bought))


@lru_cache(maxsize=8)
def _bought(table: OwnTable, layout: Layout) -> frozenset[str]:
    """What the materials of a sheet are called: rows with a price, and none of money."""
    name, places = layout.place("name"), [one for role in PRICES for one in layout.places(role)]
    rows = range(layout.heads + 1, len(table.rows) + 1) if name is not None else ()
    return frozenset(
        words_of(text)
        for row in rows
        if _has_price(table, row, places) and not named_for(text := table.cell(row, name or 0))
    )


def _has_price(table: OwnTable, row: int, places: Iterable[int]) -> bool:
    texts = [text for place in places if (text := table.cell(row, place)) not in BLANK]
    return bool(texts) and not any(map(is_below_zero, texts))


def says_of_order(row: OwnRow) -> bool:
    """Whether the cell of its pack says that a row is a cost of its order: "cost of this order", "freight"."""
    said = plain_words(row.text("pack"))
    return bool(said) and (said == OF_ORDER or is_freight(said))


def pack_beside(row: OwnRow) -> str:
    """What says in such a row that it is bought in packs, so that it may be a material after all; "" for nothing."""
    texts = (row.text(role) for role in ("pack", "packs"))
    return next((text for text in texts if text and re.search("[0-9]", text) and not _ONE.fullmatch(text.lower())), "")


# --- its amount


def place_of_amount(row: OwnRow) -> int | None:
    """The column of a price, or of freight, in which a row of money has an amount."""
    prices = ("net_price", "price") if row.told.registered else ("price", "net_price")
    places = (row.layout.place(one) for one in (*prices, "unit_price", "freight", "order_tax"))
    filled_in = (one for one in places if one is not None and row.table.cell(row.number, one) not in BLANK)
    return next(chain(filled_in, _prices_left_out(row)), None)


def _prices_left_out(row: OwnRow) -> Iterator[int]:
    """The columns headed as a price that are left out, such as a total beside the price of one, with an amount here."""
    for place, role in enumerate(row.layout.roles):
        head, text = row.table.cell(row.layout.heads, place), row.table.cell(row.number, place)
        is_amount = sort_of(text) in ("money", "number") or is_below_zero(text)
        if not role and is_amount and role_of(head, MATERIALS) in PRICES:
            yield place
