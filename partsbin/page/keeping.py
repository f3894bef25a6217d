"""What is to be kept on the shelf, and from whom it comes: stock rules and how they stand, suppliers and their sending."""

from __future__ import annotations

from dataclasses import asdict

from sqlalchemy import Connection
from starlette.requests import Request as Asked
from starlette.responses import Response
from starlette.routing import Route

from partsbin.errors import PartsbinError, UsageError
from partsbin.families import named, names
from partsbin.jobs.offers import ship, suppliers
from partsbin.jobs.stock_rules import Rule, add_rule, drop_rule, levels, rules
from partsbin.notation.money import read_money, say_money
from partsbin.page.desk import Desk, Form, asked, desk_of, posted, see_other
from partsbin.page.fields import count_of, number_said, refuse_other, typed_facts, word_for
from partsbin.page.paging import Pages
from partsbin.page.trade import positions_of, with_family
from partsbin.store.engine import reading, writing

A_PAGE = 100
"""Rules, or suppliers, on a page [-]."""


def page(request: Asked) -> Response:
    """Show the rules with what is there of each, and the suppliers."""
    return _page(desk_of(request), request, asked(request))


def _page(desk: Desk, request: Asked, form: Form, fault: PartsbinError | None = None, status: int = 200) -> Response:
    form = with_family({**dict.fromkeys(("text", "family", "position"), ""), **form})
    with reading(desk.engine) as connection:
        stand = levels(connection, desk.clock())
    shops, looked = suppliers(desk.engine), {name: form[name] for name in ("rules", "shops") if form.get(name)}
    kept, sold = (
        Pages.of(looked, A_PAGE, "rules").among(len(stand)),
        Pages.of(looked, A_PAGE, "shops").among(len(shops)),
    )
    return desk.show(
        request,
        "keeping.html",
        status,
        levels=[(level, _seen(level.rule)) for level in stand[kept.start : kept.start + A_PAGE]],
        suppliers=shops[sold.start : sold.start + A_PAGE],
        kept=kept,
        sold=sold,
        families=names(),
        positions=positions_of(form["family"]),
        form=form,
        fault=fault,
        said=say_money,
    )


def added(desk: Desk, request: Asked, form: Form) -> Response:
    """Note a stock rule."""
    try:
        desk.who(request)
        service, lead = form.get("service", "").strip(), form.get("lead", "").strip()
        with writing(desk.engine) as connection:
            rule = add_rule(
                connection, named(form.get("family", "")), form.get("text", "").strip(), form.get("position", ""),
                count_of(form.get("level", "")), facts=typed_facts(form.get("facts", "")),
                service=_chance(service) if service else None, lead=_days(lead) if lead else None,
            )  # fmt: skip
    except PartsbinError as fault:
        return _page(desk, request, form, fault, 409)
    return see_other("/rules", rule.name)


def _chance(text: str) -> float:
    try:
        return float(text.replace(",", "."))
    except ValueError:
        raise UsageError(f"{text[:40]!r} is no chance: expected such as 0.95") from None


def _days(text: str) -> int:
    if not text.isascii() or not text.isdecimal() or len(text) > 4 or not int(text):
        raise UsageError(f"{text[:40]!r} is no number of days: expected 1 to 9999")
    return int(text)


def _seen(rule: Rule) -> str:
    return word_for(asdict(rule))


def _stands(connection: Connection, number: int) -> str:
    """Return a word for how a rule stands, "" for one that is not in force."""
    return next((_seen(rule) for rule in rules(connection) if rule.id == number), "")


def dropped(desk: Desk, request: Asked, form: Form) -> Response:
    """Take a rule out of force."""
    try:
        desk.who(request)
        with writing(desk.engine) as connection:
            number = number_said(form.get("rule", ""), "a rule")
            refuse_other(form.get("seen", ""), lambda: _stands(connection, number), f"rule {number}")
            drop_rule(connection, number)
    except PartsbinError as fault:
        return _page(desk, request, form, fault, 409)
    return see_other("/rules", f"rule {form['rule']} is out of force")


def sending(desk: Desk, request: Asked, form: Form) -> Response:
    """Note what a supplier wants for sending an order."""
    name, free = form.get("name", "").strip(), form.get("free_from", "").strip()
    try:
        desk.who(request)
        if not name:
            raise UsageError("no supplier is named")
        with writing(desk.engine) as connection:
            ship(connection, name, read_money(form.get("shipping", "")), read_money(free) if free else None)
    except PartsbinError as fault:
        return _page(desk, request, form, fault, 409)
    return see_other("/rules", f"{name}: noted what sending costs")


ROUTES = [
    Route("/rules", page),
    Route("/rules/add", posted(added), methods=["POST"]),
    Route("/rules/drop", posted(dropped), methods=["POST"]),
    Route("/rules/sending", posted(sending), methods=["POST"]),
]
