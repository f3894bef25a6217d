"""Photographs on the page of a part: sent, shown, taken back; what a hostile client sends in their place."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sqlalchemy import Engine
from starlette.testclient import TestClient

from partsbin.errors import UsageError
from partsbin.page.uploads import read_upload
from partsbin.stock.photographs import MOST
from partsbin.store.engine import open_store
from tests.page.shelf import shelve
from tests.page.visitor import NOON, browser, fields_of, one
from tests.stock.test_pictures import SCRIPT, opened, picture, with_everything

AT = "/part/P-0001"


@pytest.fixture
def engine(tmp_path: Path) -> Iterator[Engine]:
    """A catalogue with two parts."""
    made = open_store(tmp_path / "page.sqlite")
    shelve(made, "22n 630V", NOON)
    shelve(made, "47n 400V", NOON)
    yield made
    made.dispose()


@pytest.fixture
def client(engine: Engine) -> Iterator[TestClient]:
    """A browser in which somebody has said their name."""
    with browser(engine) as made:
        yield made


def post(client: TestClient, data: bytes, *, name: str = "x.jpg", kind: str = "image/jpeg", **said: str) -> Any:
    """Send a photograph as a browser does."""
    form = {**fields_of(client.get(AT).text, f"{AT}/photograph"), **said}
    return client.post(f"{AT}/photograph", data=form, files={"photo": (name, data, kind)})


def kept(engine: Engine) -> int:
    """Return how many photographs there are."""
    return int(one(engine, "SELECT count(*) FROM photograph"))


def test_a_photograph_is_kept_and_shown(client: TestClient) -> None:
    """On the page in small, behind it in full."""
    page = post(client, picture((2000, 1000)), caption="the end with the band").text
    assert "photograph of P-0001 kept" in page
    assert f'<img src="{AT}/photograph/1/small" alt="the end with the band"' in page
    assert opened(client.get(f"{AT}/photograph/1").content).size == (1600, 800)


def test_a_picture_is_answered_as_one(client: TestClient) -> None:
    """No browser may take it for anything else."""
    post(client, picture())
    headers = client.get(f"{AT}/photograph/1").headers
    assert headers["content-type"] == "image/jpeg"
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["content-disposition"] == 'inline; filename="P-0001-1.jpg"'


def test_where_it_was_taken_is_kept_nowhere(client: TestClient, engine: Engine) -> None:
    """Not in the catalogue, not in what is shown."""
    post(client, with_everything())
    shown = client.get(f"{AT}/photograph/1").content
    assert (b"Exif" in with_everything(), b"Exif" in shown, b"somebody" in shown) == (True, False, False)


def test_a_photograph_is_taken_back_and_stays_in_the_catalogue(client: TestClient, engine: Engine) -> None:
    """The page says by whom."""
    post(client, picture())
    action = f"{AT}/photograph/1/back"
    page = client.post(action, data=fields_of(client.get(AT).text, action)).text
    assert "photograph 1 of 2026-03-01 was taken back 2026-03-01 by bench" in page
    assert (client.get(f"{AT}/photograph/1").status_code, kept(engine)) == (404, 1)


def test_a_form_that_shows_no_photograph_takes_none_back(client: TestClient) -> None:
    """It carries how the photograph stands, as every form that shows something."""
    post(client, picture())
    form = fields_of(client.get(AT).text, f"{AT}/photograph/1/back")
    answer = client.post(f"{AT}/photograph/1/back", data={**form, "seen": ""})
    assert (answer.status_code, "photograph 1 has changed since" in answer.text) == (409, True)


def test_one_that_was_taken_back_is_not_taken_back_again(client: TestClient) -> None:
    """A second tap is told."""
    post(client, picture())
    action = f"{AT}/photograph/1/back"
    form = fields_of(client.get(AT).text, action)
    assert [client.post(action, data=form).status_code for _ in range(2)] == [200, 409]


@pytest.mark.parametrize("path", ["/part/P-0002/photograph/1", f"{AT}/photograph/2", f"{AT}/photograph/{10**30}"])
def test_a_photograph_of_another_part_is_not_found(client: TestClient, path: str) -> None:
    """Nor one that is not there."""
    post(client, picture())
    assert client.get(path).status_code == 404


@pytest.mark.parametrize(
    "data", [b"", b"<svg><script>alert(1)</script></svg>", b"\x89PNG\r\n\x1a\n" + bytes(50), picture()[:200]]
)
def test_what_is_no_photograph_is_refused(client: TestClient, engine: Engine, data: bytes) -> None:
    """Whatever it calls itself; what was said of it stays in the field."""
    answer = post(client, data, caption="the band")
    assert (answer.status_code, kept(engine), 'value="the band"' in answer.text) == (409, 0, True)


def test_more_than_is_taken_is_refused(client: TestClient, engine: Engine) -> None:
    """Before it is read whole."""
    assert (post(client, bytes(13 * 1024 * 1024)).status_code, kept(engine)) == (413, 0)


def test_a_photograph_of_several_megabytes_is_taken(client: TestClient, engine: Engine) -> None:
    """As a telephone sends it."""
    assert (post(client, picture((3000, 2000)) + bytes(6_000_000)).status_code, kept(engine)) == (200, 1)


@pytest.mark.parametrize("token", ["", "0" * 64])
def test_a_forged_form_keeps_nothing(client: TestClient, engine: Engine, token: str) -> None:
    """The token is held against the visit here too."""
    assert (post(client, picture(), token=token).status_code, kept(engine)) == (403, 0)


def test_script_in_names_and_captions_stays_text(client: TestClient) -> None:
    """The file's name is not even read."""
    page = post(client, picture(), name=f"{SCRIPT}.jpg", caption=f'"{SCRIPT}').text
    assert "<script>alert" not in page


