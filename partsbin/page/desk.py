"""What the pages share: the catalogue, the clock, who is working, templates, and forms read once and answered by a redirect."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from threading import Lock
from typing import TYPE_CHECKING, Any
from urllib.parse import parse_qsl, quote

from anyio import CapacityLimiter, to_thread
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup
from sqlalchemy import Connection, Engine
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from partsbin.errors import PartsbinError, RefusedError, UsageError
from partsbin.page.addresses import donor_address, job_address, part_address, place_address
from partsbin.page.guard import Tokens
from partsbin.page.once import Once
from partsbin.page.remembered import Few
from partsbin.page.shown import GAPS, NAME, Shown, in_pieces, name_in
from partsbin.store.engine import reading
from partsbin.store.repeating import Repeated
from partsbin.store.statements import Statement

if TYPE_CHECKING:
    from partsbin.page.sittings import Sittings
    from partsbin.stock.acts import Who  # loads the tables, which the first answer does without

FOLDER = Path(__file__).parent
LONGEST = 2000
"""Letters that one field may have, at most [-]."""

LONG = {"list": 32_000}
"""Letters that a field may have which takes a whole list, by its name [-]."""

MOST_FIELDS = 100
MOST_CARDS = 1000
"""Cards of answers that are kept as they were written out, at most [-]."""

MOST_LETTERS = 16 * 1024 * 1024
"""Of all of them together, whatever one writes into a form [-]."""

MOST_VISITS = 1000
"""Visits that a message may be waiting for, at most [-]."""

NAV = (
    ("/bench", "bench"),
    ("/find", "find"),
    ("/strip", "strip"),
    ("/jobs", "jobs"),
    ("/donors", "donors"),
    ("/places", "places"),
    ("/orders", "orders"),
)  # fmt: skip
"""The pages of the bar, in its order: address and plain word."""


WRITERS = 8
"""Forms that are worked on at once: they wait for their turn at the catalogue, and must not keep those waiting who only look [-]."""

_LAST = Statement(
    """SELECT max(act_id) FROM (SELECT act_id FROM movement WHERE part_id = :part
       UNION ALL SELECT act_id FROM reading WHERE part_id = :part) AS acts"""
)

_LAST_OF = Statement(
    """SELECT part.id, (SELECT max(act_id) FROM (SELECT act_id FROM movement WHERE part_id = part.id
       UNION ALL SELECT act_id FROM reading WHERE part_id = part.id) AS acts) FROM part WHERE part.id IN :ids"""
)


@dataclass
class Desk:
    """What a page works with.

    Parameters
    ----------
    engine : Engine
        The catalogue.
    clock : callable
        Returns the time.
    tokens : Tokens
        Those of forms.
    """

    engine: Engine
    clock: Callable[[], datetime]
    tokens: Tokens = field(default_factory=Tokens)

    def __post_init__(self) -> None:
        """Load no template yet: each is read when it is first shown."""
        self.templates = Environment(
            loader=FileSystemLoader(FOLDER / "templates"),
            autoescape=True,
            undefined=StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
            auto_reload=False,  # they travel with the package: nothing looks for a newer one with each page
        )

        self.templates.globals.update(
            at_part=part_address, at_donor=donor_address, at_job=job_address, at_place=place_address
        )
        self.writers: CapacityLimiter | None = None
        self._sittings: Sittings | None = None
        self._told: OrderedDict[str, str] = OrderedDict()
        self._telling = Lock()
        self.once = Once()
        self.repeated: Repeated[Response] = Repeated(lambda: reading(self.engine), _weight)
        self.cards: Few[Markup] = Few(MOST_CARDS, MOST_LETTERS)
        self.remembered: dict[str, Any] = {}  # what pages reckon dearly, by their own words: see remembered.py

    @property
    def sittings(self) -> Sittings:
        """Those over donors that are going on."""
        from partsbin.page.sittings import Sittings

        with self._telling:
            if self._sittings is None:
                self._sittings = Sittings()
            return self._sittings

    def tell(self, visit: str, done: str) -> None:
        """Keep what was done until the visit's next page says it, once; no address and no cookie carries it."""
        with self._telling:
            self._told.pop(visit, None)
            self._told[visit] = done
            while len(self._told) > MOST_VISITS:
                self._told.popitem(last=False)

    def told(self, visit: str) -> str:
        """Return what was done before this page, "" from the second time on."""
        with self._telling:
            return self._told.pop(visit, "")

    def show(self, request: Request, template: str, status: int = 200, **values: Any) -> Shown:
        """Return a page, or a fragment of one; what belongs to the visit is put in when it is sent."""
        name = GAPS["name"] if name_of(request) else ""
        page = self.templates.get_template(template).render(
            nav=NAV, path=request.url.path, **{**GAPS, "name": name}, **values
        )
        return Shown(self, in_pieces(page), status)

    def said_of(self, fault: PartsbinError) -> str:
        """Return what a page says of a fault."""
        said: Any = self.templates.get_template("said.html").module
        return str(said.fault_said(fault))

    def who(self, request: Request, why: str = "") -> Who:
        """Return the clock and who works at this browser, for an act."""
        name = name_of(request)
        if not name:
            raise UsageError("nobody has said who is working", hint="say your name at the top of the page")
        from partsbin.stock.acts import Who

        return Who(self.clock(), name, why)


