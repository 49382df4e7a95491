"""Rows of a maker's own price sheet that are money beside its materials: freight, a discount, tax, a total."""

from __future__ import annotations

import re

from webapp.costing.own.columns import words_of
from webapp.costing.own.freight import is_freight
from webapp.costing.own.price_heads import plain_words
from webapp.costing.own.rows import TOTAL, OwnRow

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
)
_TAX = re.compile(
    r"(?:(?:plus|zzgl|incl|inkl|inc|total) )?(?:vat|sales tax|tax|gst|hst|mwst|ust|umsatzsteuer|mehrwertsteuer|tva|iva|"
    r"btw)(?: (?:at|of|zu|a))?(?: %)?"
)
_TOTAL = re.compile(
    r"(?:gesamt|end|rechnungs|netto|brutto|auftrags|bestell)(?:summe|betrag)|"
    r"(?:(?:invoice|order|net|gross|receipt|grand|sub|till|bill) ?)?total|"
    r"(?:amount|total|balance) due|(?:montant|total) (?:total|ht|ttc|general)|importe total|totaalbedrag|net a payer"
)
#: one of something, as it may stand beside what is no pack
_ONE = re.compile(r"1(?:[.,]0+)?(?: ?(?:x|pcs?|piece|st|stk|stuck|each|ea|order|mal|pauschal))?\.?|x|pauschal")


def besides_in(row: OwnRow) -> str:
    """What a row is that is named for money and no material; "" for any other, also where its name says more."""
    name = row.text("name")
    words = words_of(name)
    if is_freight(_OF.sub("", plain_words(re.sub(r"[(\[].*?[)\]]", " ", name)))):
        return FREIGHT
    for what, named in ((DISCOUNT, _DISCOUNT), (TAX, _TAX), (TOTAL, _TOTAL)):
        if named.fullmatch(words):
            return what
    return ""


def pack_beside(row: OwnRow) -> str:
    """What says in such a row that it is bought in packs, so that it may be a material after all; "" for nothing."""
    texts = (row.text(role) for role in ("pack", "packs"))
    return next((text for text in texts if text and re.search("[0-9]", text) and not _ONE.fullmatch(text.lower())), "")
