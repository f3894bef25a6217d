"""The words of the trade, English and German, and what each says. A meaning is a field and a value.

Words that say less than a field (``waxed``, ``foil``) have a meaning of their own kind, and the reader of the family puts them
together: waxed and paper are one dielectric, moulded and mica another.
"""

from __future__ import annotations

from partsbin.errors import DeclarationError
from partsbin.notation.scan import Vocabulary, phrase_key


def _table(**groups: dict[str, str]) -> dict[str, tuple[str, object]]:
    """Turn ``field={value: "phrase, phrase"}`` into phrase to meaning; yes and no stand for True and False.

    A phrase with two meanings is refused when the program starts.
    """
    table: dict[str, tuple[str, object]] = {}
    for field, values in groups.items():
        for value, phrases in values.items():
            meaning: object = {"yes": True, "no": False}.get(value, value)
            for phrase in phrases.split(","):
                if table.setdefault(phrase_key(phrase), (field, meaning)) != (field, meaning):
                    raise DeclarationError(f"the word {phrase.strip()!r} has two meanings: expected one")
    return table


CONDITION: Vocabulary = _table(
    condition={
        "new": "new, brand new, neu, fabrikneu, neuware",
        "unused-old": "nos, dead stock, deadstock, unused, not used, new old stock, old stock, never used, unbenutzt, lagerware, nib",
        "salvaged": (
            "used, pulled, pull, salvaged, salvage, removed, reclaimed, ex equipment, stripped, "
            "gebraucht, ausgebaut, ausbau, ausgelötet, recovered, second hand, secondhand, old, alt, ex, ex scrap, scrap, "
            "scrapped, from scrap, from scrap set, ex set, ex tv, ex radio, ex chassis, from scrapped set"
        ),
    },
    origin={
        "yes": (
            "from a, from an, from the, from my, from old, from an old, from another, from radio, from set, from tv, from amp, "
            "from chassis, from donor, from junk, out of, out of a, out of an, out of the, s/h, junk, junk box, cannibalised, "
            "desoldered, unsoldered, untested, not tested, un tested, as found, aus, aus einem, aus einer, aus dem, aus altem, "
            "ausgeschlachtet, ungeprüft, ungetestet, nicht getestet, nicht geprüft"
        ),
    },
    damage={
        "broken": (
            "blown, burnt, burned, burnt out, burned out, burnt up, charred, scorched, melted, broken, broke, breakage, snapped, "
            "fractured, cracked, crack, cracks, faulty, fault, faults, defective, defect, defects, dead, dud, duff, torn, ripped, "
            "punctured, open circuit, open circuited, o/c, gone open, open winding, "
            "shorted, shorts, short circuit, short circuited, s/c, shorted turns, gone short, "
            "leaking, leaked, swollen, bulging, burst, bust, exploded, failed, damaged, damage, smashed, ruined, "
            "intermittent, worn out, not working, does not work, doesn't work, non working, not ok, no good, not good, n.g., "
            "scrap only, beyond repair, for repair, needs repair, needs rewinding, no emission, "
            "wire repaired, repaired with wire, fake, fakes, faked, counterfeit, gefälscht, fälschung, "
            "burns, contacts welded, contact welded, welded contacts, verschweißt, jammed, stuck, always on, klemmt, "
            "bridged with wire, bad, u/s, unserviceable, seized, "
            "defekt, defekte, defekter, defektes, kaputt, kaputte, kaputter, kaputtes, durchgebrannt, verbrannt, angebrannt, "
            "abgebrannt, gebrochen, zerbrochen, bruch, gerissen, zerrissen, riss, risse, rissig, taub, taube, tot, schadhaft, "
            "unterbrochen, unterbrechung, durchgeschlagen, kurzschluss, windungsschluss, geplatzt, ausgelaufen, aufgebläht, "
            "verbraucht, schrott, mit draht repariert, mit draht geflickt, nicht in ordnung, geht nicht"
        ),
        "open": "open, offen",
        "leaky": "leaky, undicht, feinschluss",
        "repaired": "repaired, repariert, instandgesetzt, geflickt",
    },
    wear={
        "noise": "noisy, crackly, crackles, crackling, rauscht, knistert",
        "yes": (
            "worn, wear, scratchy, tired, weak, low emission, gassy, microphonic, stiff, sticky, "
            "leaks, rubbing, rubs, sticks, schleift, "
            "dirty, corroded, rusty, dried out, doubtful, suspect, abgenutzt, abgenützt, verschlissen, kratzt, "
            "schwach, müde, schwergängig, verschmutzt, korrodiert, ausgetrocknet, zweifelhaft"
        ),
    },
    whole={
        "yes": (
            "open frame, open core, open type, open style, open back, open backed, open ended, open top, open wire, normally open, "
            "undamaged, unbroken, unrepaired, fault free, leak free, no leakage, no leak, no leaks, crack free, "
            "no wear, ohne mängel, unbeschädigt, fehlerfrei"
        ),
    },
)
"""Condition words, the same for every family: how it was used, where it came from, whether the words call it broken, worn or whole.

What a word of damage amounts to, `notation.condition` decides, for each family.
"""