def test_a_part_has_no_more_than_a_page_holds(client: TestClient, engine: Engine) -> None:
    """The next one is refused."""
    codes = [post(client, picture()).status_code for _ in range(MOST + 1)]
    assert (codes[-1], kept(engine), len(client.get(AT).content) < 100_000) == (409, MOST, True)


def test_nobody_named_means_nothing_kept(engine: Engine) -> None:
    """As with every form."""
    with browser(engine, name="") as stranger:
        assert (post(stranger, picture()).status_code, kept(engine)) == (409, 0)


KIND = "multipart/form-data; boundary=edge"


def body(*pieces: bytes, end: bytes = b"--edge--\r\n") -> bytes:
    """Return the body of a form with a file."""
    return b"".join(b"--edge\r\n" + piece + b"\r\n" for piece in pieces) + end


TOKEN = b'Content-Disposition: form-data; name="token"\r\n\r\nabc'
FILE = b'Content-Disposition: form-data; name="photo"; filename="../../x"\r\nContent-Type: image/jpeg\r\n\r\n\xff\r\n--edg\x00'


def test_fields_and_file_are_told_apart() -> None:
    """What looks like the edge and is none belongs to the file."""
    assert read_upload(KIND, body(TOKEN, FILE)) == ({"token": "abc"}, b"\xff\r\n--edg\x00")


@pytest.mark.parametrize(
    ("kind", "sent"),
    [
        ("application/x-www-form-urlencoded", body(TOKEN)),
        ("multipart/form-data", body(TOKEN)),
        ("multipart/form-data; boundary=", body(TOKEN)),
        (f"multipart/form-data; boundary={'x' * 80}", body(TOKEN)),
        (KIND, b""),
        (KIND, body(TOKEN, end=b"")),
        (KIND, body(TOKEN)[:-12]),
        (KIND, b"before" + body(TOKEN)),
        (KIND, body(*[TOKEN] * 20)),
        (KIND, body(b"no head")),
        (KIND, body(b"Content-Disposition: form-data\r\n\r\nx")),
        (KIND, body(TOKEN + b"\x00")),
        (KIND, body(TOKEN + b"x" * 9000)),
        (KIND, body(b"X: " + b"y" * 3000 + b"\r\n" + TOKEN)),
    ],
)
def test_a_form_that_is_not_whole_is_refused(kind: str, sent: bytes) -> None:
    """In words, never with a broken page."""
    with pytest.raises(UsageError):
        read_upload(kind, sent)


@given(st.binary(max_size=300), st.binary(max_size=300))
def test_no_bytes_break_the_reading_of_a_form(before: bytes, after: bytes) -> None:
    """Read, or refused in words."""
    try:
        form, file = read_upload(KIND, before + body(TOKEN, FILE) + after)
    except UsageError:
        return
    assert (form.get("token", "abc"), isinstance(file, bytes)) == ("abc", True)


@pytest.mark.parametrize(
    ("data", "called"),
    [
        (b"\x00\x00\x00\x18ftypheic" + bytes(900), "a HEIC photograph"),
        (b"\x00\x00\x00\x18ftypmif1" + bytes(900), "a HEIC photograph"),
        (b"\x00\x00\x00\x1cftypavif" + bytes(900), "an AVIF picture"),
        (b"\x00\x00\x00\x20ftypqt  " + bytes(900), "a video"),
        (b"GIF89a" + bytes(900), "a GIF"),
        (b"potatoes" + bytes(900), "this file of 908 bytes"),
    ],
)
def test_a_photograph_of_another_kind_is_told_with_what_is_read(client: TestClient, data: bytes, called: str) -> None:
    """What a telephone may send by itself is called by its name, with the way out."""
    answer = post(client, data)
    assert answer.status_code == 409
    assert (
        f"{called} cannot be read as a photograph here: expected JPEG, PNG or WebP<br>set the camera to JPEG"
        in answer.text
    )
