"""Heads that say how much of an ingredient there is and in which unit of mass: "Wt. oz", "oz by weight", "Menge kg"."""

from __future__ import annotations

import re
import unicodedata

from webapp.costing.own.units import ELSEWHERE
from webapp.costing.units import MASS
from webapp.costing.written_units import unit_of

#: words of such heads that say how much
_HOW_MUCH = frozenset(
    (
        "weight weights wt wgt weigh weighed amount amt quantity qty menge gewicht einwaage masse poids quantite "
        "pesee peso pesos cantidad quantita hoeveelheid mass"
    ).split()
)
#: words that say of what, or only join the others
_JOINING = frozenset("in by of per a the for to en par por pro je al di del du de op net".split())
_OF_A_RECIPE = frozenset(
    "needed used batch batches recipe charge ansatz lot lote lotto rezept recette receta ricetta recept".split()
)
#: what begins the head of a column with sizes of batches
_BATCH = frozenset("batch batches ansatz charge lot lote lotto".split())
_UNITS = {
    **dict.fromkeys("unze unzen once onces onza onzas oncia".split(), "oz"),
    **dict.fromkeys("kilogrammes kilogrammi chilogrammo chilogrammi kilogramos".split(), "kg"),
}
#: what else an amount may be in: a head with one of these is never of grams
_OTHER = frozenset(
    (
        "pfund livre livres libra libras libbra libbre pond ons fl floz gal gallon gallons pint pints quart quarts cup "
        "cups tasse tassen tasses taza tazas tbsp tsp el tl tablespoon tablespoons teaspoon teaspoons spoon spoons "
        "scoop scoops drop drops tropfen gouttes gotas gocce part parts teile cl dl hl stone tonne tonnes ton tons"
    ).split()
)
#: a unit that a price is for, no amount: "per oz", "/kg"
_FOR_ONE = re.compile(r"(?:^/|\b(?:per|pro|je|par|por|al|a)\s+)\s*[(\[]?([^\W\d_]+)")


def weight_unit(head: str) -> str:
    """The unit of mass of a head that says nothing but how much there is in it; "" for any other."""
    words = _words(head)
    units = {unit for word in words if (unit := _unit(word)) in MASS}
    rest = [word for word in words if _unit(word) not in MASS]
    if len(units) != 1 or words[0] in _BATCH or re.search(r"[0-9%$\u00a2-\u00a5\u20a0-\u20bf]", _bare(head)):
        return ""
    if not says_how_much(" ".join(rest)) or any(_unit(word) in MASS for word in _FOR_ONE.findall(_bare(head))):
        return ""
    return units.pop()


def says_how_much(words: str) -> bool:
    """Whether words say nothing but that there is so much of something."""
    return {*_words(words)} <= _HOW_MUCH | _JOINING | _OF_A_RECIPE


def may_be_of_packs(head: str) -> bool:
    """Whether such a head may be of packs too: it says "weight" or the like, and nothing of a batch or of a use."""
    words = {*_words(head)}
    return bool(weight_unit(head) and words & _HOW_MUCH and not words & _OF_A_RECIPE)


def names_weight(head: str) -> bool:
    """Whether such a head says more than its unit: "Weight in oz", "oz per batch"."""
    return bool(weight_unit(head)) and len(_words(head)) > 1


def other_unit(head: str) -> str:
    """A word of a head that says another unit than grams; "" where none does, or grams stand there too."""
    words = _words(head)
    if any(_unit(word) == "g" for word in words):
        return ""
    word = next((word for word in words if _unit(word) or word in _OTHER), "")
    return "fl oz" if word == "fl" else word


def _unit(word: str) -> str:
    return unit_of(word) or ELSEWHERE.get(word, "") or _UNITS.get(word, "")


def _bare(head: str) -> str:
    bare = unicodedata.normalize("NFKD", head.casefold().replace("\u00df", "ss"))
    return "".join(one for one in bare if not unicodedata.combining(one))


def _words(head: str) -> list[str]:
    """The words of a head without marks, each with what stands in brackets."""
    return re.findall(r"[a-z]+", _bare(head))
