"""The contract of a family, run over every family there is, unedited."""

from __future__ import annotations

import math
import random
import re
from typing import Any

import numpy as np
import pytest

from partsbin import families
from partsbin.checks import Outcome, Verdict
from partsbin.families import load
from partsbin.families._declare import EYES, INSTRUMENTS, Example, Family, Item, columns_of
from partsbin.matching.explain import findings
from partsbin.matching.judge import judge
from partsbin.needs import Need, Request
from partsbin.rules import load_rules
from partsbin.sets import read_facts
from partsbin.sources import SOURCES
from tests.families.random_parts import MAKERS, item, request

FAMILIES = families.names()
EXAMPLES = [
    pytest.param(name, example, id=f"{name}: {example.title}") for name in FAMILIES for example in load(name).examples
]


def need_of(family: Family, example: Example) -> Need:
    """Return the example's need."""
    given = example.need
    return family.need(Request(family.name, given["text"], given["position"], {}, read_facts(given["facts"])))


def said_of(family: Family, example: Example) -> dict[str, Any]:
    """Return what each check says of the example's first option, or of the one it names."""
    part = Item(family.facts.model_validate(example.facts), example.condition, example.readings, example.donor_lineup)
    made = family.options(part)
    option = made[0] if example.label is None else next(o for o in made if o.label == example.label)
    return {finding.check: finding for finding in findings(family, need_of(family, example), option)}


@pytest.mark.parametrize(("name", "example"), EXAMPLES)
def test_an_example_is_judged_as_it_says(name: str, example: Example) -> None:
    """Each example's checks come out as declared."""
    said = said_of(load(name), example)
    assert {code: said[code].verdict for code in example.expect} == dict(example.expect)


@pytest.mark.parametrize("name", FAMILIES)
def test_each_check_has_an_example_of_each_outcome_it_declares(name: str) -> None:
    """A check that cannot fail, or is never seen to, is a defect."""
    family = load(name)
    shown = {(code, outcome) for example in family.examples for code, outcome in example.expect.items()}
    missing = [
        (check.code, outcome) for check in family.checks for outcome in check.may if (check.code, outcome) not in shown
    ]
    assert missing == []


@pytest.mark.parametrize("name", FAMILIES)
def test_no_check_says_what_it_does_not_declare(name: str) -> None:
    """Over random parts and needs every outcome is among those declared."""
    family, source = load(name), random.Random(name)
    options = [o for _ in range(150) for o in family.options(item(MAKERS[name](source)))]
    columns = columns_of(options, family.quantities, family.words)
    for _ in range(60):
        need = family.need(request(source, name))
        for check, ruling in judge(family, need, family.search(need), columns).rulings:
            said = {Outcome(value).word for value in set(ruling.outcome.tolist())}
            assert said <= set(check.may), (check.code, need.request)


@pytest.mark.parametrize("name", FAMILIES)
def test_what_has_no_value_is_usable_only_where_none_is_asked(name: str) -> None:
    """The search reads parts of unknown value for what may have to be measured alone, unless `any_value` says otherwise."""
    family, source = load(name), random.Random(name + "value")
    options = [o for _ in range(150) for o in family.options(item(MAKERS[name](source)))]
    keys, columns = family.keys, columns_of(options, family.quantities, family.words)
    unknown = np.isnan(columns[keys.value]) | np.isnan(columns[keys.low]) | np.isnan(columns[keys.high])
    for _ in range(40):
        need = family.need(request(source, name))
        asked = family.search(need)
        usable = judge(family, need, asked, columns).verdict <= Verdict.CARE
        assert asked.any_value or not (usable & unknown).any(), need.request


@pytest.mark.parametrize("name", FAMILIES)
def test_codes_are_unique_and_sources_exist(name: str) -> None:
    """A code names one check for good; a source is one of the list."""
    family = load(name)
    codes = [check.code for check in family.checks]
    assert len(codes) == len(set(codes))
    assert all(re.fullmatch(r"[A-Z]{3}\d\d", code) for code in codes)
    assert {check.source for check in family.checks} <= set(SOURCES)


@pytest.mark.parametrize("name", FAMILIES)
def test_reasons_hold_words_for_every_random_part(name: str) -> None:
    """No reason is empty, says nan or None, or breaks on an unknown."""
    family, source = load(name), random.Random(name + "words")
    for _ in range(150):
        need = family.need(request(source, name))
        for option in family.options(item(MAKERS[name](source)))[:2]:
            for finding in findings(family, need, option):
                assert finding.reason, finding.check
                assert not re.search(r"\bnan\b|\bNone\b|\binf\b", finding.reason), finding


_UNIT = {"F": "F", "V": "V", "A": "A", "ohm": "Ω", "W": "W", "m": "m"}


@pytest.mark.parametrize(("name", "example"), EXAMPLES)
def test_a_numeric_failure_names_both_numbers(name: str, example: Example) -> None:
    """Where a number failed, the reason holds the number offered and the number needed, with their unit."""
    for finding in said_of(load(name), example).values():
        numeric = isinstance(finding.offered, (float, dict)) and isinstance(finding.needed, (float, dict))
        if finding.verdict == "fail" and numeric and finding.unit in _UNIT:
            assert len(re.findall(rf"[\d.]+ ?[pnµmkM]?{_UNIT[finding.unit]}", finding.reason)) >= 2, finding


@pytest.mark.parametrize("name", FAMILIES)
def test_every_card_that_an_unknown_asks_for_exists(name: str) -> None:
    """An unknown finding says what to read, and there is a card for it."""
    family, source = load(name), random.Random(name + "cards")
    for _ in range(200):
        need = family.need(request(source, name))
        for option in family.options(item(MAKERS[name](source)))[:2]:
            for finding in findings(family, need, option):
                if finding.verdict == "unknown":
                    row = {
                        k: (v or "") if k in family.words else (math.nan if v is None else v)
                        for k, v in option.offers.items()
                    }
                    card = family.cards(finding.reading, need, row)
                    assert card is not None, finding
                    assert card.instrument in (EYES, *INSTRUMENTS), card
                    assert not re.search(r"\bnan\b|\bNone\b|\bunknown\b", f"{card.connect} {card.passes}"), card


@pytest.mark.parametrize("name", FAMILIES)
def test_every_position_answers_from_nothing_but_its_name(name: str) -> None:
    """A need can be built for every position, with an ideal, a window and words."""
    family = load(name)
    for position in load_rules(name).positions:
        need = family.need(Request(name, "", position))
        search = family.search(need)
        assert 0 < search.low <= search.ideal <= search.high
        assert need.headline
        assert family.buy(need)
