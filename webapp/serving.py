"""Serving on this machine: the data folder held, the address taken, uvicorn set up and stopped."""

from __future__ import annotations

import errno
import signal
import socket
import ssl
import sys
import threading
import webbrowser
from collections.abc import Callable
from contextlib import ExitStack, suppress
from http import HTTPStatus
from pathlib import Path
from types import FrameType
from typing import Any

import h11
import uvicorn
from filelock import FileLock, Timeout
from starlette.types import ASGIApp
from uvicorn.protocols.http.h11_impl import H11Protocol

from webapp.door.who import address_in, is_loopback
from webapp.errors import BadRequest, CannotStart, Problem, WrongHost
from webapp.guard import HEADERS
from webapp.settings import DEFAULT_PORT, Settings

PORTS_TRIED = 20
LOCK, ADDRESS = ".lock", ".lock-address"


def hold_data(settings: Settings, stack: ExitStack) -> Callable[[str], None]:
    """Hold the data folder until `stack` closes, and return what writes down the address served at.

    The lock belongs to the process, so it is free after a crash. A PostgreSQL keeps its own order and is not
    held. Raises CannotStart where another server holds it, naming that one's address, or where the folder
    cannot be used.
    """
    folder = settings.data
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        if settings.database is None:
            stack.enter_context(FileLock(folder / LOCK, timeout=0))
    except Timeout:
        raise CannotStart(held_sentence(folder)) from None
    except OSError as error:
        raise CannotStart(
            f"The data folder {folder} cannot be used ({error.strerror}). Choose another with --data."
        ) from None
    if settings.database is None:
        stack.callback((folder / ADDRESS).unlink, missing_ok=True)
    return lambda address: write_address(folder, address)


def write_address(folder: Path, address: str) -> None:
    """Note where this server is, for a second to name. A locked file itself cannot be read everywhere.

    On a full disk there is no note; what is there can be read all the same.
    """
    with suppress(OSError):
        (folder / ADDRESS).write_text(address, encoding="ascii")


def held_sentence(folder: Path) -> str:
    """Why a second server does not start, and where the first one is."""
    try:
        address = (folder / ADDRESS).read_text(encoding="ascii").strip()
    except (OSError, UnicodeDecodeError):
        address = ""
    where = f"at {address}" if address.startswith(("http://", "https://")) else "in another window"
    return f"Brimful is already open with this data {where}. Use that one, or stop it first (Ctrl-C there)."


def bind(host: str, port: int | None) -> tuple[socket.socket, str]:
    """Take an address and listen at it; with it a remark, where it is not the usual port.

    Raises CannotStart where the port that was asked for cannot be had.
    """
    if port is not None:
        return listen(host, port), ""
    for number in range(DEFAULT_PORT, DEFAULT_PORT + PORTS_TRIED):
        try:
            taken = listen(host, number)
        except CannotStart:
            continue
        return (
            taken,
            "" if number == DEFAULT_PORT else f"Port {DEFAULT_PORT} is taken, so this is port {number}.",
        )
    raise CannotStart(f"Ports {DEFAULT_PORT} to {number} are all taken. Choose another with --port.")


def listen(host: str, port: int) -> socket.socket:
    """A socket that listens, so that nobody else can take the address meanwhile."""
    try:
        family, kind, _, _, where = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0]
    except OSError:
        raise CannotStart(f"There is no address {host}. Leave --host out, or use 127.0.0.1.") from None
    server = socket.socket(family, kind)
    try:
        if family == socket.AF_INET6 and host == "::":
            server.setsockopt(socket.IPPROTO_IPV6, socket.IPV6_V6ONLY, 0)  # all addresses means those of IPv4 too
        if sys.platform == "win32":
            server.setsockopt(socket.SOL_SOCKET, socket.SO_EXCLUSIVEADDRUSE, 1)
        else:
            server.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        server.bind(where)
        server.listen(128)
    except OSError as error:
        server.close()
        if error.errno == errno.EADDRNOTAVAIL:
            raise CannotStart(
                f"{host} is no address of this computer. Use one that it has, 0.0.0.0 for all of them, or leave --host "
                "out to serve this computer only."
            ) from None
        raise CannotStart(port_sentence(port, error)) from None
    return server


def port_sentence(port: int, error: OSError) -> str:
    """Why a port cannot be had, and what to do."""
    if isinstance(error, PermissionError):
        return f"Port {port} may not be used by you. Choose one above 1023, or leave --port out."
    return f"Port {port} is taken by another program. Choose another, or leave --port out for the next free one."


def beside_it(server: socket.socket) -> list[socket.socket]:
    """What else is listened at: for one address of the network also this machine's own, at the same port.

    The person at the machine is known by it, and is never shut out. Raises CannotStart where it can't be had.
    """
    host, port = server.getsockname()[:2]
    address = address_in(host)
    if is_loopback(host) or (address is not None and address.is_unspecified):
        return []
    return [listen("127.0.0.1", port)]


