"""What a working repairer fits every week, over every family and position: one line a part, chosen before any of it was run.

A line: position; dead part; facts of the set; part in the hand (then, after bars, its condition and readings); what must be said;
why, in a few words. Origin: common practice of the trade, no source, unless the reason names a figure.
"""

from __future__ import annotations

CAPACITOR = """
coupling; 0.1uF 350V waxed paper; ; 100n 630V polypropylene; fits; same value, more volts
coupling; 0.01uF 500V; rail=250; 10n 630V polyester; fits; same value, more volts
coupling; 0.02 mfd 400V; rail=220 anode=100 grid_leak=1M; 22n 630V film; fits; a tenth more is nothing
coupling; 0.005uF 350V; ; 4.7n 400V film; fits; E6 for the old value
coupling; 0.05uF 350V; secondary=250-0-250; 47n 630V polypropylene; fits; E6, volts over the cold start
decoupling; 4uF 350V; rail=220; 4.7uF 450V electrolytic; fits; E6, more volts
decoupling; 2uF 350V; ; 2.2uF 400V film; fits; E6, film for wet
decoupling; 0.25uF 350V; ; 220n 400V film; fits; E6
reservoir; 8uF 500V; rail=260; 10uF 500V electrolytic; fits; a quarter more, volts over 1.6 times the rail
reservoir; 16uF 500V; secondary=300-0-300 rectifier=EZ80 current=60mA winding_resistance=300; 16uF 500V electrolytic; care; as it was, and two per cent over the cold start
reservoir; 50uF 300V; chassis=live; 47uF 400V electrolytic; fits; E6, over the mains' peak
smoothing; 16uF 500V; rail=250; 22uF 500V electrolytic; fits; more smooths better
smoothing; 50uF 300V; chassis=live; 47uF 400V electrolytic; fits; E6
smoothing; 24uF 350V; rail=200; 22uF 450V electrolytic; fits; E6, more volts
bias-smoothing; 50uF 25V; ; 47uF 35V electrolytic; fits; E6, more volts
bias-smoothing; 100uF 50V; ; 100uF 63V electrolytic; fits; same value
cathode-bypass; 25uF 25V; valve=EL84; 47uF 25V electrolytic; fits; twice the value is more bass, no harm
cathode-bypass; 100uF 12V; ; 100uF 25V electrolytic; fits; same value
cathode-bypass; 10uF 25V; ; 10uF 63V electrolytic; fits; same value
screen-bypass; 0.05uF 350V; ; 47n 630V film; fits; E6
screen-bypass; 0.5uF 350V; rail=230; 470n 630V polyester; fits; E6
screen-bypass; 0.1uF 350V; rail=200; 100n 400V film; fits; same value
heater-bypass; 0.01uF 350V; ; 10n 500V ceramic disc X7R; fits; same value
heater-bypass; 5000pF; chassis=live; 4.7nF X2 275VAC; fits; on the mains an approval counts
agc; 0.05uF 200V; ; 47n 250V film; fits; E6
agc; 0.1uF 150V paper; ; 100n 100V film; unfit; under the volts of the dead part
agc; 0.25uF 150V; ; 220n 250V polyester; fits; E6
detector-filter; 100pF; rail=200; 100pF 500V silver mica; fits; same value
detector-filter; 50pF 500V; ; 47pF 500V ceramic C0G; fits; E6
tone; 0.02uF 350V; ; 22n 400V film; fits; E6
tone; 0.005uF 500V; rail=240; 4.7n 630V film; fits; E6
output-tone; 0.002uF 1000V; rail=250; 2.2n 1600V polypropylene; fits; E6, over the swing
output-tone; 0.01uF 1000V; ; 10n 1000V film; fits; like for like
feedback; 1000pF 350V; ; 1nF 1% 500V silver mica; fits; same value, closer
feedback; 100pF 500V; ; 100pF 5% 500V ceramic C0G; fits; same value
rf-bypass; 0.01uF 500V; ; 10n 1kV ceramic X7R; fits; same value
rf-bypass; 0.05uF 350V; rail=200; 47n 630V film; fits; E6
rf-bypass; 0.1uF 350V; ; 100n 400V polyester; fits; same value
rectifier-shunt; 0.005uF 1000V; secondary=250-0-250; 4.7n 2kV ceramic; fits; over twice the winding's peak
rectifier-shunt; 0.01uF 1500V; ; 10n 2000V ceramic X7R; fits; over the label
tuned; 150pF; rail=200; 150pF 1% 500V silver mica; fits; same value
tuned; 68pF 500V; ; 68pF 1% 500V C0G ceramic; fits; same value
padder; 500pF 350V; ; 500pF 1% 500V silver mica; fits; same value
padder; 420pF; rail=200; 420pF 1% 500V silver mica; fits; same value
mains-across; 0.1uF 250VAC; mains=230; 100n X2 275VAC; fits; made for it
mains-across; 0.01uF; ; 10nF X2 310VAC; fits; made for it
mains-across; 0.05uF; mains=230; 47nF X1 440VAC; fits; X1 does all that X2 does
mains-to-chassis; 0.005uF; chassis=floating; 4.7nF Y2 300VAC; fits; made for it
mains-to-chassis; 0.01uF; chassis=earthed; 10nF Y2 250VAC; fits; an earthed chassis bears its current
aerial-isolation; 0.005uF; chassis=live; 4.7nF Y1 400VAC; fits; made for it
aerial-isolation; 500pF; chassis=live; 470pF Y1 400VAC ceramic; fits; made for it
earth-isolation; 0.005uF; chassis=live; 4.7nF Y2 250VAC; fits; made for it
pickup-isolation; 0.005uF; chassis=live; 4.7nF Y1 400VAC; fits; made for it
crossover; 4uF; ; 3.9uF 250V film; fits; E12, bipolar by nature
crossover; 2uF 50V; ; 2.2uF 250V polypropylene; fits; a tenth more
coupling; 0.02uF 350V; ; 47n 400V film; care; more than twice: more bass, blocks longer
reservoir; 32uF 450V; rectifier=EZ81 rail=250; 56uF 500V electrolytic; unfit; over the valve's 50 µF and 1.25 times the old
coupling; 0.1uF; rail=250; 100n 250V film; unfit; under the cold start
"""