JOINING: Vocabulary = _table(
    joining={"series": "in series, series, in reihe, serie, in serie", "parallel": "in parallel, parallel"},
)

CAPACITOR: Vocabulary = {
    **CONDITION,
    **JOINING,
    **_table(
        material={
            "electrolytic": (
                "electrolytic, electrolitic, electrolytics, electro, elect, lytic, elko, elkos, elyt, elektrolyt, "
                "photoflash, photo flash, elektrolytkondensator, elektrolytkondensatoren, fotoblitz, "
                "aluminium electrolytic, aluminum electrolytic, electrolytic aluminium, electrolytic aluminum, "
                "electrolitic aluminium, blitzelko"
            ),
            "tantalum": "tantalum, tant, tantal, tantalum bead, tantalperle",
            "film": (
                "film, folie, plastic, plastic film, folienkondensator, kunststoff, kunststofffolie, poly, "
                "polycarbonate, mkc, pps, metallised film, metallized film, plastic foil"
            ),
            "film-polyester": (
                "polyester, film polyester, mylar, pet, mkt, mks, fks, fkt, tropyfol, green cap, greencap, kt, petp, polyesterfolie"
            ),
            "film-polypropylene": "polypropylene, film polypropylene, polyprop, pp, mkp, fkp, kp, polypropylen, polypropylenfolie",
            "polystyrene": "polystyrene, polystyrol, styroflex, styrol, styro, ks",
            "mica": (
                "mica, silver mica, silvered mica, silver micas, glimmer, silberglimmer, glimmerkondensator, sm mica"
            ),
            "ceramic": (
                "ceramic, keramik, keramisch, cer, cerdisc, cer disc, ceramic disc, keramikkondensator, keramischer, "
                "scheibenkondensator, ceramics, steatite, mlcc, multilayer, hi k, disc ceramic"
            ),
            "paper": "paper, papier, papierkondensator, paper foil, paper block",
            "paper-metallised": "mp, metallpapier, paper metallised, paper metallized",
            "paper-waxed": "paper waxed",
            "paper-moulded": "paper moulded, paper molded",
            "ceramic-1": "ceramic one",
            "ceramic-2": "ceramic two",
            "air": "air, luft, air spaced, air dielectric",
            "glass": "glass, glas",
        },
        treatment={
            "waxed": "waxed, wax, wachs, wax paper, waxed paper, paper wax, wax dipped, gewachst, wachspapier",
            "moulded": "moulded, molded, bakelite, moulding, hot moulded",
            "metallised": "metallised, metallized, metalised, metalized, metallisiert",
            "double": "double, foil, foil type",
            "oil": (
                "oil, oil filled, oil paper, paper oil, paper in oil, pio, oiled, öl, oel, ölpapier, oelpapier, "
                "in oil, ölkondensator"
            ),
        },
        shape={
            "disc": "disc, disk, scheibe",
            "tubular": "tubular, tube type, rohr, rohrkondensator, röhrchen, rollkondensator",
            "block": "bathtub, bath tub, block capacitor, blockkondensator, becherblock, block can",
            "can": (
                "can, cans, canned, becher, alubecher, becherelko, becherkondensator, multi section, multisection, "
                "multi can, fp can, dual, dual section, twin section, triple section, doppelelko, doppel elko"
            ),
        },
        polarised={
            "no": (
                "np, non polarised, non polarized, nonpolarised, nonpolarized, non polar, unpolarised, unpolarized, "
                "bipolar, bi polar, bp, ungepolt, non pol, nichtpolar, reversible"
            ),
            "yes": "polarised, polarized, gepolt",
        },
        mounting={
            "axial": "axial, axial leads, axial lead",
            "radial": "radial, radial leads, radial lead, stehend",
            "tags": "tags, tag, solder tags, tag ended, lötfahnen, solder lugs, lugs",
            "twist-lug": "twist lug, twist lock, twist prong, twistlock, schränklappen",
            "clamp": "clamp, clip mounting, clamp mounting, schelle",
        },
        qualifier={
            "ripple": "ripple, ripple current, ripple curr, rippel, brummstrom",
            "test": "test, tested, test voltage, proof, prüfspannung, flash test",
            "surge": "surge, peak, max surge, spitze, spitzenspannung, surge voltage, pk",
            "working": "wkg, working, w, dc wkg, dc working, dc, betriebsspannung, nennspannung, rated",
            "pitch": "rm, pitch, rastermaß, raster, lead spacing, ls, pcm",
            "diameter": "dia, diameter, durchmesser",
            "length": "long, length, länge",
        },
        noun={
            "capacitor": "capacitor, condenser, cap, caps, kondensator, kondensatoren, kapazität",
            "other": (
                "resistor, getter, triode, pentode, pot, potentiometer, lin, linear, log, valve, tube, choke, "
                "fuse, lamp, bulb, transformer, opt, coil, switch, widerstand, drossel, spule, röhre, hbc, hrc, fast, quick blow, "
                "slow blow, anti surge, antisurge, time lag, träge, flink, "
                "drehpotentiometer, sicherung, inductor, relay, diode, rectifier, loudspeaker, speaker, wirewound, "
                "wire wound, carbon, metal film, drahtwiderstand, poti, schalter, trafo"
            ),
            "variable": (
                "trimmer, variable, tuning, padder, preset, drehko, drehkondensator, trimmkondensator, tuning gang, "
                "compression trimmer"
            ),
        },
    ),
}
"""Words on capacitors and in descriptions of them."""

