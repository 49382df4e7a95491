"""Compiled templates are kept beside them, used only for what they were made of, and never needed."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from jinja2 import Environment, FileSystemLoader
from jinja2.compiler import CodeGenerator

from webapp import resource_dir
from webapp.pages.compiled import CompiledTemplates, settings_of
from webapp.pages.rendering import environment


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with one template; Python may keep what it compiles."""
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    monkeypatch.setattr(sys, "pycache_prefix", None)
    (tmp_path / "page.html").write_text("One {{ word }}\n", encoding="utf-8")
    return tmp_path


@pytest.fixture
def compiled(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The names of the templates that were compiled meanwhile."""
    names: list[str] = []
    visit = CodeGenerator.visit_Template

    def noted(self: CodeGenerator, *given: object) -> None:
        names.append(str(self.name))
        visit(self, *given)  # type: ignore[arg-type]

    monkeypatch.setattr(CodeGenerator, "visit_Template", noted)
    return names


def shown(folder: Path, *, last_newline: bool = False) -> str:
    """The page as a new process would show it."""
    made = Environment(
        loader=FileSystemLoader(folder),
        autoescape=True,
        bytecode_cache=CompiledTemplates(folder),
        keep_trailing_newline=last_newline,
    )
    return made.get_template("page.html").render(word="<b>")


def kept(folder: Path) -> list[Path]:
    """The files that are kept."""
    return list((folder / "__pycache__").iterdir())


def test_a_template_is_compiled_once(folder: Path, compiled: list[str]) -> None:
    assert [shown(folder), shown(folder)] == ["One &lt;b&gt;"] * 2
    assert compiled == ["page.html"]
    assert len(kept(folder)) == 1


def test_a_changed_template_is_compiled_anew(folder: Path, compiled: list[str]) -> None:
    shown(folder)
    (folder / "page.html").write_text("Two {{ word }}\n", encoding="utf-8")
    assert shown(folder) == "Two &lt;b&gt;"
    assert len(compiled) == 2
    assert len(kept(folder)) == 1


@pytest.mark.parametrize("left", [0, 10, 40, 200])
def test_a_cut_file_is_not_used(folder: Path, compiled: list[str], left: int) -> None:
    shown(folder)
    (one,) = kept(folder)
    one.write_bytes(one.read_bytes()[:left])
    assert shown(folder) == "One &lt;b&gt;"
    assert len(compiled) == 2


def test_a_file_with_a_flipped_bit_is_not_used(folder: Path, compiled: list[str]) -> None:
    shown(folder)
    (one,) = kept(folder)
    whole = one.read_bytes()
    for at in range(0, len(whole), 29):
        one.write_bytes(whole[:at] + bytes([whole[at] ^ 1]) + whole[at + 1 :])
        assert shown(folder) == "One &lt;b&gt;"
    assert len(compiled) == 1 + len(range(0, len(whole), 29))


def test_other_settings_do_not_use_it(folder: Path, compiled: list[str]) -> None:
    shown(folder)
    assert shown(folder, last_newline=True) == "One &lt;b&gt;\n"
    assert len(compiled) == 2


def test_where_nothing_can_be_written_it_is_compiled_each_time(folder: Path, compiled: list[str]) -> None:
    (folder / "__pycache__").write_text("no folder", encoding="utf-8")
    assert [shown(folder), shown(folder)] == ["One &lt;b&gt;"] * 2
    assert len(compiled) == 2


def test_nothing_is_written_where_python_may_not_either(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    assert shown(folder) == "One &lt;b&gt;"
    assert not (folder / "__pycache__").exists()


def test_the_pages_keep_theirs_beside_the_templates() -> None:
    kept = environment().bytecode_cache
    assert isinstance(kept, CompiledTemplates)
    assert kept.folder == resource_dir("templates")
    assert "autoescape=True" in settings_of(environment())
