"""Facts of the set as a repairer gives them."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.errors import UsageError
from partsbin.sets import FACTS, SetFacts, read_facts

NUMBERS = [
    ("rail=250", "rail", 250.0),
    ("rail = 250 V", "rail", 250.0),
    ("mains=240V", "mains", 240.0),
    ("mains_high=1.06", "mains_high", 1.06),
    ("mains_high=10%", "mains_high", 1.10),
    ("mains_high=+6 %", "mains_high", 1.06),
    ("mains_high=±10 per cent", "mains_high", 1.10),
    ("mains_high=110 %", "mains_high", 1.10),
    ("mains-now=231", "mains_now", 231.0),
    ("TAP=220", "tap", 220.0),
    ("frequency=60 Hz", "frequency", 60.0),
    ("grid_leak=1M", "grid_leak", 1e6),
    ("grid-leak=470k", "grid_leak", 470e3),
    ("current=80mA", "current", 0.08),
    ("winding_resistance=200R", "winding_resistance", 200.0),
    ("ambient=70 °C", "ambient", 70.0),
    ("ambient=-10", "ambient", -10.0),
    ("space=45mm", "space", 0.045),
    ("speaker=3Ω", "speaker", 3.0),
    ("speaker=15 ohm", "speaker", 15.0),
]


@pytest.mark.parametrize(("text", "name", "value"), NUMBERS)
def test_a_number_is_read_in_trade_notation(text: str, name: str, value: float) -> None:
    """Into SI, keys in any case and with either dash."""
    assert read_facts([text]).number(name) == pytest.approx(value, rel=1e-12)


WORDS = [
    ("chassis=live", "chassis", "live"),
    ("chassis=Live behind capacitor", "chassis", "live-behind-capacitor"),
    ("filter=choke_input", "filter", "choke-input"),
    ("topology=push-pull", "topology", "push-pull"),
    ("bias=FIXED", "bias", "fixed"),
    ("lineup=ECC83 2xECL86 EZ81", "lineup", "ECC83 2xECL86 EZ81"),
    ("rectifier=EZ81", "rectifier", "EZ81"),
    ("original=0.02 mfd = 350 V", "original", "0.02 mfd = 350 V"),
]


@pytest.mark.parametrize(("text", "name", "value"), WORDS)
def test_words_are_kept(text: str, name: str, value: str) -> None:
    """A word of a short list in its own spelling, any other text as given, with what follows a second sign of equality."""
    assert read_facts([text]).text(name) == value


@pytest.mark.parametrize(
    ("text", "half_width"), [("rail=250±5", 5.0), ("rail=250 V ± 2 %", 5.0), ("mains_now=231±1V", 1.0)]
)
def test_the_uncertainty_of_a_reading_is_kept(text: str, half_width: float) -> None:
    """As a half-width in the unit of the fact, whether it was given so or in per cent."""
    facts = read_facts([text])
    assert facts.uncertainty == {text.partition("=")[0]: pytest.approx(half_width)}


@pytest.mark.parametrize("text", ["100 V 20 W", "100V/20W", "100 V line, 20 watts"])
def test_a_loudspeaker_line_is_read_as_its_load(text: str) -> None:
    """Volts squared over watts: 100² / 20 = 500 Ω."""
    facts = read_facts([f"speaker={text}"])
    assert (facts.number("speaker"), facts.number("line_volts"), facts.number("line_watts")) == (500.0, 100.0, 20.0)


@pytest.mark.parametrize("text", ["4.7n 1n", "4.7n + 1n", "4n7, 1000p"])
def test_other_paths_to_the_same_part_are_added(text: str) -> None:
    """Their currents add: 4.7 + 1 = 5.7 nF."""
    assert read_facts([f"other_paths={text}"]).number("other_paths") == pytest.approx(5.7e-9)


@pytest.mark.parametrize("word", ["live", "live-behind-capacitor", "auto"])
def test_a_chassis_that_no_transformer_isolates_is_live(word: str) -> None:
    """An auto-transformer isolates nothing."""
    assert read_facts([f"chassis={word}"]).live is True


@pytest.mark.parametrize("word", ["earthed", "floating"])
def test_a_chassis_behind_a_transformer_is_not_live(word: str) -> None:
    """Whether or not it is joined to earth."""
    assert read_facts([f"chassis={word}"]).live is False


def test_a_chassis_that_nobody_spoke_of_is_neither() -> None:
    """The position decides what to take for granted."""
    assert read_facts([]).live is None


def test_a_mistyped_key_gets_a_suggestion() -> None:
    """The nearest name, and all names."""
    with pytest.raises(UsageError, match="unknown fact 'sekundary'") as caught:
        read_facts(["sekundary=250-0-250"])
    assert caught.value.hint.startswith("did you mean 'secondary'? Known: mains, mains_now")


def test_a_key_like_no_other_gets_the_names() -> None:
    """No suggestion is made up."""
    with pytest.raises(UsageError, match="unknown fact 'xyzzy'") as caught:
        read_facts(["xyzzy=1"])
    assert caught.value.hint == f"known: {', '.join(FACTS)}"


REFUSED = [
    ("rail", "'rail' is not KEY=VALUE"),
    ("rail=abc", "rail='abc': 'abc' is not a value"),
    ("rail=0", "rail='0': expected more than 0 and at most 20000 V"),
    ("rail=-0", "rail='-0': expected more than 0 and at most 20000 V"),
    ("grid_leak=-1M", "grid_leak='-1M': expected more than 0"),
    ("rail=250 mA", "rail='250 mA': .* is in A: expected V"),
    ("rail=nan", "rail='nan': "),
    ("rail=250±x", "rail='x': "),
    ("frequency=5", "frequency='5': expected more than 10"),
    ("mains_high=0.9", "mains_high='0.9': expected a factor from 1 to 1.25"),
    ("mains_high=10", "mains_high='10': expected a factor from 1 to 1.25"),
    ("mains_high=1.3", "mains_high='1.3': expected a factor from 1 to 1.25"),
    ("mains_high=30 %", "mains_high='30 %': expected a factor from 1 to 1.25"),
    ("mains_high=253", "mains_high='253': expected more than 0 and at most 100"),
    ("chassis=warm", "chassis='warm': expected one of earthed, floating, live"),
    ("speaker=20 W", "speaker='20 W': .* is in W: expected ohm"),
    ("speaker=1M", "speaker='1M': expected loudspeaker ohms, or line volts and watts"),
    ("speaker=0 V 20 W", "speaker='0 V 20 W': expected a line such as 100 V 20 W"),
    ("other_paths=4.7n big", "other_paths='big': "),
]


@pytest.mark.parametrize(("text", "fault"), REFUSED)
def test_a_value_that_cannot_be_is_refused(text: str, fault: str) -> None:
    """The key and the text given are quoted, with what was expected."""
    with pytest.raises(UsageError, match=f"^{fault}"):
        read_facts([text])


@pytest.mark.parametrize("name", ["rail", "anode"])
def test_volts_below_the_chassis_count_by_their_size(name: str) -> None:
    """What stands on a part is no less for its sign; the text as given is kept, and the note says it."""
    facts = read_facts([f"{name}=\N{MINUS SIGN}30 V ± 2"])
    assert (facts.number(name), facts.uncertainty[name]) == (30.0, 2.0)
    assert facts.texts[name] == "\N{MINUS SIGN}30 V ± 2"
    assert facts.notes == (f"{name} \N{MINUS SIGN}30 V ± 2: reckoned by its size, the sign left out",)


def test_how_a_fact_was_understood_is_said_once_it_is_used() -> None:
    """Of a fact that nobody asks for there is nothing to say but that."""
    facts = read_facts(["secondary=500 V CT", "rectifier=bridge"])
    before = facts.notes
    facts.number("secondary_volts")
    assert (before, facts.notes) == ((), ("500 V CT read as 250-0-250",))


def test_facts_that_nobody_asks_for_are_known() -> None:
    """Knowing that a fact is there does not use it; its number, its text or what follows from it does."""
    facts = read_facts(
        ["bias=cathode", "rail=250", "speaker=100 V 20 W", "chassis=live", "secondary=250-0-250 off load"]
    )
    facts.number("line_volts"), facts.flag("secondary_off_load"), facts.live
    assert (facts.knows("rail"), facts.knows("bias")) == (True, True)
    assert facts.unused == ("bias=cathode", "rail=250")


def test_a_copy_of_the_facts_uses_nothing_of_the_first() -> None:
    """The answers of a question are tried on copies."""
    before = read_facts(["rail=250"])
    before.having(grid_leak="1M").number("rail")
    assert before.unused == ("rail=250",)


def test_an_empty_value_says_nothing() -> None:
    """As in a form that was left blank."""
    assert read_facts(["rail=", "tap= "]) == SetFacts()


def test_a_fact_that_is_not_known_is_nan_and_empty() -> None:
    """Never zero."""
    facts = read_facts(["rail=250"])
    assert facts.number("anode") != facts.number("anode")
    assert (facts.text("valve"), facts.knows("anode"), facts.number("anode", 3.0)) == ("", False, 3.0)


def test_having_adds_a_fact_and_leaves_the_first_record_alone() -> None:
    """A question's answers are tried on copies."""
    before = read_facts(["rail=250"])
    after = before.having(grid_leak="1M")
    assert (after.number("rail"), after.number("grid_leak")) == (250.0, 1e6)
    assert not before.knows("grid_leak")


