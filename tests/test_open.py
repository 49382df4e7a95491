"""Brimful opened to a network as a person opens it: real processes, real addresses, a real certificate."""

from __future__ import annotations

import os
import re
import socket
import ssl
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import httpx
import pytest
from starlette.responses import PlainTextResponse

from tests.faults.program import ROOT, run
from tests.faults.starter import Process, begin
from webapp import cli, door_words, serving
from webapp.door import hosts
from webapp.errors import CannotStart
from webapp.settings import Settings

pytestmark = pytest.mark.long

HERE = re.compile(r"https?://127\.0\.0\.1:(\d+)/")
EVERY = "0.0.0.0"  # noqa: S104 - the tests open a port of their own for a moment
WORDS = "four words in a jar"
NAME = "bench.workshop"


def passphrase(data: Path, text: str = WORDS, *more: str) -> subprocess.CompletedProcess[str]:
    return run("passphrase", "--data", str(data), *more, typed=f"{text}\n")


@contextmanager
def served(data: Path, host: str, *more: str) -> Iterator[tuple[int, str]]:
    """The port of a server in a process of its own, and what it said of the network; killed at the end."""
    command = ("serve", "--host", host, "--port", "0", "--data", str(data), *more)
    process = begin(*command, environment={"BRIMFUL_ALLOWED_HOSTS": NAME})
    limit = threading.Timer(60, process.kill)  # a server that says nothing more is no end of a test
    limit.start()
    try:
        said = said_until(process, "open to your network")
        found = HERE.search(said)
        assert found is not None, said
        yield int(found[1]), said
    finally:
        limit.cancel()
        process.kill()
        process.communicate()


def said_until(process: Process, words: str) -> str:
    """What a server has printed when it has printed `words`, or when it ended without."""
    assert process.stdout is not None
    said = ""
    while words not in said and (line := process.stdout.readline()):
        said += line
    assert words in said, said
    return said


def own_address() -> str:
    """An address of this machine in a network; without one the test that needs it is not checked."""
    found = [one for one in hosts.own_addresses() if ":" not in one]
    if not found:
        pytest.skip("this machine is in no network")
    return found[0]


def test_without_a_passphrase_it_is_not_opened(tmp_path: Path) -> None:
    for host in (EVERY, "::", own_address()):
        done = run("serve", "--host", host, "--port", "0", "--data", str(tmp_path))
        assert done.returncode == cli.CANNOT_START
        assert "brimful passphrase" in done.stderr
        assert "Traceback" not in done.stderr


def test_the_passphrase_is_that_of_the_folder_that_is_served(tmp_path: Path) -> None:
    """Also where the folder is not typed but set, or the usual one; of the example only where that is asked for."""
    own, example = tmp_path / "book", tmp_path / "book-example"
    command = [sys.executable, "-m", "webapp", "passphrase"]
    settings = {**os.environ, "BRIMFUL_DATA": str(own)}
    for more, there in (([], [own]), (["--example"], [own, example])):
        done = subprocess.run(
            [*command, *more],
            cwd=ROOT,
            env=settings,
            input=f"{WORDS}\n",
            capture_output=True,
            text=True,
            timeout=60,
            check=False,
        )
        assert (done.returncode, done.stderr) == (0, "")
        assert sorted(one.parent for one in tmp_path.glob("*/brimful.db")) == there


def test_the_passphrase_comes_from_a_pipe_and_is_never_shown(tmp_path: Path) -> None:
    refused = passphrase(tmp_path, "short")
    assert (refused.returncode, refused.stdout) == (cli.CANNOT_START, "")
    assert "at least 8" in refused.stderr
    done = passphrase(tmp_path)
    assert done.returncode == 0, done.stderr
    assert WORDS not in done.stdout + done.stderr
    assert WORDS.encode() not in (tmp_path / "brimful.db").read_bytes()
    assert b"$argon2id$" in (tmp_path / "brimful.db").read_bytes()


def test_at_a_terminal_it_is_asked_twice(monkeypatch: pytest.MonkeyPatch) -> None:
    answers = [WORDS, WORDS, WORDS, "another"]
    monkeypatch.setattr("sys.stdin.isatty", lambda: True)
    monkeypatch.setattr("getpass.getpass", lambda _said: answers.pop(0))
    assert door_words.asked() == WORDS
    with pytest.raises(CannotStart, match="differs"):
        door_words.asked()


def test_who_asks_over_the_network_is_asked_and_who_is_here_is_not(tmp_path: Path) -> None:
    """The peer is this machine's own address in its network: that is not loopback, so it is a device like any."""
    passphrase(tmp_path)
    with served(tmp_path, EVERY) as (port, said):
        address = own_address()
        assert f"http://{address}:{port}/" in said
        assert "listened" in said
        with httpx.Client(base_url=f"http://127.0.0.1:{port}", timeout=30) as here:
            assert here.get("/").status_code == 200
            assert here.get("/", headers={"Host": f"{address}:{port}"}).status_code == 421  # not how it came in
        there = f"http://{address}:{port}"
        with httpx.Client(base_url=there, headers={"Origin": there}, timeout=30) as device:
            assert device.get("/").headers["location"] == "/sign-in"
            assert device.get("/", headers={"Host": f"127.0.0.1:{port}"}).headers["location"] == "/sign-in"
            assert device.get("/", headers={"Host": "evil.example"}).status_code == 421
            typed = {"name": "Tablet", "passphrase": WORDS, "role": "workshop"}
            assert device.post("/sign-in", data=typed, headers={"Origin": "http://evil.example"}).status_code == 403
            assert device.post("/sign-in", data=typed).status_code == 303
            assert device.get("/").status_code == 200
            changed = passphrase(tmp_path, "another four words", "--sign-out")  # while it is served
            assert changed.returncode == 0, changed.stderr
            assert device.get("/").headers["location"] == "/sign-in"
            assert device.post("/sign-in", data=typed).status_code == 422


