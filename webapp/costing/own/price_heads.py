"""What the head of a price says besides: its currency, whether tax is in it, and for one pack or for all of them."""

from __future__ import annotations

import re
import unicodedata

from webapp.costing.amounts import MINOR_UNITS

ONE_PACK, ALL_PACKS = "one", "all"
TAX_IN, TAX_OUT = "in", "out"

#: heads of a price that is for all the packs that were bought
_ALL = frozenset(
    "total, amount, total price, total cost, total paid, "
    "total amount, amount total, line total, price total, cost total, sum, "
    "gesamt, gesamtpreis, gesamtkosten, gesamtbetrag, summe, prix total, montant total, montant, cout total, "
    "ext cost, ext price, extended cost, extended price, extended, line cost, line price, gp, g preis, "
    "precio total, importe, importe total, prezzo totale, totale, totaal, totaalprijs".split(", ")
)
#: heads of a price that is for one pack
_ONE = frozenset(
    "price each, cost each, each, price ea, cost ea, ea, case price, case cost, price per case, cost per case, "
    "per case, carton price, carton cost, price per carton, bag price, box price, price per box, "
    "unit price, price per pack, pack price, pack cost, cost per pack, price a pack, "
    "last paid pack, last paid per pack, paid pack, paid per pack, last price pack, last price per pack, "
    "price pack, cost pack, price bag, cost bag, price box, cost box, price case, cost case, price bottle, "
    "cost bottle, preis packung, preis pack, preis gebinde, prix paquet, prix pack, prix sachet, precio paquete, "
    "precio envase, prezzo confezione, prijs verpakking, "
    "price per item, cost per item, ep, e preis, per pack, price per bottle, price per bag, list price, packungspreis, "
    "preis pro packung, stuckpreis, einzelpreis, prix unitaire, prix unit, prix u, pu, p u, prix par paquet, "
    "precio unitario, prezzo unitario, stuksprijs".split(", ")
)
#: what counts pieces by a hundred or a thousand
WORDS_OF_MANY = {
    **dict.fromkeys(("hundred", "hundert", "cent", "cien", "cento", "honderd"), 100),
    **dict.fromkeys(("thousand", "tausend", "mille", "mil", "duizend"), 1000),
}
_MANY = re.compile(
    rf"(?:/|\b(?:per|a|pro|je|par|por|les|al|pour)\b) ?([1-9][0-9]*(?:[., ]000)*|{'|'.join(WORDS_OF_MANY)})"
    r"(?: ?(?:stk|stuck|stucke|pieces|pcs|units|pz|uds))?$"
)
TAX_WORD = r"(?:v\.a\.t\.?|vat|tax|taxes|sales tax|gst|hst|mwst|ust|tva|iva|btw)"
#: what the way of an order is called, so that "incl. shipping" says nothing of tax
FREIGHT = (
    r"(?:versand|porto|fracht|lieferung|lieferkosten|shipping|freight|postage|carriage|delivery|transport|port|"
    r"frais de port|(?:frais (?:de |d ))?(?:livraison|expedition|envoi)|gastos de envio|envio|portes|"
    r"(?:spese di )?(?:spedizione|trasporto)|verzend|verzending|"
    r"couriers?|waybill|way bill|haulage|cartage|logistics|dispatch|(?:import |customs )?(?:duty|duties)|"
    r"customs(?: (?:clearance|clearing|charges?))?|clear(?:ing|ance)(?: (?:agent|customs))?|frakt|fragt|toll|zoll|"
    r"zollgebuhren|einfuhrzoll|kurier|spedition|dedouanement|(?:frais|droits) de douane|douane|coursier|fret|aduanas?|"
    r"flete|mensajeria|transporte|dogana|dazi(?: doganali)?|corriere|invoer(?:rechten|heffing)|koerier|bezorging|"
    r"bezorgkosten|frete|transporto|dostawa|przesylka|kargo)"
)
#: what a head says of a price that has the way of the goods in it
_LANDED = re.compile(
    r"\blanded\b|\bdelivered\b|\beinstands ?(?=preis|kosten)|\bde revient(?: rendue?s?)?\b|\brendue?s?\b"
)
#: a head of tax with the rate in it: "20% VAT", "Sales tax @ 8.875 %"
_AT = r"[0-9]{1,2}(?:[., ][0-9]{1,4})? ?%"
_RATED = re.compile(rf"{_AT} ?{TAX_WORD}\b\.?|{TAX_WORD}\b\.? ?(?:@|at|of|zu|a|di)? ?{_AT}")
#: a head of tax in money
_TAX_PAID = re.compile(
    rf"(?:total )?{TAX_WORD}\.?[ -]?(?:amount|paid|total|charged|due|value|betrag|bezahlt|summe|montant|paye|bedrag)|"
    rf"(?:amount of|montant(?: de la| de)?|importe(?: de)?|importo|paid|total) {TAX_WORD}|(?:mehrwert)?steuerbetrag"
)
_TAX = re.compile(rf"\b{TAX_WORD}\b")
_NOT_TAX = rf"(?!\.? ?{FREIGHT})"
_IN = re.compile(
    rf"\b(?:inc|incl|including|inclusive of|inkl|with|mit)\b\.? ?{TAX_WORD}\b|"
    rf"\b{TAX_WORD} (?:inc|incl|included|incluido|inclusa|incluse|"
    rf"inbegrepen)\b|\bttc\b|\bt\.t\.c\.?|\bbrutto\b|\bgross\b|\bincl\b{_NOT_TAX}"
)
_OUT = re.compile(
    rf"\b(?:ex|exc|excl|excluding|exclusive of|exkl|plus|without|before|ohne|zzgl|sin|senza|hors)\b\.? ?{TAX_WORD}\b|"
    rf"\+ ?{TAX_WORD}\b|\b{TAX_WORD} (?:excluded|not included|esclusa)\b|\bht\b|\bh\.t\.?|"
    rf"\bnetto\b|\bnet\b|\bexcl\b{_NOT_TAX}"
)
#: what is a word as well as a code, so that a head in capitals says nothing by it
_WORDS = frozenset("ALL TOP CUP MOP PEN SOS TRY MAD GEL BAM COP LAK MUR RON".split())
_CODES = frozenset(MINOR_UNITS) - _WORDS
_SIGN = re.compile("[$\u00a2-\u00a5\u20a0-\u20bf]")


