"""The pages of the data itself: backups made, looked at, tried, copied, and restored with what would change shown."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from tests.pages.filling import fields_in, fill
from webapp.app import make_app
from webapp.settings import Settings
from webapp.upkeep import Upkeep

AT = "/data/backups"


def supplier(client: TestClient, name: str) -> None:
    assert fill(client, "/buy/suppliers/new", "/buy/suppliers", name=name, currency="EUR").status_code == 303


def press(client: TestClient, page: str, action: str, **typed: str) -> str:
    """Press the button of a form and go where it leads; the text of that page."""
    sent = {**fields_in(client.get(page).text, action), **typed}
    answer = client.post(action, data=sent)
    assert answer.status_code == 303, answer.text
    return client.get(answer.headers["location"]).text


@pytest.fixture
def made(client: TestClient) -> str:
    """A supplier, a backup, and another supplier; the address of the backup."""
    supplier(client, "The first mill")
    text = press(client, AT, AT)
    supplier(client, "The second mill")
    return text.partition(f'href="{AT}/')[2].partition('"')[0]


def test_without_any_the_page_says_when_one_is_made(client: TestClient) -> None:
    assert "There is none yet." in client.get(AT).text
    assert "None yet. One is made by itself" in client.get("/data").text


def test_one_that_is_made_stands_in_the_list(client: TestClient, made: str) -> None:
    text = client.get(AT).text
    assert made in text
    assert "asked for" in text
    assert "whole, checked" in text
    assert "1 backup" in client.get("/data").text


def test_what_a_restore_would_change_is_shown_and_done_and_taken_back(client: TestClient, made: str) -> None:
    text = client.get(f"{AT}/{made}").text
    assert '<td data-label="Would go">The second mill</td>' in text
    assert "No cost and no price moves." in text
    done = press(client, f"{AT}/{made}", f"{AT}/{made}/restore")
    assert "The data is now as in that backup." in done
    assert "before a restore" in done
    suppliers = client.get("/buy/suppliers").text
    assert "The first mill" in suppliers
    assert "The second mill" not in suppliers
    before = done.partition(f'href="{AT}/')[2].partition('"')[0]
    press(client, f"{AT}/{before}", f"{AT}/{before}/restore")
    assert "The second mill" in client.get("/buy/suppliers").text


def test_what_was_saved_after_it_was_looked_at_is_not_lost(client: TestClient, made: str) -> None:
    page, act = f"{AT}/{made}", f"{AT}/{made}/restore"
    sent = fields_in(client.get(page).text, act)
    supplier(client, "The third mill")
    answer = client.post(act, data=sent)
    assert answer.headers["location"].startswith("/data/work/")
    told = client.get(answer.headers["location"]).text
    assert "after you opened it" in told
    assert "The third mill" in client.get("/buy/suppliers").text


def test_the_newest_is_tried(client: TestClient, made: str) -> None:
    assert "0 products were costed" in press(client, AT, "/data/drill")
    assert made in client.get(AT).text


def test_the_newest_is_copied_and_the_folder_remembered(client: TestClient, made: str, tmp_path: Path) -> None:
    elsewhere = tmp_path / "stick"
    elsewhere.mkdir()
    text = press(client, AT, "/data/copy", folder=str(elsewhere), days="10")
    assert "A copy was written there" in text
    assert f'value="{elsewhere}"' in text
    assert 'value="10"' in text
    assert (elsewhere / f"{made}.db").exists()


@pytest.mark.parametrize(("folder", "days"), [("", "30"), ("/there/is/none", "30"), ("stick", "30"), ("/", "0")])
def test_what_will_not_do_is_said_at_its_field_and_kept(client: TestClient, made: str, folder: str, days: str) -> None:
    sent = {**fields_in(client.get(AT).text, "/data/copy"), "folder": folder, "days": days}
    answer = client.post("/data/copy", data=sent)
    assert made
    assert answer.status_code == 422
    assert f'value="{folder}"' in answer.text
    assert f'value="{days}"' in answer.text
    assert 'aria-invalid="true"' in answer.text


def test_what_there_is_not_is_not_found(client: TestClient) -> None:
    assert client.get(f"{AT}/nothing").status_code == 404


def test_one_that_is_damaged_says_so_and_is_not_offered(client: TestClient, made: str, tmp_path: Path) -> None:
    file = tmp_path / "data" / "backups" / f"{made}.db"
    held = bytearray(file.read_bytes())
    held[len(held) // 2] ^= 1
    file.write_bytes(held)
    text = client.get(f"{AT}/{made}").text
    assert "This backup was damaged after it was made." in text
    assert "Restore this backup" not in text


def test_an_old_copy_elsewhere_is_said_on_the_first_page_and_can_be_put_off(client: TestClient, made: str) -> None:
    assert "there is no copy of it elsewhere yet" not in client.get("/").text
    later = date.today() + timedelta(40)  # noqa: DTZ011 - what was saved first was saved now
    client.app.state.today = lambda: later  # type: ignore[attr-defined]
    assert "there is no copy of it elsewhere yet" in client.get("/").text
    assert "reminded again in a week" in press(client, AT, "/data/copy/later")
    assert "there is no copy of it elsewhere yet" not in client.get("/").text
    assert made in client.get(AT).text


def test_one_a_day_is_made_by_itself_and_the_drill_once_a_month(settings: Settings, day: date) -> None:
    app = make_app(settings, today=lambda: day)
    with TestClient(app, base_url="http://127.0.0.1", follow_redirects=False) as client:
        store = app.state.store
        today = date.today()  # noqa: DTZ011 - backups are named by the computer's clock
        upkeep = Upkeep(store)
        upkeep.used(today)
        upkeep.wait()
        assert store.shelf.all() == ()  # nothing was entered yet
        supplier(client, "The mill")
        for _ in range(2):  # a second start on the same day makes no second
            again = Upkeep(store)
            again.used(today)
            again.used(today)
            again.wait()
            assert again.trouble == ""
        assert [one.why for one in store.shelf.all()] == ["daily"]
        assert "it was restored into a temporary place" in client.get(AT).text


def test_a_backup_that_fails_is_said_on_the_first_page(settings: Settings, day: date, tmp_path: Path) -> None:
    app = make_app(settings, today=lambda: day)
    with TestClient(app, base_url="http://127.0.0.1", follow_redirects=False) as client:
        supplier(client, "The mill")
        (tmp_path / "data" / "backups").write_text("in the way")
        upkeep = app.state.upkeep = Upkeep(app.state.store)
        upkeep.used(day)
        upkeep.wait()
        assert "backup could not be made" in client.get("/").text


def test_a_drill_that_failed_is_said_on_the_first_page_until_one_succeeds(
    client: TestClient, made: str, tmp_path: Path
) -> None:
    file = tmp_path / "data" / "backups" / f"{made}.db"
    whole = file.read_bytes()
    file.write_bytes(whole[:-1])
    press(client, AT, "/data/drill")
    assert "The newest backup was tried, and that failed." in client.get("/").text
    file.write_bytes(whole)
    press(client, AT, "/data/drill")
    assert "that failed" not in client.get("/").text


def test_the_data_itself_has_no_other_day(client: TestClient, made: str) -> None:
    for path in ("/data", AT, f"{AT}/{made}"):
        text = client.get(f"{path}?on=2026-01-01").text
        assert "Show this page as of a day" not in text
        assert "As it was on" not in text
    assert "Show this page as of a day" in client.get("/settings").text