def test_another_loopback_address_is_this_machine_under_its_own_names_only(tmp_path: Path) -> None:
    """127.0.0.2 stands for a peer where the machine is in no network: all of 127.0.0.0/8 is this machine (RFC 1122),
    but under a name that others use too it is asked who it is."""
    passphrase(tmp_path)
    with served(tmp_path, EVERY) as (port, _):
        base = f"http://127.0.0.1:{port}"
        way = httpx.HTTPTransport(local_address="127.0.0.2") if sys.platform == "linux" else None
        with httpx.Client(base_url=base, transport=way, timeout=30) as client:
            assert client.get("/").status_code == 200
            assert client.get("/", headers={"Host": f"{NAME}:{port}"}).headers["location"] == "/sign-in"
            assert client.get("/api/orders", headers={"Host": socket.gethostname()}).status_code == 401


def test_at_one_address_of_the_network_this_machine_is_served_too(tmp_path: Path) -> None:
    address = own_address()
    passphrase(tmp_path)
    with served(tmp_path, address) as (port, _):
        assert httpx.get(f"http://127.0.0.1:{port}/", timeout=30).status_code == 200
        assert httpx.get(f"http://{address}:{port}/", timeout=30).headers["location"] == "/sign-in"


# --- TLS


@pytest.fixture(scope="module")
def certificate(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """A certificate for this machine's names, made by the openssl command as a person would make it."""
    folder = tmp_path_factory.mktemp("tls")
    names = ",".join(["DNS:localhost", f"DNS:{NAME}", "IP:127.0.0.1", *(f"IP:{one}" for one in hosts.own_addresses())])
    command = [
        "openssl",
        "req",
        "-x509",
        "-newkey",
        "ec",
        "-pkeyopt",
        "ec_paramgen_curve:P-256",
        "-nodes",
        "-days",
        "2",
    ]
    command += ["-subj", "/CN=workshop", "-addext", f"subjectAltName={names}", "-keyout", "key.pem", "-out", "cert.pem"]
    try:
        subprocess.run(command, cwd=folder, check=True, capture_output=True)
    except (OSError, subprocess.CalledProcessError) as failure:
        pytest.skip(f"there is no openssl to make a certificate with ({failure})")
    return folder / "cert.pem", folder / "key.pem"


def test_by_tls_the_cookie_is_bound_to_it(tmp_path: Path, certificate: tuple[Path, Path]) -> None:
    passphrase(tmp_path)
    trusted = ssl.create_default_context(cafile=str(certificate[0]))
    files = ("--certificate", str(certificate[0]), "--key", str(certificate[1]))
    with served(tmp_path, EVERY, *files) as (port, said):
        assert "https://" in said
        assert "listened" not in said
        address = own_address()
        there = f"https://{address}:{port}"
        with httpx.Client(base_url=there, headers={"Origin": there}, verify=trusted, timeout=30) as device:
            shown = device.get("/sign-in")
            assert shown.headers["strict-transport-security"] == "max-age=31536000"
            assert "listened" not in shown.text
            typed = {"name": "Tablet", "passphrase": WORDS, "role": "workshop"}
            came = device.post("/sign-in", data=typed)
            assert came.status_code == 303, came.text
            assert came.headers["set-cookie"].startswith("__Host-brimful-")
            assert came.headers["set-cookie"].endswith("; Secure")
            assert device.get("/").status_code == 200
            plain = f"http://{address}:{port}"
            assert device.post("/drafts", headers={"Origin": plain}).status_code == 403
            out = device.post("/sign-out")
            assert out.headers["clear-site-data"] == '"cache", "storage"'
        assert httpx.get(f"https://127.0.0.1:{port}/", verify=trusted, timeout=30).status_code == 200
        with pytest.raises(httpx.HTTPError):
            httpx.get(f"http://127.0.0.1:{port}/", timeout=30)


def test_a_certificate_that_can_not_be_used_is_said(tmp_path: Path, certificate: tuple[Path, Path]) -> None:
    cert, key = certificate
    (tmp_path / "other.pem").write_text("no key", encoding="ascii")
    for files in ((cert, None), (None, key), (cert, tmp_path / "other.pem"), (tmp_path / "none.pem", key), (key, cert)):
        with pytest.raises(CannotStart, match="certificate"):
            serving.check_certificate(Settings(data=tmp_path, certificate=files[0], key=files[1]))
    settings = Settings(data=tmp_path, certificate=cert, key=key)
    serving.check_certificate(settings)
    config = serving.configure(PlainTextResponse("served"), settings)
    config.load()
    assert config.ssl is not None
    assert config.ssl.minimum_version >= ssl.TLSVersion.TLSv1_2
    serving.check_certificate(Settings(data=tmp_path))


def test_a_start_does_not_load_what_only_the_door_needs() -> None:
    """Neither the hash of passphrases nor the code is imported by a start to the first page."""
    told = "import sys, webapp.cli; print([one for one in ('argon2', 'segno', '_cffi_backend') if one in sys.modules])"
    began = time.monotonic()
    done = subprocess.run([sys.executable, "-c", told], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]", f"after {time.monotonic() - began:.1f} s"
