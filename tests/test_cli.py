"""The command: started as a person starts it, in a process of its own."""

from __future__ import annotations

import gc
import os
import re
import signal
import socket
import subprocess
import sys
import threading
import types
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from datetime import date
from pathlib import Path
from typing import Any
from urllib.request import urlopen

import pytest

from webapp import VERSION, __main__, cli, serving
from webapp.errors import CannotStart
from webapp.settings import Settings

ROOT = Path(__file__).resolve().parent.parent
ADDRESS = re.compile(r"http://127\.0\.0\.1:(\d+)/")


@contextmanager
def started(*arguments: str) -> Iterator[subprocess.Popen[str]]:
    """A server in a process of its own; killed at the end if it still runs."""
    process = subprocess.Popen(
        [sys.executable, "-m", "webapp", *arguments],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        stdin=subprocess.DEVNULL,
        text=True,
    )
    try:
        yield process
    finally:
        process.kill()
        process.communicate()


def line_of(process: subprocess.Popen[str], wanted: re.Pattern[str], seconds: int = 30) -> str:
    """The first printed line in which something is found."""
    assert process.stdout is not None
    read = ""
    limit = threading.Timer(seconds, process.kill)  # a server that says nothing more is no end of a test
    limit.start()
    try:
        for line in iter(process.stdout.readline, ""):
            read += line
            if wanted.search(line):
                return line
    finally:
        limit.cancel()
    raise AssertionError(f"{wanted.pattern} was not printed, but:\n{read}")


def run(*arguments: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "webapp", *arguments]
    return subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=60, check=False)


@pytest.mark.long
@pytest.mark.skipif(sys.platform == "win32", reason="Ctrl-C cannot be sent to one process there")
def test_it_serves_says_where_and_ctrl_c_stops_it_though_somebody_is_connected(tmp_path: Path) -> None:
    with started("serve", "--port", "0", "--data", str(tmp_path / "mine")) as process:
        line = line_of(process, ADDRESS)
        assert str(tmp_path / "mine") in line
        address = ADDRESS.search(line)[0]  # type: ignore[index]
        with urlopen(f"{address}static/icon.svg") as answer:
            assert answer.status == 200
            assert answer.headers["server"] is None
        with socket.create_connection(("127.0.0.1", int(ADDRESS.search(line)[1]))):  # type: ignore[index]
            process.send_signal(signal.SIGINT)
            code = process.wait(10)
        assert code == 0
        assert process.stderr is not None
        assert "Traceback" not in process.stderr.read()
    assert not (tmp_path / "mine" / serving.ADDRESS).exists()


def test_a_second_ctrl_c_breaks_nothing_off() -> None:
    """A terminal and whoever watches the files both send one: a server that is being stopped is stopped in order."""
    server = serving.OneServer(serving.configure(lambda *_: None), lambda: None)  # type: ignore[arg-type]
    for _ in range(2):
        server.handle_exit(signal.SIGINT, None)
    assert (server.should_exit, server.force_exit) == (True, False)


@pytest.mark.long
@pytest.mark.skipif(sys.platform == "win32", reason="a pipe that nobody reads is another error there")
@pytest.mark.parametrize("damaged", [False, True])
def test_check_is_silent_where_nobody_reads_it_and_still_answers(tmp_path: Path, *, damaged: bool) -> None:
    if damaged:
        (tmp_path / "brimful.db").write_bytes(b"hello" * 1000)
    command = [sys.executable, "-m", "webapp", "check", "--tables", "--data", str(tmp_path)]
    there, here = os.pipe()
    os.close(there)  # as `head -1` has, once it has its line
    done = subprocess.run(command, cwd=ROOT, stdout=here, stderr=subprocess.PIPE, text=True, timeout=60, check=False)
    os.close(here)
    assert done.stderr == ""
    assert done.returncode == (cli.FOUND_WRONG if damaged else cli.OK)


@pytest.mark.long
def test_a_second_server_on_the_same_data_is_told_where_the_first_is(tmp_path: Path) -> None:
    with started("--port", "0", "--data", str(tmp_path)) as first:
        address = ADDRESS.search(line_of(first, ADDRESS))[0]  # type: ignore[index]
        second = run("--port", "0", "--data", str(tmp_path))
        assert second.returncode == cli.CANNOT_START
        assert address in second.stderr
        assert "Traceback" not in second.stderr
        first.kill()
        first.wait(10)
        with started("--port", "0", "--data", str(tmp_path)) as third:
            assert ADDRESS.search(line_of(third, ADDRESS))


