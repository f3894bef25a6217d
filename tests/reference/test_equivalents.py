"""The table of equivalents: its rows, its direction and the names it makes one."""

from __future__ import annotations

from collections import Counter

import pytest

from partsbin.reference.equivalents import Equivalent, equivalents, namesakes, type_key
from partsbin.reference.valves import valve, valves
from partsbin.sources import SOURCES

TABLE = equivalents()
LISTED = [row.type for row in valves()]


def test_table_is_whole() -> None:
    """As many rows of each kind as the notes count, and 6CA7 for EL34."""
    assert Counter(row.relation for row in TABLE) == {"identical": 200, "drop-in": 40, "near": 61}
    assert Counter(row.standing for row in TABLE) == {"read": 104, "memory": 197}


@pytest.mark.parametrize("row", TABLE, ids=lambda row: f"{row.type_a}-{row.type_b}")
def test_each_row_names_a_source_of_its_own_standing(row: Equivalent) -> None:
    """A row marked as read was read somewhere."""
    assert SOURCES[row.source].standing == row.standing


def test_near_equivalents_say_what_differs() -> None:
    """A near equivalent without its note would be fitted as it is."""
    assert [row for row in TABLE if row.relation == "near" and not row.note] == []


def test_no_pair_stands_twice() -> None:
    """Nor once in each direction, which would give one pair two relations."""
    pairs = Counter(frozenset((row.type_a, row.type_b)) for row in TABLE)
    assert [set(pair) for pair, times in pairs.items() if times > 1] == []
    assert all(len(pair) == 2 for pair in pairs)


def test_a_name_leads_to_one_listed_type_only() -> None:
    """No name without a row of its own is directly identical with two types that have one."""
    own = set(LISTED)
    links: dict[str, set[str]] = {}
    for row in TABLE:
        if row.relation == "identical":
            for name, other in ((row.type_a, row.type_b), (row.type_b, row.type_a)):
                if name not in own and other in own:
                    links.setdefault(name, set()).add(other)
    assert [name for name, types in links.items() if len(types) > 1] == []


@pytest.mark.parametrize("row", [row for row in TABLE if row.relation == "identical"], ids=lambda row: row.type_b)
def test_identical_names_find_each_other_in_both_directions(row: Equivalent) -> None:
    """Whichever of the two has a row, the other finds it, or both have one."""
    both = {row.type_a, row.type_b}
    for name in both - set(LISTED):
        found = valve(name)
        if both & set(LISTED):
            assert found is not None
            assert found.type in both


def test_a_chain_of_names_is_only_as_sure_as_its_weakest_link() -> None:
    """Listing only EBC90 makes 6AT6 its read namesake; listing only HL92 makes 50C5 one from memory."""
    found = namesakes(["EBC90", "EB91"])
    assert (found["6AT6"].listed_as, found["6AT6"].standing) == ("EBC90", "read")
    assert (found["EAA91"].listed_as, found["EAA91"].standing) == ("EB91", "memory")


def test_names_are_followed_through_another_name() -> None:
    """L77 is 6C4, and 6C4 is EC90."""
    found = namesakes(["EC90"])
    assert (found["L77"].listed_as, found["L77"].standing) == ("EC90", "memory")


@pytest.mark.parametrize(
    ("written", "key"),
    [("ecc-83", "ECC83"), ("VT 126 b", "VT126B"), ("ＥＬ８４", "EL84"), ("6П14П", "6П14П"), ("", "")],
)
def test_key_keeps_letters_and_digits_only(written: str, key: str) -> None:
    """A letter that is not Latin stays, so that nothing shorter is made of it."""
    assert type_key(written) == key
