"""Whether what a row of a maker's own price sheet names is an ingredient or packaging, by what the sheet says of it."""

from __future__ import annotations

import re

from webapp.costing.called import nature_of
from webapp.costing.own.columns import Layout, OwnTable, words_of
from webapp.costing.own.pack_words import COUNTED
from webapp.costing.units import PIECES

INGREDIENT, PACKAGING = "ingredient", "packaging"
#: what people write for a kind, as a heading, in a column or in the name of a sheet
_KINDS = {
    word: kind
    for kind, words in {
        INGREDIENT: "ingredient ingredients raw oil butter wax powder rohstoff zutat ingrediente additive fragrance",
        PACKAGING: "packaging package container containers jar jars tin tins lid lids label labels bottle "
        "bottles box boxes verpackung emballage emballages envase embalaje imballaggio verpakking",
        "bought-in": "bought-in resale",
    }.items()
    for word in words.split()
}
#: what says nothing of a kind beside a word that does
_BESIDE = frozenset("raw materials and other prices price costs cost list my stock the for supplies".split())
#: pieces of packaging, in what they are called
_PIECES = frozenset(
    "jar jars tin tins lid lids label labels bottle bottles pump pumps cap caps dropper droppers sprayer sprayers "
    "box boxes carton cartons pouch pouches closure closures sticker stickers glas tiegel dose deckel etikett "
    "flasche couvercle etiquette flacon flacons boite tube tubes pipette pipettes sachets bags".split()
)
#: what is no packaging, whatever it stands in: a tin of wax, oil in a bottle
_INGREDIENTS = frozenset(
    "oil oils butter wax powder water extract clay salt juice milk honey soap alcohol acid seed hydrosol gel oxide "
    "petal petals leaf leaves root flower flowers mica pigment".split()
)
#: what others are packed in and may be bought itself: words that name one thing
_THEMSELVES = tuple(
    frozenset(one.split())
    for one in ("box boxes carton cartons", "bag bags pouch pouches", "sheet sheets paper tissue card", "tray trays",
                "sleeve sleeves", "tub tubs")
)  # fmt: skip
_SEVERAL = re.compile(r"([1-9][0-9.,]*) ?([a-z]+)\.?", re.IGNORECASE)


def kind_of(text: str) -> str:
    """The kind that every word of a text names; "" where one of them names none."""
    said = {_KINDS.get(word, "") for word in words_of(text).split() if word not in _BESIDE}
    return said.pop() if len(said) == 1 else ""


def first_kind(text: str) -> str:
    """The kind of the first word that names one."""
    return next((kind for word in words_of(text).split() if (kind := _KINDS.get(word, ""))), "")


def kind_of_sheet(table: OwnTable, layout: Layout) -> str:
    """Packaging, where a sheet says that all of it is: its name, words alone above its heads, the head of its names.

    What says "ingredients" says nothing: jars stand below it too.
    """
    above = (
        texts[0]
        for number in range(1, layout.heads)
        if len(texts := [text for place in range(table.width) if (text := table.cell(number, place))]) == 1
    )
    place = layout.place("name")
    head = "" if place is None or not layout.heads else table.cell(layout.heads, place)
    return PACKAGING if PACKAGING in map(kind_of, (head, *above, table.title)) else ""


def is_called_packaging(name: str) -> bool:
    """Whether a name can only be that of a piece of packaging: amber jar, pump top; not a tin of wax."""
    words = set(words_of(name).split())
    return bool(words & _PIECES) and "of" not in words and not is_called_ingredient(name)


def is_called_ingredient(name: str) -> bool:
    """Whether a word of a name is that of an ingredient: a wax, a clay, an oil."""
    return bool(set(words_of(name).split()) & _INGREDIENTS) or bool(nature_of(name))


def as_pieces(name: str, pack: str) -> str:
    """A pack in pieces where it counts what its name is: 50 boxes of a kraft box; else as it is written.

    50 boxes of jars hold nobody knows how many.
    """
    found, words = _SEVERAL.fullmatch(pack), set(words_of(name).split())
    said = found[2].casefold() if found else ""
    itself = next((one for one in _THEMSELVES if said in one and said.endswith("s")), frozenset[str]())
    others = {"of", *COUNTED.split()}
    if found is None or not words & itself or words & others or is_called_ingredient(name):
        return pack
    return f"{found[1]} {PIECES}"
