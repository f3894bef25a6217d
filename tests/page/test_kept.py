"""Pages that are kept: the same for everybody while nothing changes, never older than the moment in which they are asked for."""

from __future__ import annotations

import asyncio
import importlib
import os
import re
import resource
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from threading import Event
from urllib.parse import urlencode

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import Engine, text
from starlette.requests import Request
from starlette.responses import Response
from starlette.testclient import TestClient

from partsbin.errors import PartsbinError
from partsbin.families import load
from partsbin.jobs.record import close_job, job_of, open_job
from partsbin.page import kept as kept_module
from partsbin.page import makers as makers_module
from partsbin.page.app import create
from partsbin.page.desk import Desk
from partsbin.page.finding import page as find_page
from partsbin.page.kept import Kept
from partsbin.page.makers import Maker, Makers
from partsbin.page.shown import Shown, in_pieces
from partsbin.stock.acts import measure, move, release, reserve, scrap
from partsbin.stock.counting import count
from partsbin.stock.instruments import record
from partsbin.stock.ledger import undo
from partsbin.stock.marking import mark
from partsbin.stock.readings import read_taken
from partsbin.store.copies import copy_to
from partsbin.store.engine import open_store, writing
from partsbin.store.watching import Watch
from tests.page.visit import NOON, OTHER, Visit, shelve, visiting

FIND = f"/find?{urlencode({'text': '0.02uF 350V waxed paper', 'family': 'capacitor', 'position': 'coupling'})}"
SHELF = ("22n 630V polypropylene", "22n 400V", "18n 1000V polypropylene", "100n 630V polypropylene")


@pytest.fixture
def engine(tmp_path: Path) -> Iterator[Engine]:
    """A few parts, three of each."""
    engine = open_store(tmp_path / "page.sqlite")
    for words in SHELF:
        shelve(engine, words, count=3)
    yield engine
    engine.dispose()


@pytest.fixture
def visit(engine: Engine) -> Iterator[Visit]:
    """A visit to the pages."""
    with visiting(engine) as opened:
        yield opened


def kept(visit: Visit, address: str) -> bool:
    """Return whether a page that is asked for had been made before."""
    return visit.client.get(address).headers.get("server-timing") == "kept"


@pytest.mark.parametrize("address", [FIND, "/part/P-0001", "/part/P-0001/serves"])
def test_a_page_is_made_once_while_nothing_changes(visit: Visit, address: str) -> None:
    """And says the same."""
    first = visit.get(address)
    assert (kept(visit, address), visit.get(address)) == (True, first)


def test_a_change_is_shown_at_once(visit: Visit, engine: Engine) -> None:
    """By another connection of the same program."""
    visit.get("/part/P-0001")
    with writing(engine) as connection:
        reserve(connection, 1, 1, OTHER)
    assert "3 on hand, 1 set aside" in visit.get("/part/P-0001")


def test_a_change_by_the_command_line_is_shown_at_once(visit: Visit, engine: Engine) -> None:
    """By another process."""
    visit.get("/part/P-0001")
    words = [
        "-c",
        "from partsbin.cli.main import main; main()",
        "--db",
        str(engine.url.database),
        "move",
        "P-0001",
        "shelf Z",
    ]
    subprocess.run([sys.executable, *words], check=True, capture_output=True)
    assert "shelf Z" in visit.get("/part/P-0001")


