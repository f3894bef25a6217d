"""Other devices come in once, by a secret that is good once; strangers over the network see the door and nothing else."""

from __future__ import annotations

import hashlib
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import numpy as np
import pytest
import zxingcpp
from sqlalchemy import Engine, text
from starlette.applications import Starlette
from starlette.testclient import TestClient

from partsbin.page.app import create
from partsbin.page.devices import Known, devices, forget
from partsbin.page.guard import DEVICE
from partsbin.page.pairing import GOOD_FOR, MOST_ADDRESSES, TRIES, Pairing, TooOftenError, for_terminal
from partsbin.store.engine import open_store, reading, writing
from tests.page.shelf import shelve
from tests.page.test_finding import ASK, field

NOON = datetime(2026, 3, 1, 12, tzinfo=UTC)
HERE = "http://192.168.7.20:8071"


class Bench:
    """A catalogue that is served to the network, its clock, and what the terminal says."""

    def __init__(self, engine: Engine) -> None:
        self.engine, self.now, self.said = engine, NOON, list[str]()
        self.pairing = Pairing(HERE, tell=self.said.append)
        self.app: Starlette = create(engine, clock=lambda: self.now, pairing=self.pairing)

    def near(self) -> TestClient:
        """Return a browser on this machine."""
        return TestClient(self.app, base_url="http://127.0.0.1:8071", client=("127.0.0.1", 5))

    def far(self, address: str = "192.168.7.31") -> TestClient:
        """Return a device on the network."""
        return TestClient(self.app, base_url=HERE, client=(address, 5))

    def enter(self, device: TestClient, carrying: str) -> int:
        """Scan the code and press the button; return the status."""
        page = device.get(carrying).text
        secret = parse_qs(urlsplit(carrying).query)["secret"][0]
        form = {"token": field(page, "token"), "secret": secret, "name": "telephone"}
        return int(device.post("/pair", data=form, follow_redirects=False).status_code)


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    """A bench with one part."""
    engine = open_store(tmp_path / "page.sqlite")
    shelve(engine, "22n 630V polypropylene", NOON)
    yield Bench(engine)
    engine.dispose()


def test_a_device_that_was_let_in_works_like_the_bench_machine(bench: Bench) -> None:
    """The code once, then pages."""
    device = bench.far()
    assert bench.enter(device, bench.pairing.issue(NOON)) == 303
    assert "P-0001" in device.get(ASK).text


@pytest.mark.parametrize("path", ["/", ASK, "/part/P-0001", "/none", "/devices", "/assets/page.js", "/find/reading"])
def test_a_stranger_sees_the_door_whatever_it_asks_for(bench: Bench, path: str) -> None:
    """The same answer whether there is such a page or not."""
    answer = bench.far().get(path)
    assert (answer.url.path, answer.status_code, "22 nF" in answer.text, "let in" in answer.text) == (
        "/pair",
        200,
        False,
        True,
    )


def test_a_strangers_form_writes_nothing(bench: Bench) -> None:
    """Even with a token that is good for its visit."""
    device = bench.far()
    token = field(device.get(f"{HERE}/pair?secret=x").text, "token")
    answer = device.post("/find/aside", data={"token": token, "part": "P-0001", "seen": "1"}, follow_redirects=False)
    with bench.engine.connect() as connection:
        assert (answer.status_code, connection.execute(text("SELECT sum(reserved) FROM part")).scalar()) == (303, 0)


def test_a_secret_is_good_once(bench: Bench) -> None:
    """Whoever photographs the code later comes too late."""
    carrying = bench.pairing.issue(NOON)
    assert [bench.enter(bench.far(), carrying) for _ in range(2)] == [303, 403]


def test_a_secret_grows_old(bench: Bench) -> None:
    """After ten minutes it is good no more."""
    carrying = bench.pairing.issue(NOON)
    bench.now += GOOD_FOR
    assert bench.enter(bench.far(), carrying) == 403


def test_a_secret_is_not_good_for_longer_where_the_clock_is_set_back(bench: Bench) -> None:
    """It would be for as long as the clock was set back; who guessed too often does not wait for so long either."""
    carrying = bench.pairing.issue(NOON)
    assert [bench.enter(bench.far(), f"{HERE}/pair?secret=wrong") for _ in range(TRIES)] == [403] * TRIES
    bench.now -= timedelta(days=30)
    assert bench.enter(bench.far(), carrying) == 403
    assert bench.enter(bench.far(), bench.pairing.issue(bench.now)) == 303


def test_a_new_code_ends_the_one_before(bench: Bench) -> None:
    """One is good at a time."""
    first = bench.pairing.issue(NOON)
    second = bench.pairing.issue(NOON)
    assert [bench.enter(bench.far(), each) for each in (first, second)] == [403, 303]


def test_no_secret_is_good_before_one_was_drawn(bench: Bench) -> None:
    """Nothing is not a secret."""
    assert not bench.pairing.redeem("", "192.168.7.31", NOON)


