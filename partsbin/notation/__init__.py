"""Trade notation: text to numbers in SI and back. Exact decimals inside; nothing is guessed without saying so."""

from partsbin.notation.capacitor import read_capacitor
from partsbin.notation.codes import CeramicCode, capacitance_code, ceramic_code, tolerance_letter, voltage_code
from partsbin.notation.marks import Mark, read_mark
from partsbin.notation.preferred import Replacement, nearest, neighbours, replacement, series
from partsbin.notation.quantity import Quantity, read_quantity, read_tolerance, to_float
from partsbin.notation.reading import Reading
from partsbin.notation.scan import Token, Vocabulary, scan
from partsbin.notation.text import normalise
from partsbin.notation.transformer import read_transformer
from partsbin.notation.units import SI_UNITS
from partsbin.notation.writing import format_interval, format_quantity, format_tolerance

__all__ = [
    "SI_UNITS",
    "CeramicCode",
    "Mark",
    "Quantity",
    "Reading",
    "Replacement",
    "Token",
    "Vocabulary",
    "capacitance_code",
    "ceramic_code",
    "format_interval",
    "format_quantity",
    "format_tolerance",
    "nearest",
    "neighbours",
    "normalise",
    "read_capacitor",
    "read_mark",
    "read_quantity",
    "read_tolerance",
    "read_transformer",
    "replacement",
    "scan",
    "series",
    "to_float",
    "tolerance_letter",
    "voltage_code",
]
