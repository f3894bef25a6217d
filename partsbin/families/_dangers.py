"""What stands on the clips or in the set while something is read: said with every test card and wherever the reading is asked for."""

from __future__ import annotations

CHARGED = "a charged part destroys the meter and stings"
CLIP_ON = "HT: clip the meter on before switching on"
INSULATED = "HT: one hand, insulated clips"
LEADS = "never touch the leads during the test"
LOW_WINDING = "never feed a low winding: the other side gives hundreds of volts"
ON_THE_CLIPS = "HT on the clips; discharge the part after the test"
REVERSE = "500 V: do not touch"
SET_DEAD = "set off, capacitors discharged"
TAGS = "never touch the tags during the test"
VALVE_HOT = "HT off and discharged first"
