"""The passphrase, the tokens and the code."""

from __future__ import annotations

import base64
import hashlib
import re
import unicodedata
from urllib.parse import unquote

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.door import secrets
from webapp.door.guessable import guessable

LONG = " ".join(f"{first}{last}" for first in "kettle moth pillow drum".split() for last in "in up off by at".split())


def test_a_passphrase_is_kept_as_argon2id_with_its_parameters() -> None:
    """RFC 9106, section 4, second recommended option: t=3, p=4, m=64 MiB, a salt of 128 bits, a tag of 256."""
    kept = secrets.hashed_passphrase("four words in a jar")
    found = re.fullmatch(r"\$argon2id\$v=19\$m=65536,t=3,p=4\$([\w+/]+)\$([\w+/]+)", kept)
    assert found is not None
    assert [len(base64.b64decode(part + "==")) for part in found.groups()] == [16, 32]
    assert secrets.is_passphrase(kept, "four words in a jar")
    assert not secrets.is_passphrase(kept, "four words in a jaR")
    assert not secrets.is_passphrase(kept, "four words in a jar ")
    assert secrets.hashed_passphrase("four words in a jar") != kept


@pytest.mark.parametrize("kept", ["", "none", "$argon2id$v=19$m=65536,t=3,p=4$AAAA$AAAA", "plain"])
def test_what_was_never_a_hash_lets_nobody_in(kept: str) -> None:
    assert not secrets.is_passphrase(kept, kept)


def test_a_letter_and_its_accent_are_one_letter_however_they_are_typed() -> None:
    composed, apart = "Töpfe und Tiegel", unicodedata.normalize("NFD", "Töpfe und Tiegel")
    assert composed != apart
    assert secrets.is_passphrase(secrets.hashed_passphrase(composed), apart)


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("1234567", "at least 8"),
        ("40718263", ""),
        ("öäüößéèê", ""),
        ("o\u0308" * 7, "at least 8"),  # seven letters, as fourteen signs
        (LONG[:128], ""),
        (LONG[:129], "at most 128"),
        ("tab\tinside it", "can't be seen"),
        ("#%&/()=?", ""),
        ("only small letters", ""),
        ("12345678", "tried first"),
        ("        ", "tried first"),
    ],
)
def test_only_the_length_counts(text: str, fault: str) -> None:
    said = secrets.read_passphrase(text)[1]
    assert fault in said
    assert bool(said) == bool(fault)


@given(st.text(st.characters(blacklist_categories=["Cs"]), max_size=300))
def test_any_text_is_read_or_refused_in_a_sentence(text: str) -> None:
    whole, fault = secrets.read_passphrase(text)
    assert unicodedata.is_normalized("NFC", whole)
    refused = not 8 <= len(whole) <= 128 or not whole.isprintable()
    assert bool(fault) == (refused or bool(guessable(whole)))


def test_tokens_are_256_bits_and_only_their_hash_is_like_no_other() -> None:
    many = {secrets.new_token() for _ in range(200)}
    assert len(many) == 200
    assert all(len(base64.urlsafe_b64decode(one + "=")) == 32 and secrets.is_token(one) for one in many)
    assert secrets.hashed_token("abc") == hashlib.sha256(b"abc").hexdigest()
    assert not any(secrets.is_token(one) for one in ("", "x" * 42, "x" * 44, "x" * 42 + "=", "é" * 43))


def test_the_code_is_an_image_that_the_pages_may_show() -> None:
    code = secrets.qr_code("http://192.0.2.2:8000/pair/" + "x" * 43)
    assert code.startswith("data:image/svg+xml;charset=utf-8,")
    assert "<svg" in unquote(code)
    assert "<script" not in unquote(code)
