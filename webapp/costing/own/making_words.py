"""Names in a maker's own formulas that are no ingredient, though a number stands beside them: pH, temperature, time."""

from __future__ import annotations

import re

from webapp.costing.own.columns import words_of

NO_INGREDIENT = "said of the making, no ingredient"
_UNIT = r"(?:c|f|deg|degrees?|celsius|fahrenheit|grad|mins?|minutes?|minuten|minutos|minuti|h|hrs?|hours?|rpm)"
_BEFORE = r"(?:final|target|max|min|water|oil|melt|melting|pour|pouring|heating|cooling|mixing|stirring|cooking|total)"
_ABOUT = r"(?:(?:of|for|at|in|range|value|level|time|target|max|min|final) ?)*"
_WORDS = re.compile(
    rf"(?:{_BEFORE} )?(?:ph|temp|temps|temperatures?|temperatur|temperatura|time|speed|rpm|"
    rf"stir|stirring|agitation|ruhren|ruhrzeit|drehzahl|duration|dauer|zeit|duree|tiempo|tempo)"
    rf"(?: {_ABOUT}{_UNIT}?)?|(?:{_BEFORE} )?(?:minutes?|mins?|minuten|minutos|minuti|hours?|stunden)|"
    rf"(?:shelf life|haltbarkeit|duree de conservation|caducidad|best before|use by|expiry|expires|mhd)(?: date)?"
    rf"(?: (?:in )?(?:months?|weeks?|mths?|years?))?|"
    rf"(?:(?:made|batch|mixing) )?(?:date|datum|fecha|data)(?: (?:made|mixed|poured|of .*))?|"
    rf"(?:made|mixed|poured) on"
)


def is_no_ingredient(text: str) -> bool:
    """Whether words say how something is made or kept, so that the number beside them is no amount."""
    return bool(_WORDS.fullmatch(words_of(text)) or _WORDS.fullmatch(words_of(re.sub(r"[()\[\]]", " ", text))))
