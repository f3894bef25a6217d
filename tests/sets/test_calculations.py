"""Calculations of the bench: inputs read and refused, ends carried through, results those of the handbook."""

from __future__ import annotations

import math

import pytest

from partsbin.errors import UsageError
from partsbin.sets.bench import CALCULATIONS
from partsbin.sets.calculations import Figure, find_calculation, reckon
from partsbin.sources import source
from tests.expected import Expected, by_hand, published


def results(name: str, *given: str) -> dict[str, Figure]:
    """Return the results of a calculation by name."""
    return {figure.name: figure for figure in reckon(CALCULATIONS[name], given)[1]}


EXPECTED = [
    ("corner", ("10n", "470k"), "frequency", by_hand(33.86, "1 / (2 π · 470e3 · 10e-9)", of=reckon)),
    ("leakage", ("100", "20M", "470k"), "shift", by_hand(2.296, "100 · 0.47 / 20.47", of=reckon)),
    ("ratio", ("230V", "5.1V", "3"), "ratio", by_hand(45.10, "230 / 5.1", of=reckon)),
    ("ratio", ("230V", "5.1V", "3", "420", "0.35"), "reflected_load", by_hand(7233.0, "45.098² · 3.35 + 420", of=reckon)),
    ("line", ("100V", "5W", "15"), "primary", by_hand(2000.0, "100² / 5", of=reckon)),
    ("balance", ("600", "350"), "resistance", by_hand(100e3, "(2 · 350 − 600) / 1 mA", of=reckon)),
    ("balance", ("600", "350"), "worst_share", by_hand(360.0, "600 · 1.2 / (1.2 + 0.8)", of=reckon)),
    ("touch", ("4n7", "mains=230"), "current", by_hand(0.3396e-3, "2 π · 50 · 4.7e-9 · 230", of=reckon)),
    ("discharge", ("47u", "443"), "energy", by_hand(4.612, "47e-6 · 443² / 2", of=reckon)),
    ("dropper", ("116.6V", "100mA"), "resistance", by_hand(1134.0, "(230 - 116.6) / 0.1", of=reckon)),
    ("dropper", ("116.6V", "100mA"), "power_high", by_hand(13.72, "1134 · (253 / 2300)²", of=reckon)),
    ("dropper", ("116.6V", "100mA"), "capacitance",
     by_hand(1.6056e-6, "0.1 / (2 π · 50 · √(230² - 116.6²))", of=reckon)),
    ("dropper", ("116.6V", "100mA"), "surge", by_hand(0.1952, "253 / (1134 + 1166 / 7.2)", of=reckon)),
    ("resistors", ("47k", "100k"), "parallel", by_hand(31973.0, "47 · 100 / 147 kΩ", of=reckon)),
    ("resistors", ("47k", "100k", "d=53k"), "series", by_hand(200e3, "47 + 100 + 53 kΩ", of=reckon)),
    ("combine", ("32u", "16u"), "series", by_hand(10.667e-6, "32 · 16 / 48 µF", of=reckon)),
    ("combine", ("32u", "16u"), "parallel_low", by_hand(38.4e-6, "0.8 · 48 µF", of=reckon)),
    ("combine", ("32u", "16u"), "worst_share", by_hand(0.75, "38.4 / (38.4 + 12.8)", of=reckon)),
    ("string", ("47u", "443V", "350V"), "worst_volts", by_hand(288.9, "443 · 1.5 / (1.5 + 0.8)", of=reckon)),
    ("string", ("47u", "443V", "350V"), "resistance", by_hand(234e3, "(2 · 280 - 443) / 0.5 mA", of=reckon)),
    ("shares", ("800", "500k", "500k", "difference=0.2mA", "tolerance=0"), "share_first",
     published(450.0, "va1d", of=reckon, where="500 kΩ across each of two, its formula turned round")),
    ("shares", ("600", "220k", "330k", "difference=0.5mA", "tolerance=0"), "share_first",
     by_hand(306.0, "220 · (600 + 0.5 · 330) / 550", of=reckon)),
    ("shares", ("600", "220k", "330k", "difference=0.5mA", "tolerance=0"), "share_second",
     by_hand(426.0, "330 · (600 + 0.5 · 220) / 550", of=reckon)),
    ("shares", ("600", "220k", "330k", "difference=0.5mA", "tolerance=0"), "power_second",
     by_hand(0.5499, "426² / 330e3", of=reckon)),
    ("shares", ("600", "220k", "220k"), "share_first",
     by_hand(369.86, "231 · (600 + 0.5 · 209) / 440", of=reckon)),
    ("shares", ("900", "100k", "150k", "150k", "difference=0", "tolerance=0"), "share_third",
     by_hand(337.5, "900 · 150 / 400", of=reckon)),
    ("loading", ("1M", "wanted=470k"), "across", by_hand(886.8e3, "1000 · 470 / 530 kΩ", of=reckon)),
    ("loading", ("1M", "load=1M"), "loaded", by_hand(0.4, "0.5 / (1 + 0.25)", of=reckon)),
    ("loading", ("1M", "load=1M"), "input", by_hand(500e3, "1 M across 1 M", of=reckon)),
    ("rail", ("286", "80mA", "32u", "200"), "off_load_peak", by_hand(444.9, "√2 · 286 · 1.1", of=reckon)),
]  # fmt: skip


