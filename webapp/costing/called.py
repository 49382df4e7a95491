"""Things by what people call them: what a field that is typed into offers, and which thing was meant.

A name counts before an alias and an INCI name; case, accents, spaces and hyphens make no difference. What is only
similar is offered and never taken; the beginning or a word of a name is taken where it is asked for in part and only
one thing has it.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from webapp.costing.limits import name_key
from webapp.costing.slips import Likely, slips_in

OFFERED = 3
#: how many names are offered that begin with what was typed, or hold it as a word
BEGUN = 6
#: from how many letters on one, two or three slips are still thought to be the same word
LENGTHS = (4, 9, 13)
#: up to how many letters a text has to be a slip of a whole word, as most words hold something that is like it
SHORT = 4


#: words of a name that say a nature, the telling ones first
NATURES = {
    "essential oil": "essential oil",
    "fragrance": "fragrance",
    "parfum": "fragrance",
    "vitamin e": "antioxidant",
    "tocopherol": "antioxidant",
    "hydrosol": "water",
    "water": "water",
    "wax": "wax",
    "butter": "butter",
    "oil": "oil",
}


def nature_of(name: str) -> str:
    """The nature that a new ingredient's own name says, so that its cautions stand there; "" where it says none."""
    return next((nature for word, nature in NATURES.items() if re.search(rf"{word}\b", name.casefold())), "")


@dataclass(frozen=True, slots=True)
class Known:
    """One thing that can be meant: what is sent for it, its name, what else it is called."""

    value: str
    name: str
    others: tuple[str, ...] = ()
    hidden: bool = False
    """Understood but not offered: it was put away."""


@dataclass(frozen=True, slots=True)
class Meant:
    """What a typed text means: one thing, or none and the names that it may have been."""

    value: str = ""
    several: bool = False
    near: tuple[str, ...] = ()
    partly: bool = False
    """Whether it was typed in part only, so that what was taken is to be shown."""


def known(things: Iterable[Any], kind: str = "") -> tuple[Known, ...]:
    """Things as they are called, by name; `kind` stands before their number."""
    mark = f"{kind}:" if kind else ""
    found = [Known(f"{mark}{one.id}", one.name, _others(one), one.retired is not None) for one in things]
    return tuple(sorted(found, key=lambda one: name_key(one.name)))


def _others(thing: Any) -> tuple[str, ...]:
    aliases = re.split(r"[,;/]", getattr(thing, "also_known_as", ""))
    return tuple(one.strip() for one in (getattr(thing, "inci", ""), *aliases) if one.strip())


def or_meant(names: Sequence[str]) -> str:
    """Did you mean …? Empty where nothing is like it."""
    return f" Did you mean {' or '.join(names)}?" if names else ""


