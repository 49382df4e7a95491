"""The passphrase (Argon2id, RFC 9106), tokens of 256 random bits of which only the hash is kept, and the QR code."""

from __future__ import annotations

import hashlib
import re
import secrets
import threading
import unicodedata
from collections.abc import Iterable
from typing import Any

from webapp.door.guessable import guessable

LEAST, SUGGESTED, MOST = 8, 15, 128
LINK_MINUTES = 10
_TOKEN = re.compile(r"[A-Za-z0-9_-]{43}")
# One at a time: each takes 64 MiB for a moment, and whoever sends many tries at once must not take it many times.
_RECKONING = threading.Lock()


def read_passphrase(text: str, names: Iterable[str] = ()) -> tuple[str, str]:
    """A passphrase in the one form that is compared (NFC), and what is wrong with it in a sentence, or "".

    `names` are those of the workshop, by which it must not be guessed.
    """
    whole = unicodedata.normalize("NFC", text)
    if len(whole) < LEAST:
        return (
            whole,
            f"Take at least {LEAST} characters; {SUGGESTED} or more are better: four words that nobody expects.",
        )
    if len(whole) > MOST:
        return whole, f"Take at most {MOST} characters."
    if not all(sign.isprintable() for sign in whole):
        return whole, "Leave out what can't be seen or typed: control characters."
    return whole, guessable(whole, names)


def _hasher() -> Any:
    from argon2 import PasswordHasher, Type  # noqa: PLC0415 - a start to the first page does without it

    # The second recommended option of RFC 9106, section 4, for where memory is short: 64 MiB, three passes, four lanes.
    return PasswordHasher(time_cost=3, memory_cost=65_536, parallelism=4, hash_len=32, salt_len=16, type=Type.ID)


def hashed_passphrase(passphrase: str) -> str:
    """What is kept of a passphrase: Argon2id with its parameters and its own salt, as text."""
    with _RECKONING:
        return str(_hasher().hash(unicodedata.normalize("NFC", passphrase)))


def is_passphrase(kept: str, typed: str) -> bool:
    """Whether what was typed is the passphrase that is kept."""
    from argon2.exceptions import Argon2Error, InvalidHashError  # noqa: PLC0415 - as above

    if len(typed) > MOST * 4:
        return False
    with _RECKONING:
        try:
            return bool(_hasher().verify(kept, unicodedata.normalize("NFC", typed)))
        except (Argon2Error, InvalidHashError):
            return False


def new_token() -> str:
    """256 random bits as text: of a cookie, or of a link."""
    return secrets.token_urlsafe(32)


def is_token(text: str) -> bool:
    """Whether a text can be a token of ours."""
    return _TOKEN.fullmatch(text) is not None


def hashed_token(token: str) -> str:
    """What is kept of a token. It is random enough that its SHA-256 can't be turned back."""
    return hashlib.sha256(token.encode()).hexdigest()


def qr_code(text: str) -> str:
    """A text as a QR code (ISO/IEC 18004), an SVG in a data: address for an image."""
    import segno  # noqa: PLC0415 - only where a link was made

    return str(segno.make(text, error="m").svg_data_uri(scale=5, border=4, light="#fff", dark="#000"))
