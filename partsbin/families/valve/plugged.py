"""Checks of what is plugged in: is it listed for the socket, does the base go in, do the heaters agree."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Any

import numpy as np
import numpy.typing as npt

from partsbin.checks import Check, Columns, Finding, Missing, Numbers, Ruling, Texts, outcomes
from partsbin.needs import Need
from partsbin.reference.substitutes import Substitute, never_in_chain, substitute
from partsbin.reference.valves import valve
from partsbin.words import say, volts

Row = Mapping[str, Any]
Mask = npt.NDArray[np.bool_]
UNTOLD = Substitute("")


def relation(need: Need, type: str) -> Substitute:
    """Return how a type stands to the dead one; in a chain a valve made for parallel heaters is refused."""
    return _relation(need.word("socket"), need.has("chain"), type)


def _relation(socket: str, chain: bool, type: str) -> Substitute:
    if not socket or not type:
        return UNTOLD
    found = substitute(socket, type)
    if chain and (why := never_in_chain(socket, type)):
        return Substitute("never", why)
    return found


def related(need: Need, types: Texts, *names: str) -> Mask:
    """Return which of the types stand to the dead one in one of the named ways."""
    return _related(need.word("socket"), need.has("chain"), tuple(types.tolist()), names)


@lru_cache(32)  # a dozen checks ask the same of the same valves
def _related(socket: str, chain: bool, types: tuple[str, ...], names: tuple[str, ...]) -> Mask:
    table = {type: _relation(socket, chain, type).relation in names for type in dict.fromkeys(types)}
    found = np.array([table[type] for type in types], dtype=bool)
    found.setflags(write=False)
    return found


def like(need: Need, types: Texts) -> Mask:
    """Return which are the same valve, or go in without a change."""
    return related(need, types, "same", "drop-in")


def none(n: int) -> Mask:
    """Return a mask that holds nowhere."""
    return np.zeros(n, dtype=bool)


def memory(type: str, figure: str) -> str:
    """Return the words that a reason adds where a figure of the table is from memory."""
    row = valve(type) if type else None
    return " (from memory)" if row is not None and row.standing_of(figure) == "memory" else ""


# ---- listed for the socket


def _listed(need: Need, c: Columns) -> Ruling:
    types, n = c["type"], len(c["type"])
    unknown = np.array([not type for type in types.tolist()], dtype=bool) | (not need.word("socket"))
    good, near = like(need, types), related(need, types, "near")
    outcome = outcomes(n, fail=~good & ~near & ~unknown, thin=near, unknown=unknown)
    return Ruling(outcome, types, np.full(n, need.word("socket"), dtype=object))


def _say_listed(need: Need, f: Finding, row: Row) -> str:
    socket, type = need.word("socket"), row["type"]
    if f.verdict == "unknown":
        return "its type is not known" if not type else f"{type}; the socket's type is not known"
    found = relation(need, type)
    sure = "" if found.standing == "read" else " (from memory)"
    note = f": {found.note}" if found.note else ""
    if found.relation == "same":
        return f"{type}, the same valve{note}{sure}"
    if found.relation == "drop-in":
        return f"{type} goes in for {socket}{note}{sure}"
    if found.relation == "near":
        return f"{type} near {socket}{note}{sure}"
    if found.relation == "never":
        return f"{type} never for {socket}{note}{sure}"
    return f"{type} for {socket}: no list here says that it replaces it"


# ---- base


def _base(need: Need, c: Columns) -> Ruling | None:
    if not need.has("socket"):
        return None
    bases, wanted, n = c["base"], need.word("base"), len(c["base"])
    blank = np.array([not base for base in bases.tolist()], dtype=bool) | (not wanted)
    other = np.array([base != wanted for base in bases.tolist()], dtype=bool) & ~blank
    near = related(need, c["type"], "near")
    unknown = blank & ~like(need, c["type"])
    return Ruling(
        outcomes(n, fail=other & ~near, thin=other & near, unknown=unknown), bases, np.full(n, wanted, dtype=object)
    )


def _say_base(need: Need, f: Finding, row: Row) -> str:
    has, wanted = row["base"] or "base not known", need.word("base") or "not known"
    if f.verdict == "thin":
        return f"{has} in a {wanted} socket: change the socket and wire it pin for pin"
    if f.verdict == "fail":
        return f"{has} does not go into {wanted}"
    return f"{has}, socket {wanted}"


# ---- heater


def _own_or_dead(need: Need, c: Columns, name: str) -> Numbers:
    """The heater's figure; that of a valve made to take the dead one's place is the dead one's where no row has it."""
    return np.where(np.isnan(c[name]) & like(need, c["type"]), need.number(name), c[name])


