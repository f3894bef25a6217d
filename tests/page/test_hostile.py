"""A hostile client over all routes at once: whatever it sends, nothing breaks, nothing shows, nothing is written without a token.

A short run of the fuzz in CI; ``PARTSBIN_FUZZ=20000`` makes it a long one.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import quote, urlencode

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import Engine
from starlette.testclient import TestClient

from partsbin.page.app import create
from partsbin.page.guard import DEVICE, POLICY, VISIT
from tests.page.hostile import KNOWN, NOON, SCRIPT, TEXTS, address, filled, names_of_fields, templates, with_script

MANY = int(os.environ.get("PARTSBIN_FUZZ", "200"))
NASTY = (
    "", " ", SCRIPT, "'; DROP TABLE part; --", "../../etc/passwd", "..\\..\\x", "%00", "\x1b[31m", "é" * 300, "9" * 40, "-1",
    "1e308", "nan", "0x10", "\ufeff", "\u202e", "\ud7ff", "P-0001", "P-99999999999999999999", "²", "١", "{{7*7}}", "%s%n", "=1+1",
    "22n=3", "capacitance", "22n", "a" * 1999, "a" * 2001, "0", "1", "2", "J-0001", "D-001", "box 1", "coupling", "on",
)  # fmt: skip


@pytest.fixture(scope="module")
def engine(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Engine]:
    """One catalogue for all that is sent."""
    made = filled(tmp_path_factory.mktemp("hostile") / "page.sqlite")
    yield made
    made.dispose()


@contextmanager
def browser(engine: Engine) -> Iterator[TestClient]:
    """A browser to which a fault that nobody caught comes as an answer."""
    app = create(engine, clock=lambda: NOON)
    with TestClient(app, base_url="http://127.0.0.1", raise_server_exceptions=False, follow_redirects=False) as client:
        yield client


@pytest.fixture(scope="module")
def client(engine: Engine) -> Iterator[TestClient]:
    """A browser for the whole fuzz."""
    with browser(engine) as opened:
        yield opened


def test_the_fuzz_knows_the_names_in_every_address(client: TestClient) -> None:
    """A new route with a new name is to be fuzzed too."""
    named = {name for path, _ in templates(client.app) for name in re.findall(r"\{(\w+)", path)}
    assert named <= set(KNOWN)


texts = st.one_of(st.sampled_from(NASTY), st.sampled_from([said for _, said in TEXTS]), st.text(max_size=40))
fields = st.dictionaries(st.one_of(st.sampled_from(names_of_fields()), st.text(max_size=8)), texts, max_size=6)


@st.composite
def asked(draw: st.DrawFn, known: list[tuple[str, set[str]]]) -> dict[str, Any]:
    """Draw one request: mostly an address that there is, filled with what is there, what is not and what cannot be."""
    path, methods = draw(st.sampled_from(known))
    values = {name: draw(st.one_of(st.sampled_from(said), texts)) for name, said in KNOWN.items()}
    raw = address(path, {name: quote(said.encode("utf-8", "replace"), safe="") for name, said in values.items()})
    if draw(st.integers(0, 9)) == 0:
        raw = "/" + quote(draw(texts).encode("utf-8", "replace"), safe="/%.")
    method = draw(st.sampled_from([*sorted(methods), "POST", "GET", "PUT", "DELETE", "OPTIONS"]))
    said = {name.encode("utf-8", "replace"): text.encode("utf-8", "replace") for name, text in draw(fields).items()}
    kind = draw(st.sampled_from(["form", "form", "bytes", "multipart", "json"]))
    return {"method": method, "path": raw, "said": said, "kind": kind, "bytes": draw(st.binary(max_size=60))}


def sent(client: TestClient, request: dict[str, Any], token: str) -> Any:
    """Send a request, its fields in the address or in the body, as it says."""
    said = urlencode({**request["said"], b"token": token.encode()}).encode()
    kinds = {
        "form": (said, "application/x-www-form-urlencoded"),
        "bytes": (request["bytes"], "application/x-www-form-urlencoded"),
        "multipart": (_multipart(request, token), "multipart/form-data; boundary=x"),
        "json": (b'{"token": "' + token.encode() + b'"}', "application/json"),
    }
    body, kind = kinds[request["kind"]]
    if request["method"] in ("GET", "OPTIONS", "DELETE"):
        return client.request(request["method"], f"{request['path']}?{urlencode(request['said'])}")
    return client.request(request["method"], request["path"], content=body, headers={"content-type": kind})


def _multipart(request: dict[str, Any], token: str) -> bytes:
    parts = {**request["said"], b"token": token.encode(), b'photo"; filename="../../x.jpg': request["bytes"]}
    lines = [
        b'--x\r\nContent-Disposition: form-data; name="' + name + b'"\r\n\r\n' + text for name, text in parts.items()
    ]
    return b"\r\n".join([*lines, b"--x--\r\n"])


@pytest.mark.parametrize("honest", [True, False], ids=["with its token", "without a token"])
def test_whatever_is_sent_nothing_breaks_and_nothing_shows(client: TestClient, engine: Engine, honest: bool) -> None:
    """Never a fault of ours, never a word of the inside, the strict policy always; without a token nothing is written."""
    known = templates(client.app)
    client.cookies.clear()
    page = client.get("/find").text
    token = re.findall(r'name="token" value="(\w+)"', page)[0] if honest else "0" * 64
    client.cookies.set("partsbin_name", "ann")
    cookies = dict(client.cookies)
    watch = engine.connect()

    def version() -> int:
        watch.rollback()
        return int(watch.exec_driver_sql("PRAGMA data_version").scalar_one())

    before = version()

    @settings(max_examples=MANY, deadline=None, database=None, suppress_health_check=list(HealthCheck))
    @given(asked(known))
    def each(request: dict[str, Any]) -> None:
        client.cookies.clear()
        client.cookies.update(cookies)
        answer = sent(client, request, token)
        assert answer.status_code < 500, (request, answer.text)
        assert answer.headers["content-security-policy"] == POLICY
        shown = answer.text.replace(request["path"], "") if "html" in answer.headers.get("content-type", "") else ""
        assert SCRIPT not in shown
        assert "Traceback" not in shown
        assert "site-packages" not in shown
        if not honest:
            assert version() == before

    each()
    watch.close()


def test_an_empty_form_is_a_fault_in_words_everywhere(client: TestClient) -> None:
    """With its token and nothing else; and each part's name alone."""
    client.cookies.clear()
    token = re.findall(r'name="token" value="(\w+)"', client.get("/find").text)[0]
    client.cookies.set("partsbin_name", "ann")
    there = {name: quote(said[0]) for name, said in KNOWN.items()}
    for path, methods in templates(client.app):
        for form in ({}, {"part": ""}, {"part": "P-0001"}, {"part": "P-0001 P-0002", "how": "series"}, {"how": "x"}):
            method = "POST" if "POST" in methods else "GET"
            answer = client.request(method, address(path, there), params={**form, "token": token})
            answer = client.post(address(path, there), data={**form, "token": token}) if method == "POST" else answer
            assert answer.status_code < 500, (path, form)


