"""The command `brimful`: serve the program on this machine, show the example, check, back up and carry the data.

Exit codes: 0 done, 1 `check`, `backups` or `drill` found something wrong, 2 mistyped, 3 it cannot start.
"""

from __future__ import annotations

import argparse
import gc
import importlib
import logging
import os
import sys
from collections.abc import Sequence
from contextlib import ExitStack
from datetime import date
from functools import partial
from pathlib import Path

from pydantic import ValidationError

from webapp import VERSION
from webapp.app import make_app, opened_store
from webapp.backup_words import add_words
from webapp.door_words import add_word, open_words, refuse_unmade, refuse_without
from webapp.errors import CannotStart
from webapp.serving import address_of, beside_it, bind, check_certificate, hold_data, open_browser, run
from webapp.settings import Settings
from webapp.store.at_rest import NEW, SAME
from webapp.store.opening import Store
from webapp.store.refusing import rest_line
from webapp.upkeep import Upkeep

OK, FOUND_WRONG, CANNOT_START = 0, 1, 3
#: command -> where it is done, but for those of backups
WORDS_OF = {"move-to": "webapp.moving_words", "passphrase": "webapp.door_words"}
#: flags that are settings
FLAGS = ("host", "port", "data", "workers", "certificate", "key")


def main(arguments: Sequence[str] | None = None) -> int:
    """Do what the command line asks and return the exit code. What goes wrong is a sentence, no traceback."""
    logging.basicConfig(level=logging.WARNING, format="%(asctime)s %(levelname)s %(message)s")
    options = parser().parse_args(arguments)
    try:
        settings = read_settings(options)
        return done(settings, options)
    except CannotStart as reason:
        print(reason, file=sys.stderr)
        return CANNOT_START
    except KeyboardInterrupt:
        return OK


def done(settings: Settings, options: argparse.Namespace) -> int:
    """Do the word that was typed."""
    if options.command in (None, "serve"):
        return serve(settings, options)
    if options.command == "check":
        return check(settings, tables=options.tables, accept=options.accept)
    if options.command in ("export", "import"):
        return carry(settings, options)
    words = WORDS_OF.get(options.command, "webapp.backup_words")
    return int(importlib.import_module(words).do(settings, options, say))


def parser() -> argparse.ArgumentParser:
    """What may be typed. Options may stand before or after the word, so they are given no defaults here."""
    shared = argparse.ArgumentParser(add_help=False, argument_default=argparse.SUPPRESS)
    shared.add_argument("--data", metavar="DIR", help="folder of the data (else the usual place for your data)")
    serving = argparse.ArgumentParser(add_help=False, argument_default=argparse.SUPPRESS)
    serving.add_argument("--host", help="address to serve at (127.0.0.1)")
    serving.add_argument("--port", type=int, help="port to serve at (8000, or the next free one)")
    serving.add_argument("--workers", type=int, metavar="N", help="processes that serve a PostgreSQL (1)")
    serving.add_argument("--certificate", metavar="FILE", help="serve by TLS with this certificate (PEM)")
    serving.add_argument("--key", metavar="FILE", help="and its private key (PEM)")
    serving.add_argument("--no-browser", action="store_true", help="do not open the browser")
    serving.add_argument("--example", action="store_true", help="show an invented workshop, in a folder of its own")
    serving.add_argument("--fresh", action="store_true", help="with --example: start it anew")
    serving.add_argument("--anew", action="store_true", help="begin anew where the data is missing; backups stay")
    whole = argparse.ArgumentParser(
        prog="brimful",
        description="What a jar of handmade hair product costs, and what to charge for it.",
        parents=[shared, serving],
    )
    whole.add_argument("--version", action="version", version=f"brimful {VERSION}")
    words = whole.add_subparsers(
        dest="command",
        metavar="serve | check | backup | backups | restore | drill | export | import | move-to | passphrase",
    )
    words.add_parser("serve", parents=[shared, serving], help="serve on this machine (the default)")
    checking = words.add_parser("check", parents=[shared], help="is the data whole, and where is it?")
    checking.add_argument("--tables", action="store_true", help="name every table and its rows")
    checking.add_argument("--accept", action="store_true", help="a change of the file from outside was yours")
    out = words.add_parser("export", parents=[shared], help="write everything to a file")
    out.add_argument("file", metavar="FILE", help="ending with .json, .xlsx, or .zip (a CSV file for each sheet)")
    brought = words.add_parser("import", parents=[shared], help="take over such a file; it is shown first")
    brought.add_argument("file", metavar="FILE", help="a .json, .xlsx, .zip or .csv file")
    brought.add_argument("--yes", action="store_true", help="do not ask")
    moved = words.add_parser("move-to", parents=[shared], help="copy all data to a PostgreSQL, or from one to a folder")
    moved.add_argument("place", metavar="URL|FOLDER", help="an empty database (postgresql+psycopg://…) or folder")
    add_words(words, shared)
    add_word(words, shared)
    return whole


