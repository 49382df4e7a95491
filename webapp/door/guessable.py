"""What somebody who guesses tries first, by patterns: a list of passwords would be long and never whole.

NIST SP 800-63B asks to refuse what repeats, what goes in a row, and words of the place itself (its own name, that of
the service, and what is made of them). Whatever of these is in a passphrase counts for nothing: what is left has to be
long enough by itself. So "password" among other words is no fault, and "Password2026!" is one.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from contextlib import suppress
from datetime import datetime
from itertools import pairwise

#: how many characters have to be left beside what anybody tries, and how many different ones there are at least
LEAST_LEFT, LEAST_DIFFERENT = 6, 3
#: the shortest word of a name, and the shortest row, that count for nothing
SHORTEST = 4
NAMES = "a name of this workshop, of its people, of what it makes, or of this program"
WORD = "a word that is taken everywhere, such as password or welcome"
ROW = "letters or digits in a row, as they follow in the alphabet or on the keys"
REPEATED = "the same again and again"
DATE = "a date"
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
_AGAIN = re.compile(r"(.{1,4}?)\1{2,}")
_YEAR = re.compile(r"(?<![0-9])(?:19|20)[0-9]{2}(?![0-9])")
_DIGITS = re.compile(r"(?<![0-9])(?:[0-9]{6}|[0-9]{8})(?![0-9])")
_DAYS = {8: ("%Y%m%d", "%d%m%Y", "%m%d%Y"), 6: ("%d%m%y", "%m%d%y", "%y%m%d")}
_CENTURIES = range(1900, 2100)
# Signs that stand for letters, so that "P@ssw0rd" is that word; i and l are one, since 1 stands for both.
_SIGNS = str.maketrans("0134578@$!l", "oieastbasii")
Covered = Iterator[tuple[str, int, int]]


def guessable(passphrase: str, names: Iterable[str] = ()) -> str:
    """Why a passphrase is among the first that are tried, in a sentence that says what to do; "" where it isn't.

    `names` are those of the workshop.
    """
    if len(set(passphrase)) < LEAST_DIFFERENT:
        return _said(REPEATED)
    signs = "".join(sign for sign in passphrase.casefold() if sign.isalnum() or sign in "@$!")
    found = [*_words(signs, NAMES, _parts(names)), *_words(signs, WORD, _WORDS), *_words(signs, DATE, _DATES)]
    found += [*_rows(signs), *_repeats(signs), *_days(signs)]
    covered = {at for _, begin, end in found for at in range(begin, end)}
    if not found or len(signs) - len(covered) >= LEAST_LEFT:
        return ""
    return _said(max(found, key=lambda one: one[2] - one[1])[0])


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