def _heater_volts(need: Need, c: Columns) -> Ruling | None:
    if not need.has("heater_volts"):
        return None
    wanted, has = need.number("heater_volts"), _own_or_dead(need, c, "heater_volts")
    off, near = np.abs(has / wanted - 1), related(need, c["type"], "near")
    close, far = need.rules.general("heater_fits"), need.rules.general("heater_care")
    with np.errstate(invalid="ignore"):
        made_up = near & ((has < wanted) | need.has("chain"))
        fail, thin = (off > far) & ~made_up, (off > close)
    return Ruling(outcomes(len(has), fail=fail, thin=thin, unknown=np.isnan(has)), has, np.full(len(has), wanted))


def _say_heater_volts(need: Need, f: Finding, row: Row) -> str:
    wanted, has, amperes = need.number("heater_volts"), f.ends[0], row["heater_amperes"]
    if f.verdict == "unknown":
        return f"heater volts not known, {volts(wanted)} there"
    said = f"heater {say(has, 'V')}{memory(row['type'], 'heater_volts')}, {say(wanted, 'V')} there"
    if f.verdict == "thin" and has < wanted and amperes > 0:
        ohms, watts = (wanted - has) / amperes, (wanted - has) * amperes
        return f"{said}: {say(ohms, 'ohm')} in series with the heater, {say(watts, 'W')}: fit {say(_twice(watts), 'W')}"
    if f.verdict == "thin" and need.has("chain"):
        return f"{said}: take {say((has - wanted) / need.number('chain'), 'ohm')} off the dropper"
    return said


def _twice(watts: float) -> float:
    """Twice the watts, in a size that is made."""
    return next((size for size in (0.5, 1.0, 2.0, 3.0, 5.0, 7.0, 10.0, 17.0, 25.0) if size >= 2 * watts), 2 * watts)


def _heater_amperes(need: Need, c: Columns) -> Ruling | None:
    chain = need.has("chain")
    wanted = need.number("chain" if chain else "heater_amperes")
    if np.isnan(wanted):
        return None
    has = _own_or_dead(need, c, "heater_amperes")
    with np.errstate(invalid="ignore"):
        if chain:
            fail, thin = np.abs(has / wanted - 1) > need.rules.general("chain_current"), none(len(has))
        else:
            fail = has > need.rules.general("heater_most") * wanted
            thin = has > need.rules.general("heater_more") * wanted
    return Ruling(outcomes(len(has), fail=fail, thin=thin, unknown=np.isnan(has)), has, np.full(len(has), wanted))


def _say_heater_amperes(need: Need, f: Finding, row: Row) -> str:
    chain = need.has("chain")
    wanted = need.number("chain" if chain else "heater_amperes")
    if f.verdict == "unknown":
        return f"heater current not known, {say(wanted, 'A')} {'in the chain' if chain else 'was drawn'}"
    said = f"heater {say(f.ends[0], 'A')}{memory(row['type'], 'heater_amperes')}"
    if chain:
        why = ": it burns out, or starves the others" if f.verdict == "fail" else ""
        return f"{said}, {say(wanted, 'A')} in the chain{why}"
    more = f": the winding must spare {say(f.ends[0] - wanted, 'A')}" if f.verdict in ("thin", "fail") else ""
    return f"{said}, {say(wanted, 'A')} was drawn{more}"


PLUGGED = (
    Check("VAL01", "valve", "equivalents-memory", ("type",), _listed, _say_listed, wall=True, missing=Missing.LOOK, reading="type",
          change=True),
    Check("VAL02", "base", "memory", ("type", "base"), _base, _say_base, wall=True, missing=Missing.LOOK, reading="base", change=True),
    Check("VAL03", "heater volts", "darby-1962", ("type", "heater_volts", "heater_amperes"), _heater_volts, _say_heater_volts,
          unit="V", wall=True, missing=Missing.LOOK, reading="sheet", change=True),
    Check("VAL04", "heater current", "practice", ("type", "heater_amperes"), _heater_amperes, _say_heater_amperes, unit="A",
          wall=True, missing=Missing.LOOK, reading="sheet", change=True),
)  # fmt: skip
