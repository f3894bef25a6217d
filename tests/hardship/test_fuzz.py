"""What reads other people's text, tried with pieces of good inputs and odd ones; `tests.hardship.run` tries a million."""

from __future__ import annotations

import re
import zipfile
from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from partsbin.errors import PartsbinError
from tests.command import partsbin
from tests.hardship.fuzz import LONGEST, ODD
from tests.hardship.targets import TARGETS, around, seeds, tried

INPUTS = 60
"""Of each target, in the short form [-]."""


def pieces(name: str) -> st.SearchStrategy[bytes]:
    """A good input of which some pieces are exchanged for others, or for odd ones."""
    cut = [re.findall(rb"\w+|\W", whole) for whole in seeds(name)]
    other = st.sampled_from(sorted({piece for whole in cut for piece in whole})) | st.sampled_from(
        [odd.encode("utf-8", "surrogatepass") for odd in ODD]
    )
    changes = st.dictionaries(st.integers(0, 400), other | st.binary(max_size=3), max_size=8)
    return st.builds(
        lambda whole, changes: b"".join(changes.get(at, piece) for at, piece in enumerate(whole))[:LONGEST],
        st.sampled_from(cut),
        changes,
    )


@pytest.mark.parametrize("name", TARGETS)
def test_whatever_is_read_comes_to_an_end_in_words(name: str) -> None:
    """Any exception but a fault of ours fails, and so does an input that takes seconds."""

    @given(pieces(name))
    @settings(max_examples=INPUTS, deadline=5_000, suppress_health_check=[HealthCheck.too_slow])
    def each(data: bytes) -> None:
        tried(name, data)

    each()


@pytest.mark.parametrize("name", TARGETS)
def test_many_good_inputs_are_read(name: str) -> None:
    """Else the pieces are those of nothing, and nothing deep is tried."""
    read = 0
    for whole in seeds(name):
        with suppress(PartsbinError):
            TARGETS[name](whole)
            read += 1
    assert 3 * read > len(seeds(name))


# ---- what was found


@pytest.mark.parametrize(
    ("sheet", "said"),
    [(b"<worksheet><row>", "a workbook that cannot be read: ParseError"), (b"\0", "a workbook that cannot be read")],
)
def test_a_sheet_that_is_no_sheet_is_told(sheet: bytes, said: str, tmp_path: Path) -> None:
    """The library's own exceptions do not reach the user."""
    file = tmp_path / "broken.xlsx"
    with zipfile.ZipFile(file, "w") as packed:
        for name, content in around().items():
            packed.writestr(name, sheet if name.endswith("sheet1.xml") else content)
    ran = partsbin("import", str(file), db=tmp_path / "s.sqlite")
    assert ran.code == 2
    assert ran.err.startswith(f"partsbin: broken.xlsx: {said}")


@pytest.mark.parametrize("field", ["title", "note", "place", "\\ud800"])
def test_half_a_sign_in_json_is_told(field: str, tmp_path: Path) -> None:
    """It can be neither stored nor printed."""
    file = tmp_path / "half.json"
    file.write_text(f'[{{"family": "capacitor", "description": "22n 400V", "{field}": "a\\ud800b"}}]', "utf-8")
    ran = partsbin("import", str(file), db=tmp_path / "s.sqlite")
    assert ran.code == 2
    assert "'\\ud800' alone is half a sign" in ran.err


@pytest.mark.parametrize("text", ["a = " + "[" * 100_000, f"a = {'9' * 5_000}"], ids=["deep", "figures"])
def test_rules_without_end_are_told(text: str, tmp_path: Path) -> None:
    """Lists in lists, and a number that is no number."""
    file = tmp_path / "rules.toml"
    file.write_text(text, "utf-8")
    ran = partsbin("try", "22n", "capacitor", "-p", "coupling", "-w", "rail=200", rules=file)
    assert ran.code == 2
    assert ran.err.startswith("partsbin: rules.toml: ")


def test_a_line_of_a_donor_beyond_all_reason_is_not_taken(tmp_path: Path) -> None:
    """The lines beside it are."""
    file = tmp_path / "lines.txt"
    file.write_text(f"22n 400V film\n{'22n 400V film ' * 10_000}\n", "utf-8")
    ran = partsbin("strip", "7", str(file), db=tmp_path / "s.sqlite")
    assert ran.code == 1
    assert "over 20,000 characters in one line" in ran.out + ran.err
    assert partsbin("show", "P-1", db=tmp_path / "s.sqlite").code == 0


def test_lines_without_end_are_not_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A device that never ends is left after as much as is read as a whole."""
    monkeypatch.setenv("PARTSBIN_MOST_WHOLE_MB", "1")
    ran = partsbin("strip", "7", "/dev/zero", db=tmp_path / "s.sqlite")
    assert ran.code == 2
    assert "PARTSBIN_MOST_WHOLE_MB=2" in ran.err
