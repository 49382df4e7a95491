"""How many slips of the fingers lie between two words, and which of many words are near enough to be looked at."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import islice, pairwise

#: how many words are compared letter by letter with one name
MOST_LOOKED_AT = 100


def slips_in(asked: str, word: str, most: int) -> int:
    """How many slips of the fingers `asked` is away from some part of `word`; one more than `most` where it is more.

    A slip is a letter too many, too few, another one, or two that changed places (the four of Damerau, 1964; known
    as optimal string alignment). A column of the table is kept in the bits of two numbers, a row a bit, as in
    Hyyrö, "A bit-vector algorithm for computing Levenshtein and Damerau edit distances", 2003 (from memory).
    """
    if asked in word:
        return 0
    places: dict[str, int] = {}
    for row, letter in enumerate(asked):
        places[letter] = places.get(letter, 0) | 1 << row
    every, last = (1 << len(asked)) - 1, 1 << len(asked) - 1
    more, fewer, diagonal, before = every, 0, 0, 0
    here = best = len(asked)
    for letter in word:
        same = places.get(letter, 0)
        changed = ((~diagonal & same) << 1) & before
        diagonal = ((((same & more) + more) ^ more) | same | fewer | changed) & every
        up, down = fewer | (~(diagonal | more) & every), diagonal & more
        here += bool(up & last) - bool(down & last)
        best = min(best, here)
        up <<= 1
        more, fewer = ((down << 1) | ~(diagonal | up)) & every, up & diagonal & every
        before = same
    return min(best, most + 1)


class Likely:
    """Words of which those that share most letters with another are found without looking at each.

    For each letter and each pair of letters there is a number with a bit for each word that has it; the bits are added
    up for all words at once.
    """

    def __init__(self, words: Sequence[str]) -> None:
        self._every = (1 << len(words)) - 1
        self._with: dict[str, int] = {}
        for place, word in enumerate(words):
            for part in (*set(word), *_pairs(word)):
                self._with[part] = self._with.get(part, 0) | 1 << place

    def near(self, asked: str, most: int) -> Iterator[int]:
        """The places of the words that may be at most so many slips away.

        A slip spoils one letter at most and three pairs (two letters that changed places; the others fewer). Where
        that leaves very many, as of numbered names, those come first that share most pairs with it, and of these those
        that share most letters, so that the likest is among the ones that are looked at.
        """
        letters, pairs = set(asked), _pairs(asked)
        in_letters, in_pairs = (_counted([self._with.get(one, 0) for one in parts]) for parts in (letters, pairs))
        found = self._with_at_least(len(letters) - most, in_letters)
        found &= self._with_at_least(len(pairs) - 3 * most, in_pairs)
        if found.bit_count() <= MOST_LOOKED_AT:
            yield from _places(found)
            return
        left = MOST_LOOKED_AT
        for spoiled in range(3 * most + 1):
            alike = found & self._with_at_least(len(pairs) - spoiled, in_pairs)
            for missing in range(most + 1):
                here = alike & self._with_at_least(len(letters) - missing, in_letters)
                yield from islice(_places(here), left)
                left = max(0, left - here.bit_count())
                alike, found = alike & ~here, found & ~here

    def _with_at_least(self, least: int, digits: Sequence[int]) -> int:
        """The words that have at least so many of the parts that were counted."""
        if least <= 0:
            return self._every
        if least >> len(digits):
            return 0
        above, equal = 0, self._every
        for place in reversed(range(len(digits))):
            if least >> place & 1:
                equal &= digits[place]
            else:
                above |= equal & digits[place]
                equal &= ~digits[place]
        return above | equal


def _counted(bits: Sequence[int]) -> list[int]:
    """How many of the parts each word has: counted in binary, a digit of all words a number."""
    digits: list[int] = []
    for carry in bits:
        for place, digit in enumerate(digits):
            digits[place], carry = digit ^ carry, digit & carry  # noqa: PLW2901 - what is carried on
        if carry:
            digits.append(carry)
    return digits


def _places(found: int) -> Iterator[int]:
    """The places of the bits of a number, from the first on."""
    while found:
        lowest = found & -found
        yield lowest.bit_length() - 1
        found ^= lowest


def _pairs(word: str) -> frozenset[str]:
    """Every two letters that stand side by side."""
    return frozenset(map("".join, pairwise(word)))
