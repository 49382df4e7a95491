"""Rows of a maker's own price sheet that are money beside its materials: freight, a discount, tax, a total."""

from __future__ import annotations

import re

from webapp.costing.own.columns import words_of
from webapp.costing.own.freight import is_freight
from webapp.costing.own.price_heads import FREIGHT as CARRYING
from webapp.costing.own.price_heads import plain_words
from webapp.costing.own.rows import TOTAL, OwnRow, says_total

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
    r"(?: (?:code|voucher|applied|given|allowed|commerciale?))?(?: %)?|(?:less )?(?:% off|vouchers?|coupons?|rebates?)"
    r"|(?:(?:less|loyalty|bonus|reward|club|store|my|your) )*(?:points?|rewards?|credits?) "
    r"(?:used|redeemed|applied|spent)|(?:treue|bonus)?punkte eingelost"
)
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
    """What a row is that is named for money and no material; "" for any other, also where its name says more."""
    name = row.text("name")
    words, plain = words_of(name), plain_words(re.sub(r"[(\[].*?[)\]]", " ", name))
    is_errand = _ERRAND.fullmatch(re.sub(r"[-/.]", " ", plain)) or _HANDLING.fullmatch(words)
    if is_freight(_OF.sub("", plain)) or is_errand or says_of_order(row):
        return FREIGHT
    if says_total(words):
        return TOTAL
    for what, named in ((DISCOUNT, _DISCOUNT), (TAX, _TAX), (TOTAL, _TOTAL)):
        if named.fullmatch(words):
            return what
    return ""


def says_of_order(row: OwnRow) -> bool:
    """Whether the cell of its pack says that a row is a cost of its order: "cost of this order", "freight"."""
    said = plain_words(row.text("pack"))
    return bool(said) and (said == OF_ORDER or is_freight(said))


def pack_beside(row: OwnRow) -> str:
    """What says in such a row that it is bought in packs, so that it may be a material after all; "" for nothing."""
    texts = (row.text(role) for role in ("pack", "packs"))
    return next((text for text in texts if text and re.search("[0-9]", text) and not _ONE.fullmatch(text.lower())), "")