TRANSFORMER: Vocabulary = {
    **CONDITION,
    **_table(
        kind={
            "output": (
                "output transformer, output trans, output, opt, op transformer, o p transformer, output iron, "
                "ausgangsübertrager, ausgangsuebertrager, ausgangstrafo, aü, ausgangstransformator, "
                "loudspeaker transformer, speaker transformer"
            ),
            "mains": (
                "mains transformer, mains, power transformer, mains trans, netztrafo, netztransformator, pt, mains iron"
            ),
            "interstage": (
                "interstage, inter stage, intervalve, inter valve, zwischenübertrager, zwischentrafo, "
                "zwischenuebertrager"
            ),
            "driver": "driver, driver transformer, treiber, treibertrafo, treiberübertrager",
            "line": "line transformer, line matching, line to speaker, pa line, ela",
            "heater": "heater transformer, filament transformer, heiztrafo, heiztransformator",
            "isolating": (
                "isolating, isolation, isolating transformer, isolation transformer, trenntrafo, trenntransformator"
            ),
            "auto": "auto, auto transformer, autotransformer, auto trans, spartrafo, spartransformator",
        },
        topology={
            "single-ended": "se, single ended, eintakt, singleended",
            "push-pull": "pp, push pull, pushpull, gegentakt",
        },
        centre_tapped={
            "yes": (
                "ct, centre tap, centre tapped, center tap, center tapped, centretap, centretapped, c t, "
                "mittelanzapfung, centre tapped primary"
            ),
            "no": "no ct, no centre tap, no center tap, untapped",
        },
        gapped={
            "yes": "gapped, air gap, airgap, air gapped, gap, luftspalt, mit luftspalt, gapped core, butt stacked",
            "no": (
                "ungapped, no gap, no air gap, without gap, without air gap, ohne luftspalt, interleaved, un gapped, "
                "interleaved core, interleaved laminations, kein luftspalt, not gapped"
            ),
        },
        winding={
            "primary": "pri, prim, primary, primär, primaer, primary winding, pri winding",
            "secondary": "sec, secondary, secondaries, sekundär, sekundaer, secondary winding, secs, speaker winding",
            "mains": "input, tapped, primary taps, taps, mains taps",
        },
        pair={"yes": "pair, pair of, two, matched pair, matched pair of, zwei, paar"},
        copper={"primary": "rp, r pri, r prim", "secondary": "rs, r sec"},
        between_anodes={"yes": "a a, anode to anode, plate to plate, p p, raa"},
        quality={
            "resistance": "resistance, dcr, rdc, dc resistance, copper, res, widerstand",
            "impedance": "impedance, load, ra, z, zp, impedanz",
            "inductance": "inductance, lp, induktivität",
            "insulation": (
                "insulation, insulated, isolation voltage, tested, test, hipot, hi pot, proof, flash, flash tested, "
                "insulation tested, prüfspannung, breakdown, isoliert"
            ),
            "line": "line, v line, volt line",
            "core": "core, core area, kern, eisen",
            "dc": "dc, idc, ia, standing, anode current, standing current, max dc",
        },
        noun={
            "transformer": "transformer, transformers, trafo, übertrager, uebertrager, transformator, iron, tx, xfmr",
            "winding": (
                "winding, windings, heater, heaters, rectifier, ht, each, side, a side, filament, lt, for, with, "
                "and, at, or, loudspeaker, speaker, valves, valve, of, bis, für, ratio, turns ratio, turns, "
                "matching, tap, tapped at, power, rated"
            ),
            "other": (
                "capacitor, condenser, resistor, pot, potentiometer, choke, electrolytic, fuse, lamp, switch, "
                "drossel, kondensator"
            ),
        },
    ),
}
"""Words on transformers and in descriptions of them."""