def test_a_change_of_the_rules_is_shown_at_once(visit: Visit, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """They are a file of their own."""
    rules = tmp_path / "bench.toml"
    rules.write_text("[capacitor.position.coupling]\nfits = [0.9, 1.2]\n")
    before = visit.get(FIND)
    monkeypatch.setenv("PARTSBIN_RULES", str(rules))
    tighter = visit.get(FIND)
    rules.write_text("[capacitor.position.coupling]\nfits = [0.9, 1.1]\n")
    os.utime(rules, (1, 1))
    assert len({before, tighter, visit.get(FIND)}) == 3


def test_what_belongs_to_a_visit_is_in_no_other(engine: Engine) -> None:
    """Token, name, and what was done: the page between them is one."""
    with visiting(engine) as one, TestClient(one.client.app, base_url="http://127.0.0.1") as client:
        other = Visit(client)
        other.post("/name", name="<ann>")
        one.post("/find/aside", **{**_form(one.get(FIND)), "token": one.token})
        pages = one.get(FIND), other.get(FIND)
        assert [(one.token in page, other.token in page) for page in pages] == [(True, False), (False, True)]
        assert ("&lt;ann&gt;" in pages[0], "&lt;ann&gt;" in pages[1]) == (False, True)


def test_what_was_done_is_told_once_and_to_nobody_else(engine: Engine) -> None:
    """Though the page is kept."""
    with visiting(engine) as one, TestClient(one.client.app, base_url="http://127.0.0.1") as client:
        other = Visit(client)
        form = _form(one.get(FIND))
        one.client.post("/find/aside", data={**form, "token": one.token}, follow_redirects=False)
        told = "one of P-0001 set aside"
        assert [told in each for each in (other.get(FIND), one.get(FIND), one.get(FIND))] == [False, True, False]


def test_a_form_that_is_refused_shows_the_page_as_it_stands_now(visit: Visit, engine: Engine) -> None:
    """With the fault, which nobody else is told."""
    form = _form(visit.get(FIND))
    with writing(engine) as connection:
        move(connection, 1, "shelf Z", OTHER)
    answer = visit.post("/find/aside", **form)
    assert (answer.status_code, "changed since" in answer.text, "shelf Z" in answer.text) == (409, True, True)
    assert "changed since" not in visit.get(FIND)


def _form(page: str) -> dict[str, str]:
    """Return the fields of the form that sets P-0001 aside, without its token."""
    forms = re.findall(r'<form method="post" action="/find/aside".*?</form>', page, re.DOTALL)
    fields = [dict(re.findall(r'name="([a-z.]+)" value="([^"]*)"', form)) for form in forms]
    return {name: text for name, text in next(f for f in fields if f["part"] == "P-0001").items() if name != "token"}


# ---- whatever is done, nothing old is shown

ACTS: tuple[Callable[..., object], ...] = (
    lambda c, part: reserve(c, part, 1, OTHER),
    lambda c, part: release(c, part, 1, OTHER),
    lambda c, part: scrap(c, part, 1, OTHER),
    lambda c, part: move(c, part, "shelf Z", OTHER, pieces=1),
    lambda c, part: count(c, {part: (5, False)}, OTHER),
    lambda c, part: measure(c, part, read_taken(load("capacitor"), ["capacitance=21nF"]), OTHER),
    lambda c, part: mark(c, part, "250V", OTHER),
    lambda c, part: undo(c, at=NOON, by="other"),
    lambda c, part: open_job(c, OTHER, facts=(), reference="", what="wireless"),
    lambda c, part: close_job(c, job_of(c, 1), OTHER),
    lambda c, part: record(c, ["meter"]),
)
PAGES = (FIND, *(f"/part/P-000{number}" for number in (1, 2, 5)), "/part/P-0001/serves", "/find")


@given(st.lists(st.tuples(st.sampled_from(ACTS), st.integers(1, 5), st.sets(st.sampled_from(PAGES))), max_size=12))
@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_whatever_is_done_a_kept_page_says_what_a_new_one_does(
    tmp_path_factory: pytest.TempPathFactory, done: list[tuple[Callable[..., object], int, set[str]]]
) -> None:
    """Acts in any order, pages looked at in between: each is as a server that has just been started makes it."""
    engine = open_store(tmp_path_factory.mktemp("kept") / "page.sqlite")
    for words in SHELF:
        shelve(engine, words, count=3)
    with visiting(engine) as visit:
        for act, part, looked_at in done:
            for address in looked_at:
                visit.client.get(address)
            try:
                with writing(engine) as connection:
                    act(connection, part)
            except PartsbinError:
                continue
            with visiting(engine) as fresh:
                for address in PAGES:
                    seen, new = (_plain(each.client.get(address).text) for each in (visit, fresh))
                    assert seen == new, address
    engine.dispose()


def _plain(page: str) -> str:
    return re.sub(r'name="(token|once)" value="[^"]*"', "", page)


@pytest.mark.parametrize("address", [FIND, "/part/P-0001", "/part/P-0001/serves"])
def test_a_page_that_was_kept_is_not_shown_of_a_catalogue_that_is_damaged(
    visit: Visit, engine: Engine, address: str
) -> None:
    """It is told, as where the page is new; whole again, the page is there again."""
    before = visit.get(address)
    with engine.begin() as connection:
        connection.execute(text("ALTER TABLE part RENAME TO elsewhere"))
    for _ in range(2):
        answer = visit.client.get(address)
        assert (answer.status_code, "no such table" in answer.text) == (503, True)
    with engine.begin() as connection:
        connection.execute(text("ALTER TABLE elsewhere RENAME TO part"))
    assert _plain(visit.get(address)) == _plain(before)


def test_a_catalogue_that_is_gone_shows_no_page(visit: Visit, engine: Engine) -> None:
    """Though one was kept; put back, it is worked with again, and no other is made in its place."""
    before, file = visit.get("/part/P-0001"), Path(str(engine.url.database))
    file.rename(file.with_name("elsewhere.sqlite"))
    answers = [visit.client.get(address) for address in ("/part/P-0001", "/bench", FIND)]
    assert [(each.status_code, "is gone" in each.text) for each in answers] == [(503, True)] * 3
    assert not file.exists()
    file.with_name("elsewhere.sqlite").rename(file)
    assert _plain(visit.get("/part/P-0001")) == _plain(before)


def test_another_file_in_the_place_of_the_catalogue_is_shown_at_once(
    visit: Visit, engine: Engine, tmp_path: Path
) -> None:
    """As when a copy is laid there by hand while the server runs; what is done goes into that file."""
    visit.get("/part/P-0001")
    other = open_store(tmp_path / "other.sqlite")
    shelve(other, "47n 250V", count=7)
    copy_to(other, tmp_path / "copy.sqlite")
    other.dispose()
    (tmp_path / "copy.sqlite").replace(tmp_path / "page.sqlite")
    for end in ("-wal", "-shm"):
        (tmp_path / f"page.sqlite{end}").unlink(missing_ok=True)
    assert "7 on hand" in visit.get("/part/P-0001")
    with writing(engine) as connection:
        reserve(connection, 1, 1, OTHER)
    assert "7 on hand, 1 set aside" in visit.get("/part/P-0001")


def test_what_is_kept_is_bounded_with_its_addresses(engine: Engine, monkeypatch: pytest.MonkeyPatch) -> None:
    """An address may be longer than its page."""
    monkeypatch.setattr(kept_module, "MOST_BYTES", 40_000)
    with visiting(engine) as visit:
        long = [f"/part/P-0001?a={letter * 1900}&b={letter * 1900}&c={letter * 1900}" for letter in "xyz"]
        for address in long:
            visit.get(address)
        assert [kept(visit, address) for address in reversed(long)] == [True, True, False]


# ---- many who ask for the same at once


def _asking(path: str = "/slow") -> Request:
    return Request({"type": "http", "method": "GET", "path": path, "query_string": b"", "headers": []})


def test_who_asks_after_a_change_does_not_get_what_was_begun_before_it(engine: Engine) -> None:
    """Two who ask while nothing changes get one page; a third, after a change, gets another."""
    desk, watch, begun, go, made = Desk(engine, lambda: NOON), Watch(engine), Event(), Event(), []

    def slow(request: Request) -> Response:
        made.append(len(made))
        begun.set()
        assert go.wait(10)
        return Shown(desk, in_pieces(str(made[-1])))

    async def ask() -> list[bool]:
        kept = Kept(desk, watch, Makers(engine, 0))
        first = asyncio.create_task(kept.of(slow, _asking(), False))
        await asyncio.to_thread(begun.wait, 10)
        second = asyncio.create_task(kept.of(slow, _asking(), False))
        await asyncio.sleep(0)
        await asyncio.to_thread(shelve, engine, "33n 630V polypropylene")
        third = asyncio.create_task(kept.of(slow, _asking(), False))
        await asyncio.sleep(0)
        go.set()
        return [new for _, new in (await first, await second, await third)]

    assert (asyncio.run(ask()), len(made)) == ([True, False, True], 2)
    watch.close()


# ---- made by other processes


async def _made_aside(engine: Engine, done_to_it: signal.Signals | None = None) -> tuple[Response, Response]:
    """Return a page as a process beside this one makes it, and the same made here."""
    desk, watch = Desk(engine, lambda: NOON), Watch(engine)
    makers = Makers(engine, 1)
    path, _, query = FIND.partition("?")
    app = type("App", (), {"state": type("State", (), {"desk": desk})})
    scope = {"type": "http", "method": "GET", "scheme": "http", "server": ("127.0.0.1", 80), "path": path}
    scope |= {"query_string": query.encode(), "headers": [], "path_params": {}, "app": app, "root_path": ""}
    await makers.start()
    assert makers.there
    processes = makers.processes
    if done_to_it is not None:
        for ident in processes:
            os.kill(ident, done_to_it)
    try:
        aside, _ = await Kept(desk, watch, makers).of(find_page, Request(scope), True)
        assert (makers.processes == processes) is (done_to_it is None)
        return aside, find_page(Request(scope))
    finally:
        await makers.end()
        watch.close()
        assert await asyncio.to_thread(_gone, processes)


def _gone(processes: list[int]) -> bool:
    """Return whether processes end soon."""
    until = time.monotonic() + 10
    while time.monotonic() < until:
        if not any(Path(f"/proc/{ident}").exists() for ident in processes):
            return True
        time.sleep(0.01)
    return False


@pytest.mark.parametrize("done_to_it", [None, signal.SIGKILL, signal.SIGSTOP])
def test_a_page_made_by_another_process_is_the_same(
    engine: Engine, done_to_it: signal.Signals | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """And where that process was killed, or is stuck, the server makes it; none is left behind."""
    monkeypatch.setattr(makers_module, "MOST_SECONDS", 0.5 if done_to_it else 60)
    aside, here = asyncio.run(_made_aside(engine, done_to_it))
    pieces = [page.pieces for page in (aside, here) if isinstance(page, Shown)]
    assert len(pieces) == 2
    assert pieces[0] == pieces[1]


def test_another_process_takes_the_place_of_one_that_was_killed(engine: Engine) -> None:
    """It makes the next page."""

    async def ask() -> bool:
        makers = Makers(engine, 1)
        await makers.start()
        try:
            (first,) = makers.processes
            os.kill(first, signal.SIGKILL)
            path, _, query = FIND.partition("?")
            asked = (path, query.encode(), False, {})
            async with makers.turn(True) as maker:
                lost = await makers.make(maker, find_page, asked)
            async with asyncio.timeout(60):
                while not makers.there:
                    await asyncio.sleep(0.01)
            async with makers.turn(True) as maker:
                made = await makers.make(maker, find_page, asked)
            return lost is None and made is not None and first not in makers.processes
        finally:
            await makers.end()

    assert asyncio.run(ask())


def test_nobody_waits_for_a_process_whose_pipes_have_ended(engine: Engine, monkeypatch: pytest.MonkeyPatch) -> None:
    """That it is gone is known later than that nothing comes from it."""
    heard, ended = Maker.pipe_connection_lost, list[int]()

    async def ask() -> None:
        makers, both = Makers(engine, 1), asyncio.Event()

        def hear(maker: Maker, fd: int, exc: Exception | None) -> None:
            heard(maker, fd, exc)
            ended.append(fd)
            if len(ended) == 2:
                both.set()

        await makers.start()
        monkeypatch.setattr(Maker, "pipe_connection_lost", hear)
        os.kill(makers.processes[0], signal.SIGKILL)
        try:
            await both.wait()
            async with makers.turn(True) as maker:
                with pytest.raises(EOFError):
                    await asyncio.wait_for(maker.ask("anything"), 10)
        finally:
            await makers.end()

    asyncio.run(ask())


def test_none_takes_the_place_of_one_that_is_ended_at_its_page(engine: Engine) -> None:
    """The server is ending: whoever still waits for a page gets none."""

    async def ask() -> int:
        makers = Makers(engine, 1)
        await makers.start()
        os.kill(makers.processes[0], signal.SIGSTOP)  # it is long at it
        async with makers.turn(True) as maker:
            page = asyncio.create_task(makers.make(maker, find_page, ("/find", b"", False, {})))
            await asyncio.sleep(0)
            await makers.end()
            assert await page is None
        return len(asyncio.all_tasks())

    assert asyncio.run(ask()) == 1


def test_a_page_that_nobody_waits_for_any_more_is_not_taken_for_the_next(engine: Engine) -> None:
    """The process that was at it goes, with the answer that is still to come."""

    async def ask() -> bool:
        makers = Makers(engine, 1)
        await makers.start()
        try:
            (first,) = makers.processes
            path, _, query = FIND.partition("?")
            async with makers.turn(True) as maker:
                task = asyncio.ensure_future(makers.make(maker, find_page, (path, query.encode(), False, {})))
                await asyncio.sleep(0)
                task.cancel()
                await asyncio.wait([task])
            return task.cancelled() and first not in makers.processes
        finally:
            await makers.end()

    assert asyncio.run(ask())


def test_a_machine_that_has_no_room_for_other_processes_does_without(engine: Engine) -> None:
    """The server makes its pages itself, and nothing is said of a fault."""
    importlib.import_module("concurrent.futures.process")

    async def start() -> bool:
        makers, (soft, hard) = Makers(engine, 1), resource.getrlimit(resource.RLIMIT_NOFILE)
        resource.setrlimit(resource.RLIMIT_NOFILE, (3, hard))
        try:
            await makers.start()
        finally:
            resource.setrlimit(resource.RLIMIT_NOFILE, (soft, hard))
        return makers.there

    assert not asyncio.run(start())


def test_where_all_processes_take_very_long_the_server_makes_the_page(
    engine: Engine, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whoever has the only one keeps it: nobody waits for ever."""
    monkeypatch.setattr(makers_module, "PATIENCE", 0.01)

    async def ask() -> bool:
        desk, watch, makers = Desk(engine, lambda: NOON), Watch(engine), Makers(engine, 1)
        await makers.start()
        try:
            async with makers.turn(True):
                shown = Shown(desk, in_pieces("made here"))
                return (await Kept(desk, watch, makers).of(lambda request: shown, _asking(), True))[0] is shown
        finally:
            await makers.end()
            watch.close()

    assert asyncio.run(ask())


def test_every_page_of_the_server_may_be_asked_for_again(engine: Engine) -> None:
    """A server that has just been started and one that is ended leave nothing behind."""
    with TestClient(create(engine, makers=1), base_url="http://127.0.0.1") as client:
        assert client.get(FIND).status_code == 200
