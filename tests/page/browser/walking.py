"""Every page that links lead to, one of each kind: what is looked at grows with the pages."""

from __future__ import annotations

import html
import re
import urllib.request
from collections import deque
from http.client import HTTPResponse
from urllib.error import HTTPError
from urllib.parse import urljoin, urlsplit

ASKED = (
    "/part/P-0288",
    "/find?text=32uF+350V&family=capacitor&position=reservoir&set.secondary=286-0-286&set.rail=312",
    "/find?text=1M+log&family=potentiometer&position=volume&set.chassis=live",
    "/find?text=nonsense",
    "/part/P-0078",
    "/fit?part=P-0002&spot=J-0001/1",
    "/none",
)
"""Pages with an answer, a fault, or readings, beside those that links lead to."""

MOST = 60


def walk(site: str) -> dict[str, int]:
    """Return the pages of a site by their addresses, one of each kind, with the status of each; files are left out."""
    found: dict[str, int] = {}
    kinds: set[str] = set()
    waiting = deque(["/", *ASKED])
    while waiting and len(found) < MOST:
        address = waiting.popleft()
        if kind(address) in kinds:
            continue
        kinds.add(kind(address))
        answer = _fetch(site + address)
        if answer.headers.get_content_type() != "text/html":
            continue
        found[address] = answer.status
        page = answer.read().decode()
        for link in re.findall(r'<a[^>]* href="([^"#]+)', page):
            there = urlsplit(urljoin(site + address, html.unescape(link)))
            if f"{there.scheme}://{there.netloc}" == site:
                waiting.append(there.path + (f"?{there.query}" if there.query else ""))
    return found


def kind(address: str) -> str:
    """Return what kind of page an address names: numbers and what is asked for left out; a question of `ASKED` is its own.

    Examples
    --------
    >>> kind("/job/J-0001/plan?limit=3"), kind("/place/box%20T1")
    ('/job/*/plan?limit', '/place/*')
    """
    if address in ASKED:
        return address
    there = urlsplit(address)
    path = re.sub(r"[A-Z]-\d+|(?<=/place/)[^/]+|\b\d+\b", "*", there.path)
    names = sorted(re.findall(r"(?:^|&)([^=&]+)=", there.query))
    return path + (f"?{'&'.join(names)}" if names else "")


def _fetch(address: str) -> HTTPResponse | HTTPError:
    try:
        answer = urllib.request.urlopen(address, timeout=30)
    except HTTPError as fault:
        return fault
    assert isinstance(answer, HTTPResponse)
    return answer
