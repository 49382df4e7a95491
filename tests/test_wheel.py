"""A wheel carries all that the program needs, and starts from there."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import sysconfig
import venv
import zipfile
from collections.abc import Iterator
from pathlib import Path
from urllib.error import HTTPError
from urllib.request import urlopen

import pytest

from tests.test_cli import ADDRESS, line_of

pytestmark = pytest.mark.long

ROOT = Path(__file__).resolve().parent.parent
CARRIED = ("templates", "static", "seed_data")


def pip(python: Path | str, *arguments: str) -> None:
    """Run pip without a network."""
    command = [str(python), "-m", "pip", "--disable-pip-version-check", "--quiet", *arguments]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Built from a copy of what is kept in the repository, so that nothing is left behind in it."""
    folder = tmp_path_factory.mktemp("wheel")
    source = folder / "source"
    source.mkdir()
    for name in ("webapp", *CARRIED):
        shutil.copytree(ROOT / name, source / name, ignore=shutil.ignore_patterns("__pycache__"))
    for name in ("pyproject.toml", "README.md", ".gitignore"):
        shutil.copy(ROOT / name, source / name)
    pip(sys.executable, "wheel", "--no-build-isolation", "--no-index", "--no-deps", "-w", str(folder), str(source))
    (built,) = folder.glob("brimful-*.whl")
    return built


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """The folder of commands of a bare environment that holds the wheel; its dependencies are those of this run."""
    folder = tmp_path_factory.mktemp("bare")
    venv.create(folder, with_pip=False, symlinks=sys.platform != "win32")
    paths = sysconfig.get_paths(vars={"base": str(folder), "platbase": str(folder)}, scheme="venv")
    pip(sys.executable, "--python", str(python_in(paths)), "install", "--no-index", "--no-deps", str(wheel))
    outer = Path(paths["purelib"]) / "outer.pth"
    outer.write_text(sysconfig.get_paths()["purelib"], encoding="utf-8")
    yield Path(paths["scripts"])
    shutil.rmtree(folder)


def python_in(paths: dict[str, str]) -> Path:
    """The interpreter of an environment."""
    return Path(paths["scripts"]) / ("python.exe" if sys.platform == "win32" else "python")


def test_the_wheel_carries_every_file_of_the_repository(wheel: Path) -> None:
    carried = set(zipfile.ZipFile(wheel).namelist())
    for name in CARRIED:
        wanted = {
            f"webapp/_resources/{path.relative_to(ROOT).as_posix()}"
            for path in (ROOT / name).rglob("*")
            if path.is_file() and path.parent.name != "__pycache__"  # what was compiled here is nobody else's
        }
        assert wanted, f"{name} is empty"
        assert wanted - carried == set()
    modules = {path.relative_to(ROOT).as_posix() for path in (ROOT / "webapp").rglob("*.py")}
    assert modules - carried == set()


def test_the_wheel_carries_nothing_else(wheel: Path) -> None:
    parts = {name.split("/")[0] for name in zipfile.ZipFile(wheel).namelist()}
    assert parts == {"webapp", next(part for part in parts if part.endswith(".dist-info"))}


def test_it_starts_from_the_wheel_and_shows_its_first_page(installed: Path, tmp_path: Path) -> None:
    command = [str(installed / "brimful"), "--port", "0", "--no-browser", "--data", str(tmp_path / "data")]
    environment = {name: value for name, value in os.environ.items() if not name.startswith(("BRIMFUL_", "PYTHON"))}
    with subprocess.Popen(
        command, cwd=tmp_path, env=environment, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
    ) as process:
        try:
            address = ADDRESS.search(line_of(process, ADDRESS))[0]  # type: ignore[index]
            page = fetched(address)
            linked = re.findall(r'(?:href|src)="/(static/[^"]+)"', page)
            assert linked, "the first page links no file of its own"
            for name in linked:
                assert fetched(address + name.replace("&amp;", "&"))
        finally:
            process.kill()


def fetched(address: str) -> str:
    """The text at an address; the test fails with it where that is an error."""
    try:
        with urlopen(address) as answer:
            return str(answer.read().decode())
    except HTTPError as error:
        raise AssertionError(f"{address}: {error.code}\n{error.read().decode()}") from None


def test_the_wheel_is_found_not_the_repository(installed: Path, tmp_path: Path) -> None:
    code = "import webapp; print(webapp.__file__); print(webapp.resource_dir('templates'))"
    python = installed / ("python.exe" if sys.platform == "win32" else "python")
    done = subprocess.run([str(python), "-I", "-c", code], cwd=tmp_path, capture_output=True, text=True, check=True)
    assert str(ROOT) not in done.stdout
    assert "_resources" in done.stdout
