"""The page of a part: what is known and from where, what is done to it, what was done meanwhile."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from sqlalchemy import Engine
from starlette.testclient import TestClient

from partsbin.families import load
from partsbin.jobs.needs import add_need
from partsbin.jobs.record import open_job
from partsbin.stock.acts import Who, measure, scrap
from partsbin.stock.marking import mark
from partsbin.stock.parts import NewReading
from partsbin.store.engine import open_store, writing
from tests.page.shelf import shelve
from tests.page.visitor import NOON, browser, fields_of, one, send

AT = "/part/P-0001"
SCRIPT = '"><script>alert(1)</script>'


@pytest.fixture
def engine(tmp_path: Path) -> Iterator[Engine]:
    """A catalogue with three capacitors in a drawer."""
    opened = open_store(tmp_path / "page.sqlite")
    shelve(opened, "22n 5% polypropylene", NOON)
    yield opened
    opened.dispose()


@pytest.fixture
def client(engine: Engine) -> Iterator[TestClient]:
    """A browser in which somebody has said their name."""
    with browser(engine) as opened:
        yield opened


def read_twice(engine: Engine) -> None:
    """All three read, and read again a month later, further off."""
    with writing(engine) as connection:
        for days, value in ((0, 22.0e-9), (30, 25.0e-9)):
            who = Who(NOON + timedelta(days=days), "bench")
            measure(connection, 1, [NewReading("capacitance", value, "F", 0.2e-9)], who, pieces=3)


def test_each_figure_says_where_it_is_from(client: TestClient, engine: Engine) -> None:
    """What came with the part, what was marked later and by whom, what was read."""
    with writing(engine) as connection:
        mark(connection, 1, "22n 630V", Who(NOON + timedelta(days=9), "other"))
    read_twice(engine)
    page = client.get(AT).text
    assert 'capacitance</th><td>22 nF<br><span class="soft">marked, noted 2026-03-01 by test</span>' in page
    assert 'voltage dc</th><td>630 V<br><span class="soft">marked, noted 2026-03-10 by other</span>' in page
    assert '<td>25 nF ±200 pF<br><span class="soft">read 2026-03-31 by bench</span>' in page


def test_drift_is_said_and_drawn(client: TestClient, engine: Engine) -> None:
    """In words, as a drawing, and as figures."""
    read_twice(engine)
    page = client.get(AT).text
    assert "drift: capacitance is 14 % above its mark" in page
    assert "<figcaption>capacitance over time</figcaption>" in page


def test_a_reading_of_one_of_several_leads_to_its_own_page(client: TestClient) -> None:
    """The piece has its own number now."""
    page = send(client, AT, f"{AT}/read", reading="capacitance", value="21.6nF", stands="one").text
    assert "<h1>P-0002 " in page
    assert "P-0002, split off P-0001; read 2026-03-01: capacitance 21.6 nF" in page


def test_a_reading_of_another_day_says_that_day(client: TestClient, engine: Engine) -> None:
    """Written down later than it was taken."""
    send(client, AT, f"{AT}/read", reading="capacitance", value="21.6nF", stands="every", on="2026-02-01")
    assert str(one(engine, "SELECT taken_at FROM reading")).startswith("2026-02-01")


def test_a_section_is_named_before_the_figure(client: TestClient, engine: Engine) -> None:
    """As on the command line: the second of a double capacitor."""
    send(client, AT, f"{AT}/read", reading="capacitance", value="@2=21.6nF", stands="every")
    assert one(engine, "SELECT quantity FROM reading") == "capacitance@2"


def test_pieces_are_moved(client: TestClient) -> None:
    """Some of them become a part of their own."""
    page = send(client, AT, f"{AT}/move", place="box B3", pieces="2").text
    assert "P-0002: 2 in box B3, split off P-0001" in page


def test_what_is_printed_is_written_down(client: TestClient) -> None:
    """The title follows."""
    assert "is marked: 22 nF ±5 % 400 V" in send(client, AT, f"{AT}/mark", text="22n 400V").text


def test_a_contradiction_is_refused_until_it_is_said_to_correct(client: TestClient) -> None:
    """What is known is not written over by a slip."""
    first = send(client, AT, f"{AT}/mark", text="47n")
    second = send(client, AT, f"{AT}/mark", text="47n", correct="yes")
    assert (first.status_code, "contradicts" in first.text, "is marked: 47 nF" in second.text) == (409, True, True)


def test_a_count_books_the_difference(client: TestClient, engine: Engine) -> None:
    """As the command line does."""
    page = send(client, AT, f"{AT}/count", count="about 5").text
    assert ("P-0001: about 5, +2" in page, one(engine, "SELECT on_hand FROM part")) == (True, 5)


def test_pieces_are_thrown_away_with_a_reason(client: TestClient) -> None:
    """The ledger keeps it."""
    assert "leaks 40 µA" in send(client, AT, f"{AT}/scrap", pieces="1", why="leaks 40 µA").text


def test_the_last_act_is_taken_back(client: TestClient, engine: Engine) -> None:
    """By its number, from the page."""
    send(client, AT, f"{AT}/scrap", pieces="2")
    send(client, AT, f"{AT}/back")
    assert one(engine, "SELECT on_hand FROM part") == 3


def test_a_split_that_is_taken_back_leads_to_the_whole(client: TestClient, engine: Engine) -> None:
    """Nothing lies under the number of the piece any more."""
    send(client, AT, f"{AT}/move", place="box B3", pieces="2")
    page = send(client, "/part/P-0002", "/part/P-0002/back").text
    assert ("<h1>P-0001 " in page, one(engine, "SELECT on_hand FROM part WHERE id = 1")) == (True, 3)


def test_a_list_of_many_parts_is_not_taken_back_from_one(client: TestClient, engine: Engine) -> None:
    """It wants to be named."""
    with writing(engine) as connection:
        act = connection.exec_driver_sql(
            "INSERT INTO act (word, at, \"by\", why) VALUES ('counted', '2026-03-02', 'x', '') RETURNING id"
        ).scalar_one()
        for ident in (1, *more_parts(engine, connection)):
            connection.exec_driver_sql(
                "INSERT INTO movement (act_id, part_id, word, quantity, aside) VALUES (?, ?, 'counted', 0, 0)",
                (act, ident),
            )
    page = client.get(AT).text
    assert f'action="{AT}/back"' not in page


def more_parts(engine: Engine, connection: object) -> tuple[int, ...]:
    """Two parts more, by hand: this act is of three."""
    from partsbin.stock.catalogue import shelve as put
    from partsbin.stock.draft import draft_from_text

    draft, _ = draft_from_text("47n 400V polyester", family="capacitor")
    return tuple(put(connection, [draft, draft], at=NOON, by="test"))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("act", "said"),
    [
        ("read", {"reading": "capacitance", "value": "21.6nF"}),
        ("move", {"place": "box B3"}),
        ("mark", {"text": "22n 400V"}),
        ("count", {"count": "9"}),
        ("scrap", {"pieces": "1"}),
        ("back", {}),
    ],
)
def test_a_form_from_before_another_act_writes_nothing_and_keeps_what_was_typed(
    client: TestClient, engine: Engine, act: str, said: dict[str, str]
) -> None:
    """The second of two who work on the same part is told."""
    form = {**fields_of(client.get(AT).text, f"{AT}/{act}"), **said}
    with writing(engine) as connection:
        scrap(connection, 1, 1, Who(NOON, "other"))
    before = one(engine, "SELECT count(*) FROM act")
    answer = client.post(f"{AT}/{act}", data=form)
    assert (answer.status_code, one(engine, "SELECT count(*) FROM act")) == (409, before)
    assert "has been changed since" in answer.text
    assert all(f'value="{text}"' in answer.text for text in said.values())


@pytest.mark.parametrize("act", ["read", "move", "mark", "count", "scrap"])
def test_script_in_a_field_stays_text(client: TestClient, act: str) -> None:
    """Taken or refused."""
    said = dict.fromkeys(("reading", "value", "on", "place", "text", "count", "pieces", "why", "instrument"), SCRIPT)
    assert "<script>alert" not in send(client, AT, f"{AT}/{act}", **said).text


@pytest.mark.parametrize("number", ["P-9999", "P-99999999999999999999", "x", "%00", "..%2f..%2fetc"])
def test_a_part_that_is_not_there_is_said_in_words(client: TestClient, number: str) -> None:
    """Whatever the address says."""
    answer = client.get(f"/part/{number}")
    assert (answer.status_code in (400, 404), "Traceback" in answer.text) == (True, False)


def test_a_long_life_comes_in_pages(client: TestClient, engine: Engine) -> None:
    """Three hundred readings and acts, each page under 100 kB."""
    with writing(engine) as connection:
        for day in range(300):
            who = Who(NOON + timedelta(days=day), "bench")
            measure(connection, 1, [NewReading("capacitance", 22e-9 + day * 1e-12, "F", 0.2e-9)], who, pieces=3)
    answer = client.get(f"{AT}?readings=2")
    assert (len(answer.content) < 100_000, "readings: page 2 of 15" in answer.text) == (True, True)


def test_what_it_would_serve_is_a_page_of_its_own(client: TestClient, engine: Engine) -> None:
    """Each open need is judged."""
    assert "no open need" in client.get(f"{AT}/serves").text
    with writing(engine) as connection:
        add_need(connection, open_job(connection, Who(NOON)), "capacitor", "22n 630V", "coupling")
    assert "would serve coupling capacitor of J-0001" in client.get(f"{AT}/serves").text


def test_the_code_on_the_page_is_the_labels(client: TestClient) -> None:
    """Drawn, with its words."""
    page = client.get(AT).text
    assert re.search(r'<svg class="code" role="img"[^>]*aria-label="code P-0001">', page)


def test_the_dangers_of_its_readings_stand_by_the_field(client: TestClient) -> None:
    """Each of the family's, before anything is typed."""
    form = client.get(AT).text.partition('action="/part/P-0001/read"')[2].partition("</form>")[0]
    for each in load("capacitor").readings:
        assert f'class="caution">caution: {each.name}: {each.danger}</p>' in form