def test_who_guesses_too_often_waits_while_others_do_not(bench: Bench) -> None:
    """Five wrong ones from one address; the right one of another goes through, and of the first one later."""
    carrying = bench.pairing.issue(NOON)
    wrong = f"{HERE}/pair?secret=wrong"
    guesser = bench.far("192.168.7.66")
    assert [bench.enter(guesser, wrong) for _ in range(TRIES)] == [403] * TRIES
    assert [bench.enter(guesser, carrying), bench.enter(bench.far(), carrying)] == [429, 303]
    bench.now += GOOD_FOR
    assert bench.enter(guesser, bench.pairing.issue(bench.now)) == 303


def test_addresses_that_guessed_do_not_pile_up() -> None:
    """The oldest is forgotten first."""
    pairing = Pairing(HERE)
    for number in range(MOST_ADDRESSES + 1):
        for _ in range(TRIES):
            assert not pairing.redeem("wrong", str(number), NOON)
    assert not pairing.redeem("wrong", "0", NOON)
    with pytest.raises(TooOftenError):
        pairing.redeem("wrong", str(MOST_ADDRESSES), NOON)


def test_the_button_is_shown_whether_a_secret_is_good_or_not(bench: Bench) -> None:
    """A look at the door says nothing about the lock."""
    pages = [bench.far().get(f"/pair?secret={secret}").text for secret in ("wrong", bench.pairing.issue(NOON)[-22:])]
    assert ["let it in" in page for page in pages] == [True, True]


def test_a_look_at_the_door_redeems_nothing(bench: Bench) -> None:
    """A program that fetches addresses ahead does not use the code up."""
    carrying = bench.pairing.issue(NOON)
    bench.far().get(carrying)
    assert bench.enter(bench.far(), carrying) == 303


def test_the_secret_leaves_the_address(bench: Bench) -> None:
    """After the button the browser is elsewhere."""
    device, carrying = bench.far(), bench.pairing.issue(NOON)
    form = {"token": field(device.get(carrying).text, "token"), "secret": carrying[-22:], "name": "x"}
    answer = device.post("/pair", data=form)
    assert ("secret" in str(answer.url), carrying[-22:] in answer.text) == (False, False)


def test_of_a_token_only_the_hash_is_kept(bench: Bench) -> None:
    """Who reads the catalogue's file cannot come in by it."""
    device = bench.far()
    bench.enter(device, bench.pairing.issue(NOON))
    token = device.cookies[DEVICE]
    with bench.engine.connect() as connection:
        kept = connection.execute(text("SELECT * FROM paired_device")).mappings().one()
    assert (kept["token_hash"], token in str(dict(kept))) == (hashlib.sha256(token.encode()).hexdigest(), False)


def test_the_token_is_no_scripts_and_no_other_sites(bench: Bench) -> None:
    """HttpOnly, SameSite=Strict."""
    device, carrying = bench.far(), bench.pairing.issue(NOON)
    form = {"token": field(device.get(carrying).text, "token"), "secret": carrying[-22:], "name": "x"}
    said = device.post("/pair", data=form, follow_redirects=False).headers["set-cookie"]
    assert ("HttpOnly" in said, "SameSite=strict" in said) == (True, True)


@pytest.mark.parametrize("token", ["", "x", "A" * 43, "é" * 43, '"; DROP TABLE part', "A" * 5000])
def test_a_token_that_is_made_up_is_a_strangers(bench: Bench, token: str) -> None:
    """No cookie of that name opens anything by itself."""
    answer = bench.far().get(ASK, headers={b"cookie": f"{DEVICE}={token}".encode()}, follow_redirects=False)
    assert answer.status_code == 303


def test_a_device_that_is_forgotten_is_out_at_its_next_request(bench: Bench) -> None:
    """Whoever forgets it, in whichever process."""
    device = bench.far()
    bench.enter(device, bench.pairing.issue(NOON))
    before = device.get("/find", follow_redirects=False).status_code
    with writing(bench.engine) as connection:
        forget(connection, 1, NOON)
    assert (before, device.get("/find", follow_redirects=False).status_code) == (200, 303)


def test_the_bench_machine_lists_shows_codes_and_forgets(bench: Bench) -> None:
    """The page of devices, for the browser on this machine."""
    near, device = bench.near(), bench.far()
    page = near.post("/devices/code", data={"token": field(near.get("/devices").text, "token")}).text
    bench.enter(device, bench.pairing.waiting(NOON))
    listed = near.get("/devices").text
    near.post("/devices/forget", data={"token": field(listed, "token"), "device": "1"})
    assert ("<svg" in page, "1: telephone" in listed, "<svg" in listed) == (True, True, False)
    assert device.get("/find", follow_redirects=False).status_code == 303


@pytest.mark.parametrize("number", ["", "2", "x", "-1", "9" * 30, "²"])
def test_forgetting_a_device_that_is_not_there_is_told(bench: Bench, number: str) -> None:
    """In words, and nothing is broken."""
    near = bench.near()
    answer = near.post("/devices/forget", data={"token": field(near.get("/devices").text, "token"), "device": number})
    assert (answer.status_code, 'role="alert"' in answer.text) == (409, True)