RESISTOR = """
anode-load; 100k 1/2W; rail=250; 100k 0.5W metal film; fits; same value and watts
anode-load; 220k 1/2W composition; ; 220k 1W carbon film; fits; more watts
anode-load; 47k 1W; rail=250 anode=130; 47k 2W metal oxide; fits; more watts
grid-leak; 500k; ; 470k 0.25W carbon film; fits; E12 for the old value
grid-leak; 680k; valve=EL84; 680k 0.5W metal film; fits; under its listed most
grid-leak; 2M; ; 2.2M 0.25W metal film; fits; a tenth more
diode-load; 470k; ; 470k 0.25W metal film; fits; same value
diode-load; 250k 1/2W; ; 270k 0.25W carbon film; fits; within a tenth
cathode-bias; 270R 1W; ; 270R 2W metal oxide; fits; more watts
cathode-bias; 180R 1W; ; 180R 2W metal film; fits; more watts
cathode-bias; 1k 1/2W; current=2mA; 1k 0.5W metal film; fits; 4 mW in it
back-bias; 30R 2W; current=70mA; 33R 3W wirewound; care; a tenth more bias
back-bias; 150R 1W; current=50mA; 150R 2W metal oxide; fits; 0.4 W in it
screen-feed; 33k 1W; ; 33k 2W metal film; fits; more watts
screen-feed; 100k 1W; rail=240 anode=90; 100k 1W metal film; fits; 0.3 W in it at most
screen-feed; 22k 2W; ; 22k 3W metal oxide; fits; more watts
decoupling; 22k 1/2W; ; 22k 1W metal film; fits; more watts
decoupling; 2k 2W; current=15mA rail=250; 2.2k 2W metal oxide; fits; half a watt in it
agc-feed; 2.2M; ; 2.2M 0.25W carbon film; fits; same value
agc-feed; 470k 1/4W; ; 470k 0.25W metal film; fits; same value
grid-stopper; 1k; ; 1k 0.25W carbon film; fits; same value
grid-stopper; 100R 1/4W; ; 100R 0.5W metal film; fits; same value
surge-limiter; 47R 5W; ; 47R 5W wirewound; fits; like for like
surge-limiter; 200R 5W; chassis=live current=60mA; 220R 10W wirewound; fits; a tenth more
bleeder; 47k 5W; rail=250; 47k 10W wirewound; fits; more watts
bleeder; 150k 2W; rail=200; 150k 3W metal oxide; fits; more watts
heater-dropper; 1k 15W; current=0.1A; 1k 25W wirewound; fits; 10 W in it
heater-dropper; 150R 25W; current=0.3A; 150R 50W wirewound; fits; 13.5 W in it
ht-dropper; 1k 5W; current=50mA rail=220; 1k 7W wirewound; fits; 2.5 W in it
ht-dropper; 4.7k 3W; current=15mA rail=200; 4.7k 5W wirewound; fits; 1 W in it
lamp-shunt; 50R 3W; current=0.1A; 47R 5W wirewound; fits; E12
lamp-shunt; 27R 5W; current=0.3A; 27R 10W wirewound; fits; 2.4 W in it at most
x-discharge; 1M 1/2W; ; 1M 0.5W metal glaze 500V; fits; made for high volts
isolation-bridging; 2.2M; chassis=live; 2.2M 1W bridging approved; fits; made for it
field-substitute; 1500R 10W; current=50mA rail=250; 1.5k 15W wirewound; fits; 3.8 W in it
field-substitute; 2k 10W; current=60mA; 2.2k 25W wirewound; fits; a tenth more
feedback; 100k 1/2W; ; 100k 0.5W 1% metal film; fits; same value, closer
feedback; 4.7k 1/2W; ; 4.7k 0.25W 1% metal film; fits; same value, closer
anode-load; 100k 1/2W; rail=250; 82k 0.5W metal film; fits; inside the old tolerance of a fifth
cathode-bias; 150R 1W; valve=EL84; 160R 2W metal film; care; a fifteenth less current
heater-dropper; 870R 25W; current=0.1A; 870R 5W wirewound; unfit; 8.7 W in it
"""

