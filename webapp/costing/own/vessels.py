"""Packs in words that no list has: one amount, or several times one, with what it is filled in around it.

"carton of 12 x 500 ml", "mudu 1.5 kg", "1 paint bucket (3.5 kg)", "4 litre gallon", "half kg", "le kg".
"""

from __future__ import annotations

import re

from webapp.costing.own.price_heads import WORDS_OF_MANY
from webapp.costing.own.units import ELSEWHERE, SYSTEMS, dozens_in, measure_in
from webapp.costing.units import PIECES
from webapp.costing.written_units import unit_of

NUMBER = r"(?:[0-9]{1,3}(?: [0-9]{3})+(?![0-9])|[0-9][0-9.,]*)"
_PART = re.compile(
    rf"(?:(?P<count>[0-9]{{1,4}}) ?[x\u00d7*] ?)?(?<![0-9.,])(?P<number>{NUMBER}) ?-?(?P<unit>[^\W\d_]+)\.?",
    re.IGNORECASE,
)
#: beside an amount: that it is not what is in a pack, or not as it stands
_OTHERWISE = frozenset(
    "each ea min max minimum maximum mind less more over under than about approx approximately roughly ca circa env "
    "environ um up upto from ab bis to jusqu or oder ou und and et plus minus without not no ohne sans left ordered "
    "used need needs needed required empty leer vide half quarter double twice x per pro par por "
    "order free extra gratis offert".split()
) | frozenset(SYSTEMS)
_METRIC = ("kg", "g", "L", "mL")
_PARTS_OF_ONE = {
    **dict.fromkeys("half demi halb halbe halber halbes halben medio media mezzo mezza halve".split(), "\u00bd"),
    "quarter": "\u00bc",
}
_PART_OF_ONE = re.compile(rf"(?:(?:1|a|an|une?|ein(?:e[rns]?)?) )?({'|'.join(_PARTS_OF_ONE)})[ -](?:(?:of )?an? )?(.+)")
_ONE = re.compile(r"(?:(?:the|le|la|au|al|el|il|der|die|das|an?|une?|ein|per|pro|je|par|por|one) |l['\u2019])(.+)")


def as_one_amount(text: str) -> str:
    """The one amount among the words of a pack, put plainly; the text as it is where it is no such pack."""
    folded = text.casefold().strip(" .")
    if (found := _PART_OF_ONE.fullmatch(folded)) and _begins_with_unit(found[2]):
        return f"{_PARTS_OF_ONE[found[1]]} {found[2]}"
    if found := _ONE.fullmatch(folded):
        many = WORDS_OF_MANY.get(found[1])
        return f"{many} {PIECES}" if many else f"1 {found[1]}" if _is_unit(found[1]) else _in_words(text)
    return _in_words(text)


def _in_words(text: str) -> str:
    found = [one for one in _PART.finditer(text) if _is_unit(one["unit"]) or measure_in(one["unit"])[1]]
    if len(found) != 1:
        return text
    one = found[0]
    before, after = re.sub(r"^1 ", "", text[: one.start()]), text[one.end() :]
    words = re.findall(r"[^\W\d_]+", f"{before} {after}".casefold())
    measure = measure_in(f"{before} {after}")[1]
    if _OTHERWISE & {*words} or any(one.isnumeric() or one in "%~<>+=/\u2044" for one in f"{before} {after}"):
        return text
    if not measure and not re.search(r"[^\W\d_]", before):
        return text  # it begins with the amount, and is read as such
    if measure and (unit_of(one["unit"]) not in _METRIC or text[: one.start()] != before):
        return text  # "1 gallon (4 litres)" is compared first
    amount = f"{one['number']} {one['unit']}"
    return f"{one['count']} x {amount}" if one["count"] else amount


def _is_unit(word: str) -> bool:
    return bool(unit_of(word) or ELSEWHERE.get(word.casefold().strip(" .")))


def _begins_with_unit(words: str) -> bool:
    return _is_unit(words.split(maxsplit=1)[0]) or dozens_in(words) > 0
