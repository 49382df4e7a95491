"""Passphrases that are tried before all others: one frequent word with digits around it, keys in a row, one sign only.

The words are from memory (common practice, no source): what people choose first, and what stands on the screen. A list
of thousands is not shipped; length, and slowing whoever guesses, stand against the rest.
"""

from __future__ import annotations

FIRST_WORDS = frozenset(
    "abc access admin administrator angel baby baseball basketball batch brimful butter changeme cheese "
    "chocolate computer cookie default demo dragon family flower football freedom friend friends guest hallo "
    "hello hottie iloveyou jar jars killer kitchen letmein login love lovely loveyou manager master monkey "
    "nothing orange pass passphrase passw0rd passwd password passwort pepper pomade princess purple "
    "qwerty qwertz root secret security shadow sommer spring summer sunshine superuser system tablet test "
    "tester testing user welcome whatever willkommen winter workshop".split()
)
#: rows of keys, digits and letters in their order; a run may go either way and round the end
ROWS = ("1234567890", "qwertyuiop", "qwertzuiop", "azertyuiop", "asdfghjkl", "zxcvbnm", "yxcvbnm", "qazwsxedcrfvtgb")
ALPHABET = "abcdefghijklmnopqrstuvwxyz"
#: what is written for a letter
STANDS_FOR = str.maketrans("@4301!5$7", "aaeoiisst")
#: what is put behind a word
BEHIND = "0123456789!?.*#"
FEW_SIGNS = 2


def is_guessed_first(passphrase: str) -> bool:
    """Whether a passphrase is among the first that are tried."""
    bare = passphrase.casefold().strip()
    return len(set(bare)) <= FEW_SIGNS or _in_a_row(bare) or _one_frequent_word(bare)


def _in_a_row(bare: str) -> bool:
    runs = [row * (len(bare) // len(row) + 2) for row in (*ROWS, ALPHABET)]
    return any(bare in run or bare in run[::-1] for run in runs)


def _one_frequent_word(bare: str) -> bool:
    """A word, once or again and again, with nothing but digits and signs before and behind it."""
    read = (bare, bare.translate(STANDS_FOR), bare.rstrip(BEHIND).translate(STANDS_FOR))
    return any(_is_again_and_again(_letters_within(one)) for one in read)


def _letters_within(text: str) -> str:
    """Without what is no letter at either end."""
    while text and not text[0].isalpha():
        text = text[1:]
    while text and not text[-1].isalpha():
        text = text[:-1]
    return text


def _is_again_and_again(text: str) -> bool:
    return any(text == word * (len(text) // len(word)) for word in FIRST_WORDS if text and len(text) % len(word) == 0)