def read_settings(options: argparse.Namespace) -> Settings:
    """Flags over environment over what is usual. The example has a folder of its own unless told."""
    flags = {name: getattr(options, name) for name in FLAGS if hasattr(options, name)}
    try:
        settings = Settings(**flags)
    except ValidationError as error:
        names = ", ".join(sorted({str(fault["loc"][0]) for fault in error.errors()}))
        raise CannotStart(f"This setting cannot be used: {names}. See brimful --help.") from None
    if hasattr(options, "example"):
        return for_example(settings, told="data" in flags)
    if hasattr(options, "fresh"):
        raise CannotStart("--fresh goes with --example: your own data is never started anew.")
    return settings


def for_example(settings: Settings, *, told: bool) -> Settings:
    """The settings of the example: its own folder and a file there, never somebody's own data or database."""
    folder = settings.data if told else settings.data.with_name(f"{settings.data.name}-example")
    return settings.model_copy(update={"data": folder, "database": None})


def check(settings: Settings, *, tables: bool, accept: bool) -> int:
    """Print whether the data is whole, its versions and where it is; with `accept` it is as it is meant to be."""
    opening = importlib.import_module("webapp.store.opening")
    if accept:
        with ExitStack() as stack:
            hold_data(settings, stack)
            opening.accept_as_it_is(settings)
    lines, whole = opening.check(settings, tables=tables)
    say("\n".join(lines))
    return OK if whole else FOUND_WRONG


def carry(settings: Settings, options: argparse.Namespace) -> int:
    """Everything out to a file, or what a file holds in."""
    commands = importlib.import_module("webapp.book_commands")
    today = date.today()  # noqa: DTZ011 - the maker's own day is meant
    if options.command == "import":
        return int(commands.bring(settings, Path(options.file), today, sure=options.yes))
    say("\n".join(commands.export(settings, Path(options.file), today)))
    return OK


def say(text: str) -> None:
    """Print, and go on in silence where nobody reads any more, as after `brimful check | head -1`."""
    try:
        print(text, flush=True)
    except BrokenPipeError:
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())  # else what is left over is written once more at the end, and told
        os.close(nowhere)


def serve(settings: Settings, options: argparse.Namespace) -> int:
    """Serve until stopped. The data is held and the address taken before any of the data is opened."""
    check_certificate(settings)
    refuse_unmade(settings)
    if settings.workers > 1:
        importlib.import_module("webapp.workers").refuse(settings)
    with ExitStack() as stack:
        name_address = hold_data(settings, stack)
        server, remark = bind(settings.host, settings.port)
        stack.callback(server.close)
        servers = beside_it(server)
        for other in servers:
            stack.callback(other.close)
        address = address_of(servers[0] if servers else server, "https" if settings.certificate else "http")
        name_address(address)

        def ready(*remarks: str) -> None:
            welcome(settings, address, [remark, *remarks], browser=wants_browser(options))

        if hasattr(options, "example"):
            show_example(settings, fresh=hasattr(options, "fresh"))
        listening = [server, *servers]
        if settings.workers > 1:
            look = partial(refuse_without, settings)
            importlib.import_module("webapp.workers").serve(settings, listening, ready, look)
            return OK
        store = stack.enter_context(opened_store(settings, anew=hasattr(options, "anew")))
        refuse_without(settings, store)
        app = make_app(settings, store, upkeep=Upkeep(store))
        gc.freeze()  # all that was imported stays; a collector that looks through it again makes a page wait
        gc.enable()
        run(app, listening, lambda: ready(rest_remark(store)), settings)
    return OK


def show_example(settings: Settings, *, fresh: bool) -> None:
    """Make the invented workshop where it is not there yet, and print its line of products."""
    example = importlib.import_module("webapp.example")
    today = date.today()  # noqa: DTZ011 - the maker's own day is meant
    example.prepare(settings, today, fresh)
    say(example.line_text(settings, today))


def wants_browser(options: argparse.Namespace) -> bool:
    """Open the browser only for a person at a terminal."""
    return not hasattr(options, "no_browser") and sys.stdin.isatty() and sys.stdout.isatty()


def rest_remark(store: Store) -> str:
    """What there is to say where the data is not known to be as it was left; "" where it is."""
    if not store.is_file or store.at_rest.state in (NEW, SAME):
        return ""
    return rest_line(store.at_rest, store.shelf.file)


def welcome(settings: Settings, address: str, remarks: Sequence[str], *, browser: bool) -> None:
    """Say where it is, once it answers."""
    where = "a PostgreSQL database" if settings.database else settings.data
    for remark in filter(None, remarks):
        say(remark)
    say(f"Brimful is at {address} and your data in {where}. Ctrl-C stops it.")
    if not settings.is_loopback:
        say(open_words(settings, address))
    if browser:
        open_browser(address)
