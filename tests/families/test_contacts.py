"""Contacts that switch the mains, in a switch or at the back of a control: what is believed, what is asked, what is said."""

from __future__ import annotations

import pytest

from tests.command import partsbin

MAINS = ("switch", "--position", "mains", "--with", "chassis=live")
VOLUME = ("potentiometer", "--position", "volume", "--with", "chassis=live", "--with", "original=1M log DP switch")


def verdict(*words: str) -> tuple[str, str]:
    """Return the verdict on the one part, and everything that was printed on one line."""
    ran = partsbin("try", *words)
    found = next(
        line.split()[0] for line in ran.out.splitlines() if line[:8].strip() in ("FITS", "CARE", "MEASURE", "UNFIT")
    )
    return found, " ".join(ran.out.split())


@pytest.mark.parametrize("text", ["DPST toggle 100mA 250V", "DPST toggle 0.3A 250V"])
@pytest.mark.parametrize("current", ["40mA", "120mA", "0.49"])
def test_a_current_that_may_be_the_ht_is_not_believed_as_the_mains(text: str, current: str) -> None:
    """Under half an ampere, the usual of a set, it is named and left aside: a small switch does not pass for it."""
    found, said = verdict(text, *MAINS, "--with", f"current={current}")
    assert (found, "is not believed as what the set draws from the mains" in said) == ("UNFIT", True)


def test_nor_is_it_at_the_back_of_a_control() -> None:
    """The same floor, in one place for both."""
    found, said = verdict("1M log DP switch 0.3A 250V", *VOLUME, "--with", "current=120mA")
    assert (found, "120 mA is not believed" in said) == ("UNFIT", True)


def test_a_dead_switch_marked_for_less_than_a_set_draws_is_not_believed_either() -> None:
    """A slip in its mark does not bring the wall down."""
    assert verdict("DPST toggle 100mA 250V", *MAINS, "--with", "original=DPST toggle 100mA 250V")[0] == "UNFIT"


def test_as_many_amperes_as_the_dead_one_fit_without_a_margin() -> None:
    """What it is marked for is what it may carry, not what flows: like for like is not nagged."""
    found, said = verdict("DPST toggle 2A 250V", *MAINS, "--with", "original=DPST toggle 2A 250V")
    assert (found, "2 A marked, 2 A on the dead one" in said) == ("FITS", True)


def test_fewer_amperes_than_the_dead_one_wait_for_the_load() -> None:
    """Neither refused nor passed: the set's plate says it; too few for any set fail all the same."""
    original = ("--with", "original=DPST toggle 6A 250V")
    found, said = verdict("DPST toggle 3A 250V", *MAINS, *original)
    assert (found, "watts on the set's plate over the mains volts: up to 1.5 A fits" in said) == ("MEASURE", True)
    assert verdict("DPST toggle 3A 250V", *MAINS, *original, "--with", "current=0.8")[0] == "FITS"
    assert verdict("DPST toggle 0.4A 250V", *MAINS, *original)[0] == "UNFIT"


def test_contacts_that_nobody_marks_pass_signals() -> None:
    """A wafer carries no rating; up to 0.1 A it needs none (common practice, no source), beyond it does."""
    selector = ("switch", "--position", "selector")
    assert verdict("1 pole 4 way wafer switch", *selector)[0] == "FITS"
    assert verdict("1 pole 4 way wafer switch", *selector, "--with", "current=0.3")[0] == "MEASURE"


@pytest.mark.parametrize("word", ["noisy", "worn", "used"])
def test_a_used_wafer_is_read(word: str) -> None:
    """Its contacts, and nothing of insulation."""
    found, said = verdict(f"1 pole 4 way wafer switch {word}", "switch", "--position", "selector")
    assert (found, "out of a set: contacts not read" in said) == ("MEASURE", True)


def test_a_never_used_old_switch_is_not_called_used() -> None:
    """It is not new: that is why it is read."""
    found, said = verdict("DPST toggle 2A 250V NOS", *MAINS)
    assert (found, "not new: contacts and insulation not read" in said, " used:" in said) == ("MEASURE", True, False)


@pytest.mark.parametrize(
    ("reading", "said"),
    [
        ("insulation=1Gohm", "insulation read without its volts, 500 V wanted"),
        ("insulation=1Gohm@50V", "insulation read at 50 V, 500 V wanted"),
    ],
)
@pytest.mark.parametrize(("part", "job"), [("DPST toggle 2A 250V", MAINS), ("1M log DP switch 2A 250V", VOLUME)])
def test_insulation_that_was_read_is_not_called_unread(
    part: str, job: tuple[str, ...], reading: str, said: str
) -> None:
    """What is missing are its volts; the words are the same for a switch and for a control's."""
    answer = verdict(part, *job, "--condition", "salvaged", "--reading", reading)[1]
    assert said in answer
    assert "insulation not read" not in answer


@pytest.mark.parametrize(("part", "job"), [("DPST toggle 2A 220V", MAINS), ("1M log DP switch 2A 220V", VOLUME)])
def test_a_mains_switch_for_fewer_volts_is_not_called_a_low_voltage_one(part: str, job: tuple[str, ...]) -> None:
    """220 V on 230 V is refused as what it is."""
    found, said = verdict(part, *job)
    assert (found, "220 V AC, 230 V mains" in said, "low-voltage" in said) == ("UNFIT", True, False)


@pytest.mark.parametrize(("part", "job"), [("DPST toggle 2A 500V", MAINS), ("1M log DP switch 2A 500V", VOLUME)])
def test_five_hundred_volts_without_a_sign_are_no_rating(part: str, job: tuple[str, ...]) -> None:
    """Neither AC nor DC: no wall rests on it."""
    found, said = verdict(part, *job)
    assert (found, "neither AC nor DC is taken from it" in said) == ("UNFIT", True)


def test_the_dead_switch_is_named_with_its_doubts() -> None:
    """Its marking stands in the need, what was taken for granted in the assumptions, another reading beside the first."""
    said = verdict("DPST toggle 3A 250V~", *MAINS, "--with", "original=DPST toggle 3A 125V 250V")[1]
    assert "(dead part: DPST toggle 3A 125V 250V)" in said
    assert "it may also mean" in said


def test_lines_that_say_nothing_are_dropped() -> None:
    """No resistor that is not wanted, no one gang for one gang."""
    said = verdict("1M log DP switch 2A 250V plastic spindle", *VOLUME)[1]
    assert "no resistor across" not in said
    assert "1 gang, 1 gang" not in said


@pytest.mark.parametrize("text", ["DPST toggle 250V 2A 16V", "DPST toggle 16V 2A 250V"])
def test_volts_of_the_mains_and_of_a_battery_beside_one_current_are_two_readings(text: str) -> None:
    """Nobody can say which of them the switch breaks: one of the readings is refused."""
    assert " UNFIT " in verdict(text, *MAINS)[1]


def test_an_ht_switch_marked_for_less_than_any_ht_draws_is_a_slip() -> None:
    """Like for like does not bring it back; what flows, given, does."""
    job = ("switch", "--position", "ht", "--with", "rail=250", "--with", "original=DPST 20mA 500VDC")
    assert verdict("DPST 20mA 500VDC", *job)[0] == "UNFIT"
    assert verdict("DPST 50mA 500VDC", *job, "--with", "current=20mA")[0] == "FITS"


def test_what_to_buy_for_the_ht_holds_its_volts() -> None:
    """1.6 times a rail of 250 V."""
    assert "rated for 400 V DC" in verdict("DPST 2A 250V", "switch", "--position", "ht", "--with", "rail=250")[1]