def address_of(server: socket.socket, scheme: str = "http") -> str:
    """The address of a listening socket, as a browser on this machine wants it."""
    host, port = server.getsockname()[:2]
    host = {"0.0.0.0": "127.0.0.1", "::": "::1"}.get(host, host)  # noqa: S104 - read, not bound
    return f"{scheme}://[{host}]:{port}/" if ":" in host else f"{scheme}://{host}:{port}/"


def check_certificate(settings: Settings) -> None:
    """CannotStart where the certificate and its key can't be used for TLS."""
    if settings.certificate is None and settings.key is None:
        return
    if settings.certificate is None or settings.key is None:
        raise CannotStart("--certificate and --key go together: the certificate in PEM, and its private key.")
    try:
        ssl.create_default_context(ssl.Purpose.CLIENT_AUTH).load_cert_chain(
            settings.certificate, settings.key, password=lambda: ""
        )
    except (OSError, ValueError) as error:  # what a key is not right about comes as one of OSError
        raise CannotStart(
            f"The certificate {settings.certificate} with the key {settings.key} can't be used "
            f"({getattr(error, 'strerror', None) or 'they do not belong together, or are not PEM'}). "
            "Give a certificate in PEM and its private key without a password."
        ) from None


class DoorProtocol(H11Protocol):
    """Answers what is not HTTP at all, before our program sees it, with headers and fixed words."""

    def send_400_response(self, msg: str) -> None:  # noqa: ARG002 - fixed words instead
        """Answer 421 to two Host headers (or none), 400 to all else, and close."""
        problem: Problem = WrongHost() if "Host" in self.fault() else BadRequest()
        headers = [*HEADERS.items(), ("Content-Type", "text/plain; charset=utf-8")]
        headers += [("Cache-Control", "no-store"), ("Connection", "close")]
        reason = HTTPStatus(problem.status).phrase.encode()
        head = h11.Response(status_code=problem.status, headers=headers, reason=reason)
        for event in (head, h11.Data(data=problem.sentence.encode()), h11.EndOfMessage()):
            self.transport.write(self.conn.send(event) or b"")
        self.transport.close()

    @staticmethod
    def fault() -> str:
        """What h11 found wrong; uvicorn calls while it is being handled."""
        return str(sys.exc_info()[1] or "")


class OneServer(uvicorn.Server):
    """A server that says when it is ready."""

    def __init__(self, config: uvicorn.Config, ready: Callable[[], None]) -> None:
        super().__init__(config)
        self.ready = ready

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """Start, then say so."""
        await super().startup(sockets)
        if self.started:
            self.ready()

    def handle_exit(self, sig: int, frame: FrameType | None) -> None:
        """Stop. It takes a second at most, so a second Ctrl-C forces nothing: it would break off what is being closed.

        A terminal and whoever watches the files both send one when Ctrl-C is pressed once.
        """
        if not self.should_exit:
            super().handle_exit(sig, frame)


def configure(app: ASGIApp, settings: Settings | None = None) -> uvicorn.Config:
    """How uvicorn is run: no log of addresses (they hold queries), no proxy believed, no Server header."""
    options: dict[str, Any] = {
        "access_log": False,
        "http": DoorProtocol,
        "lifespan": "on",
        "log_config": None,
        "proxy_headers": False,
        "server_header": False,
        "timeout_graceful_shutdown": 1,
        "ws": "none",
    }
    if settings is not None and settings.certificate is not None:
        options |= {"ssl_certfile": str(settings.certificate), "ssl_keyfile": str(settings.key)}
    return uvicorn.Config(app, **options)


def run(app: ASGIApp, servers: list[socket.socket], ready: Callable[[], None], settings: Settings) -> None:
    """Serve at listening sockets until stopped by Ctrl-C or a signal (raises KeyboardInterrupt)."""
    close_at_signals()
    OneServer(configure(app, settings), ready).run(sockets=servers)


def close_at_signals() -> None:
    """Have a signal that ends it, and a terminal that is closed, end it as Ctrl-C does.

    The server sends itself the signal once more when it has stopped; by itself that would end the process before the
    data is closed.
    """
    if threading.current_thread() is not threading.main_thread():
        return
    signal.signal(signal.SIGTERM, signal.default_int_handler)
    if hasattr(signal, "SIGHUP"):
        signal.signal(signal.SIGHUP, lambda *_: signal.raise_signal(signal.SIGTERM))


def open_browser(address: str) -> None:
    """Open the browser without waiting for it."""
    threading.Thread(target=webbrowser.open, args=(address,), daemon=True).start()
