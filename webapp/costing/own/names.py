"""Names in a maker's own formulas that nothing with a price has: what each of them may be, the likest first."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from webapp.costing.book import Id
from webapp.costing.called import Known, nature_of, words_of
from webapp.costing.limits import name_key

#: how many things are offered for one name, and for how many names
MOST_OFFERED, MOST_RANKED = 100, 40
#: how much a word counts that one name alone has, of more names so much less; what is begun with it, and initials
_SELDOM, _BEGUN, _INITIALS = 12000, 8000, 24000
#: from how many letters on a word may stand for one that begins with it
_LETTERS = 3


#: what of a product a name may be that is asked
FORMULA, FILLING = "formula", "filling"


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
    """FORMULA where it is the name of a product, and it is asked which formula is in that; FILLING where the sheet
    calls the formula so."""
    others: tuple[str, ...] = ()
    """What else it may be, the likest first."""
    spelled: tuple[str, ...] = ()
    """Each way in which it is written."""
    best: str = ""
    """The one thing that is far likelier than any other; "" where none is."""


def holders(formulas: Collection[Id], inside: Mapping[Id, Collection[Id]]) -> frozenset[Id]:
    """The formulas and all that hold one of them; `inside` are of each formula those that its lines mean."""
    found, more = frozenset(formulas), frozenset(formulas)
    while more:
        more = frozenset(ident for ident, parts in inside.items() if more & set(parts)) - found
        found |= more
    return found


def is_blend(one: Known, text: str) -> bool:
    """Whether a thing is a formula and not called just as a text says: seldom is one formula in another."""
    return one.value.startswith("formula:") and name_key(text) not in map(name_key, (one.name, *one.others))


class Likest:
    """Things by the words of all that each is called, so that the likest of a text are found without looking at each.

    A word is shared where it is the same, where one begins with the other (Vit E, Vitamin E), or where the text is
    made of the initials of a name, in any order (FCO).
    """

    def __init__(self, things: Sequence[Known]) -> None:
        self._things = sorted(things, key=lambda one: name_key(one.name))
        called = [(place, name) for place, one in enumerate(self._things) for name in (one.name, *one.others)]
        self._of = [place for place, _ in called]
        self._words = [words_of(name).split() for _, name in called]
        self._is_own = [name == self._things[place].name for place, name in called]
        self._with: dict[str, list[int]] = {}
        self._initials: dict[str, list[int]] = {}
        for entry, (_, name) in enumerate(called):
            words = words_of(name).split()
            for word in dict.fromkeys(words):
                self._with.setdefault(word, []).append(entry)
            if len(words) > 1:
                self._initials.setdefault("".join(sorted(word[0] for word in words)), []).append(entry)

    def names(self, text: str, without: Collection[str] = ()) -> tuple[str, ...]:
        """The names of all things, those first that share seldom words with a text, then by name; formulas last.

        `without` are the values of things that are left out.
        """
        likeness = self._likeness(words_of(text).split())
        best = [0] * len(self._things)
        for entry, score in likeness.items():
            best[self._of[entry]] = max(best[self._of[entry]], score)
        whole = {place for place, own in self._covered(text) if own}
        places = sorted(
            range(len(best)),
            key=lambda place: (
                is_blend(self._things[place], text),
                place not in whole,
                -best[place],
                best[place] and len(self._name(place)),
            ),
        )
        return tuple(dict.fromkeys(self._name(one) for one in places if self._things[one].value not in without))

    def best(self, text: str, near: Sequence[str] = (), without: Collection[str] = ()) -> str:
        """The only thing that a text may well be: the one that is near, else the one whose name its words begin.

        Of several that are `near` it is the one that has all its words.

        It is weighed, has the text's numbers and letters, and no other thing may be it as well; else "".
        """
        covered = {place: own for place, own in sorted(self._covered(text)) if self._value(place) not in without}
        there = [place for place, one in enumerate(self._things) if one.name in near]
        whole = [place for place in there if {*words_of(text).split()} <= {*words_of(self._name(place)).split()}]
        places = whole if len(there) > 1 else there or list(covered)
        if len(places) != 1 or not {*covered} <= {*places}:
            return ""
        one = self._things[places[0]]
        sure = near or (covered[places[0]] and _is_surely(words_of(text).split(), words_of(one.name).split()))
        return one.name if sure and one.value.startswith("material:") and _letters_fit(text, one) else ""

    def _covered(self, text: str) -> set[tuple[int, bool]]:
        """The things of which every word of a text begins another word of a name, or is initials; whether its own."""
        asked = words_of(text).split()
        found = {
            (self._of[entry], self._is_own[entry]) for entry, words in enumerate(self._words) if _covers(asked, words)
        }
        if len(asked) == 1:
            entries = self._initials.get("".join(sorted(asked[0])), ())
            found |= {(self._of[entry], self._is_own[entry]) for entry in entries}
        return found

    def _value(self, place: int) -> str:
        return self._things[place].value

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


def _covers(asked: Sequence[str], words: Sequence[str]) -> bool:
    """Whether each word of a text is another word of a name, begins one, or is made of the initials of some."""
    left = list(words)
    for one in sorted(asked, key=lambda word: (word not in words, -len(word))):
        begun = next((word for word in left if len(one) >= _LETTERS and word.startswith(one)), one)
        runs = (place for place in range(len(left)) if "".join(w[0] for w in left[place : place + len(one)]) == one)
        start = next(runs, None) if 1 < len(one) <= _LETTERS else None
        if one in left or begun in left:
            left.remove(one if one in left else begun)
        elif start is not None:
            del left[start : start + len(one)]
        else:
            return False
    return True


def _is_surely(asked: Sequence[str], words: Sequence[str]) -> bool:
    """Whether a text that is covered is written short: one that says oil or butter says its other words whole, too.

    Rose oil is no rosehip oil, and Euc EO is eucalyptus.
    """
    spelled_out = bool(nature_of(" ".join(asked))) and asked[-1] in words
    return not spelled_out or all(one in words for one in asked)


def likely_of(text: str, near: Sequence[str], formulas: Sequence[str]) -> str:
    """What a product likely holds: the only thing that is near, or the only formula whose words are all in its name.

    Of several that one which has the words of all of them; "" where none has.
    """
    said = set(words_of(text).split())
    if near:
        fits = len(near) == 1 and _letters_fit(text, Known("", near[0]))
        return near[0] if fits else ""
    inside = {one: words for one in formulas if (words := set(words_of(one).split())) and words <= said}
    most = set().union(*inside.values())
    return next((one for one, words in inside.items() if words == most), "")


def _letters_fit(text: str, one: Known) -> bool:
    """Whether what is a number or a single letter in a text is so in what a thing is called: no 20 is an 80."""
    called = {word for name in (one.name, *one.others) for word in words_of(name).split()}
    telling = {word for word in words_of(text).split() if len(word) == 1 or any(map(str.isdigit, word))}
    return telling <= called
