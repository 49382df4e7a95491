"""Slips of the fingers beside the table that they are defined by, filled in cell by cell."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests import examples
from webapp.costing.slips import MOST_LOOKED_AT, Likely, slips_in

LETTERS = st.text("abc", max_size=8)


def table(asked: str, word: str) -> int:
    """The least of the last row: a part of `word` may begin and end anywhere (Damerau's four slips)."""
    rows = [[0] * (len(word) + 1)]
    for row, letter in enumerate(asked, 1):
        here = [row]
        for column, other in enumerate(word, 1):
            best = min(rows[-1][column] + 1, here[-1] + 1, rows[-1][column - 1] + (letter != other))
            if row > 1 and column > 1 and (letter, asked[row - 2]) == (word[column - 2], other):
                best = min(best, rows[-2][column - 2] + 1)
            here.append(best)
        rows.append(here)
    return min(rows[-1])


@pytest.mark.parametrize(
    ("asked", "word", "slips"),
    [
        ("butter", "sheabutter", 0),
        ("buter", "sheabutter", 1),  # a letter too few
        ("buttter", "sheabutter", 1),  # one too many
        ("botter", "sheabutter", 1),  # another one
        ("btuter", "sheabutter", 1),  # two that changed places
        ("kokum", "", 5),
        ("ca", "abc", 1),  # not 2 as where the whole word counts: "c" alone is a part of it
    ],
)
def test_by_hand(asked: str, word: str, slips: int) -> None:
    assert slips_in(asked, word, 9) == slips == table(asked, word)


@settings(max_examples=examples.of(600), deadline=None)
@given(st.text("abc", min_size=1, max_size=8), LETTERS, st.integers(0, 4))
def test_as_the_table_says(asked: str, word: str, most: int) -> None:
    assert slips_in(asked, word, most) == min(table(asked, word), most + 1)


@settings(max_examples=examples.of(300), deadline=None)
@given(st.text("abcdefg", min_size=3, max_size=14), st.lists(st.text("abcdefg", max_size=14), max_size=12),
       st.integers(0, 3))  # fmt: skip
def test_no_word_that_is_near_is_left_out(asked: str, words: list[str], most: int) -> None:
    """Those that are found have all but a letter and three pairs a slip; the others are further away than `most`."""
    pairs = {asked[place : place + 2] for place in range(len(asked) - 1)}
    found = list(Likely(words).near(asked, most))
    spoiled = [(len(set(asked) - set(word)), sum(one not in word for one in pairs)) for word in words]
    assert found == [n for n, (ones, twos) in enumerate(spoiled) if ones <= most and twos <= 3 * most]
    assert all(table(asked, word) > most for n, word in enumerate(words) if n not in found)


def test_of_very_many_that_are_alike_those_with_fewer_slips_are_looked_at() -> None:
    numbered = [f"jar number {number:03}" for number in range(1000)]
    found = [numbered[place] for place in Likely(numbered).near("jar nubmer 123", 3)]
    assert len(found) <= MOST_LOOKED_AT
    assert "jar number 123" in found  # one slip: two letters changed places
    same = ["jar number"] * 1000
    assert list(Likely(same).near("jar number", 2)) == list(range(MOST_LOOKED_AT))


@settings(max_examples=examples.of(100), deadline=None)
@given(st.integers(0, 499), st.integers(0, 13), st.sampled_from("drist"), st.sampled_from("bkwxz"))
def test_of_very_many_alike_one_slip_never_hides_the_name_that_was_meant(
    number: int, place: int, kind: str, letter: str
) -> None:
    """A letter too few, another, one too many, or two that changed places: the number says which name it is."""
    numbered = [f"fragranceoil{one:03}" for one in range(500)]
    word = numbered[number]
    place = min(place, 10)
    asked = {
        "d": word[:place] + word[place + 1 :],
        "r": word[:place] + letter + word[place + 1 :],
        "i": word[:place] + letter + word[place:],
    }.get(kind, word[:place] + word[place + 1] + word[place] + word[place + 2 :])
    found = list(Likely(numbered).near(asked, 3))
    assert number in found
    assert len(found) == len(set(found)) <= MOST_LOOKED_AT


def test_of_very_many_alike_those_that_share_most_come_first() -> None:
    """Of "abcd" first what has all its pairs (ab, bc, cd), then what has all but one, then all but two."""
    words = ["xabx"] * 60 + ["abcx"] * 60 + ["abcd"] * 30
    assert list(Likely(words).near("abcd", 2)) == [*range(120, 150), *range(60, 120), *range(10)]