def _weight(page: Response) -> int:
    return len(page) if isinstance(page, Shown) else len(page.body)


Form = dict[str, str]
Work = Callable[[Desk, Request, Form], Response]


def desk_of(request: Request) -> Desk:
    """Return the desk that the application was made with."""
    desk = request.app.state.desk
    assert isinstance(desk, Desk)
    return desk


def name_of(request: Request) -> str:
    """Return who works at this browser, "" where nobody said."""
    return name_in(request.scope)


def keep_name(answer: Response, name: str) -> None:
    """Keep who works at this browser."""
    answer.set_cookie(NAME, quote(name), max_age=365 * 86400, httponly=True, samesite="strict")


def asked(request: Request) -> Form:
    """Return the fields of an address, each once and bounded."""
    return _fields(request.url.query)


def posted(work: Work) -> Callable[[Request], Any]:
    """Return the endpoint of a form: its token is held against the visit, then the work is done in the thread pool."""

    async def endpoint(request: Request) -> Response:
        return await answered(request, _fields((await request.body()).decode("utf-8", "replace")), work)

    endpoint.__name__ = getattr(work, "__name__", "form")
    return endpoint


async def answered(request: Request, form: Form, work: Work) -> Response:
    """Hold the token of a form against the visit, do the work in the thread pool, and keep what was done for the next page.

    Raises
    ------
    ForgedError
        If the form is not of this visit.
    """
    desk = desk_of(request)
    if not desk.tokens.holds(request.scope["visit"], form.pop("token", "")):
        raise ForgedError
    answer = await to_thread.run_sync(_once, work, desk, request, form, limiter=desk.writers)
    if isinstance(answer, Refused):
        path, _, query = answer.address.partition("?")
        there = Request({**request.scope, "method": "GET", "path": path, "query_string": query.encode()})
        shown = (await request.app.state.kept.of(answer.page, there, long=True))[0]
        return shown.refused(answer.fault) if isinstance(shown, Shown) else answer
    if isinstance(answer, SeeOther) and answer.done:
        desk.tell(request.scope["visit"], answer.done)
    return answer


def _once(work: Work, desk: Desk, request: Request, form: Form) -> Response:
    """Do the work of a form; one that carries the mark of its page and was done before is only told again."""
    mark = form.pop("once", "")
    if not mark:
        return work(desk, request, form)
    with desk.once.held(request.scope["visit"], request.url.path, mark, fields=form) as sent:
        if sent.answer:
            address, done = sent.answer
            return see_other(address, f"sent twice, written once: {done}")
        answer = work(desk, request, form)
        if isinstance(answer, SeeOther):
            sent.answer = (answer.headers["location"], answer.done)
        return answer


class ForgedError(Exception):
    """A form without the token of its visit: from elsewhere, or from before the program was started again."""


def _fields(text: str) -> Form:
    try:
        pairs = parse_qsl(text, keep_blank_values=True, max_num_fields=MOST_FIELDS)
    except ValueError:
        raise UsageError(f"more than {MOST_FIELDS} fields in one form") from None
    found: Form = {}
    for name, value in pairs:
        most = LONG.get(name, LONGEST)
        if len(value) > most:
            raise UsageError(f"a field of {len(value)} letters: expected at most {most}")
        if "\x00" in value:
            raise UsageError("a sign of number zero in a field: expected text")
        found[name] = value
    return found


class SeeOther(RedirectResponse):
    """The answer to a form: look there, so that going back and again sends nothing twice.

    Parameters
    ----------
    address : str
        Where, on this machine.
    done : str
        What was done, for the page there to say.
    """

    def __init__(self, address: str, done: str) -> None:
        super().__init__(address, 303)
        self.done = done


class Refused(Response):
    """The answer to a form that is refused: its page as it stands now, kept or made as if somebody asked for it, with the fault.

    Parameters
    ----------
    page : callable
        Makes the page.
    address : str
        Of the page.
    fault : PartsbinError
        Why.
    """

    def __init__(self, page: Callable[[Request], Response], address: str, fault: PartsbinError) -> None:
        super().__init__(fault.message, 409, media_type="text/plain")
        self.page, self.address, self.fault = page, address, fault


def see_other(address: str, done: str = "") -> SeeOther:
    """Return the answer to a form; `posted` sees to it that the next page says what was done."""
    return SeeOther(address, done)


def last_act(connection: Connection, part_id: int) -> int:
    """Return the number of the last act on a part, 0 for none; a form carries it as `seen`."""
    return int(_LAST.rows(connection, {"part": part_id})[0][0] or 0)


def last_acts(connection: Connection, part_ids: Sequence[int]) -> dict[int, int]:
    """Return the same for many parts by id, in one question."""
    return {row[0]: int(row[1] or 0) for row in _LAST_OF.tuples_of_ids(connection, list(dict.fromkeys(part_ids)))}


def refuse_stale(connection: Connection, part_id: int, seen: str) -> None:
    """Refuse a form that shows a part as it was before somebody else's act; call it inside the transaction that writes.

    Raises
    ------
    RefusedError
        If the part was acted on since, or the form does not say what it shows.
    """
    if seen != str(last_act(connection, part_id)):
        raise RefusedError(
            "this part has been changed since the page was shown; nothing was written",
            hint="look at it as it is now, then say it again",
        )
