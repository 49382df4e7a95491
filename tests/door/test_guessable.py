"""Passphrases that are tried first are refused, and others are not.

The kinds are those of NIST SP 800-63B, revision 3, section 5.1.1.2 (from memory): repetitive or sequential characters,
and words of the context. The examples are our own.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.door.guessable import ADVICE, DATE, NAMES, REPEATED, ROW, WORD, guessable

WORDS = "kettle moth grammar gravel ladder pillow walnut drizzle copper anthem lantern ferry mustard zipper".split()
MAKERS = ("Hazel & Rye Balms", "Maud", "Firm pomade 50 g")


@pytest.mark.parametrize(
    ("passphrase", "reason"),
    [
        ("password", WORD),
        ("Password2026!", WORD),
        ("P@ssw0rd99", WORD),
        ("my passphrase", WORD),
        ("welcome-welcome", WORD),
        ("letmein!!", WORD),
        ("brimful1", NAMES),
        ("Brimfu1 2026", NAMES),
        ("hazel & rye balms", NAMES),
        ("HazelRye24", NAMES),
        ("maudmaud", NAMES),
        ("firm pomade 50 g", NAMES),
        ("12345678", ROW),
        ("qwertyuiop", ROW),
        ("asdfghjkl;", ROW),
        ("87654321ab", ROW),
        ("abcdefgh", ROW),
        ("1qaz2wsx", ROW),
        ("aaaaaaaa", REPEATED),
        ("        ", REPEATED),
        ("--------", REPEATED),
        ("ö" * 12, REPEATED),
        ("abababababab", REPEATED),
        ("jarjarjar", REPEATED),
        ("25112026", DATE),
        ("2026-11-25", DATE),
        ("11/25/2026", DATE),
        ("25 November 2026", DATE),
    ],
)
def test_what_is_tried_first_is_refused_with_its_reason(passphrase: str, reason: str) -> None:
    said = guessable(passphrase, MAKERS)
    assert reason in said
    assert said.endswith(ADVICE)
    assert passphrase == "password" or passphrase not in said  # nothing typed is shown again


@pytest.mark.parametrize(
    "passphrase",
    [
        "four words in a jar",
        "kettle moth grammar tin",
        "a password that nobody expects",
        "Maud keeps seven grey herons",
        "tr0ub4dor&3x",
        "83920174",
        "x7#Kq!2v",
        "¡mañana otoño río",
        "蜂蜜と古い時計の夜話",
        "hazelnuts roll downhill slowly",
    ],
)
def test_what_nobody_expects_is_taken(passphrase: str) -> None:
    assert guessable(passphrase, MAKERS) == ""


def test_a_name_counts_only_where_it_is_the_workshops() -> None:
    assert guessable("lakeside oils", ["Lakeside Oils"])
    assert not guessable("lakeside oils", ["Hazel & Rye"])
    assert not guessable("rye rye oil", ["Rye"])  # a word of three letters is in too many others


@given(st.text(max_size=200), st.lists(st.text(max_size=40), max_size=5))
def test_any_text_is_taken_or_refused_in_a_sentence(passphrase: str, names: list[str]) -> None:
    said = guessable(passphrase, names)
    assert said == "" or said.endswith(".")


@given(st.lists(st.sampled_from(WORDS), min_size=4, max_size=6, unique=True), st.sampled_from([" ", "-", ""]))
def test_four_words_beside_each_other_are_always_taken(words: list[str], between: str) -> None:
    assert guessable(between.join(words), MAKERS) == ""
