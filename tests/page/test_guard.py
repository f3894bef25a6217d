"""A hostile client gets nothing: forged hosts and forms, too much, paths that lead elsewhere, script in every field."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import Engine
from starlette.testclient import TestClient

from partsbin.page.app import create
from partsbin.page.desk import MOST_VISITS, Desk
from partsbin.page.guard import LARGEST, POLICY, Tokens
from partsbin.store.engine import open_store
from tests.page.shelf import shelve
from tests.page.test_finding import ASK, NOON, field, form_of, reserved

SCRIPT = '"><script>alert(1)</script>'


@pytest.fixture
def engine(tmp_path: Path) -> Iterator[Engine]:
    """A catalogue with script for a place."""
    opened = open_store(tmp_path / "page.sqlite")
    shelve(opened, "22n 630V polypropylene", NOON, place=SCRIPT)
    yield opened
    opened.dispose()


@pytest.fixture
def client(engine: Engine) -> Iterator[TestClient]:
    """A browser."""
    with TestClient(create(engine, clock=lambda: datetime(2026, 3, 1, tzinfo=UTC)), base_url="http://127.0.0.1") as got:
        yield got


@pytest.mark.parametrize(
    "host", ["evil.example", "127.0.0.1.evil.example", "", "127.0.0.1@evil.example", "127.0.0.1:80:80"]
)
def test_a_host_that_is_not_ours_is_refused(client: TestClient, host: str) -> None:
    """A name that somebody leads to this machine shows them nothing."""
    answer = client.get(ASK, headers={"host": host})
    assert (answer.status_code, "22 nF" in answer.text) == (421, False)


@pytest.mark.parametrize("host", ["localhost:8071", "127.0.0.1:8071", "[::1]:8071", "LOCALHOST"])
def test_this_machine_is_known_by_its_names(client: TestClient, host: str) -> None:
    """Loopback, with any port."""
    assert client.get("/find", headers={"host": host}).status_code == 200


@pytest.mark.parametrize("token", ["", "0" * 64, "é"])
def test_a_form_without_its_token_writes_nothing(client: TestClient, engine: Engine, token: str) -> None:
    """Nobody else's page can act here."""
    answer = client.post("/find/aside", data={**form_of(client.get(ASK).text), "token": token})
    assert (answer.status_code, reserved(engine)) == (403, 0)


def test_a_token_of_another_visit_writes_nothing(client: TestClient, engine: Engine) -> None:
    """A token belongs to the browser that it was given to."""
    form = form_of(client.get(ASK).text)
    client.cookies.clear()
    assert (client.post("/find/aside", data=form).status_code, reserved(engine)) == (403, 0)


@pytest.mark.parametrize("origin", ["http://evil.example", "null", "https://127.0.0.1", "http://127.0.0.1:1"])
def test_a_form_from_another_origin_is_refused(client: TestClient, engine: Engine, origin: str) -> None:
    """Even with the right token."""
    answer = client.post("/find/aside", data=form_of(client.get(ASK).text), headers={"origin": origin})
    assert (answer.status_code, reserved(engine)) == (403, 0)


def test_a_form_too_large_is_refused_by_what_it_claims(client: TestClient) -> None:
    """Before it is read."""
    assert client.post("/name", content=b"x" * (LARGEST + 1)).status_code == 413


def test_a_form_too_large_is_refused_when_it_claims_nothing(client: TestClient) -> None:
    """A body in pieces has no length to check."""

    def pieces() -> Iterator[bytes]:
        for _ in range(LARGEST // 1024 + 2):
            yield b"x" * 1024

    assert client.post("/name", content=pieces()).status_code == 413


@pytest.mark.parametrize(
    "path",
    ["/assets/../desk.py", "/assets/%2e%2e/desk.py", "/assets/..%2fdesk.py", "/assets//etc/passwd", "/assets/%00"],
)
def test_no_path_leads_out_of_the_assets(client: TestClient, path: str) -> None:
    """The file system shows its assets only."""
    answer = client.get(path)
    assert (answer.status_code, "import" in answer.text) == (404, False)


@pytest.mark.parametrize("name", ["text", "family", "position", "set.rail", "set.<b>", "done"])
def test_script_in_a_field_stays_text(client: TestClient, name: str) -> None:
    """Whatever is said is shown as words."""
    fields = {"text": "22n", "family": "capacitor", "position": "coupling", name: SCRIPT}
    assert "<script>alert" not in client.get("/find", params=fields).text


def test_an_address_does_not_say_what_was_done(client: TestClient) -> None:
    """A link from elsewhere puts no words into the page's mouth."""
    assert "all is well" not in client.get("/find?done=all+is+well").text


def test_what_was_done_is_said_to_its_visit_alone(client: TestClient, engine: Engine) -> None:
    """Another browser, on the same machine, is not told."""
    client.post("/name", data={"token": field(client.get("/find").text, "token"), "name": "x"})
    client.post("/find/aside", data=form_of(client.get(ASK).text), follow_redirects=False)
    client.cookies.clear()
    assert "set aside</p>" not in client.get("/find").text


def test_messages_that_nobody_fetches_do_not_pile_up(engine: Engine) -> None:
    """The oldest goes first."""
    desk = Desk(engine, lambda: NOON)
    for number in range(MOST_VISITS + 1):
        desk.tell(str(number), "done")
    assert (desk.told("0"), desk.told("1"), desk.told("1")) == ("", "done", "")


def test_script_in_a_reading_stays_text(client: TestClient) -> None:
    """The fragment is put into the page as it comes."""
    assert "<script>" not in client.get("/find/reading", params={"text": f"22n {SCRIPT}"}).text


def test_script_in_the_catalogue_stays_text(client: TestClient) -> None:
    """Words of a place came in with somebody's list."""
    page = client.get(ASK).text
    assert ("<script>alert" in page, "&lt;script&gt;alert" in page) == (False, True)


def test_script_for_a_name_stays_text(client: TestClient) -> None:
    """The name is shown on every page."""
    token = field(client.get("/find").text, "token")
    assert "<script>alert" not in client.post("/name", data={"token": token, "name": SCRIPT}).text


def test_every_answer_carries_the_strict_policy(client: TestClient) -> None:
    """Pages, assets, faults and refusals alike; nothing inline, nothing from elsewhere."""
    answers: list[Any] = [client.get("/find"), client.get("/assets/page.css"), client.get("/none"), client.put("/find")]
    assert [answer.headers.get("content-security-policy") for answer in answers] == [POLICY] * 4


def test_cookies_stay_with_this_site(client: TestClient) -> None:
    """No script reads them and no other site sends them."""
    said = client.get("/find").headers["set-cookie"]
    assert "HttpOnly" in said
    assert "SameSite=Strict" in said


@pytest.mark.parametrize("ident", ["", "P-9999", "P-99999999999999999999", "'; DROP TABLE part; --", "../../x"])
def test_a_part_that_is_not_there_is_a_fault_in_words(client: TestClient, ident: str) -> None:
    """No trace of the inside shows."""
    client.post("/name", data={"token": field(client.get("/find").text, "token"), "name": "x"})
    answer = client.post("/find/aside", data={**form_of(client.get(ASK).text), "part": ident})
    assert (answer.status_code, "Traceback" in answer.text) == (409, False)


def test_a_token_is_of_its_run() -> None:
    """Another secret makes another token."""
    visit = "a" * 32
    assert not Tokens(b"one").holds(visit, Tokens(b"two").of(visit))
