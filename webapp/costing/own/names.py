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


class Likest:
    """Things by the words of all that each is called, so that the likest of a text are found without looking at each.

    A word is shared where it is the same, where one begins with the other (Vit E, Vitamin E), or where the text is
    made of the initials of a name, in any order (FCO).
    """

    def __init__(self, things: Sequence[Known]) -> None:
        self._things = sorted(things, key=lambda one: name_key(one.name))
        called = [(place, name) for place, one in enumerate(self._things) for name in (one.name, *one.others)]
        self._of = [place for place, _ in called]
        self._with: dict[str, list[int]] = {}
        self._initials: dict[str, list[int]] = {}
        for entry, (_, name) in enumerate(called):
            words = words_of(name).split()
            for word in dict.fromkeys(words):
                self._with.setdefault(word, []).append(entry)
            if len(words) > 1:
                self._initials.setdefault("".join(sorted(word[0] for word in words)), []).append(entry)

    def names(self, text: str, without: Collection[str] = ()) -> tuple[str, ...]:
        """The names of all things, those first that share seldom words with a text, then by name.

        `without` are the values of things that are left out.
        """
        likeness = self._likeness(words_of(text).split())
        best = [0] * len(self._things)
        for entry, score in likeness.items():
            best[self._of[entry]] = max(best[self._of[entry]], score)
        places = sorted(range(len(best)), key=lambda place: (-best[place], best[place] and len(self._name(place))))
        return tuple(dict.fromkeys(self._name(one) for one in places if self._things[one].value not in without))

    def _name(self, place: int) -> str:
        return self._things[place].name

    def _likeness(self, asked: Sequence[str]) -> Counter[int]:
        """How much each entry has in common with the words of a text; those with nothing are not in it."""
        found: Counter[int] = Counter()
        for one in asked:
            shared: dict[int, int] = {}
            for word, entries in self._with.items():
                if _same(one, word):
                    worth = (_SELDOM if one == word else _BEGUN) // len({self._of[entry] for entry in entries})
                    shared |= {entry: max(worth, shared.get(entry, 0)) for entry in entries}
            found.update(shared)
        if len(asked) == 1:
            found.update(dict.fromkeys(self._initials.get("".join(sorted(asked[0])), ()), _INITIALS))
        return found


def _same(one: str, other: str) -> bool:
    """Whether two words are one, or the shorter begins the longer."""
    short, long = sorted((one, other), key=len)
    return one == other or (len(short) >= _LETTERS and long.startswith(short))