@given(raw=st.binary(max_size=200))
@settings(max_examples=MANY, deadline=None, database=None, suppress_health_check=list(HealthCheck))
def test_no_cookie_breaks_anything(client: TestClient, raw: bytes) -> None:
    """Whatever bytes a browser keeps for us."""
    for name in (VISIT, DEVICE, "partsbin_name"):
        cookie = b"; ".join((raw, name.encode() + b"=" + raw))
        answer = client.get("/find", headers={b"cookie": cookie})
        assert answer.status_code == 200


def test_script_in_every_text_of_the_catalogue_stays_text(tmp_path: Path) -> None:
    """All pages of a catalogue into which a hostile list, or a hostile hand, has put script wherever words are kept."""
    engine = filled(tmp_path / "page.sqlite")
    columns = with_script(engine)
    shown = 0
    with browser(engine) as client:
        client.cookies.set("partsbin_name", quote(SCRIPT))
        for path in pages(client):
            answer = client.get(path)
            assert answer.status_code < 500, (path, answer.text)
            if answer.headers.get("content-type", "").startswith(("application/pdf", "text/csv")):
                continue  # no browser runs what is no page: it is told to believe the type
            assert "<script>alert" not in answer.text, path
            shown += "&lt;script&gt;alert" in answer.text
    engine.dispose()
    assert columns > 20
    assert shown > 10


def pages(client: TestClient) -> list[str]:
    """Return an address of every page, filled with what is there, and those that it takes a question to show."""
    there = {name: quote(said[0]) for name, said in KNOWN.items()}
    plain = [address(path, there) for path, methods in templates(client.app) if "GET" in methods]
    need = urlencode({"text": "0.02uF 350V", "family": "capacitor", "position": "coupling"})
    return [*plain, f"/find?{need}", f"/fit?part=P-0001&job=J-0001&need=1&{need}", f"/place/{quote(SCRIPT + '1')}"]