@pytest.mark.parametrize(("name", "given", "result", "expected"), EXPECTED)
def test_results_are_those_worked_by_hand(name: str, given: tuple[str, ...], result: str, expected: Expected) -> None:
    """Figures without a name are taken in the order of the inputs."""
    assert results(name, *given)[result].value == expected


def test_an_uncertainty_goes_through_to_both_ends() -> None:
    """230 V ±1 % over 5.1 V ±2 %: 227.7 / 5.202 to 232.3 / 4.998, worked by hand."""
    ratio = results("ratio", "230V±1%", "5.1V±2%")["ratio"]
    assert (ratio.low, ratio.high) == (pytest.approx(43.77, abs=0.01), pytest.approx(46.48, abs=0.01))


def test_without_uncertainty_both_ends_are_the_value() -> None:
    """No end is made up."""
    figure = results("corner", "10n", "470k")["frequency"]
    assert figure.low == figure.value == figure.high


def test_what_was_taken_as_usual_is_told_apart_from_what_was_given() -> None:
    """The grid leak of 1 MΩ is ours, the volts are the repairer's."""
    inputs, _ = reckon(CALCULATIONS["leakage"], ["anode=100", "insulation=20M"])
    assert {figure.name: figure.origin for figure in inputs} == {
        "anode": "given", "insulation": "given", "grid_leak": "usual",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("given", "fault"),
    [
        (["10n"], "corner needs resistance"),
        (["10n", "470k", "5"], "'5' is one figure too many"),
        (["capacitance=10n", "ohms=470k"], "corner takes no 'ohms'"),
        (["capacitance=10n", "capacitance=22n", "470k"], "'capacitance' is given twice"),
        (["capacitance=10k", "470k"], "capacitance='10k'"),
        (["capacitance=-10n", "470k"], "capacitance='-10n' is impossible"),
        (["capacitance=lots", "470k"], "capacitance='lots'"),
    ],
)
def test_a_figure_that_cannot_be_used_is_refused_with_its_name(given: list[str], fault: str) -> None:
    """Nothing is reckoned with a slip."""
    with pytest.raises(UsageError, match=fault.replace("(", r"\(")):
        reckon(CALCULATIONS["corner"], given)


def test_a_slip_in_the_name_is_answered_with_the_nearest() -> None:
    """As everywhere on the command line."""
    with pytest.raises(UsageError, match="no calculation 'cornr'") as refused:
        find_calculation(CALCULATIONS, "cornr")
    assert "did you mean 'corner'?" in refused.value.hint


@pytest.mark.parametrize("name", CALCULATIONS)
def test_every_calculation_names_a_source_that_exists_and_as_many_results_as_it_gives(name: str) -> None:
    """Inputs at one where they must be given: the shape alone is tested."""
    calculation = CALCULATIONS[name]
    assert source(calculation.source)
    values = {entry.name: max(1.0, entry.least) if entry.usual is None else entry.usual for entry in calculation.inputs}
    worked = list(calculation.work({key: 1.0 if math.isnan(value) else value for key, value in values.items()}))
    assert len(worked) == len(calculation.results)


def test_a_track_is_not_raised_by_a_resistor_across_it() -> None:
    """Said, not left empty."""
    with pytest.raises(UsageError, match="only lowers"):
        reckon(CALCULATIONS["loading"], ["1M", "wanted=2M"])
