"""What words say of tax: that it is in a price, comes on top of it, or that there is none, with its rate."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal

from webapp.costing.amounts import ZERO
from webapp.costing.own.price_heads import TAX_IN, TAX_OUT, TAX_WORD, plain_words, tax_said

TAX_NONE, YES, NO = "none", "yes", "no"
#: how tax can stand in a price
STANDS = (TAX_IN, TAX_OUT, TAX_NONE)
#: what yes and no of a column mean, as somebody chose -> how tax stands in rows that say yes, and in those that say no
MEANINGS = {
    "in_out": (TAX_IN, TAX_OUT),
    "in_none": (TAX_IN, TAX_NONE),
    "out_none": (TAX_OUT, TAX_NONE),
    "out_in": (TAX_OUT, TAX_IN),
}
_RATE = r"(?:(?:of |at |@ ?)?[0-9]{1,2}(?:[.,][0-9]{1,2})? ?% ?(?:of )?)?"
_AT = r"(?: ?(?:@|at|of) ?[0-9]{1,2}(?:[.,][0-9]{1,2})? ?%)?"
_NONE = rf"\b(?:no|zero|nil|keine?|free of|exempt from) {TAX_WORD}\b|\bnot {TAX_WORD}[- ]registered\b"
_NONE += rf"|\b{TAX_WORD}[- ](?:free|exempt)\b|\b(?:zero|0)[- ]?rated\b|\bsteuerfrei\b"
_OUT = (
    r"(?:\+|\b(?:ex|exc|excl|excludes?|excluding|exclusive of|exkl|plus|add|net of|without|before|ohne|zzgl|"
    r"zuz\u00fcglich|sin|senza|hors|not inc|not incl|not including|(?:do|does) ?n[o'\u2019]t include|"
    rf"(?:do|does) not include))\.? ?{_RATE}{TAX_WORD}\b{_AT}"
    rf"|\b{TAX_WORD} ?(?:is |are )?(?:excluded|excl|ex|not included|not inc|not incl|extra|on top|to be added|"
    r"esclusa)\b"
    r"|\bht\b|\bh\.t\.|\bhors taxes?\b|\bnetto\b"
)
_IN = (
    r"\b(?:inc|incl|includes?|including|inclusive of|inkl|inklusive|einschl|with|mit)\b"
    rf"\.? ?{_RATE}{TAX_WORD}\b{_AT}"
    rf"|\b{TAX_WORD} ?(?:is |are )?(?:included|incl|inc|inclusive|paid|incluido|inclusa|incluse|inbegrepen|enthalten|"
    r"inbegriffen|comprise)\b|\bttc\b|\bt\.t\.c\.|\bbrutto\b"
)
#: how tax stands -> a phrase that says so; the first that is found counts ("not inc VAT" is not "inc VAT")
_PHRASES = {
    how: re.compile(rf"[(\[,;]?\s*(?:{way})\s*[)\]]?", re.IGNORECASE)
    for how, way in ((TAX_NONE, _NONE), (TAX_OUT, _OUT), (TAX_IN, _IN))
}
_PERCENT = re.compile(r"([0-9]{1,2}(?:[.,][0-9]{1,2})?) ?%")
_ABOUT_TAX = re.compile(rf"\b(?:{TAX_WORD}|ht|ttc|netto|brutto)\b", re.IGNORECASE)
#: what a cell below a head of tax says, without the word for tax itself
_CELLS = {
    **dict.fromkeys(
        "inc, incl, inc., included, including, inclusive, in, in price, in the price, gross, brutto, ttc, inkl, with, "
        "inklusive, enthalten, compris, incluido, inclusa, incluso, inclusief".split(", "),
        TAX_IN,
    ),
    **dict.fromkeys(
        "ex, exc, excl, excluded, excluding, exclusive, extra, on top, plus, add, added, +, net, netto, ht, exkl, "
        "zzgl, not included, not inc, not incl, exclu, excluido, esclusa, escluso, exclusief".split(", "),
        TAX_OUT,
    ),
    **dict.fromkeys(
        "none, zero, zero rated, zero-rated, nil, exempt, free, keine, steuerfrei, befreit, exento, esente, "
        "exonere".split(", "),
        TAX_NONE,
    ),
    **dict.fromkeys("y, yes, ja, j, oui, si, true, x, \u2713, \u2714".split(", "), YES),
    **dict.fromkeys("n, no, nein, non, nee, false".split(", "), NO),
}


@dataclass(frozen=True, slots=True)
class TaxSaid:
    """How tax stands ("" where only a rate is said), its rate in percent, and the words that say so."""

    how: str = ""
    rate: Decimal | None = None
    words: str = ""


SAYS_NOTHING = TaxSaid()


def phrase_in(text: str) -> TaxSaid:
    """What a text says of tax in a phrase: "+ VAT", "inc 20 % VAT", "HT"; nothing where it says nothing."""
    for how, phrase in _PHRASES.items():
        if found := phrase.search(text):
            return TaxSaid(how, ZERO if how == TAX_NONE else _rate(found[0]), found[0].strip(" ()[],;"))
    return TaxSaid()


def without_phrase(text: str) -> str:
    """A text without what it says of tax: "£14.20" of "£14.20 + VAT"."""
    said = phrase_in(text)
    return " ".join(_PHRASES[said.how].sub(" ", text, count=1).split()) if said.how else text


def cell_said(text: str) -> TaxSaid | None:
    """What a cell below a head of tax says: "inc", "ex VAT", "zero", "Y", "20 %"; None for what is not known."""
    whole = phrase_in(text)
    if whole.how and not without_phrase(text).strip(" .*!"):
        return whole
    words = plain_words(text).strip(" .*!?")
    rate = re.search(r"(?<![0-9.,])([0-9]{1,2}(?:[.,][0-9]{1,4})?) ?%?(?![0-9.,])", words)
    rest = words.replace(rate[0], " ") if rate else words
    named = bool(re.search(rf"\b{TAX_WORD}\b", rest))
    rest = " ".join(re.sub(rf"\b(?:{TAX_WORD}|at)\b|@", " ", rest).split()).strip(" .")
    how = _CELLS.get(rest, "")
    if rest and not how:
        return None
    value = Decimal(rate[1].replace(",", ".")) if rate else None
    if not how and value is None:
        return TaxSaid(YES, None, text) if named else None
    return TaxSaid(how, ZERO if how == TAX_NONE else value, text)


def _rate(phrase: str) -> Decimal | None:
    found = _PERCENT.search(phrase)
    return Decimal(found[1].replace(",", ".")) if found else None


def is_about_tax(text: str) -> bool:
    """Whether words name tax, or a price with it or without it."""
    return bool(_ABOUT_TAX.search(text)) or bool(tax_said(text))


def is_of_exempt(head: str) -> bool:
    """Whether yes below a head means that there is no tax, and no that it is as elsewhere: "VAT exempt?"."""
    words = plain_words(head)
    return bool(
        re.search(rf"\b(?:exempt|zero[- ]?rated|steuerfrei|befreit|exonere|exento|esente|no {TAX_WORD})", words)
    ) or (bool(re.search(rf"\b{TAX_WORD}[- ]?free\b", words)))


def yes_by_head(head: str) -> str:
    """What yes and no mean by the head above them: one of MEANINGS; "" where it may be one or the other."""
    words = plain_words(head)
    known = re.search(r"\binc|\binkl|\bttc\b|\bbrutto\b", words), re.search(r"\bex|\bht\b|\bnetto\b", words)
    if all(known) or not any(known) or "+" in words:
        return ""
    return "in_out" if known[0] else "out_in"
