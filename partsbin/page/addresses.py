"""Where pages are: by the number of a part, donor or job, by the name of a place, whatever signs it has."""

from __future__ import annotations

from urllib.parse import quote


def part_address(number: str) -> str:
    """Return the page of a part."""
    return f"/part/{quote(number, safe='')}"


def donor_address(code: str) -> str:
    """Return the page of a donor."""
    return f"/donor/{quote(code, safe='')}"


def job_address(code: str) -> str:
    """Return the page of a job."""
    return f"/job/{quote(code, safe='')}"


def place_address(name: str) -> str:
    """Return the page of a place; a name that a browser would take for a way through folders goes into the question.

    Examples
    --------
    >>> place_address("drawer E1"), place_address("shelf 2/left"), place_address("../x")
    ('/place/drawer%20E1', '/place/shelf%202%2Fleft', '/place?name=..%2Fx')
    """
    if {"", ".", ".."} & set(name.replace("\\", "/").split("/")):
        return f"/place?name={quote(name, safe='')}"
    return f"/place/{quote(name, safe='')}"
