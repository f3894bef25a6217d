"""``partsbin calc set``: what follows from a set, printed and as JSON."""

from __future__ import annotations

from pathlib import Path

import pytest

from partsbin.cli.calc import as_facts
from partsbin.errors import UsageError
from tests.command import partsbin

RECEIVER = ("calc", "set", "--lineup", "ECH81 EBF89 EABC80 EL84 EZ80", "--secondary", "250-0-250", "--speaker", "3")


def test_lines_stand_under_their_subject_with_assumption_and_better_reading() -> None:
    """Six subjects, then the caution."""
    ran = partsbin(*RECEIVER)
    assert (ran.code, ran.err) == (0, "")
    told = ran.out.splitlines()
    titles = [row for row in told if row.isupper() and not row.startswith(" ")]
    assert titles == ["HEATERS", "SUPPLY", "RECTIFIER", "OUTPUT STAGE", "GRID LEAKS", "READINGS TO EXPECT"]
    assert any(row.strip() == "assumed reservoir 32 µF (reservoir=)" for row in told)
    assert any("better  volts across the reservoir, set warm" in row for row in told)
    assert told[-1].startswith("CAUTION  mains and HT kill")


def test_any_fact_is_an_option_or_a_pair() -> None:
    """``--rail 250``, ``--with rail=250`` and ``rail=250`` say the same."""
    ways = [("--rail", "250"), ("--rail=250",), ("--with", "rail=250"), ("rail=250",)]
    told = [partsbin("calc", "set", *way).out for way in ways]
    assert told[0].splitlines()[0] == "SET  rail 250"
    assert told == [told[0]] * 4


def test_a_limit_passed_is_marked_in_the_margin() -> None:
    """A reservoir above the rectifier valve's most."""
    ran = partsbin(*RECEIVER, "--reservoir", "100u")
    assert any(row.startswith("! EZ80: largest reservoir") for row in ran.out.splitlines())


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("set", "--rial", "250"), "unknown fact 'rial'"),
        (("set", "--rail"), "--rail has no value"),
        (("set", "250"), "'250' is no fact of a set"),
        (("set", "--speaker", "3"), "nothing follows from these facts"),
        (("ratio", "--rail", "250"), "no option '--rail'"),
        (("ratio", "--with", "rail=250"), "'rail=250' is a fact of a set"),
    ],
)
def test_what_is_not_understood_is_refused(words: tuple[str, ...], said: str) -> None:
    """Exit 2, the fault first, nothing on stdout."""
    ran = partsbin("calc", *words)
    assert (ran.code, ran.out) == (2, "")
    assert said in ran.err


def test_an_option_without_a_value_is_a_fault() -> None:
    """The next option is not its value by chance."""
    with pytest.raises(UsageError, match="--rail has no value"):
        as_facts(["--rail", "--speaker=3"])


def test_a_jobs_set_is_taken_and_what_is_said_beside_it_counts_more(tmp_path: Path) -> None:
    """Facts written down once."""
    file = tmp_path / "one.sqlite"
    assert partsbin("job", "open", "the cook's set", "--with", "rail=250", "--with", "speaker=3", db=file).code == 0
    assert partsbin("calc", "set", "--job", "J-0001", db=file).out.startswith("SET  rail 250, speaker 3")
    assert partsbin("calc", "set", "--job", "J-0001", "--rail", "300", db=file).out.startswith(
        "SET  rail 300, speaker 3"
    )
    ran = partsbin("calc", "ratio", "--job", "J-0001", db=file)
    assert (ran.code, "'job=J-0001' is a fact of a set" in ran.err) == (2, True)
