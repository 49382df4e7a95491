"""The drill and the copy elsewhere: what they say when all is well, and when it is not."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.store.kept import DAY, flip, shelf_in
from webapp.errors import Unprocessable
from webapp.store.backup import verify_backup
from webapp.store.backup_copying import copy_to, elsewhere
from webapp.store.backup_drill import drill, last_drill
from webapp.store.backups import ASKED


def test_a_drill_costs_every_product_and_is_remembered(tmp_path: Path) -> None:
    shelf = shelf_in(tmp_path / "data")
    assert drill(shelf).fault
    made = shelf.make(ASKED, DAY)
    done = drill(shelf)
    assert (done.name, done.products, done.same, done.fault) == (made.name, 2, True, "")
    assert last_drill(shelf) == done
    flip(made.path, 50_000)
    assert "damaged after" in drill(shelf).fault


def test_a_copy_elsewhere_is_whole_and_its_folder_remembered(tmp_path: Path) -> None:
    shelf = shelf_in(tmp_path / "data")
    made, stick = shelf.make(ASKED, DAY), tmp_path / "stick"
    stick.mkdir()
    verify_backup(copy_to(shelf, str(stick)))
    found = elsewhere(shelf)
    assert (found.folder, found.name) == (str(stick), made.name)
    for wrong in ("", "stick", str(tmp_path / "none"), str(shelf.file.parent), str(shelf.folder)):
        with pytest.raises(Unprocessable):
            copy_to(shelf, wrong)