@dataclass(frozen=True)
class Names:
    """The things that a field can mean."""

    all: tuple[Known, ...]

    @property
    def offered(self) -> tuple[Known, ...]:
        """Those that a field offers while it is typed into."""
        return tuple(one for one in self.all if not one.hidden)

    def name_of(self, value: str) -> str:
        """What the thing that is sent as `value` is called; KeyError where there is none."""
        return self._names[value]

    @cached_property
    def _names(self) -> Mapping[str, str]:
        return {one.value: one.name for one in self.all}

    def meant(self, text: str) -> Meant:
        """Which thing a text means, by its name first, then by what else it is called."""
        for key, books in ((name_key, self._strict), (_loosely, self._loose)):
            asked = key(text)
            for book in books if asked else ():
                found = book.get(asked, ())
                if len(found) == 1:
                    return Meant(found[0].value)
                if found:
                    return Meant(several=True, near=tuple(one.name for one in found[:OFFERED]))
        return Meant(near=self._near(text))

    def meant_alike(self, text: str) -> Meant:
        """As `meant`; where no name is that, the only one that differs in a plural s, or in the order of its words."""
        found = self.meant(text)
        alike = () if found.value or found.several else self._alike.get(written_alike(text), ())
        if not (alike or found.value or found.several):
            alike = self._in_any_order.get(words_in_any_order(text), ())
        if len(alike) > 1:
            return Meant(several=True, near=tuple(one.name for one in alike[:OFFERED]))
        return Meant(alike[0].value) if alike else found

    def meant_in_part(self, text: str) -> Meant:
        """As `meant`; where no name is that, the only thing of which the text begins a name or is a word of one.

        Where several have it all of them are offered, the first six by name, and none is taken.
        """
        found = self.meant(text)
        begun = () if found.value or found.several else self._begun(text)
        if len(begun) == 1:
            return Meant(begun[0].value, near=(begun[0].name,), partly=True)
        names = (*(one.name for one in begun), *(found.near if len(begun) < BEGUN else ()))
        return Meant(several=found.several, near=tuple(dict.fromkeys(names))[:BEGUN]) if begun else found

    def _begun(self, text: str) -> tuple[Known, ...]:
        asked = words_of(text)
        if len(_loosely(text)) < OFFERED:
            return ()
        return tuple(
            one for one in self.offered if any(_has(words_of(name), asked) for name in (one.name, *one.others))
        )

    @cached_property
    def _strict(self) -> tuple[Mapping[str, list[Known]], ...]:
        return self._by(name_key)

    @cached_property
    def _loose(self) -> tuple[Mapping[str, list[Known]], ...]:
        return self._by(_loosely)

    @cached_property
    def _alike(self) -> Mapping[str, list[Known]]:
        return self._by(written_alike)[0]

    @cached_property
    def _in_any_order(self) -> Mapping[str, list[Known]]:
        found = self._by(words_in_any_order)[0]
        return {key: those for key, those in found.items() if key}

    def _by(self, key: Callable[[str], str]) -> tuple[Mapping[str, list[Known]], ...]:
        names: dict[str, list[Known]] = {}
        others: dict[str, list[Known]] = {}
        for one in self.all:
            names.setdefault(key(one.name), []).append(one)
            for word in {key(other) for other in one.others}:
                others.setdefault(word, []).append(one)
        return names, others

    def _near(self, text: str) -> tuple[str, ...]:
        """Names that are like a text, the likest first: those that hold it, or hold something spelled almost so."""
        asked, parts = _loosely(text), words_of(text).split()
        if len(asked) < OFFERED:
            return ()
        most = sum(len(asked) >= length for length in LENGTHS)
        found = []
        for place in self._likely.near(asked, most):
            word, name = self._offered_words[place]
            slips = slips_in(asked, word, most)
            if slips <= most and (not slips or self._is_as_long(asked, parts, place, most)):
                found.append((slips, abs(len(word) - len(asked)), name))
        return tuple(dict.fromkeys(name for *_, name in sorted(found)))[:OFFERED]

    def _is_as_long(self, asked: str, parts: Sequence[str], place: int, most: int) -> bool:
        """Whether a short text is a slip of a whole word of a name: "shae" of Shea butter, "Shea" not of Shampoo.

        Several words are none of a name that has none of them: "Vit E" not of White wax, "Jar 7" of Jar 12.
        """
        if len(asked) > SHORT:
            return True
        words = words_of(self._spelled[place]).split()
        if len(parts) > 1 and not set(parts) & set(words):
            return slips_in(asked, self._offered_words[place][0], most) <= most >= abs(len("".join(words)) - len(asked))
        return any(abs(len(one) - len(asked)) <= most and slips_in(asked, one, most) <= most for one in words)

    @cached_property
    def _spelled(self) -> tuple[str, ...]:
        return tuple(word for one in self.offered for word in (one.name, *one.others))

    @cached_property
    def _offered_words(self) -> tuple[tuple[str, str], ...]:
        return tuple((_loosely(word), one.name) for one in self.offered for word in (one.name, *one.others))

    @cached_property
    def _likely(self) -> Likely:
        return Likely([word for word, _ in self._offered_words])


def _has(words: str, asked: str) -> bool:
    """Whether a name, as `_words_of` gives it, begins with what is asked or holds it as whole words."""
    return words.startswith(asked) or f" {asked} " in f"{words} "


def words_of(text: str) -> str:
    """A name's words without case, accents and marks, a space between each."""
    bare = unicodedata.normalize("NFKD", text.casefold())
    return " ".join(re.findall(r"[^\W_]+", "".join(one for one in bare if not unicodedata.combining(one))))


def _loosely(text: str) -> str:
    """A name without case, accents, spaces and marks, but for those between two digits: 1.5 oz is not 15 oz."""
    return re.sub(r" (?!(?<=[0-9] )[0-9])", "", words_of(text)).replace(" ", ".")


def written_alike(name: str) -> str:
    """What names have in common that differ in case, accents, spaces, marks and a plural s only."""
    return _loosely(" ".join(_singular(word) for word in words_of(name).split()))


def keys_alike(name: str) -> tuple[str, ...]:
    """By what a name is found among those that are alike: as it is written, and by its words in any order."""
    mixed = words_in_any_order(name)
    return (written_alike(name), *([f"~{mixed}"] if mixed else []))


def words_in_any_order(name: str) -> str:
    """What names of the same words have in common: Water, distilled and Distilled water. "" for a single word.

    Of several numbers each has its place, so names with those have nothing in common by their words alone.
    """
    words = [_singular(word) for word in words_of(name).split()]
    mixed = len(words) > 1 and sum(any(map(str.isdigit, word)) for word in words) < 2
    return " ".join(sorted(words)) if mixed else ""


def _singular(word: str) -> str:
    """A word without the s of its plural, which no short word and none in ss has."""
    return word[:-1] if len(word) > SHORT - 1 and word.endswith("s") and not word.endswith("ss") else word
