"""The command's word for the passphrase: asked twice at a terminal, or one line from a pipe."""

from __future__ import annotations

import argparse
import getpass
import importlib
import sys
from collections.abc import Callable
from contextlib import ExitStack
from datetime import UTC, date, datetime
from typing import Any

from webapp.door.hosts import reached_at
from webapp.errors import CannotStart, Problem
from webapp.serving import hold_data
from webapp.settings import Settings
from webapp.store.checking import is_up_to_date
from webapp.store.devices import names_in
from webapp.store.opening import FILE, open_store

DONE = 0
OPEN = "Others reach Brimful when it is started with --host 0.0.0.0, or with this computer's address in your network."
NOT_YET = (
    "{host} is an address that others reach, and there is no passphrase yet. Set one first:\n"
    "  brimful passphrase{where}\nThen start it again. To serve this computer only, leave --host out."
)


def add_word(words: Any, shared: argparse.ArgumentParser) -> None:
    """What may be typed about the passphrase."""
    setting = words.add_parser("passphrase", parents=[shared], help="set the passphrase of the workshop's devices")
    # There only where it is typed: a flag that is false would mean the example's folder too.
    example = "that of the invented workshop, in a folder of its own"
    setting.add_argument("--example", action="store_true", default=argparse.SUPPRESS, help=example)
    setting.add_argument("--sign-out", action="store_true", help="sign out every device too")


def do(settings: Settings, options: argparse.Namespace, say: Callable[[str], None]) -> int:
    """Set the passphrase. It holds at once, for a server that is running with this data too."""
    secrets = importlib.import_module("webapp.door.secrets")
    typed = asked()
    if fault := secrets.read_passphrase(typed)[1]:
        raise CannotStart(fault)  # before any data is made
    try:
        with ExitStack() as stack:
            hold_unless_served(settings, stack)
            store = open_store(settings)
            stack.callback(store.close)
            names = names_in(store.snapshot(date.today()).book)  # noqa: DTZ011 - the maker's own day is meant
            whole, fault = secrets.read_passphrase(typed, names)
            if fault:
                raise CannotStart(fault)
            hashed = secrets.hashed_passphrase(whole)
            store.devices.set_passphrase(hashed, datetime.now(UTC), all_out=options.sign_out)
    except Problem as problem:
        raise CannotStart(problem.sentence) from None
    say(f"The passphrase is set. {OPEN}" + (" Every device is signed out." if options.sign_out else ""))
    return DONE


def asked() -> str:
    """What is typed twice without being shown, or the one line that a pipe holds."""
    if not sys.stdin.isatty():
        return sys.stdin.readline().rstrip("\r\n")
    first = getpass.getpass("New passphrase (it isn't shown): ")
    if first != getpass.getpass("The same once more: "):
        raise CannotStart("The second differs from the first, so nothing was changed. Type both once more.")
    return first


def hold_unless_served(settings: Settings, stack: ExitStack) -> None:
    """Hold the data; where a server holds it, go on beside it: one row is written. Never where it would be migrated."""
    try:
        hold_data(settings, stack)
    except CannotStart:
        if not is_up_to_date(settings.data / FILE):
            raise


def refuse_unmade(settings: Settings) -> None:
    """The same before anything is made: where there is no data yet there is no passphrase either."""
    if not settings.is_loopback and settings.database is None and not (settings.data / FILE).exists():
        raise _without_passphrase(settings)


def refuse_without(settings: Settings, store: Any) -> None:
    """CannotStart where others would be served and nobody could tell who they are."""
    if not settings.is_loopback and store.devices.door() is None:
        raise _without_passphrase(settings)


def _without_passphrase(settings: Settings) -> CannotStart:
    return CannotStart(NOT_YET.format(host=settings.host, where=f" --data {settings.data}"))


def open_words(settings: Settings, address: str) -> str:
    """What is said at the start to whoever opens it to the network."""
    scheme, port = address.partition("://")[0], address.rstrip("/").rpartition(":")[2]
    names = (f"[{name}]" if ":" in name else name for name in reached_at(settings))
    there = " or ".join(f"{scheme}://{name}:{port}/" for name in names) or "this computer's address"
    listened = "" if settings.certificate else " By plain http, what is sent can be listened to there."
    return f"It is open to your network at {there}. Devices are let in at {address}devices.{listened}"
