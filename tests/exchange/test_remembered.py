"""Files that are looked at again: read once, few of them kept, what can't be read tried again."""

from __future__ import annotations

import pytest

from webapp.exchange import remembered
from webapp.exchange.reading import CannotRead, Table, read_tables
from webapp.exchange.remembered import MOST_CELLS, MOST_FILES, Remembered


@pytest.fixture(name="read")
def counted(monkeypatch: pytest.MonkeyPatch) -> list[tuple[str, bytes]]:
    """What was really read."""
    found: list[tuple[str, bytes]] = []

    def reading(name: str, data: bytes) -> tuple[Table, ...]:
        found.append((name, data))
        return read_tables(name, data)

    monkeypatch.setattr(remembered, "read_tables", reading)
    return found


def test_a_file_is_read_once_and_another_name_or_other_bytes_are_another_file(read: list[tuple[str, bytes]]) -> None:
    files = Remembered()
    first = files.tables("a.csv", b"x,1")
    assert first == read_tables("a.csv", b"x,1")
    assert files.tables("a.csv", b"x,1") is first
    assert files.tables("b.csv", b"x,1")[0].title == "b"
    assert files.tables("a.csv", b"x,2")[0].rows == (("x", "2"),)
    assert read == [("a.csv", b"x,1"), ("b.csv", b"x,1"), ("a.csv", b"x,2")]


def test_the_one_that_was_not_looked_at_for_longest_goes_first(read: list[tuple[str, bytes]]) -> None:
    files = Remembered()
    for number in range(MOST_FILES):
        files.tables(f"{number}.csv", b"x,1")
    files.tables("0.csv", b"x,1")
    files.tables("one more.csv", b"x,1")
    assert len(read) == MOST_FILES + 1
    files.tables("0.csv", b"x,1")
    assert len(read) == MOST_FILES + 1
    files.tables("1.csv", b"x,1")
    assert len(read) == MOST_FILES + 2


def test_what_has_too_many_cells_is_not_kept(read: list[tuple[str, bytes]], monkeypatch: pytest.MonkeyPatch) -> None:
    assert (MOST_FILES, MOST_CELLS) == (4, 200_000)
    monkeypatch.setattr(remembered, "MOST_CELLS", 4)
    files = Remembered()
    files.tables("small.csv", b"a,b")
    files.tables("large.csv", b"a,b,c\nd,e,f")
    files.tables("large.csv", b"a,b,c\nd,e,f")
    assert [name for name, _ in read] == ["small.csv", "large.csv", "large.csv"]


def test_what_cannot_be_read_is_tried_again(read: list[tuple[str, bytes]]) -> None:
    files = Remembered()
    for _ in range(2):
        with pytest.raises(CannotRead):
            files.tables("a.pdf", b"%PDF")
    assert len(read) == 2
