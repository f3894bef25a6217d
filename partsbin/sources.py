"""The list of published sources. A check, a rule or a table row names one by its key; an unknown key is refused.

``standing`` says how far a figure from this source may be trusted:

* ``read``: the figure was read in an excerpt of the named publication;
* ``memory``: recalled, not confirmed in a text; an answer resting on it says so;
* ``practice``: common practice of the trade, no source;
* ``worked``: our own arithmetic, shown where it is used.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from partsbin.errors import DeclarationError

Standing = Literal["read", "memory", "practice", "worked"]


@dataclass(frozen=True)
class Source:
    """A publication, or the honest absence of one.

    Parameters
    ----------
    key : str
        Name used in code and data.
    title : str
        Title, author, edition and year as far as known.
    where : str
        Page, clause or address.
    standing : {"read", "memory", "practice", "worked"}
        How the figures came here.
    """

    key: str
    title: str
    where: str = ""
    standing: Standing = "read"

    def cite(self) -> str:
        """Return the source in one line, with its standing where that is not ``read``."""
        if self.standing == "practice":
            return "common practice, no source"
        text = f"{self.title}, {self.where}" if self.where else self.title
        return (
            text
            if self.standing == "read"
            else f"{text} (from memory)"
            if self.standing == "memory"
            else f"{text} (worked here)"
        )


_LIST = (
    Source("0z4-thread", "Silicon diodes in place of an 0Z4", "351231.com"),
    Source("aasyk", "Discussion of cathode bypass capacitors", "audioasylum.com, tubediy 283066"),
    Source("alders-lange", "Historische Röhren", "alders-lange.de"),
    Source(
        "amp-data-file",
        "valve data file headed as makers' data, no sheet named",
        "file of an amplifier design, repository not named",
    ),
    Source("ampbooks-transformer", "page on transformers, the model only", "ampbooks.com"),
    Source("amr", "Post on the leakage limits of old electrolytics", "amradio mailing list, 21215"),
    Source("amwindow-transformers", "page of transformer notes", "amwindow.org/tech/htm/trannynotes.htm"),
    Source("antiq", "Replacing the old capacitors in rare radios", "antiqradio.com"),
    Source("arc5c", "Post on colour dots of mica capacitors", "ARC-5 mailing list, August 2013, 15708"),
    Source("ard", "Potentiometer shafts: 6 mm, quarter inch, splined", "forum.arduino.cc, topic 627258"),
    Source("army", "Army ordnance training text, capacitor colour codes", "armyordnance.tpub.com, OD1647, page 111"),
    Source("audb", "Taper letters and the figure that follows them", "audiobanter.com, post 842900"),
    Source("audiokit-core", "page on mains transformer cores", "audiokit.myftp.org"),
    Source("audioxpress-2004", "Inrush of heaters", "audioXpress, September 2004, gammaelectronics.xyz"),
    Source("b54", "Bourns 54 panel control, data sheet", "xonelec, 54CADE"),
    Source("b81", "Bourns 80 series panel controls, data sheet, taper letters", "allcomponents.ru, 8182"),
    Source("battery-valve-page", "page on battery valves, 3S4", "hp1.server-shared.com/hp1/newpage183.html"),
    Source("bitdriven-output", "page on output transformer turns", "bitdrivencircuits.com"),
    Source("boat", "Post on the leakage limits of old electrolytics", "boatanchors mailing list, May 1999, 5362"),
    Source("boatanchors-1997", "Bucking transformers", "boatanchors mailing list, 1997"),
    Source(
        "bridging",
        "IEC 60065, resistors that bridge insulation: one tested for it, or two in series",
        "clauses on components",
        standing="memory",
    ),
    Source(
        "canadianvintageradio-6440",
        "Replacing a field coil by choke and resistor",
        "canadianvintageradio.com, topic 6440",
    ),
    Source("captip", "Capacitor tips for antique radios", "justradios.com"),
    Source("carbon-film", "Carbon film resistors, data sheet", "studylib.net, 18055491"),
    Source("casopis-muzikus", "100 let elektronky, part 11", "casopismuzikus.cz"),
    Source("cfr-761", "40 CFR 761.2, oil-filled capacitors of unknown date are taken as PCB", "761.2(a)(4)"),
    Source("chemA", "Aluminium electrolytic capacitors, application guide", "chemi-con.com, guide, page 4"),
    Source(
        "circuit-codex",
        "Circuit Codex, reference/tubes, quoting makers' sheets",
        "github.com/TheAnalogMaker/circuit-codex, commit 36214c87",
    ),
    Source("composition", "Carbon composition resistors, data sheet", "studylib.net, 18037366"),
    Source("cool2", "Capacitive droppers", "cool386.com, dropper, part 2"),
    Source("cool386", "Droppers and safety barriers in transformerless sets", "cool386.com, dropper, part 4"),
    Source("cool386-diode", "Droppers for heaters, fed through a diode", "cool386.com, dropper"),
    Source("darby-1962", "M. J. Darby, Radio Constructor, April 1962, heater volts", "r-type.org, add130"),
    Source("diode-memory", "data sheets of silicon rectifier diodes", standing="memory"),
    Source("diya", "Discussion of single-pole and double-pole mains switches", "diyaudio.com, thread 286313"),
    Source("diyaudio-172659", "thread on reflected loads", "diyaudio.com thread 172659"),
    Source("diyaudio-350032", "thread on a reflected load", "diyaudio.com thread 350032"),
    Source("diyaudio-382833", "thread EZ81 x 2", "diyaudio.com thread 382833"),
    Source("diyaudio-419255", "thread on insertion loss by measurement", "diyaudio.com thread 419255"),
    Source("edi-az12", "AZ12 article", "edi.bplaced.net"),
    Source("eee-inst-002", "NASA EEE-INST-002, capacitor derating", standing="memory"),
    Source("elcon", "Plastic shafts on the controls of transformerless sets", "electrical-contractor.net, post 9391"),
    Source("elecraft", "Drift of composition stock, dull and glossy bodies", "elecraft mailing list, July 2007, 70818"),
    Source("emissionlabs-5u4g", "page on EML5U4G", "emissionlabs.com"),
    Source("equivalents-memory", "makers' lists of equivalents", standing="memory"),
    Source("eseries-package", "Package eseries 1.2.1, its own description and output"),
    Source("eto", "Discussion of capacitor tolerance letters", "electro-tech-online.com, thread 485"),
    Source("film80", "Film capacitors, selection guide", "film-capacitor.com, selection I"),
    Source("funkew19-az12", "page on AZ12", "funkew19.de"),
    Source("fuse-marking", "Marking of miniature fuses, after IEC 60127-2", "page on fuse markings"),
    Source(
        "fuseology",
        "Fuseology: time limits and interrupting ratings of UL 248-14 fuses",
        "data book of a fuse maker, Littelfuse",
    ),
    Source("fusible", "Questions and answers on flameproof and fusible resistors", "page without address"),
    Source(
        "g4ebt4", "Tapped volume controls cannot be imitated with fixed resistors", "vintage-radio.net, post 854332"
    ),
    Source("gdiy", "Discussion of cathode bypass capacitors", "groupdiy.com, topic 70455"),
    Source("ge-6x4", "GE data sheet of the 6X4", "scribd.com, 708372590"),
    Source("gec-memory", "GEC/MOV valve data", standing="memory"),
    Source("golborne-29783", "thread on the VA of E-and-I cores", "golbornevintageradio thread 29783"),
    Source("guitarfile-185", "page from a tube substitution handbook", "theguitarfiles.com/guitarfile185.html"),
    Source("hammond", "Hammond, Rectifier Design Guide"),
    Source("hazchem-core", "Reference Data for Radio Engineers, 2nd edition 1946, as quoted", "hazchem.smoke.com.au"),
    Source("heath-list-2001", "Heath mailing list, 2001", "puck.nether.net"),
    Source("heathkit", "Heathkit manual, a higher wattage always serves", "manuals.online, heathkit"),
    Source("hokuriku", "Hokuriku NAT film resistors, data sheet", "Hokuriku NAT"),
    Source("holy", "Holy Stone ceramic capacitors, general introduction", "p. 53"),
    Source("honmatsu-50eh5", "valve rating table 50EH5 and 50C5 on an amplifier page", "honmatsu-amp.net/dkm/50EH5s"),
    Source("honmatsu-6ga4", "valve rating table on an amplifier page, no maker", "honmatsu-amp.net/6GA4/6ga4_2.html"),
    Source("iec-60065", "IEC 60065, touch current, as quoted in a television manual", "easymanua.ls, page 7"),
    Source("iec-60384-14", "IEC 60384-14, classes X and Y, as quoted", "lists.vcfed.org, 2015-December, message 874"),
    Source("iec-60384-tolerance", "Capacitor tolerance letters, Z -20/+80 %", "dummies.com, capacitor tolerance code"),
    Source("iec-60950-touch", "IEC 60950, earth leakage of class I equipment, as quoted", "emc-pstc, message 22768"),
    Source(
        "iron-cold-start",
        "Rectifier peak before the valves load it: square root of two, mains at its upper limit",
        standing="worked",
    ),
    Source("iron-efficiency", "Efficiency of small radio output transformers, 75 to 90 %", standing="memory"),
    Source("iron-mismatch", "Bands of load mismatch used in the trade", standing="memory"),
    Source("ital", "Cemented wire-wound resistors, tapped", "italohm.com, model PMOR"),
    Source("itec", "Formula for capacitor balance resistor values", "itecnotes.com"),
    Source("iwistao-rectifiers", "article on rectifiers", "iwistaoblog.com"),
    Source("jb", "Replacing capacitors in old radios", "jbcapacitors.hk, post 139"),
    Source("jest", "About capacitor coding", "jestineyong.com"),
    Source("jj-5y3s-point", "5Y3S data sheet point of a modern make", "valve amplifier model, repository not named"),
    Source("k0cq", "Post on making a linear control logarithmic", "tentec mailing list, November 2001, 21945"),
    Source("kcanostubes", "rectifier chart", "kcanostubes.com"),
    Source("keen-amp-faq", "R. G. Keen, Tube Amp FAQ, 20 January 1999, as quoted", "mylespaul.com thread 196133"),
    Source("kicad-valves", "valve symbol library, one data sheet for both names", "KiCad Valve library"),
    Source("knopp", "Output transformers without a gap, measured", "knopp.se, page 15"),
    Source(
        "kothf-sheets",
        "Philips and RCA data sheets, as transcribed",
        "github.com/kothf/tube-amp-cad, tests, commits 07d2309c and 37bf09ac",
    ),
    Source(
        "kothf-tube-db",
        "note on 6F3P and ECL82 (Katsnelson and Larionov 1981, p. 355, for 6F3P)",
        "github.com/kothf/tube-amp-cad, tube-db.js",
    ),
    Source("lieb", "EEE-INST-002, film resistors, derating, as quoted", "github.com/LieBtrau/electronics-design-data"),
    Source("maker-data-memory", "makers' valve data", standing="memory"),
    Source("mazda-memory", "Mazda valve data", standing="memory"),
    Source("mef", "Discussion of coupling capacitor leakage", "music-electronics-forum.com, thread 43312"),
    Source("memory", "trade knowledge", standing="memory"),
    Source("metal-film", "Metal film resistors MF1W, data sheet", "xonelec, mf1w621"),
    Source("mil-10509", "MIL-R-10509, rated continuous working voltage", "emilspec.com, MIL-R-10509, page 7"),
    Source("mil-39005", "MIL-PRF-39005, rated continuous working voltage", "emilspec.com, MIL-PRF-39005, page 7"),
    Source("mkp4", "WIMA MKP 4 data sheet"),
    Source("mks4", "WIMA MKS 4 data sheet"),
    Source(
        "monoandstereo-5u4g",
        "article by Thomas Mayer on the 5U4, referring to the GE sheet",
        "monoandstereo.com, May 2021",
    ),
    Source(
        "mullard-1962-ecl86", "Mullard release on ECL86, March 1962, as transcribed", "r-type.org/addtext/add071.htm"
    ),
    Source(
        "mullard-outlook-1963", "Warming up of series heaters", "Mullard Outlook, February 1963, r-type.org, add126"
    ),
    Source("mutts", "Audio potentiometer tapers A, B, C, W and G differ by region", "twomuttsaudio.com, March 2024"),
    Source("njunis-117", "old textbook on output transformers, as quoted", "tubes.njunis.net p=117"),
    Source("nost22", "Electrolytic values in replacement practice", "nostalgiaair.org, topic 2246"),
    Source("nost37", "Single-pole switch in the neutral of a live chassis", "nostalgiaair.org, topic 37391"),
    Source("nost41", "A tapped volume control and its untapped replacement", "nostalgiaair.org, topic 41224"),
    Source("nost89", "Cadmium plating and lead paint on old chassis", "nostalgiaair.org, topic 89294"),
    Source("nostalgiaair-open", "An open output transformer primary in a 6F6 set", "nostalgiaair.org, topic 37253"),
    Source("nz-catalogue", "valve table of a New Zealand radio catalogue", "public SQL dump"),
    Source("omeg", "Omeg carbon potentiometers, data sheet: letters, values, tracks", "page 2"),
    Source("omegeco", "Omeg ECO 16 mm potentiometer, data sheet", "omeg.co.uk, eco"),
    Source("omegp20", "Omeg P20 potentiometer, data sheet", "omeg.co.uk, p20data1"),
    Source("omegsw", "Omeg switched potentiometers, switch ratings", "manualzz.com, 48257762"),
    Source("op316-6f6", "page on 6F6 and 6K6GT", "op316.com 6f605"),
    Source("op316-6l6", "page on 6L6", "op316.com 6f606"),
    Source("op316-6v6", "page on 6F6 and 6V6", "op316.sakura.ne.jp 6f602"),
    Source("ori", "Capacitor value and voltage codes", "oriedza.blogspot.com, 17 April 2014"),
    Source("ot74", "Re-forming electrolytics and what leakage to accept", "vintage-radio.net, post 217662"),
    Source("p11", "Sfernice P11 and PA11 potentiometers, data sheet", "PA11"),
    Source("pana", "Panasonic SU series data sheet"),
    Source("pantv", "Panasonic TH-42PW5 service manual", "p. 4"),
    Source("pedal", "Capacitor code decoder", "pedalprojects.co.uk"),
    Source("perceptiohu-6sn7", "page on 6SN7, text of Wikipedia", "perceptiohu.com"),
    Source("percsorptalbo-ecl82", "copy of an encyclopedia on ECL82", "percsorptalbo.tk"),
    Source("petra-toroid", "Windings behind rectifiers, RMS over DC current", "petra-toroid.ro"),
    Source("philC", "Replacing mica capacitors in tuned circuits", "philcoradio.com, topic 502"),
    Source("philco-field", "Replacing a field coil by a choke and a resistor", "philcoradio.com, t20910"),
    Source("philcoradio-20910", "Field coil of 1140 ohm at 65 mA replaced", "philcoradio.com, topic 20910"),
    Source(
        "philips-extracts",
        "extracts of the Philips ECL82 and ECL86 sheets; weak, bias and pins look wrong",
        "frank.pocnet.net 010/e, in an unnamed repository",
    ),
    Source("philips-mullard-memory", "Philips and Mullard valve data", standing="memory"),
    Source("pjl", "A live chassis whose switch breaks one lead", "vintage-radio.net, topic 14207"),
    Source("pneu", "9 mm potentiometer, data sheet", "pneutec.it, R1001N"),
    Source("portable3-history", "radio history page", "portable3.web.fc2.com book882"),
    Source("practice", "common practice", standing="practice"),
    Source("prec", "Composition controls, series K: letters and shaft codes", "precisionelectronics.com, 0-40A-010C"),
    Source("primidi", "Rated capacitance", "primidi.com"),
    Source("psh", "X and Y capacitors in old mains receivers", "vintage-radio.net, post 1133300"),
    Source("ptc", "Voltage parameters of a capacitor", "support.ptc.com, voltage_params"),
    Source("r-type-35z5", "article on the 35Z5GT of its time", "r-type.org/addtext/add144.htm"),
    Source("r390-list-2004", "R-390 mailing list, October 2004"),
    Source("radexp", "Voltage margins for replacement electrolytics", "radioexperimenter.us, magazine of March 1993"),
    Source("radio-roehren", "Rote Röhren III, Außenkontaktröhren IV, Die 6L6, Pico-Serie", "radio-roehren-etc.de"),
    Source("radiomann-6er", "Radio_Tube_6ER", "radiomann.sakura.ne.jp"),
    Source("radiomann-museum", "Radio_P9", "radiomann.sakura.ne.jp"),
    Source("radiomann-rec-eu", "Audio_REC_EU", "radiomann.sakura.ne.jp"),
    Source("radiomann-rec-us", "Audio_REC_US", "radiomann.sakura.ne.jp"),
    Source("radiomuseum-az1", "AZ1 article of the forum", "radiomuseum.org"),
    Source("radiomuseum-geister", "Geister-Röhren article", "radiomuseum.org"),
    Source("radiotrician", "Capacitive heater droppers", "radiotrician.org"),
    Source("rca-manual-memory", "RCA Receiving Tube Manual", standing="memory"),
    Source(
        "rectron-derating", "Sheets of silicon rectifiers: a fifth less current into a capacitor", "Rectron, Shindengen"
    ),
    Source("reference-mullard", "page on Mullard-Philips designations", "reference.com"),
    Source("respuestas", "Answer on the leakage of mains filter capacitors", "respuestas.me"),
    Source("rick", "Commercial logarithmic tracks are two linear segments", "rickresource, topic 417251"),
    Source("rkm", "Letter code of IEC 62:1952", "wikiclassic.com"),
    Source("robotz", "Telling audio from linear at half rotation", "wiki.robotz.com"),
    Source("rola-choke", "Measuring chokes: one marked 14/60", "scribd.com, 729780764"),
    Source("rs-film", "Carbon film resistors of a distributor, data sheet", "RS carbon film"),
    Source("rs-vitreous", "Vitreous wire-wound resistors: near full power no insulator", "RS, 4852631"),
    Source("rush-radio", "Valve of the month", "rush-radio.co.uk"),
    Source("rworld", "The power of capacitors", "radioworld.com, tech tips"),
    Source("sanni", "9 mm potentiometer with switch, data sheet", "machineu.com, 749834"),
    Source("sanyo", "Sanyo DP19649 service manual", "p. 41"),
    Source("selenium-bonkowski", "R. Bonkowski, on selenium rectifiers", "studylib.net, 18253712"),
    Source("sony", "Sony service manual TC-15PM50R 1.3"),
    Source(
        "sony97",
        "A resistor across a variable resistor and what becomes of its law",
        "synth-diy mailing list, June 1997, 40846",
    ),
    Source("stanwatkins", "Asbestos heat pads in small receivers", "stanwatkins.com"),
    Source("stereosound-5u4g", "article on 5U4G and 5U4GB", "online.stereosound.co.jp"),
    Source("sunny", "Old and new audio tapers of amplifiers compared", "sunnyside-amps.com, April 2013"),
    Source("talema", "Talema and Nuvotem, regulation of transformers"),
    Source("taylor", "Wire-wound resistors, chapter of a handbook", "taylorfrancis, 9781315220673-7"),
    Source("tdpri-3950811", "thread on loads and taps", "tdpri.com thread 3950811"),
    Source("tek-surge", "Composition resistors as surge parts", "TekScopes, 6239"),
    Source(
        "tester-remark", "remark in a test file, no sheet named; weak", "valve tester project, repository not named"
    ),
    Source("ti-slaa701b", "Texas Instruments application note SLAA701B", "table 1-16"),
    Source("triodeamp-80", "page on the 80", "triodeamp.web5.jp/tubes/80.html"),
    Source("tsf", "Leakage current of old capacitors", "carnets-tsf.com"),
    Source("tubeeh-6aq8", "Electro-Harmonix sheet TUBEEH 75984 (6AQ8), modern make"),
    Source("tubeeh-6bm8", "Electro-Harmonix sheet TUBEEH 75985 (6BM8), modern make"),
    Source("tubel", "Replacing capacitors", "tube-love.blogspot.com, March 2003"),
    Source("tubeofile", "tubeofile, entries after the makers' data"),
    Source("tubestudio", "tube database", "github.com/mjmvisser/tubestudio, src/tubeDatabase.ts"),
    Source("us-extra-pool", "US amateur radio Extra question pool, beryllium oxide", "E0A09, hamradioacademy"),
    Source("us-general-pool", "US amateur radio General question pool", "G5C07"),
    Source("v038", "Vishay 038 RSU data sheet 28309", "p. 100"),
    Source("va1d", "Balance resistors for series capacitors", "va1der.ca"),
    Source("vacuumtubes", "article on ECL86; unreliable", "vacuumtubes.io/tube/ECL86"),
    Source("vanderveen", "M. van der Veen, measuring output transformers", "Glass Audio 5/97"),
    Source("vcomp", "Capacitor colour codes", "vcomp.co.uk, cap_codes"),
    Source("vr-dropper", "Calculating a heater dropper", "vintage-radio.com, valve_dropper-calcs"),
    Source("vrcap", "Capacitors in valve radios", "vintage-radio.com, valve capacitors"),
    Source("vrres", "Resistors in valve radios", "vintage-radio.com, valve_resistors"),
    Source("vrw", "Resistor codes and tolerances", "vintageradioworld.co.uk, codes"),
    Source("wattkins-20952", "page on ratio and reflected load", "wattkins.com node 20952"),
    Source("wiki-e6", "E6 series of preferred numbers", "Wikipedia"),
    Source("wikipedia-6l6", "article 6L6", "Wikipedia"),
    Source("wikipedia-es-25l6", "article 25L6 (copy of the Spanish Wikipedia)", "wikireact.com"),
    Source("wikipedia-ru-el84", "article EL84", "Russian Wikipedia"),
    Source("worked", "arithmetic from the stated formula", standing="worked"),
    Source("world-designs", "Output transformers, questions and answers", "world-designs forum"),
    Source("zwi", "A cheap logarithmic control, measured", "zwizwa.be, 22 December 2010"),
)

SOURCES: dict[str, Source] = {source.key: source for source in _LIST}


def source(key: str) -> Source:
    """Return the source of that key.

    Raises
    ------
    DeclarationError
        If no source has that key.
    """
    try:
        return SOURCES[key]
    except KeyError:
        raise DeclarationError(f"unknown source {key!r}", hint="add it to partsbin/sources.py") from None