POTENTIOMETER = """
volume; 500k log; chassis=earthed; 500k log 0.25W; fits; like for like
volume; 1M log; chassis=earthed; 1M log carbon; fits; like for like
volume; 250k log; chassis=floating; 250k log pot; fits; like for like
volume; 2M log; chassis=floating; 2M log; fits; like for like
volume; 1M log DP sw; chassis=live current=0.3A; 1M log DPST 4A 250V~ nylon spindle; fits; two poles, insulated
volume; 500k log SP sw; chassis=floating current=0.3A; 500k log SPST 2A 250V~; fits; behind a transformer one pole is the custom
tone; 100k lin; chassis=floating; 100k lin 0.25W; fits; like for like
tone; 500k log; chassis=earthed; 470k log; fits; E12
rf-gain; 10k lin wirewound; chassis=floating current=6mA; 10k lin wirewound pot 2W; fits; like for like
rf-gain; 5k wirewound; chassis=earthed current=8mA; 4.7k lin wirewound pot 3W; fits; E12
hum-balance; 50R wirewound; ; 47R wirewound pot 2W; fits; E12
hum-balance; 100R hum; ; 100R wirewound pot 2W; fits; like for like
bias-preset; 25k preset rheostat; rail=40; 25k lin preset 0.5W; fits; like for like
bias-preset; 10k preset rheostat; rail=25; 10k cermet preset 0.5W; fits; like for like
balance; 250k lin; chassis=floating; 250k lin 0.25W; fits; like for like
balance; 2M lin; chassis=earthed; 2M lin; fits; like for like
volume; 500k log; chassis=floating; 250k log; care; loads the detector more
tone; 50k lin; chassis=floating; 50k log; care; another feel, it works
volume; 1M log DP sw; chassis=live; 1M log SPST 2A 250V~; unfit; one pole leaves the chassis live
"""

