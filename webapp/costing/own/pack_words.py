"""Packs as suppliers and makers write them, put plainly: case of 48, 48/case, 12-pack, lot de 48, Sack 25 kg, 5#."""

from __future__ import annotations

import re
import unicodedata

from webapp.costing.own.units import DOZEN, dozens_in
from webapp.costing.own.vessels import NUMBER, as_one_amount

CONTAINERS = """
    box boxes pack packs packet packets pk pkt case cases cs carton cartons ctn bag bags set sets roll rolls tray trays
    sleeve sleeves sheet sheets bundle bundles bucket buckets tub tubs pail pails drum drums sack sacks
    packung paket karton kiste beutel rolle eimer kanister dose gebinde bogen vpe ve
    packungen pakete kartons kisten rollen dosen s\u00e4cke t\u00fcte t\u00fcten becher fass
    lot bo\u00eete boite sachet sac rouleau paquet seau bidon planche caja bolsa paquete rollo saco cubo
    scatola confezione conf rotolo sacco secchio doos zak rol emmer
"""
COUNTED = """
    jar jars tin tins lid lids label labels bottle bottles cap caps pump pumps dropper droppers pipette pipettes
    sticker stickers tube tubes tiegel deckel etikett etiketten flasche flaschen glas gl\u00e4ser
    pot pots couvercle couvercles \u00e9tiquette \u00e9tiquettes flacon flacons
    tarro tarros tapa tapas etiqueta etiquetas frasco frascos vasetto vasetti coperchio coperchi etichetta etichette
"""


def _any(words: str) -> str:
    return "|".join(words.split())


#: what things are packed in, and what is counted by the piece, in the languages that sheets come in
_IN, _OF = _any(CONTAINERS), _any(COUNTED)
_N, _WITH = NUMBER, r"(?:of|de|di|da|\u00e0|\u00e1|a|mit|zu|van)?"
_PIECES = r"(?:(?:pcs?|pieces?|ct|count|ea|each|st|stk|st\u00fccke?|units?)\.?)"
_AMOUNT = rf"{_N} ?[^\W\d_]+\.?(?: oz\.?)?"
#: what says that so many are in one: "on a roll", "/case", "per sheet"
_EACH = r"(?:an?|one|each|the|1|einer|einem|une?)"
ON_ONE = rf"(?:(?:/|per|pro|par|por|je|a) ?|(?:on|in|to|auf|sur|su|en) {_EACH} )(?:{_IN})\.?"
#: what is written and how it is put plainly; a bare number in a container is of pieces unless its unit stands beside it
_WAYS = tuple(
    (re.compile(way, re.IGNORECASE), plainly)
    for way, plainly in (
        (rf"({_N}) ?# ?(?:{_IN})?", r"\1 lb"),  # 5#: in the United States (common practice, no source)
        (rf"({_N})[ -]?([^\W\d_]+)-(?:{_IN}|{_OF})", r"\1 \2"),  # 25-kg-Sack, 500g-Glas
        (rf"({_N})-([^\W\d_].*)", r"\1 \2"),  # 2-lb tub
        (rf"([0-9]{{1,4}}) ?(?:{_IN}|{_OF}) ?(?:\u00e0|\u00e1|a|@|je) ?({_AMOUNT})", r"\1 x \2"),
        (rf"(?:1 )?(?:{_IN}) ?\(([0-9]{{1,4}} .+)\)", r"\1"),  # Karton (12 Flaschen a 250 ml)
        (r"(?:per|je|pro|par) (dozen|doz|dz|dutzend)\.?", r"1 \1"),
        (rf"(?:1 )?(?:{_IN}|{_OF})\.? ?{_WITH} ?\(?({_AMOUNT})\)?", r"\1"),  # Sack 25 kg, box of 2 dozen
        (rf"({_N}) ?(?:{_PIECES}|{_OF})? ?{ON_ONE}", r"\1 pieces"),  # 48/case, 24 per box, 250 labels on a roll
        (rf"({_N}) ?(?:ct|count|pack|pk|er)\.?[ -]?(?:{_IN})?\.?", r"\1 pieces"),  # 12 ct, 500 ct roll, 12 pack, 25er
        (rf"({_N}) ?{_PIECES} (?:{_IN})", r"\1 pieces"),
        (rf"per ({_N})", r"\1 pieces"),
        (rf"({_N}) ?(?:{_OF})", r"\1 pieces"),  # 48 jars
        (rf"({_N}) ?nos?\.?", r"\1 pieces"),  # 100no
        (rf"({_AMOUNT}) ?[x\u00d7*] ?([0-9]{{1,4}})", r"\2 x \1"),  # 500 g x 3
        (rf"({_AMOUNT}) ?(\({_AMOUNT}\)) ?[x\u00d7*] ?([0-9]{{1,4}})", r"\3 x \1 \2"),  # 1 lb (16 oz) x 3
        (
            rf"({_AMOUNT}) ?[/=] ?({_N} ?(?:lbs?|oz|kg|g)\.?)(?: (?:net )?(?:wt|weight)\.?)?",
            r"\1 (\2)",
        ),
        (rf"([0-9]{{1,4}}) ?@ ?({_AMOUNT})", r"\1 x \2"),
        (rf"({_AMOUNT}) ?/ ?({_AMOUNT})", r"\1 (\2)"),  # 4 oz/118 ml
    )
)
_ABOUT = re.compile(
    rf"(?:approx\.?|approximately|about|around|roughly|circa|ca\.?|c\.|etwa|env\.?|environ|~|\u2248) ?({_N}.*)",
    re.IGNORECASE,
)
_BARE = re.compile(rf"(?:1 )?(?:{_IN})\.?:? ?{_WITH} ?\(?({_N})\)?", re.IGNORECASE)


def put_plainly(text: str, beside: str = "") -> str:
    """A pack as an amount with its unit, or several times one; as it is where it is written in no way of these.

    `beside` is what stands in a column of units: a bare number in a container ("Sack 25") is of it, else of pieces.
    """
    text = unicodedata.normalize("NFC", text.strip())
    if dozens_in(text) == DOZEN and " " not in text:  # "gross" alone may be a weight with its wrapping
        return f"1 {text}"
    if found := _BARE.fullmatch(text):
        return found[1] if beside else f"{found[1]} pieces"
    if found := _ABOUT.fullmatch(text):
        return found[1]
    for way, plainly in _WAYS:
        if found := way.fullmatch(text):
            return found.expand(plainly)
    return as_one_amount(text)


def is_put_otherwise(text: str) -> bool:
    """Whether it is to be said how a pack was put plainly: 5# may be something else, about 250 g are not just 250."""
    return "#" in text or _ABOUT.fullmatch(unicodedata.normalize("NFC", text.strip())) is not None


def is_container(word: str) -> bool:
    """Whether a word says what something is packed in, and not how much of it."""
    return word.strip(" .").casefold() in CONTAINERS.split()


def is_counted(word: str) -> bool:
    """Whether a word says what a product is filled into, or what is counted beside it: jars, a tin, a label."""
    return unicodedata.normalize("NFC", word.strip(" .,;:()")).casefold() in COUNTED.split()
