"""What somebody who guesses tries first: by patterns, and by the lists of a library (ASVS 5.0, 6.2.4).

NIST SP 800-63B asks to refuse what repeats, what goes in a row, and words of the place itself (its own name, that of
the service, and what is made of them). Whatever of these is in a passphrase counts for nothing: what is left has to be
long enough by itself. So "password" among other words is no fault, and "Password2026!" is one.

`zxcvbn` is asked for the rest: it ships 30,000 frequent passwords, words and names, knows them turned round, with
signs for letters and with a digit behind them, and counts how many guesses one takes. It does not stand in the
patterns' place: it knows no year after 2019, no keyboard but the American ones, and a name of the workshop only as it
is written.
"""

from __future__ import annotations

import re
import threading
from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress
from datetime import datetime
from itertools import pairwise
from typing import Any

#: how many characters have to be left beside what anybody tries, and how many different ones there are at least
LEAST_LEFT, LEAST_DIFFERENT = 6, 3
#: the shortest word of a name, and the shortest row, that count for nothing
SHORTEST = 4
#: so many guesses are too few: a door that all together may try once a minute has been tried half as often in a year
LEAST_GUESSES = 1_000_000
#: the longest that the library is asked about: no password of its list is longer, and it tries every way in which signs
#: may stand for letters, which takes seconds where there are many
LOOKED_AT = 20
NAMES = "a name of this workshop, of its people, of what it makes, or of this program"
WORD = "a word that is taken everywhere, such as password or welcome"
ROW = "letters or digits in a row, as they follow in the alphabet or on the keys"
REPEATED = "the same again and again"
DATE = "a date"
FREQUENT = "a password that very many people have"
ONE_WORD = "one word, or the name of a person"
ADVICE = "which is tried first. Take four words that nobody expects beside each other."
_OWN = ("brimful",)
_WORDS = (
    *("password", "passphrase", "passwort", "kennwort", "motdepasse", "contrasena", "passcode", "passw"),
    *("welcome", "letmein", "opensesame", "iloveyou", "changeme", "administrator", "admin", "master", "secret"),
    *("login", "signin", "default", "guest", "user", "test", "hello", "workshop", "tablet", "bench", "device"),
)
_DATES = (
    *("january", "february", "march", "april", "june", "july", "august", "september", "october", "november"),
    *("december", "monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"),
)
_ROWS = ("abcdefghijklmnopqrstuvwxyz", "01234567890", "qwertyuiop", "qwertzuiop", "azertyuiop", "asdfghjkl",
         "qsdfghjklm", "zxcvbnm", "yxcvbnm", "wxcvbn", "1qaz2wsx3edc4rfv", "qazwsxedcrfv")  # fmt: skip
_FOLLOWS = frozenset(pair for row in _ROWS for way in (row, row[::-1]) for pair in pairwise(way))
_AGAIN = re.compile(r"(.{1,12}?)\1{2,}")
_YEAR = re.compile(r"(?<![0-9])(?:19|20)[0-9]{2}(?![0-9])")
_DIGITS = re.compile(r"(?<![0-9])(?:[0-9]{6}|[0-9]{8})(?![0-9])")
_DAYS = {8: ("%Y%m%d", "%d%m%Y", "%m%d%Y"), 6: ("%d%m%y", "%m%d%y", "%y%m%d")}
_CENTURIES = range(1900, 2100)
# Signs that stand for letters, so that "P@ssw0rd" is that word; i and l are one, since 1 stands for both.
_SIGNS = str.maketrans("0134578@$!l", "oieastbasii")
#: how the library calls what it found, where it is not of a list
_KINDS = {"spatial": ROW, "sequence": ROW, "repeat": REPEATED, "date": DATE, "regex": DATE}
_LISTS = {"passwords": FREQUENT, "user_inputs": NAMES}
# One at a time: the library keeps the names that it is given where all threads see them.
_ASKING = threading.Lock()
Covered = Iterator[tuple[str, int, int]]


def guessable(passphrase: str, names: Iterable[str] = ()) -> str:
    """Why a passphrase is among the first that are tried, in a sentence that says what to do; "" where it isn't.

    `names` are those of the workshop.
    """
    names = tuple(names)
    if len(set(passphrase)) < LEAST_DIFFERENT:
        return _said(REPEATED)
    signs = "".join(sign for sign in passphrase.casefold() if sign.isalnum() or sign in "@$!")
    found = [*_words(signs, NAMES, _parts(names)), *_words(signs, WORD, _WORDS), *_words(signs, DATE, _DATES)]
    found += [*_rows(signs), *_repeats(signs), *_days(signs)]
    covered = {at for _, begin, end in found for at in range(begin, end)}
    if found and len(signs) - len(covered) < LEAST_LEFT:
        return _said(max(found, key=lambda one: one[2] - one[1])[0])
    return _soon_guessed(passphrase, names)


def _soon_guessed(passphrase: str, names: Sequence[str]) -> str:
    """What the library has against it, in our own words, by the longest part that it knows; "" where it has nothing."""
    if len(passphrase) > LOOKED_AT:
        return ""
    from zxcvbn import zxcvbn  # noqa: PLC0415 - its lists are read only where a passphrase is set

    with _ASKING:
        told = zxcvbn(passphrase, user_inputs=list(_parts(names)))
    if told["guesses"] >= LEAST_GUESSES:
        return ""
    known = [part for part in told["sequence"] if part["pattern"] != "bruteforce"]
    longest: dict[str, Any] = max(known, key=lambda part: len(part["token"]), default={})
    of_list = _LISTS.get(longest.get("dictionary_name", ""), ONE_WORD)
    return _said(_KINDS.get(longest.get("pattern", ""), of_list))


def _said(reason: str) -> str:
    return f"This is hardly more than {reason}, {ADVICE}"


def _parts(names: Iterable[str]) -> Iterator[str]:
    """Each name as a whole and by its words, without what is no letter or digit."""
    for name in (*_OWN, *names):
        words = re.findall(r"[^\W_]+", name.casefold())
        yield from ("".join(words), *words)


def _words(signs: str, reason: str, words: Iterable[str]) -> Covered:
    plain = signs.translate(_SIGNS)
    for word in {word.translate(_SIGNS) for word in words if len(word) >= SHORTEST}:
        for found in re.finditer(re.escape(word), plain):
            yield reason, *found.span()


def _rows(signs: str) -> Covered:
    begin = 0
    for at in range(1, len(signs) + 1):
        if at == len(signs) or (signs[at - 1], signs[at]) not in _FOLLOWS:
            if at - begin >= SHORTEST:
                yield ROW, begin, at
            begin = at


def _repeats(signs: str) -> Covered:
    for found in _AGAIN.finditer(signs):
        yield REPEATED, *found.span()


def _days(signs: str) -> Covered:
    for found in _DIGITS.finditer(signs):
        for way in _DAYS[len(found[0])]:
            with suppress(ValueError):
                if datetime.strptime(found[0], way).year in _CENTURIES:  # noqa: DTZ007 - only whether it is a day
                    yield DATE, *found.span()
    for found in _YEAR.finditer(signs):
        yield DATE, *found.span()