REPLACED: list[tuple[list[str], dict[str, Any]]] = [
    (["speaker=100 V 20 W", "speaker=8"], {"speaker": "8"}),
    (["secondary=286-0-286 off-load ±1%", "secondary=230"], {"secondary": "230"}),
    (["rail=250±5", "rail=240"], {"rail": "240"}),
]


@pytest.mark.parametrize(("pairs", "having"), REPLACED)
def test_a_fact_given_anew_leaves_nothing_of_the_old_one(pairs: list[str], having: dict[str, Any]) -> None:
    """Neither line volts nor an uncertainty that belonged to it, whether it comes later in the list or as a new answer."""
    alone = read_facts(pairs[1:])
    assert read_facts(pairs) == alone
    assert read_facts(pairs[:1]).having(**having) == alone


TEXTS = st.one_of(st.text(max_size=60), st.text("0123456789.,-+±%²VAmku Ω°C/", max_size=20))


@given(st.sampled_from(sorted(FACTS)), TEXTS)
def test_any_text_is_read_or_refused_in_words(name: str, text: str) -> None:
    """No value of any fact ends in a fault of the program's own."""
    try:
        facts = read_facts([f"{name}={text}"])
    except UsageError as fault:
        message = fault.message
    else:
        message = "read" if facts.knows(name) == bool(text.strip()) else ""
    assert message