def tax_said(head: str) -> str:
    """Whether a head says that tax is in its prices, or that it is not; "" where it says neither."""
    words = plain_words(head)
    return TAX_OUT if _OUT.search(words) else TAX_IN if _IN.search(words) else ""


def says_rate(head: str) -> bool:
    """Whether a head is a tax with its rate, and nothing else."""
    return bool(_RATED.fullmatch(plain_words(head)))


def says_landed(head: str) -> bool:
    """Whether a head is a price with its freight in it: "Landed cost", "Delivered price (€)", "Einstandspreis"."""
    return bool(_LANDED.search(plain_words(head)))


def without_landed(head: str) -> str:
    """A head without that: "cost" of "Landed cost"."""
    return " ".join(_LANDED.sub(" ", plain_words(head)).split())


def says_tax_paid(head: str) -> bool:
    """Whether a head is sales tax in money: "Tax amount", "VAT paid (€)", "Montant TVA"."""
    words = re.sub("[$\u00a3-\u00a5\u20a0-\u20bf]", " ", plain_words(head))
    return bool(_TAX_PAID.fullmatch(" ".join(words.split())))


def names_tax(head: str) -> bool:
    """Whether a head names a sales tax, so that percent below it are its rates."""
    return bool(_TAX.search(plain_words(head)))


def currency_said(head: str) -> str:
    """The sign or the code of the currency that a head names; "" where it names none."""
    sign = _SIGN.search(head)
    if sign:
        return sign[0]
    return next((code for code in re.findall(r"\b[A-Z]{3}\b", head) if code in _CODES), "")


def without_besides(head: str) -> str:
    """A head without what it says of currency and tax, so that the rest can be looked up."""
    words = " ".join(one for one in head.split() if one.strip("()[].,:") not in _CODES)
    return " ".join(_IN.sub(" ", _OUT.sub(" ", plain_words(words))).split())


def many_in(head: str) -> int:
    """For how many a head says that its prices are, where it says no unit of them: 100 in "Price/100"; 0 for none."""
    found = _MANY.search(plain_words(re.sub("[$\u00a3-\u00a5\u20a0-\u20bf]", " ", without_besides(head))))
    if found is None:
        return 0
    return WORDS_OF_MANY.get(found[1]) or int(re.sub("[., ]", "", found[1]))


def packs_said(words: str) -> str:
    """Whether a head, without case and marks, says that a price is for ONE_PACK or for ALL_PACKS; "" for neither."""
    words = without_landed(words)
    return ALL_PACKS if words in _ALL else ONE_PACK if words in _ONE else ""


def plain_words(head: str) -> str:
    """A head in small letters, without accents and brackets."""
    bare = unicodedata.normalize("NFKD", head.casefold().replace("\u00df", "ss"))
    bare = "".join(one for one in bare if not unicodedata.combining(one))
    return " ".join(re.sub(r"[()\[\],:]", " ", bare).split())