@pytest.mark.parametrize(
    "typed",
    [
        ["--port", "8123", "--no-browser", "serve"],
        ["serve", "--port", "8123", "--no-browser"],
        ["--port", "8123", "serve", "--no-browser"],
        ["--no-browser", "--port=8123"],
    ],
)
def test_options_stand_before_or_after_the_word(typed: list[str]) -> None:
    options = cli.parser().parse_args(typed)
    assert cli.read_settings(options).port == 8123
    assert options.no_browser
    assert options.command in (None, "serve")


def test_data_stands_before_or_after_check(tmp_path: Path) -> None:
    for typed in (["check", "--data", str(tmp_path), "--tables"], ["--data", str(tmp_path), "check", "--tables"]):
        options = cli.parser().parse_args(typed)
        assert (options.command, cli.read_settings(options).data, options.tables) == ("check", tmp_path, True)


@pytest.mark.parametrize("typed", [["--port", "x"], ["--nonsense"], ["sell"], ["check", "--port", "1"]])
def test_a_mistyped_command_is_told_how_it_goes(typed: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as left:
        cli.main(typed)
    assert left.value.code == 2
    assert "usage: brimful" in capsys.readouterr().err


def test_the_version_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as left:
        cli.main(["--version"])
    assert (left.value.code, capsys.readouterr().out) == (0, f"brimful {VERSION}\n")


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        (["--host", "0.0.0.0", "--port", "0"], "there is no passphrase yet"),  # noqa: S104 - refused, not bound
        (["--host", "203.0.113.7"], "there is no passphrase yet"),
        (["--certificate", "cert.pem"], "go together"),
        (["--port", "70000"], "port"),
        (["--fresh"], "--fresh goes with --example"),
    ],
)
def test_what_cannot_be_done_is_a_sentence(
    typed: list[str], said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert cli.main([*typed, "--data", str(tmp_path / "data")]) == cli.CANNOT_START
    told = capsys.readouterr().err
    assert said in told
    assert told.strip().endswith(".")
    assert not (tmp_path / "data").exists()


def test_an_address_of_another_computer_is_told_as_that() -> None:
    with pytest.raises(CannotStart, match="no address of this computer"):
        serving.listen("203.0.113.7", 0)


def test_a_folder_that_cannot_be_used_is_a_sentence(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "file").write_text("not a folder", encoding="utf-8")
    assert cli.main(["--data", str(tmp_path / "file" / "data")]) == cli.CANNOT_START
    assert "Choose another with --data." in capsys.readouterr().err


def test_a_port_that_was_asked_for_and_is_taken_is_a_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with serving.listen("127.0.0.1", 0) as taken:
        port = taken.getsockname()[1]
        assert cli.main(["--port", str(port), "--data", str(tmp_path)]) == cli.CANNOT_START
    assert f"Port {port} is taken" in capsys.readouterr().err


def test_the_next_free_port_is_taken_with_a_word_about_it(monkeypatch: pytest.MonkeyPatch) -> None:
    with serving.listen("127.0.0.1", 0) as taken:
        usual = taken.getsockname()[1]
        monkeypatch.setattr(serving, "DEFAULT_PORT", usual)
        server, remark = serving.bind("127.0.0.1", None)
        with server:
            assert usual < server.getsockname()[1] < usual + serving.PORTS_TRIED
            assert str(usual) in remark
            assert str(server.getsockname()[1]) in remark


def test_where_every_port_is_taken_it_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(serving, "PORTS_TRIED", 1)
    with serving.listen("127.0.0.1", 0) as taken:
        monkeypatch.setattr(serving, "DEFAULT_PORT", taken.getsockname()[1])
        with pytest.raises(CannotStart, match="--port"):
            serving.bind("127.0.0.1", None)


def test_the_usual_port_needs_no_word(monkeypatch: pytest.MonkeyPatch) -> None:
    with serving.listen("127.0.0.1", 0) as probe:
        free = probe.getsockname()[1]
    monkeypatch.setattr(serving, "DEFAULT_PORT", free)
    server, remark = serving.bind("127.0.0.1", None)
    with server:
        assert (server.getsockname()[1], remark) == (free, "")


def test_an_address_is_written_as_a_browser_wants_it() -> None:
    class Bound:
        def __init__(self, *name: object) -> None:
            self.name = name

        def getsockname(self) -> tuple[object, ...]:
            return self.name

    assert serving.address_of(Bound("127.0.0.1", 80)) == "http://127.0.0.1:80/"  # type: ignore[arg-type]
    assert serving.address_of(Bound("::1", 80, 0, 0)) == "http://[::1]:80/"  # type: ignore[arg-type]


def test_the_lock_is_free_afterwards_and_a_false_address_is_not_repeated(tmp_path: Path) -> None:
    settings = Settings(data=tmp_path)
    with ExitStack() as stack:
        serving.hold_data(settings, stack)
        (tmp_path / serving.ADDRESS).write_text("javascript:alert(1)", encoding="ascii")
        with pytest.raises(CannotStart, match="in another window"):
            serving.hold_data(settings, stack)
    with ExitStack() as stack:
        serving.hold_data(settings, stack)("http://127.0.0.1:1/")


def test_a_postgres_is_not_held(tmp_path: Path) -> None:
    settings = Settings(data=tmp_path, database="postgresql+psycopg://127.0.0.1/x")  # type: ignore[arg-type]
    with ExitStack() as stack:
        serving.hold_data(settings, stack)
        serving.hold_data(settings, stack)


@pytest.mark.parametrize("terminal", [True, False])
def test_the_browser_opens_only_for_a_person_at_a_terminal(monkeypatch: pytest.MonkeyPatch, terminal: bool) -> None:
    for stream in ("stdin", "stdout"):
        monkeypatch.setattr(sys, stream, types.SimpleNamespace(isatty=lambda: terminal, write=lambda _: None))
    assert cli.wants_browser(cli.parser().parse_args([])) is terminal
    assert not cli.wants_browser(cli.parser().parse_args(["--no-browser"]))


def test_the_example_has_a_folder_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("BRIMFUL_DATA", str(tmp_path / "mine"))
    monkeypatch.setenv("BRIMFUL_DATABASE", "postgresql+psycopg://127.0.0.1/mine")
    settings = cli.read_settings(cli.parser().parse_args(["--example"]))
    assert settings.data == tmp_path / "mine-example"
    assert settings.database is None
    told = cli.read_settings(cli.parser().parse_args(["--example", "--data", str(tmp_path / "there")]))
    assert told.data == tmp_path / "there"


def test_the_example_prints_its_line_first(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    asked: list[tuple[date, bool]] = []
    example = types.SimpleNamespace(
        prepare=lambda _settings, today, fresh: asked.append((today, fresh)),
        line_text=lambda _settings, _today: "the line",
    )
    monkeypatch.setitem(sys.modules, "webapp.example", example)
    cli.show_example(Settings(data=tmp_path), fresh=True)
    assert asked == [(date.today(), True)]  # noqa: DTZ011 - the maker's own day
    assert capsys.readouterr().out == "the line\n"


@pytest.mark.parametrize(("whole", "code"), [(True, cli.OK), (False, cli.FOUND_WRONG)])
def test_check_says_what_it_found(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], whole: bool, code: int
) -> None:
    opening = types.SimpleNamespace(check=lambda _settings, *, tables: ([f"tables: {tables}"], whole))
    monkeypatch.setitem(sys.modules, "webapp.store.opening", opening)
    assert cli.main(["check", "--tables"]) == code
    assert capsys.readouterr().out == "tables: True\n"


def test_data_that_cannot_be_opened_is_a_sentence(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    def refuse(_settings: Settings, **_: Any) -> None:
        raise CannotStart("This data was written by a newer Brimful. Update Brimful.")

    monkeypatch.setattr(cli, "opened_store", refuse)
    assert cli.main(["--port", "0", "--data", str(tmp_path)]) == cli.CANNOT_START
    assert "newer Brimful" in capsys.readouterr().err


def test_the_environment_of_the_run_holds_nothing_of_the_person() -> None:
    assert {name for name in os.environ if name.startswith("BRIMFUL_")} <= {"BRIMFUL_DATA", "BRIMFUL_TEST_POSTGRES"}


def test_no_garbage_is_looked_for_in_a_start_and_again_once_it_serves(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    looked, read = [], cli.read_settings

    def noted(options: Any) -> Settings:
        looked.append(gc.isenabled())
        return read(options)

    monkeypatch.setattr(cli, "read_settings", noted)
    monkeypatch.setattr(cli, "run", lambda *_: looked.append(gc.isenabled()))
    monkeypatch.setattr(gc, "freeze", lambda: None)  # what this process has made so far is not to stay
    monkeypatch.setattr(sys, "argv", ["brimful", "--data", str(tmp_path), "--no-browser", "--port", "0"])
    assert __main__.main() == 0
    assert looked == [False, True]
    monkeypatch.setattr(sys, "argv", ["brimful", "check", "--data", str(tmp_path)])
    assert __main__.main() == 0
    assert gc.isenabled()
