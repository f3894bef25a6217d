"""The words of the trade on potentiometers, English and German, and what each says."""

from __future__ import annotations

from partsbin.notation.ratings import TESTS
from partsbin.notation.scan import Vocabulary
from partsbin.notation.vocabulary import CONDITION, _table

POTENTIOMETER: Vocabulary = {
    **CONDITION,
    **TESTS,
    **_table(
        noun={
            "potentiometer": (
                "potentiometer, pot, poti, control, volume control, tone control, gain control, balance control, volume, "
                "drehpotentiometer, drehpoti, drehpot, schichtpotentiometer, drahtpotentiometer, drahtpoti, schiebepoti, "
                "lautstärkeregler, "
                "klangregler, regler, trimpot, "
                "trimmpoti, trimmpotentiometer, einstellregler"
            ),
            "preset": "preset, trimmer, trimmer pot, skeleton preset, bias preset, variable resistor, trimmregler",
            "hum": "hum, hum balance, humdinger, hum control, entbrummer, hum pot",
            "other": (
                "capacitor, condenser, resistor, transformer, choke, valve, tube, fuse, lamp, bulb, coil, relay, diode, rectifier, "
                "loudspeaker, speaker, kondensator, widerstand, trafo, drossel, röhre, sicherung, elko, thermistor, padder, cap"
            ),
        },
        taper={
            "linear": "lin, linear, linear taper, lin taper, linear law, lin law",
            "log": (
                "log, logarithmic, audio, audio taper, log taper, log law, logarithmisch, pos log, positive log, "
                "positiv logarithmisch"
            ),
            "antilog": (
                "antilog, anti log, antilogarithmic, reverse log, rev log, inverse log, neg log, negative log, ra, reverse audio, "
                "reversed log, negativ logarithmisch, reverse logarithmic, revlog, anti logarithmic, reverse audio taper"
            ),
        },
        track={
            "carbon": "carbon, carbon track, carbon film, kohle, kohleschicht, composition, carbon composition",
            "cermet": "cermet",
            "wirewound": "wirewound, wire wound, ww, w w, draht, drahtgewickelt, wire",
            "conductive-plastic": "conductive plastic, leitplastik, plastic track, plastic element",
        },
        poles={
            "0": "no switch, unswitched, without switch, less switch, ohne schalter, no sw, no mains switch, without mains switch",
            "1": "sp, spst, single pole, one pole, einpolig, spdt, spco, s p",
            "2": "dp, dpst, double pole, two pole, zweipolig, dpdt, dpco, d p, doppelpolig, twin pole",
        },
        action={
            "push-pull": "push pull, pushpull, pull switch, push pull switch, zugschalter, druck zug schalter",
            "push": "push switch, push on push off, push push, druckschalter",
            "rotary": "rotary switch, drehschalter",
        },
        switch={
            "yes": "switch, sw, schalter, mains switch, netzschalter, switched, on off switch, on off, mains sw, on off sw",
        },
        gangs={
            "1": "mono, single gang",
            "2": (
                "tandempoti, stereopoti, doppelpoti, tandempotentiometer, stereopotentiometer, "
                "dual, stereo, tandem, twin, dual gang, two gang, double gang, twin gang, doppel, ganged, twin ganged, dual ganged"
            ),
            "3": "triple, triple gang, three gang",
            "4": "quad, quad gang, four gang",
        },
        style={
            "flat": "d shaft, d shape, d spindle, flatted, flat, abgeflacht, half moon, flat shaft, flatted shaft, flatted spindle",
            "spline": (
                "spline, splined, knurled, knurl, serrated, fluted, rändelachse, gerändelt, geriffelt, split shaft, splined shaft, "
                "knurled shaft, split knurled, push on"
            ),
            "round": "round, plain, round shaft, plain shaft, rund, runde achse, round spindle, plain spindle",
            "slotted": "slotted, slot, screwdriver, screwdriver slot, schlitz, slotted shaft, slotted spindle, screwdriver adjust",
        },
        insulated={
            "yes": (
                "plastic shaft, nylon shaft, insulated shaft, plastic spindle, nylon spindle, insulated spindle, kunststoffachse, "
                "isolierte achse, bakelite spindle, bakelite shaft, insulating spindle, insulating shaft"
            ),
            "no": (
                "metal shaft, metal spindle, brass shaft, brass spindle, steel shaft, steel spindle, metallachse, "
                "aluminium shaft, aluminium spindle, aluminum shaft"
            ),
        },
        role={
            "shaft": "shaft, spindle, achse, welle, shaft dia, shaft diameter, spindle dia, achs",
            "bush": "bush, bushing, buchse, gewinde, thread",
            "tap": "tap, tapped, tapped at, tap at, loudness tap, anzapfung, abgriff, mit anzapfung, with tap, loudness",
            "length": "long, length, lang, länge",
            "limit": "limit, max, track limit, limiting, grenzspannung, track, element, bahn",
        },
        wired={
            "rheostat": "rheostat, as rheostat, wired as rheostat, as variable resistor, wiper tied to end, wiper tied",
            "divider": (
                "divider, as divider, potential divider, wired as divider, spannungsteiler, wiper not tied, "
                "wiper untied"
            ),
            "end-resistor": "end resistor, with end resistor, divider with end resistor, wiper resistor, with wiper resistor",
        },
        filler={
            "yes": (
                "with, mit, m, w, and, und, of, at, for, pole, poles, pol, polig, gang, gangs, fach, rotary, rotatory, panel, "
                "taper, law, short, mains, bias, tone, ac, dc, each, je, cut, tags, pcb, single, size, body, mount, dia"
            ),
        },
    ),
}
"""Words on potentiometers and in descriptions of them."""
