"""Passphrases that are tried first are refused, and others are not.

The kinds are those of NIST SP 800-63B, revision 3, section 5.1.1.2 (from memory): repetitive or sequential characters,
and words of the context. The examples are our own. What is frequent is a list from outside: that of zxcvbn, most
frequent first; ASVS 5.0, 6.2.4 wants the first 3,000 that are long enough refused.
"""

from __future__ import annotations

import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st
from zxcvbn.frequency_lists import FREQUENCY_LISTS

from webapp.door.guessable import (
    ADVICE,
    DATE,
    FREQUENT,
    LEAST_GUESSES,
    NAMES,
    ONE_WORD,
    REPEATED,
    ROW,
    WORD,
    guessable,
)
from webapp.door.guessing import LONGEST_IN_ALL
from webapp.door.secrets import LEAST, read_passphrase

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
        ("sunshine", FREQUENT),
        ("sunshine1", FREQUENT),
        ("Sunsh1ne!", FREQUENT),
        ("enihsnus", FREQUENT),
        ("trustno1", FREQUENT),
        ("grammatical", ONE_WORD),
        ("maudie12", NAMES),
        ("kettlekettlekettle", REPEATED),
        ("kettle " * 6, REPEATED),
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
        "40718263",
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


LONG_ENOUGH = [one for one in FREQUENCY_LISTS["passwords"] if len(one) >= LEAST][:3000]


def taken(passwords: list[str]) -> list[str]:
    return [one for one in passwords if not read_passphrase(one)[1]]


def test_frequent_passwords_are_refused() -> None:
    """Some that stand high in every such list that is published (from memory), and a tenth of the 3,000."""
    assert len(LONG_ENOUGH) == 3000
    assert set("baseball iloveyou starwars superman princess computer internet".split()) <= set(LONG_ENOUGH)
    assert taken(LONG_ENOUGH[::10]) == []


@pytest.mark.long
def test_the_3000_most_frequent_passwords_are_refused_however_they_are_written() -> None:
    assert taken(LONG_ENOUGH) == []
    assert taken([one.upper() for one in LONG_ENOUGH[::3]]) == []
    assert taken([one.capitalize() for one in LONG_ENOUGH[::3]]) == []


def test_the_library_is_asked_only_where_a_passphrase_is_set() -> None:
    """Its lists take their time: a start to the first page does without them."""
    asked = "import sys, webapp.cli, webapp.app, webapp.door.secrets; print('zxcvbn' in sys.modules)"
    told = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "False"


def test_what_takes_fewer_guesses_than_are_made_in_a_year_is_refused() -> None:
    """At the door all together are heard once a minute after 30 tries: 60 x 24 x 366 = 527,040 in a year."""
    assert LEAST_GUESSES > 366 * 86_400 // LONGEST_IN_ALL == 527_040
