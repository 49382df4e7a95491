"""Names in a maker's own formulas that nothing with a price has: what each of them may be, the likest first."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from webapp.costing.book import Id
from webapp.costing.called import Known, words_of
from webapp.costing.limits import name_key

#: how many things are offered for one name, and for how many names
MOST_OFFERED, MOST_RANKED = 100, 40
#: how much a word counts that one name alone has, of more names so much less; what is begun with it, and initials
_SELDOM, _BEGUN, _INITIALS = 12000, 8000, 24000
#: from how many letters on a word may stand for one that begins with it
_LETTERS = 3


@dataclass(frozen=True, slots=True)
class NameAsked:
    """A name that nothing has, but that others are like: it has to be said which is meant."""

    mark: str
    name: str
    near: tuple[str, ...]
    chosen: str
    where: tuple[int, int]
    """Sheet and row in which it stands first."""
    of: str = ""
    """"formula" where it is the name of a product, and it is asked which formula is in that."""
    others: tuple[str, ...] = ()
    """What else it may be, the likest first."""
    spelled: tuple[str, ...] = ()
    """Each way in which it is written."""


def holders(formulas: Collection[Id], inside: Mapping[Id, Collection[Id]]) -> frozenset[Id]:
    """The formulas and all that hold one of them; `inside` are of each formula those that its lines mean."""
    found, more = frozenset(formulas), frozenset(formulas)
    while more:
        more = frozenset(ident for ident, parts in inside.items() if more & set(parts)) - found
        found |= more
    return found


def likest(things: Sequence[Known], text: str) -> tuple[str, ...]:
    """The names of all these things, those first that share seldom words with a text, then by name.

    A word is shared where it is the same, where one begins with the other (Vit E, Vitamin E), or where the text is
    made of the initials of a name, in any order (FCO).
    """
    words = [(one, [words_of(name).split() for name in (one.name, *one.others)]) for one in things]
    often = Counter(word for _, names in words for word in {word for name in names for word in name})
    asked = words_of(text).split()
    ranked = sorted(
        (-max(_likeness(asked, name, often) for name in names), len(one.name), name_key(one.name), one.name)
        for one, names in words
    )
    like = [name for rank, *_, name in ranked if rank]
    rest = sorted((name for rank, *_, name in ranked if not rank), key=name_key)
    return tuple(dict.fromkeys((*like, *rest)))


def _likeness(asked: Sequence[str], name: Sequence[str], often: Mapping[str, int]) -> int:
    """How much a name has in common with the words of a text; 0 for nothing."""
    initials = len(asked) == 1 < len(name) and sorted(asked[0]) == sorted(word[0] for word in name)
    score = _INITIALS if initials else 0
    for one in asked:
        shared = [_SELDOM // often[word] if one == word else _BEGUN // often[word] for word in name if _same(one, word)]
        score += max(shared, default=0)
    return score


def _same(one: str, other: str) -> bool:
    """Whether two words are one, or the shorter begins the longer."""
    short, long = sorted((one, other), key=len)
    return one == other or (len(short) >= _LETTERS and long.startswith(short))