def test_a_device_lets_no_other_in_and_forgets_none(bench: Bench) -> None:
    """Only whoever sits at the bench machine does."""
    device = bench.far()
    bench.enter(device, bench.pairing.issue(NOON))
    token = field(device.get("/find").text, "token")
    forms = [device.post(path, data={"token": token, "device": "1"}) for path in ("/devices/code", "/devices/forget")]
    assert [device.get("/devices").status_code, *(form.status_code for form in forms)] == [404, 404, 404]
    assert bench.pairing.waiting(NOON) == ""


def test_script_for_a_devices_name_stays_text(bench: Bench) -> None:
    """It is shown on the bench machine."""
    device, carrying = bench.far(), bench.pairing.issue(NOON)
    form = {"token": field(device.get(carrying).text, "token"), "secret": carrying[-22:]}
    device.post("/pair", data={**form, "name": "<script>alert(1)</script>"})
    assert "<script>alert" not in bench.near().get("/devices").text


@pytest.mark.parametrize("host", ["127.0.0.1:8071", "localhost", "evil.example", "192.168.7.21"])
def test_over_the_network_the_machine_goes_by_its_address_alone(bench: Bench, host: str) -> None:
    """Its names for itself are for itself."""
    assert bench.far().get("/pair", headers={"host": host}).status_code == 421


def test_on_the_machine_its_address_on_the_network_is_not_its_name(bench: Bench) -> None:
    """A page on the network that leads there is not answered as if it were the bench's own browser."""
    assert bench.near().get("/find", headers={"host": "192.168.7.20:8071"}).status_code == 421


@pytest.mark.parametrize("header", ["x-forwarded-for", "x-real-ip", "forwarded"])
def test_nobody_says_that_they_are_the_bench_machine(bench: Bench, header: str) -> None:
    """Where a request comes from is what the connection says."""
    answer = bench.far().get("/find", headers={header: "127.0.0.1"}, follow_redirects=False)
    assert answer.status_code == 303


def test_without_the_network_there_is_no_door(bench: Bench) -> None:
    """A secret cannot be redeemed where nobody may come in."""
    with TestClient(create(bench.engine), base_url="http://127.0.0.1") as near:
        assert (near.get("/pair").status_code, "partsbin serve --lan" in near.get("/devices").text) == (404, True)


@pytest.mark.parametrize(
    ("to", "link"),
    [
        ("/part/P-0007", "/part/P-0007"),
        ("/place/drawer%20E1", "/place/drawer%20E1"),
        ("//evil.example", "/"),
        ("/\\evil.example", "/"),
        ("https://evil.example", "/"),
        ("javascript:alert(1)", "/"),
    ],
)
def test_a_label_leads_on_to_its_page_on_this_machine_only(bench: Bench, to: str, link: str) -> None:
    """A browser that holds its cookie back at first goes on by a link."""
    assert f'<a href="{link}">Go on</a>' in bench.far().get("/pair", params={"to": to}).text


def test_the_address_that_was_asked_for_is_carried(bench: Bench) -> None:
    """With the signs of a place's name."""
    assert '<a href="/place/drawer%20E1">Go on</a>' in bench.far().get("/place/drawer E1").text


def test_a_device_is_seen_once_a_day(bench: Bench) -> None:
    """Looking at pages writes no more than that."""
    device = bench.far()
    bench.enter(device, bench.pairing.issue(NOON))
    seen = []
    for hours in (1, 2, 23):
        bench.now = NOON + timedelta(hours=hours)
        device.get("/find")
        with reading(bench.engine) as connection:
            seen.append(devices(connection)[0].seen_at)
    assert seen == [NOON + timedelta(hours=hours) for hours in (1, 1, 23)]


def test_a_catalogue_that_is_busy_is_looked_at(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    """That a device was seen is not worth an answer that fails."""
    device = bench.far()
    bench.enter(device, bench.pairing.issue(NOON))
    monkeypatch.setattr("partsbin.store.engine.PATIENCE", 0)
    with closing(sqlite3.connect(str(bench.engine.url.database), isolation_level=None)) as holder:
        holder.execute("BEGIN IMMEDIATE")
        assert Known(bench.engine).is_let_in(device.cookies[DEVICE], NOON)


def test_the_terminal_says_who_was_let_in(bench: Bench) -> None:
    """So that nobody comes in unseen."""
    bench.enter(bench.far(), bench.pairing.issue(NOON))
    assert bench.said == ["let in: 'telephone', device 1; partsbin serve --forget 1 ends it"]


def test_a_camera_reads_the_code_on_a_terminal() -> None:
    """Its half lines laid as dots, dark where the terminal is told to be dark."""
    address = f"{HERE}/pair?secret=abcdefghijklmnopqrstuv"
    signs = {" ": (0, 0), "▀": (1, 0), "▄": (0, 1), "█": (1, 1)}
    lines = [line.removeprefix("\033[97;40m").removesuffix("\033[0m") for line in for_terminal(address).splitlines()]
    halves = [[signs[sign][half] for sign in line] for line in lines for half in (0, 1)]
    picture = np.kron(np.array(halves, dtype=np.uint8) * 255, np.ones((6, 6), dtype=np.uint8))
    assert [found.text for found in zxingcpp.read_barcodes(picture)] == [address]