TRANSFORMER = """
output; ; lineup=ECH81,EBF89,EABC80,EL84,EZ80 speaker=3 rail=250; output transformer 5k2:3 ohm single ended gapped 60mA 5W | new; fits; the load of the valve, iron for its current
output; output transformer 5k2:3Ω; valve=EL84 speaker=3 chassis=floating; output transformer 5k:3 ohm single ended gapped 50mA 5W | new; fits; within five per cent
output; ; valve=6V6GT speaker=3 rail=250 chassis=earthed; output transformer 5k:3 ohm single ended gapped 60mA 6W | new; fits; the load of the valve
output; ; lineup=EF86,ECC83,2xEL84,EZ81 speaker=15; output transformer 8k:15 ohm push-pull 15W | new; fits; anode to anode as listed
output; ; valve=EL41 speaker=3 rail=250 chassis=floating; output transformer 7k:3 ohm single ended gapped 50mA 5W | salvaged | insulation=200M@500 primary_resistance=500ohm; fits; tested, its load
output; ; lineup=UCH81,UF89,UABC80,UL84,UY85 chassis=live speaker=3; output transformer 2k4:3 ohm single ended gapped 80mA 5W | salvaged | insulation=300M@500 primary_resistance=200ohm; care; it is the isolation, and was tested
line; line transformer 100V 10W 8 ohm; speaker=8; line transformer 100V 10W 8 ohm | new; fits; like for like
line; line transformer 100V 5W 15 ohm; speaker=15; line transformer 100V 6W 15 ohm | new; fits; near enough watts
mains; ; lineup=ECH81,EBF89,EABC80,EL84,EZ80 secondary=250-0-250; mains transformer 230V 250-0-250 90mA 6.3V 3A | new; fits; volts, current and heaters
mains; ; lineup=6K8,6K7,6Q7,6V6,5Y3GT secondary=300-0-300; mains transformer 230V 300-0-300 100mA 6.3V 3A 5V 3A | new; fits; with the rectifier's own winding
mains; ; lineup=ECH81,EBF89,EABC80,EL84,EZ80 secondary=250-0-250; mains transformer 230V 250-0-250 90mA 6.3V 3A | salvaged | insulation=500M@500; fits; tested
mains; mains transformer 300-0-300 100mA 6.3V 3A 5V 2A; ; mains transformer 230V 300-0-300 120mA 6.3V 4A 5V 3A | new; fits; a size larger
heater; heater transformer 6.3V 2A; ; heater transformer 230V 6.3V 3A | new; fits; a size larger
heater; ; valve=EL84; heater transformer 230V 6.3V 1.5A | new; fits; 0.76 A of it
isolating; ; current=0.3; isolating transformer 230V:230V 100VA | new; fits; 69 VA of it
isolating; ; current=0.5; isolating transformer 230V:230V 200VA | new; fits; 115 VA of it
interstage; interstage transformer 1:3; current=4mA; interstage transformer 1:3 10mA | new; fits; like for like
interstage; interstage transformer 1:5; current=3mA; interstage transformer 1:5 8mA | new; fits; like for like
driver; driver transformer 3:1 CT; current=8mA; driver transformer 3:1 CT 15mA | new; fits; like for like
driver; driver transformer 2:1 CT; current=10mA; driver transformer 2:1 CT 20mA | new; fits; like for like
mains; ; lineup=ECH81,EBF89,EABC80,EL84,EZ80 secondary=250-0-250; mains transformer 230V 250-0-250 40mA 6.3V 3A | new; unfit; too thin for 66 mA
"""