@pytest.mark.parametrize(
    "fact",
    [
        "mains=24",
        "mains_now=24",
        "mains_high=1.5",
        "tap=20000",
        "frequency=10",
        "current=36",
        "secondary=12000",
        "mains_now=230±300",
    ],
)
def test_a_slip_that_would_move_a_wall_is_refused(fact: str) -> None:
    """No mains set of the valve era has it: the fact is refused, not reckoned with."""
    with pytest.raises(UsageError, match=fact.partition("=")[0]):
        read_facts([fact])


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("hot", "live"),
        ("AC/DC", "live"),
        ("auto transformer", "auto"),
        ("Grounded", "earthed"),
        ("isolated", "floating"),
    ],
)
def test_trade_words_for_a_chassis_are_understood(said: str, meant: str) -> None:
    """A hot chassis is a live one."""
    assert read_facts([f"chassis={said}"]).text("chassis") in (meant, said)
    assert read_facts([f"chassis={said}"]).values["chassis"] == meant


@pytest.mark.parametrize(
    ("text", "name", "value"),
    [
        ("rail=250V HT", "rail", 250.0),
        ("rail=B+ 250", "rail", 250.0),
        ("frequency=60~", "frequency", 60.0),
        ("lamps=2x #47", "lamp_amperes", 0.15),
        ("rectifier=5Y3GT/G", "rectifier", "5Y3GT"),
    ],
)
def test_words_of_the_bench_beside_a_figure_say_nothing_else(text: str, name: str, value: float | str) -> None:
    """HT and B+ name the rail, ~ the cycles, # a lamp's type (common practice, no source)."""
    assert read_facts((text,)).values[name] == value
