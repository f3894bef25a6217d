"""One value in trade notation: every spelling of the brief, refusals with what was expected, exactness."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.errors import NotationError
from partsbin.notation.quantity import Quantity, read_quantity, read_tolerance, to_float
from tests.expected import published

RKM = "codes of the letter standing for the decimal point"


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("4k7", "4700", "ohm"),
        ("4K7", "4700", "ohm"),
        ("100R", "100", "ohm"),
        ("2M2", "2.2E6", "ohm"),
        ("R47", "0.47", "ohm"),
        ("4R7", "4.7", "ohm"),
        ("47K3", "47300", "ohm"),
        ("100E", "100", "ohm"),
        ("0.5 meg", "5E5", "ohm"),
        ("1Meg", "1E6", "ohm"),
        ("470 ohm", "470", "ohm"),
        ("380 Ω", "380", "ohm"),
        ("1 mΩ", "0.001", "ohm"),
        ("1 MΩ", "1E6", "ohm"),
        ("47n", "47E-9", "F"),
        ("1n5", "1.5E-9", "F"),
        ("u1", "0.1E-6", "F"),
        ("p33", "0.33E-12", "F"),
        ("0.02mfd", "0.02E-6", "F"),
        (".1mf", "0.1E-6", "F"),
        (".1MF", "0.1E-6", "F"),
        ("10 MFD", "10E-6", "F"),
        ("100mmf", "100E-12", "F"),
        ("500 mmfd", "500E-12", "F"),
        ("500 MMFD", "500E-12", "F"),
        ("250 uuF", "250E-12", "F"),
        ("250 µµF", "250E-12", "F"),
        ("0,1 µF", "0.1E-6", "F"),
        ("0,047uF", "0.047E-6", "F"),
        ("1 000 pF", "1000E-12", "F"),
        ("1,000 pF", "1000E-12", "F"),
        ("1\u00a0000 pF", "1000E-12", "F"),
        ("22.000000000000004n", "22.000000000000004E-9", "F"),  # as spreadsheets write it
        ("819.9999999999999 uF", "819.9999999999999E-6", "F"),
        ("1/2 mfd", "0.5E-6", "F"),
        ("2.2e-08 F", "2.2E-8", "F"),
        ("1/4 W", "0.25", "W"),
        ("1/2W", "0.5", "W"),
        ("½ W", "0.5", "W"),
        ("1½ W", "1.5", "W"),
        ("2½ meg", "2.5E6", "ohm"),  # by hand: 2 + 1/2
        ("2 1/2 meg", "2.5E6", "ohm"),
        ("1-1/2 meg", "1.5E6", "ohm"),
        ("1-1/2 amp", "1.5", "A"),
        ("60 VA", "60", "W"),
        ("500 VDC", "500", "V"),
        ("500 V.D.C.", "500", "V"),
        ("500 D.C. volts", "500", "V"),
        ("450v wkg", "450", "V"),
        ("450 W.V.", "450", "V"),
        ("450 WVDC", "450", "V"),
        ("250 V~", "250", "V"),
        ("250VAC", "250", "V"),
        ("275 V a.c.", "275", "V"),
        ("6V3", "6.3", "V"),
        ("1.5 kV", "1500", "V"),
        ("-12 V", "-12", "V"),
        ("12 mA", "0.012", "A"),
        ("80ma", "0.080", "A"),
        ("350 uA", "350E-6", "A"),
        ("10 H", "10", "H"),
        ("450 kHz", "450E3", "Hz"),
        ("50 c/s", "50", "Hz"),
        ("6.35 mm", "0.00635", "m"),
        ("1/4 in", "0.00635", "m"),
        ('1/4"', "0.00635", "m"),
        ("1 1/2 in", "0.0381", "m"),
        ("85°C", "85", "°C"),
        ("105C", "105", "°C"),
        ("4 cm²", "0.0004", "m²"),
        ("10 %", "0.1", "-"),
        ("±10%", "0.1", "-"),
        ("1.1", "1.1", "-"),
    ],
)
def test_trade_notation_is_read_exactly(text: str, value: str, unit: str) -> None:
    """The value is the decimal that is written, in SI, not the nearest binary fraction."""
    quantity = read_quantity(text)
    assert (quantity.value, quantity.unit, quantity.text) == (Decimal(value), unit, text)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("R47", published(0.47, "rkm", of=read_quantity, where=RKM, rel=1e-15)),
        ("4R7", published(4.7, "rkm", of=read_quantity, where=RKM, rel=1e-15)),
        ("470R", published(470.0, "rkm", of=read_quantity, where=RKM, rel=1e-15)),
        ("4K7", published(4700.0, "rkm", of=read_quantity, where=RKM, rel=1e-15)),
        ("47K3", published(47300.0, "rkm", of=read_quantity, where=RKM, rel=1e-15)),
        ("4M7", published(4.7e6, "rkm", of=read_quantity, where=RKM, rel=1e-15)),
        ("1 mfd", published(1e-6, "captip", of=read_quantity, where="mfd and mf mean microfarad", rel=1e-15)),
        ("1 mf", published(1e-6, "captip", of=read_quantity, where="mfd and mf mean microfarad", rel=1e-15)),
        ("1 mmf", published(1e-12, "captip", of=read_quantity, where="mmf, mmfd and uuF mean picofarad", rel=1e-15)),
        ("1 uuF", published(1e-12, "captip", of=read_quantity, where="mmf, mmfd and uuF mean picofarad", rel=1e-15)),
    ],
)
def test_published_spellings_have_their_published_value(text: str, expected: float) -> None:
    """What the code's own description and restorers' pages say."""
    assert to_float(read_quantity(text)) == expected


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("47n", "F", "47E-9"),
        ("22", "V", "22"),
        ("10m", "H", "0.010"),
        ("48m", "A", "0.048"),
        ("4k7", "ohm", "4700"),
        ("1/4", "W", "0.25"),
        ("1/4", "m", "0.00635"),
        ("300 K", "K", "300"),
        ("2 m", "m", "2"),
        ("5 s", "s", "5"),
        ("1A6", "A", "1.6"),
        ("0W5", "W", "0.5"),
        ("2H2", "H", "2.2"),
        ("±10%", "-", "0.1"),
        ("105", "°C", "105"),
    ],
)
def test_the_unit_asked_for_settles_what_is_not_written(text: str, unit: str, value: str) -> None:
    """A bare number or multiplier is in the unit that the column has."""
    quantity = read_quantity(text, unit)
    assert (quantity.value, quantity.unit) == (Decimal(value), unit)


@pytest.mark.parametrize(
    ("text", "unit", "message"),
    [
        ("hello", None, "'hello' is not a value: expected a value such as 47n, 0.1 µF or 4k7"),
        ("", None, "'' is not a value: expected a value such as 47n, 0.1 µF or 4k7"),
        ("450 V", "F", "'450 V' is in V: expected F, such as 47n or 0.1 µF"),
        ("470K", "F", "'470K' could mean two things: expected 47n or 0.1 µF"),
        ("0.1M", "F", "'0.1M' could mean two things: expected 47n or 0.1 µF"),
        ("1m", "ohm", "'1m' could mean two things: expected 4k7 or 470 ohm"),
        ("10m", None, "'10m' has a multiplier and no unit: expected a unit too, such as 12 mA or 10 H"),
        ("47,450 V", None, "'450 V' in '47,450 V' is not understood: expected a value such as 47n, 0.1 µF or 4k7"),
        ("47 450V", "V", "'450V' in '47 450V' is not understood: expected a value in V, such as 450 V"),
        (
            "10 furlongs",
            "m",
            "'furlongs' in '10 furlongs' is not understood: expected a value in m, such as 6.35 mm or 1/4 in",
        ),
        ("1 V", "furlong", "no unit 'furlong': expected one of F, ohm, V, A, W, H, Hz, m, m², °C, K, J, s, -"),
    ],
)
def test_a_refusal_quotes_the_text_and_says_what_was_expected(text: str, unit: str | None, message: str) -> None:
    """Nothing that could be two things, or none, gets a value."""
    with pytest.raises(NotationError) as refusal:
        read_quantity(text, unit)
    assert refusal.value.message == message


def test_a_refusal_of_two_meanings_says_which_two() -> None:
    """The hint names them."""
    with pytest.raises(NotationError) as refusal:
        read_quantity("1m", "ohm")
    assert refusal.value.hint == "m may be milli or, carelessly, mega; write mΩ or M"


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("±10%", "-0.1", "0.1"),
        ("10 %", "-0.1", "0.1"),
        ("+/- 2.5%", "-0.025", "0.025"),
        ("+50-20 %", "-0.2", "0.5"),
        ("-20/+50 %", "-0.2", "0.5"),
        ("-10+50%", "-0.1", "0.5"),
        ("+80/-20%", "-0.2", "0.8"),
        ("+100-0%", "0", "1"),
        ("−20 % +50 %", "-0.2", "0.5"),
    ],
)
def test_tolerances_have_a_lower_and_an_upper_limit(text: str, low: str, high: str) -> None:
    """Either way round, one-sided or not."""
    assert read_tolerance(text) == (Decimal(low), Decimal(high))


def test_a_tolerance_after_the_value_goes_with_it() -> None:
    """In per cent as it stands, in farads as a fraction of the value."""
    assert read_quantity("47n ±10 %").tolerance == (Decimal("-0.1"), Decimal("0.1"))
    assert read_quantity("10 pF ±0.5pF").tolerance == (Decimal("-0.05"), Decimal("0.05"))


def test_a_two_sided_tolerance_alone_gives_its_wider_side_and_both() -> None:
    """The figure to be careful with, and the pair."""
    quantity = read_quantity("+50-20 %", "-")
    assert quantity.value == Decimal("0.5")
    assert quantity.tolerance == (Decimal("-0.2"), Decimal("0.5"))


def test_a_text_that_is_no_tolerance_is_refused() -> None:
    """With what was expected."""
    with pytest.raises(NotationError, match="'lots' is not a tolerance: expected per cent, such as ±10% or -20/"):
        read_tolerance("lots")


@given(
    st.integers(1, 999_999),
    st.integers(0, 6),
    st.sampled_from(
        [("pF", -12), ("nF", -9), ("uF", -6), ("kohm", 3), ("Mohm", 6), ("mA", -3), ("kHz", 3), ("mm", -3)]
    ),
)
def test_every_digit_written_is_in_the_value(digits: int, places: int, unit: tuple[str, int]) -> None:
    """No binary fraction comes in between: the decimal is exactly the one that is written."""
    number = Decimal(digits).scaleb(-places)
    assert read_quantity(f"{number:f} {unit[0]}").value == number.scaleb(unit[1])


@given(st.text(max_size=40), st.sampled_from([None, "F", "ohm", "V", "W", "m", "K", "s", "-"]))
def test_any_text_is_read_or_refused(text: str, unit: str | None) -> None:
    """Never another exception than the refusal."""
    outcome = read_or_refuse(text, unit)
    if isinstance(outcome, NotationError):
        assert "expected" in outcome.message
    else:
        assert outcome.unit == (unit or outcome.unit)


def read_or_refuse(text: str, unit: str | None) -> Quantity | NotationError:
    """The value, or the refusal as a value."""
    try:
        return read_quantity(text, unit)
    except NotationError as refusal:
        return refusal
