"""Heads of minutes in a maker's own list of products: for one jar, for a batch, or nobody knows for which."""

from __future__ import annotations

import re
from collections.abc import Mapping

from webapp.costing.own.price_heads import plain_words

BATCH = r"(?:batch(?:es)?|charge|ansatz|lot|lote|lotto)"
#: one of what is filled
JAR = (
    r"(?:jar|pot|tin|bottle|tube|stick|bar|piece|pc|unit|item|stuck|st\u00fcck|glas|dose|flasche|tiegel|flacon|pieza|"
    r"pezzo|stuk)"
)
A = r"(?:per|a|an|each|for (?:a|an|the|one|each)|je|pro|par|por|al|/)"
_OF_BATCH = re.compile(rf"(?:{A} ?)?(?:\bwhole )?\b{BATCH}\b(?: (?:of|von|de|di|van) .*)?")
_OF_JAR = re.compile(rf"\b(?:{JAR}|each|ea)\b")

_JARS = re.compile(
    r"\b(?:jars|pots|tins|bottles|tubes|sticks|bars|pieces|units|stuck|glaser|tiegel|flaschen|dosen|flacons)\b"
)
#: of how many a head says that its batch is: "batch of 18"
_OF_MANY = re.compile(rf"\b{BATCH} (?:of|von|de|di|van) (.+)")


def of_many(head: str) -> str:
    """How many jars a head says that its batch makes, as it is written; "" where it says nothing."""
    found = _OF_MANY.search(plain_words(head))
    return found[1] if found else ""


def without_batch(head: str) -> tuple[str, ...]:
    """What a head of a batch says besides, with its unit and without; nothing where it speaks of no batch."""
    words = plain_words(head)
    if not _OF_BATCH.search(words):
        return ()
    rest = " ".join(re.sub(r"[^a-z]+", " ", _OF_BATCH.sub(" ", words)).split())
    return rest, rest.rpartition(" ")[0]


def of_batch(head: str, known: Mapping[str, str]) -> str:
    """What a head of a batch says that its column holds, by heads that are known: its minutes, how many it makes."""
    besides = without_batch(head)
    if "minutes" in map(known.get, besides):
        return "batch_minutes"
    return "makes" if besides and _JARS.search(besides[0]) else ""


def is_of_jar(head: str) -> bool:
    """Whether a head says that its minutes are those of one jar."""
    return bool(_OF_JAR.search(plain_words(head)))
