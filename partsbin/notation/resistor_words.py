"""The words of resistors, English and German: what each says, and what is no resistor's."""

from __future__ import annotations

from partsbin.notation.colour import AMBIGUOUS, COLOURS
from partsbin.notation.scan import Vocabulary, phrase_key
from partsbin.notation.vocabulary import CONDITION, _table

RESISTOR: Vocabulary = {
    **CONDITION,
    **{phrase_key(word): ("colour", (colour,)) for word, colour in COLOURS.items()},
    **{word: ("colour", colours) for word, colours in AMBIGUOUS.items()},
    **_table(
        technology={
            "carbon-composition": (
                "carbon composition, carbon comp, composition, comp, carbon compound, cc, kohlemasse, "
                "massewiderstand, "
                "kohlemassewiderstand, solid carbon, moulded carbon, kohle masse"
            ),
            "carbon-film": (
                "carbon film, cf, cracked carbon, kohleschicht, kohleschichtwiderstand, kohleschicht widerstand, "
                "kohlefilm"
            ),
            "metal-film": (
                "metal film, metalfilm, mf, metallschicht, metallschichtwiderstand, metallschicht widerstand, "
                "metallfilm, metallfilmwiderstand"
            ),
            "metal-oxide": (
                "metal oxide, metal oxide film, oxide, mox, mof, mo, metalloxid, metalloxidwiderstand, metalloxid "
                "widerstand, metalloxidschicht, "
                "metalloxydschicht, metalloxyd, metallox"
            ),
            "metal-glaze": "metal glaze, thick film, dickschicht, metallglasur, glasurwiderstand, cermet",
            "wirewound": (
                "wirewound, wire wound, ww, w w, wire, draht, drahtwiderstand, draht widerstand, drahtgewickelt, "
                "gewickelt, vitreous, "
                "vitreous enamelled, enamelled, enameled, glasiert, emailliert, vit"
            ),
        },
        made={
            "carbon": "carbon, kohle, kohlewiderstand",
            "film": "film, schicht, schichtwiderstand",
            "metal": "metal, metall",
            "cement": "cement, cemented, zement, zementiert, zementwiderstand",
            "ceramic": "ceramic, ceramic body, ceramic case, keramik, keramikkörper",
            "chip": "smd, chip, smt",
        },
        fusible={
            "yes": (
                "fusible, fuseable, fusable, fuse resistor, fusible resistor, fusing, sicherungswiderstand, sicherungs "
                "widerstand, schmelzwiderstand, schmelzbar"
            ),
            "no": "non fusible, nonfusible, unfusible",
            "may be": "fr, safety, safety resistor, fuse, sicherung, sicherheitswiderstand",
        },
        bridging={
            "yes": (
                "bridging, bridging approved, approved to bridge insulation, approved to bridge isolation, insulation "
                "bridging, isolation bridging, bridges insulation, bridges isolation, isolationsüberbrückung, "
                "zur isolationsüberbrückung"
            ),
        },
        negation={"yes": "not, non, never, nicht, nein, isn't, isnt, un, unapproved"},
        flameproof={
            "yes": "flameproof, flame proof, flame retardant, fire retardant, non flammable, flammhemmend, unbrennbar, nicht brennbar"
        },
        non_inductive={
            "yes": (
                "non inductive, noninductive, ni, bifilar, ayrton perry, induktionsfrei, induktivitätsfrei, non "
                "inductively wound"
            ),
            "no": "inductive",
        },
        pulse_rated={"yes": "pulse rated, pulse proof, impulsfest, surge rated, pulse withstanding"},
        mounting={
            "axial": "axial, axial leads",
            "radial": "radial, radial leads, stehend",
            "tags": "tags, tag, solder tags, tag ended, lötfahnen, solder lugs, lugs",
            "clamp": "clamp, clip mounting, clamp mounting, schelle",
        },
        qualifier={
            "test": "test, tested, test voltage, proof, prüfspannung, overload, max overload, surge, peak, impulse",
            "limit": (
                "max, maximum, limit, limiting, limiting voltage, working, wkg, rated, up to, bis, grenzspannung, dc"
            ),
            "length": "long, length, länge",
            "diameter": "dia, diameter, durchmesser",
        },
        tapped={"yes": "tapped, tap, taps, angezapft, anzapfung, anzapfungen, mit anzapfung, sections"},
        part={
            "body": "body, körper, grundfarbe",
            "tip": "tip, tips, spitze, kappe",
            "end": "end, ends, ende, second tip, other end",
            "dot": "dot, spot, punkt, fleck, centre band, center band",
            "band": (
                "band, bands, ring, ringe, stripe, stripes, streifen, farbcode, farbringe, colour code, color code, "
                "colours"
            ),
            "none": "no, none, without, kein, keine, ohne, missing",
        },
        noun={
            "resistor": (
                "resistor, res, widerstand, widerstände, resistors, vorwiderstand, ballast, bleeder, grid leak, "
                "grid stopper, "
                "anode load, cathode resistor, dropper, heater dropper, mains dropper"
            ),
            "other": (
                "capacitor, condenser, cap, kondensator, elko, electrolytic, disc, disk, mica, paper, moulded, "
                "dots, tantalum, "
                "polyester, polypropylene, mkt, mkp, mfd, mmfd, switch, schalter, valve, tube, röhre, choke, "
                "drossel, coil, "
                "spule, inductor, relay, lamp, bulb, lampe, neon, transformer, trafo, opt, "
                "primary, secondary, "
                "pri, sec, anode to anode, a a, ct, loudspeaker, lautsprecher, speaker, diode, rectifier"
            ),
            "variable": (
                "pot, potentiometer, poti, control, volume, lin, linear, log, logarithmic, antilog, audio, preset, "
                "trimmer, "
                "rheostat, variable, drehwiderstand, regelwiderstand, einstellwiderstand, drehpotentiometer, "
                "spindle, shaft, "
                "spline, ntc, ptc, vdr, varistor, thermistor, heissleiter, heißleiter, kaltleiter, ldr, network, "
                "array"
            ),
        },
        filler={"yes": "type, w, and, with, mit, of, at, each, je, leads, ca, approx, marked, through hole"},
    ),
}
"""Words on resistors and in descriptions of them."""