SMALL = {
    "coil": """
IF; IF transformer 465 kHz; ; IFT 470 kHz | new; fits; inside its cores
IF; IFT 10.7 MHz; ; IF transformer 10.7 MHz | new; fits; like for like
RF; RF coil 160uH; ; RF coil 165uH | new; fits; inside its core
RF; RFC 2.5mH; ; RFC 2.5mH | new; fits; like for like
oscillator; oscillator coil 90uH; ; oscillator coil 92uH | new; care; inside its core, realign
oscillator; oscillator coil 120uH; ; oscillator coil 120uH | salvaged | resistance=4; fits; read, whole
tuning-gang; 2 gang 500pF; ; 2 gang 490pF | new; fits; within two per cent
tuning-gang; 3 gang 365pF; ; 3 gang 365pF | new; fits; like for like
trimmer; trimmer capacitor 30pF; ; trimmer capacitor 3-30pF | new; fits; like for like
trimmer; trimmer capacitor 60pF; ; trimmer capacitor 5-65pF | new; fits; covers it
""",
    "choke": """
smoothing; 10H 60mA 300 ohm choke; secondary=250-0-250; 10H 80mA 300 ohm choke | new; fits; a size larger
smoothing; 10H 100mA 250 ohm choke; ; 10H 120mA 240 ohm choke | new; fits; a size larger
smoothing; 8H 60mA; current=50mA; 10H 75mA 320 ohm choke | new; fits; more henries
smoothing; 10H 60mA 300 ohm choke; secondary=250-0-250; 10H 80mA 300 ohm choke | salvaged | insulation=200M@500 inductance=10H; fits; read, tested
input; 10H 100mA 150 ohm choke; rail=300 current=80mA; 12H 120mA 150 ohm choke | new; fits; over the critical inductance
input; 20H 60mA; rail=250 current=50mA; 20H 80mA 400 ohm choke | new; fits; over the critical inductance
""",
    "valve": """
as-plugged; EL84; ; EL84; fits; the same
as-plugged; ECC83; ; 12AX7; fits; the same under another name
output; EL84; rail=250; 6BQ5; fits; the same under another name
output; 6V6GT; rail=250; 6V6GT; fits; the same
output; ECL82; ; 6BM8; fits; the same under another name
output; EL34; ; 6CA7; fits; listed as going in
rectifier; EZ80; rail=250; 6V4; fits; the same under another name
rectifier; GZ34; secondary=300-0-300; 5AR4; fits; the same under another name
rectifier; 80; secondary=300-0-300; 80; fits; the same
rectifier; 5Y3GT; secondary=300-0-300 current=80mA; 5Y3GT; fits; the same
frequency-changer; ECH81; ; 6AJ8; fits; the same under another name
frequency-changer; 6BE6; ; EK90; fits; the same under another name
frequency-changer; ECH42; ; ECH42; fits; the same
pentode; EF80; ; 6BX6; fits; the same under another name
pentode; EF89; ; EF89; fits; the same
pentode; 6BA6; ; EF93; fits; the same under another name
triode; ECC82; ; 12AU7; fits; the same under another name
triode; ECC81; ; 12AT7; fits; the same under another name
triode; 6SN7GT; ; 6SN7GT; fits; the same
detector; EABC80; ; 6AK8; fits; the same under another name
detector; EBF89; ; 6DC8; fits; the same under another name
detector; EBC41; ; EBC41; fits; the same
indicator; EM80; ; 6BR5; fits; the same under another name
indicator; EM84; ; EM84; fits; the same
output; UL84; chassis=live lineup=UCH81,UF89,UABC80,UL84,UY85; UL84; fits; the same, in its chain
output; EL84; rail=250; EL84 | salvaged | emission=0.9; care; emission read, gas and heater insulation not
as-plugged; EL84; ; UL84; unfit; another heater
""",
    "rectifier": """
replaces-valve; EZ80; secondary=250-0-250 current=60mA; 1N4007; care; silicon, with the resistor that restores the rail
replaces-valve; ; chassis=live lineup=UCH81,UF89,UABC80,UL84,UY85; 1N4007; care; silicon, with two resistors
replaces-valve; EZ81; secondary=275-0-275 current=80mA; BY127; care; silicon, with its resistor
replaces-selenium; B250C75; secondary=250,bridge current=60mA; bridge 1000V 2A; care; silicon, with its resistor
replaces-selenium; E250C85; chassis=live current=60mA; 1N4007; care; silicon, with its resistor
replaces-selenium; selenium 250V 75mA half wave; secondary=230 current=50mA; 1N4007; care; silicon, with its resistor
replaces-silicon; BY127; secondary=230 current=80mA winding_resistance=47; 1N4007; fits; like for like
replaces-silicon; 1N4007; secondary=200,bridge current=60mA winding_resistance=60; 1N4007; fits; like for like
replaces-silicon; BY100; chassis=live current=80mA winding_resistance=47; 1N4007; fits; 716 V inverse of 1000
bias; ; rail=40; 1N4007; fits; far over what stands
bias; selenium bias rectifier; rail=30; 1N4004; fits; far over what stands
""",
    "lamp": """
parallel; 6.5V 0.3A MES lamp; mains=230; 6.3V 0.3A E10 lamp; fits; like for like
parallel; 6.3V 0.15A BA9s lamp; ; 6.3V 0.15A BA9s lamp; fits; like for like
parallel; ; lineup=ECH81,EBF89,EABC80,EL84,EZ80; 6.5V 0.3A E10 lamp; fits; on the heater winding
parallel; 6.5V 0.3A E10 lamp; ; 6.5V 0.15A E10 lamp; fits; less current, dimmer: the winding does not mind
chain; 6.5V 0.1A lamp; lineup=UCH81,UF89,UABC80,UL84,UY85; 8V 0.1A E10 lamp; fits; the chain's current
chain; 6.3V 0.3A lamp; current=0.3A; 6.5V 0.3A E10 lamp; fits; the chain's current
chain; 6.3V 0.15A lamp; lineup=12BE6,12BA6,12AT6,50B5,35W4; 6.3V 0.15A BA9s lamp; fits; the chain's current
indicator; neon lamp 230V; ; neon lamp 230V; fits; like for like
indicator; 12V 0.1A E10 lamp; ; 12V 0.1A E10 lamp; fits; like for like
chain; 6.3V 0.3A lamp; current=0.3A; 6.3V 0.1A E10 lamp; unfit; burns out and stops the set
""",
    "fuse": """
primary; T500mAL250V; ; T500mAL250V; fits; like for like
primary; T1AL250V; mains=230; T1AH250V; fits; breaks more
primary; F2AL250V 5x20; ; F2AL250V 5x20; fits; like for like
primary; T315mAL250V; ; T315mAL250V; fits; like for like
primary; T1AL250V; ; T800mAL250V; fits; a fifth under
primary; T1AL250V; ; F1AL250V; care; quicker: may blow at switch-on
ht; F250mA 500VDC; secondary=250-0-250; F250mAH 500VDC; fits; a DC rating over the cold start
ht; T160mA; secondary=200-0-200; T160mAH 500VDC; fits; a DC rating over the cold start
ht; F100mA; secondary=250,bridge; F100mAH 500VDC; fits; a DC rating over the cold start
primary; T500mAL250V; ; T1AL250V; unfit; twice the current
""",
    "loudspeaker": """
main; loudspeaker 3 ohm 8 in; lineup=ECH81,EBF89,EABC80,EL84,EZ80; loudspeaker 3 ohm 6W 8 in | new; fits; the watts of one EL84
main; loudspeaker 3 ohm 6x4 in; valve=EL84; loudspeaker 3 ohm 6W 6x4 in | new; fits; like for like
main; loudspeaker 15 ohm; lineup=EF86,ECC83,2xEL84,EZ81; loudspeaker 15 ohm 20W 12 in | new; fits; the watts of two EL84
main; loudspeaker 3 ohm 5 in; valve=ECL82; loudspeaker 4 ohm 5W 5 in | new; fits; a third more is heard by nobody
main; loudspeaker 3 ohm 8 in; valve=EL84; loudspeaker 3 ohm 8W 8 in | salvaged | resistance=2.5; fits; its coil was read
extension; loudspeaker 3 ohm; chassis=earthed; loudspeaker 3 ohm 5W | new; fits; like for like
extension; loudspeaker 8 ohm; chassis=floating; loudspeaker 8 ohm 6W 8 in | new; fits; like for like
field; field coil loudspeaker 3 ohm 1140 ohm; current=65mA; field coil loudspeaker 3 ohm 8W 1140 ohm 80mA | new; fits; like for like
field; field coil loudspeaker 3 ohm 2000 ohm; current=60mA; loudspeaker 3 ohm 8W | new; care; a magnet, with the resistor for its field
main; loudspeaker 3 ohm 8 in; valve=EL84; loudspeaker 15 ohm 8W 8 in | new; unfit; five times the load
""",
    "switch": """
mains; DPST toggle; chassis=live current=0.3A; DPST toggle 3 A 250 V~ | new; fits; two poles, rated
mains; ; chassis=live current=0.4A; DPST rotary switch 4A 250VAC | new; fits; two poles, rated
mains; SPST toggle; chassis=earthed current=0.3A; SPST toggle 2 A 250 V~ | new; fits; behind a transformer one pole is the custom
mains; SPST toggle; chassis=earthed current=0.3A; DPST rocker switch 6A 250VAC | new; care; one pole more, another hole
ht; SPST toggle; secondary=200-0-200 current=60mA; SPST toggle 10 A 600 V DC | new; fits; a DC rating over the cold start
ht; ; secondary=250,bridge current=80mA; SPST toggle 5 A 500 V DC | new; fits; a DC rating over the cold start
selector; 2 pole 4 way rotary; ; 2 pole 4 way rotary switch 0.3 A | new; fits; like for like
selector; DPDT slide; ; DPDT slide switch 0.5 A | new; fits; like for like
selector; 3 pole 3 way rotary switch; ; 4 pole 3 way rotary switch 0.3 A | new; fits; one pole more
mains; DPST toggle; chassis=live; SPST toggle 3 A 250 V~ | new; unfit; one pole leaves the chassis live
""",
    "hardware": """
fixing; knob 6 mm; ; knob 6 mm | new; fits; like for like
fixing; knob 1/4 in; ; knob 1/4 in | new; fits; like for like
fixing; grommet 10 mm; ; grommet 10 mm | new; fits; like for like
fixing; screw M3 x 10 mm; ; screw M3 x 10 mm | new; fits; like for like
fixing; screw M4; ; screw M4 | new; fits; like for like
fixing; valveholder B9A; ; valveholder B8A | new; unfit; another base
""",
}

TABLE = {
    "capacitor": CAPACITOR,
    "resistor": RESISTOR,
    "potentiometer": POTENTIOMETER,
    "transformer": TRANSFORMER,
    **SMALL,
}
