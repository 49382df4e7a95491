"""Words of a maker's own sheet for what is left of a batch, or lost of it: "Yield after straining", "Evaporation"."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import NamedTuple

from webapp.costing.own.columns import words_of

LEFT, LOSS, MAKES = "left", "loss", "makes"
#: from how much on a number of percent is what is left, and up to how much what is lost (common practice, no source)
LEFT_PERCENT, LOST_PERCENT = Decimal(50), Decimal(40)

_DONE = (
    r"strain\w*|filter\w*|cook\w*|cool\w*|evaporat\w*|infus\w*|press\w*|simmer\w*|boil\w*|melt\w*|drain\w*|"
    r"abseihen|filtern|kochen|abpressen|filtration|filtrage|cuisson|colar|filtrar|coccion|filtraggio|cottura"
)
_YIELD = r"yields?|ausbeute|ertrag|rendement|rendimiento|resa|opbrengst"
_UNIT = r"(?: (?:in )?(?:g|gr|kg|oz|lb|grams?|gramm|grammes|gramos|grammi|%|percent))?"
#: what may say the size of a batch too: it is what is left where the lines weigh more
_MAKES = re.compile(
    rf"(?:(?:batch|expected|approx|approximate) )?(?:makes|ergibt|{_YIELD})"
    rf"(?: (?:approx|about|ca|circa|roughly|around|per batch|a batch|of batch|pro (?:ansatz|charge)|par lot))*{_UNIT}"
)
_LEFT = re.compile(
    rf"(?:(?:final|actual|net|total|expected|usable|strained|real) )?(?:(?:{_YIELD}|weight|gewicht|poids|peso) "
    rf"(?:after|when|once|nach|apres|despues|dopo) .*|(?:final|actual|net|total|usable|real) (?:{_YIELD})|"
    rf"(?:final|strained) (?:weight|amount)|(?:what is |is )?left|(?:weight )?after (?:the )?(?:{_DONE})|"
    rf"nach (?:dem )?(?:{_DONE})|bleibt(?: ubrig)?|ubrig|apres (?:la |le )?(?:{_DONE})|queda|"
    rf"despues de (?:{_DONE})|dopo (?:la |il )?(?:{_DONE})){_UNIT}"
)
_LOSS = re.compile(
    r"(?:(?:\w+ ){0,2}(?:loss|losses)|wastage|waste|shrinkage|spillage)"
    r"(?: (?:in|from|by|of|on|during|while|at|to) .*)?|"
    r"(?:water )?evaporat(?:ion|es)(?: (?:in|during|while|on|of|by|off|from)(?: .*)?)?|"
    r"evaporated(?: (?:water|off|away|in|during|while|by) ?.*)?|lost(?: .*)?|"
    r"(?:stays|stay|remains|left) (?:in|on|behind) .*|"
    r"stays behind|absorbed(?: .*)?|(?:\w*verluste?|schwund|verdunstung)(?: .*)?|"
    r"(?:pertes?|evaporacion|evaporazione|mermas?|perdidas?|perdita|calo|verlies|verdamping)(?: .*)?"
)
_LOSS_UNIT = re.compile(rf"(?:{_LOSS.pattern}){_UNIT}")


class Lost(NamedTuple):
    """What a row says of what is left of a batch, or lost: its words, the cell of its amount, the amount in its unit.

    `bare`: only its column says the unit; `below`: it stands below a total of the lines.
    """

    kind: str
    says: str
    text: str
    row: int
    column: int
    value: Decimal
    unit: str
    slack: Decimal
    bare: bool = False
    below: bool = False

    @property
    def is_left(self) -> bool:
        """Whether it says what is left, not what is lost."""
        return self.kind != LOSS

    @property
    def words(self) -> str:
        """What it says, without its unit: rows that say the same in two units say it once."""
        return re.sub(rf"{_UNIT}$", "", words_of(re.split("[0-9]", self.says, maxsplit=1)[0]))


def kind_of(text: str) -> str:
    """What words say: LEFT what is left, LOSS what is lost, MAKES what is made of it; "" for anything else."""
    words = words_of(text)
    if _MAKES.fullmatch(words):
        return MAKES
    if _LEFT.fullmatch(words):
        return LEFT
    return LOSS if _LOSS_UNIT.fullmatch(words) else ""
