"""Transformer: output, line, mains, heater, isolating, interstage, driver.

The figures are in rules/transformer.toml, each with its source. A transformer has a ratio, not an impedance: judged is the load
that the valve sees, copper included, with the loudspeaker there is. Standing current asks for a gap or a rating; a centre tap
proves neither. On a live chassis the iron is the isolation.

Iron on the mains is judged winding by winding, at today's mains and on each of its taps: HT, heaters under load, the rectifier's
heater and what keeps it apart, flux, volt-amperes. Its ratio is primary over one side of the HT, or over the only low winding.
"""

from __future__ import annotations

import math

from partsbin.families._dangers import LEADS, LOW_WINDING
from partsbin.families._declare import CONDITIONS, Family, Keys, Reading
from partsbin.families.transformer.cards import after, buy, cards
from partsbin.families.transformer.checks import CHECKS
from partsbin.families.transformer.examples import EXAMPLES
from partsbin.families.transformer.facts import KINDS, TransformerFacts, title
from partsbin.families.transformer.options import options
from partsbin.families.transformer.positions import need, search
from partsbin.notation.transformer import read_transformer

FAMILY = Family(
    "transformer",
    TransformerFacts,
    Keys(
        "ratio",
        "ratio_low",
        "ratio_high",
        "dc_current",
        (
            ("gapped", (math.nan, 0.0, 1.0)),
            ("centre_tapped", (math.nan, 0.0, 1.0)),
            ("whole", (math.nan, 0.0, 1.0)),
            ("carried", (math.nan, 0.0, 1.0)),
            ("kind", KINDS),
            ("condition", ("", *CONDITIONS)),
            ("measured", (math.nan, 0.0, 1.0)),
        ),
    ),
    options,
    need,
    search,
    CHECKS,
    title,
    read_transformer,
    readings=(
        Reading("ratio", "-", "turns ratio", LOW_WINDING),
        Reading("primary_resistance", "ohm", "DC resistance of the primary"),
        Reading("secondary_resistance", "ohm", "DC resistance of the secondary"),
        Reading("insulation", "ohm", "insulation at stated volts", LEADS),
        Reading("primary_inductance", "H", "primary inductance"),
    ),
    cards=cards,
    buy=buy,
    after=after,
    examples=EXAMPLES,
    words=frozenset({"kind", "condition"}),
)
