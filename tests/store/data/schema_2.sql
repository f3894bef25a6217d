BEGIN TRANSACTION;
CREATE TABLE donor (
	id INTEGER NOT NULL, 
	code VARCHAR NOT NULL, 
	name VARCHAR NOT NULL, 
	lineup VARCHAR NOT NULL, 
	PRIMARY KEY (id)
);
INSERT INTO "donor" VALUES(1,'D-007','','ECH81 EBF89 EL84 EZ80');
CREATE TABLE family_capacitor (
	part_id INTEGER NOT NULL, 
	capacitance FLOAT, 
	tolerance FLOAT, 
	tolerance_low FLOAT, 
	tolerance_high FLOAT, 
	voltage_dc FLOAT, 
	voltage_ac FLOAT, 
	dielectric TEXT, 
	safety_class TEXT, 
	approval TEXT, 
	series INTEGER, 
	common_pole TEXT, 
	insulated_can BOOLEAN, 
	polarised BOOLEAN, 
	ripple_current FLOAT, 
	temperature_max FLOAT, 
	temperature_coefficient TEXT, 
	mounting TEXT, 
	diameter FLOAT, 
	length FLOAT, 
	pitch FLOAT, 
	PRIMARY KEY (part_id), 
	CONSTRAINT family_capacitor_capacitance_0 CHECK (capacitance > 0), 
	CONSTRAINT family_capacitor_capacitance_1 CHECK (capacitance <= 1), 
	CONSTRAINT family_capacitor_tolerance_0 CHECK (tolerance >= 0), 
	CONSTRAINT family_capacitor_tolerance_1 CHECK (tolerance <= 1), 
	CONSTRAINT family_capacitor_tolerance_low_0 CHECK (tolerance_low >= -1), 
	CONSTRAINT family_capacitor_tolerance_low_1 CHECK (tolerance_low <= 0), 
	CONSTRAINT family_capacitor_tolerance_high_0 CHECK (tolerance_high >= 0), 
	CONSTRAINT family_capacitor_tolerance_high_1 CHECK (tolerance_high <= 3), 
	CONSTRAINT family_capacitor_voltage_dc_0 CHECK (voltage_dc > 0), 
	CONSTRAINT family_capacitor_voltage_dc_1 CHECK (voltage_dc <= 100000.0), 
	CONSTRAINT family_capacitor_voltage_ac_0 CHECK (voltage_ac > 0), 
	CONSTRAINT family_capacitor_voltage_ac_1 CHECK (voltage_ac <= 50000.0), 
	CONSTRAINT family_capacitor_dielectric_0 CHECK (dielectric IN ('electrolytic', 'tantalum', 'film', 'film-polyester', 'film-polypropylene', 'polystyrene', 'mica', 'ceramic', 'ceramic-1', 'ceramic-2', 'paper', 'paper-waxed', 'paper-moulded', 'paper-metallised', 'paper-oil', 'air', 'glass')), 
	CONSTRAINT family_capacitor_safety_class_0 CHECK (safety_class IN ('X1', 'X2', 'X3', 'Y1', 'Y2', 'Y3', 'Y4', 'X1/Y1', 'X1/Y2', 'X2/Y2', 'X2/Y3')), 
	CONSTRAINT family_capacitor_series_0 CHECK (series >= 1), 
	CONSTRAINT family_capacitor_series_1 CHECK (series <= 16), 
	CONSTRAINT family_capacitor_common_pole_0 CHECK (common_pole IN ('negative', 'positive')), 
	CONSTRAINT family_capacitor_ripple_current_0 CHECK (ripple_current > 0), 
	CONSTRAINT family_capacitor_ripple_current_1 CHECK (ripple_current <= 100), 
	CONSTRAINT family_capacitor_temperature_max_0 CHECK (temperature_max > 0), 
	CONSTRAINT family_capacitor_temperature_max_1 CHECK (temperature_max <= 300), 
	CONSTRAINT family_capacitor_mounting_0 CHECK (mounting IN ('axial', 'radial', 'tags', 'twist-lug', 'clamp')), 
	CONSTRAINT family_capacitor_diameter_0 CHECK (diameter > 0), 
	CONSTRAINT family_capacitor_diameter_1 CHECK (diameter <= 1), 
	CONSTRAINT family_capacitor_length_0 CHECK (length > 0), 
	CONSTRAINT family_capacitor_length_1 CHECK (length <= 2), 
	CONSTRAINT family_capacitor_pitch_0 CHECK (pitch > 0), 
	CONSTRAINT family_capacitor_pitch_1 CHECK (pitch <= 1), 
	FOREIGN KEY(part_id) REFERENCES part (id) ON DELETE CASCADE
);
INSERT INTO "family_capacitor" VALUES(1,2.2e-08,NULL,NULL,NULL,400.0,NULL,'film',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "family_capacitor" VALUES(2,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
CREATE TABLE family_capacitor_sections (
	part_id INTEGER NOT NULL, 
	position INTEGER NOT NULL, 
	capacitance FLOAT, 
	capacitance_low FLOAT, 
	voltage_dc FLOAT, 
	PRIMARY KEY (part_id, position), 
	CONSTRAINT family_capacitor_sections_capacitance_0 CHECK (capacitance > 0), 
	CONSTRAINT family_capacitor_sections_capacitance_1 CHECK (capacitance <= 1), 
	CONSTRAINT family_capacitor_sections_capacitance_low_0 CHECK (capacitance_low > 0), 
	CONSTRAINT family_capacitor_sections_capacitance_low_1 CHECK (capacitance_low <= 1), 
	CONSTRAINT family_capacitor_sections_voltage_dc_0 CHECK (voltage_dc > 0), 
	CONSTRAINT family_capacitor_sections_voltage_dc_1 CHECK (voltage_dc <= 100000.0), 
	FOREIGN KEY(part_id) REFERENCES part (id) ON DELETE CASCADE
);
INSERT INTO "family_capacitor_sections" VALUES(2,0,1.6e-05,NULL,450.0);
INSERT INTO "family_capacitor_sections" VALUES(2,1,1.6e-05,NULL,450.0);
INSERT INTO "family_capacitor_sections" VALUES(2,2,8.0e-06,NULL,450.0);
CREATE TABLE family_choke (
	part_id INTEGER NOT NULL, 
	inductance FLOAT, 
	dc_current FLOAT, 
	resistance FLOAT, 
	insulation_voltage FLOAT, 
	PRIMARY KEY (part_id), 
	CONSTRAINT family_choke_inductance_0 CHECK (inductance > 0), 
	CONSTRAINT family_choke_inductance_1 CHECK (inductance <= 1000), 
	CONSTRAINT family_choke_dc_current_0 CHECK (dc_current > 0), 
	CONSTRAINT family_choke_dc_current_1 CHECK (dc_current <= 10), 
	CONSTRAINT family_choke_resistance_0 CHECK (resistance > 0), 
	CONSTRAINT family_choke_resistance_1 CHECK (resistance <= 100000.0), 
	CONSTRAINT family_choke_insulation_voltage_0 CHECK (insulation_voltage > 0), 
	CONSTRAINT family_choke_insulation_voltage_1 CHECK (insulation_voltage <= 20000.0), 
	FOREIGN KEY(part_id) REFERENCES part (id) ON DELETE CASCADE
);
CREATE TABLE family_coil (
	part_id INTEGER NOT NULL, 
	kind TEXT, 
	frequency FLOAT, 
	inductance FLOAT, 
	capacitance_low FLOAT, 
	capacitance_high FLOAT, 
	sections INTEGER, 
	former TEXT, 
	PRIMARY KEY (part_id), 
	CONSTRAINT family_coil_kind_0 CHECK (kind IN ('IF', 'RF', 'oscillator', 'tuning-gang', 'trimmer')), 
	CONSTRAINT family_coil_frequency_0 CHECK (frequency > 0), 
	CONSTRAINT family_coil_frequency_1 CHECK (frequency <= 10000000000.0), 
	CONSTRAINT family_coil_inductance_0 CHECK (inductance > 0), 
	CONSTRAINT family_coil_inductance_1 CHECK (inductance <= 10), 
	CONSTRAINT family_coil_capacitance_low_0 CHECK (capacitance_low > 0), 
	CONSTRAINT family_coil_capacitance_low_1 CHECK (capacitance_low <= 1e-06), 
	CONSTRAINT family_coil_capacitance_high_0 CHECK (capacitance_high > 0), 
	CONSTRAINT family_coil_capacitance_high_1 CHECK (capacitance_high <= 1e-06), 
	CONSTRAINT family_coil_sections_0 CHECK (sections >= 1), 
	CONSTRAINT family_coil_sections_1 CHECK (sections <= 8), 
	CONSTRAINT family_coil_former_0 CHECK (former IN ('air', 'dust core')), 
	FOREIGN KEY(part_id) REFERENCES part (id) ON DELETE CASCADE
);
CREATE TABLE family_fuse (
	part_id INTEGER NOT NULL, 
	current FLOAT, 
	speed TEXT, 
	breaking TEXT, 
	voltage_ac FLOAT, 
	voltage_dc FLOAT, 
	size TEXT, 
	standard TEXT, 
	PRIMARY KEY (part_id), 
	CONSTRAINT family_fuse_current_0 CHECK (current > 0), 
	CONSTRAINT family_fuse_current_1 CHECK (current <= 100), 
	CONSTRAINT family_fuse_speed_0 CHECK (speed IN ('FF', 'F', 'M', 'T', 'TT')), 
	CONSTRAINT family_fuse_breaking_0 CHECK (breaking IN ('L', 'E', 'H')), 
	CONSTRAINT family_fuse_voltage_ac_0 CHECK (voltage_ac > 0), 
	CONSTRAINT family_fuse_voltage_ac_1 CHECK (voltage_ac <= 2000), 
	CONSTRAINT family_fuse_voltage_dc_0 CHECK (voltage_dc > 0), 
	CONSTRAINT family_fuse_voltage_dc_1 CHECK (voltage_dc <= 2000), 
	CONSTRAINT family_fuse_size_0 CHECK (size IN ('5x20', '6.3x32', '6.3x25')), 
	CONSTRAINT family_fuse_standard_0 CHECK (standard IN ('IEC', 'UL')), 
	FOREIGN KEY(part_id) REFERENCES part (id) ON DELETE CASCADE
);
CREATE TABLE family_hardware (
	part_id INTEGER NOT NULL, 
	kind TEXT, 
	size FLOAT, 
	thread TEXT, 
	PRIMARY KEY (part_id), 
	CONSTRAINT family_hardware_size_0 CHECK (size > 0), 
	CONSTRAINT family_hardware_size_1 CHECK (size <= 100), 
	FOREIGN KEY(part_id) REFERENCES part (id) ON DELETE CASCADE
);
CREATE TABLE family_lamp (
	part_id INTEGER NOT NULL, 
	voltage FLOAT, 
	current FLOAT, 
	base TEXT, 
	kind TEXT, 
	PRIMARY KEY (part_id), 
	CONSTRAINT family_lamp_voltage_0 CHECK (voltage > 0), 
	CONSTRAINT family_lamp_voltage_1 CHECK (voltage <= 500), 
	CONSTRAINT family_lamp_current_0 CHECK (current > 0), 
	CONSTRAINT family_lamp_current_1 CHECK (current <= 20), 
	CONSTRAINT family_lamp_base_0 CHECK (base IN ('E5', 'E10', 'E14', 'BA7s', 'BA9s', 'BA15d', 'wedge', 'festoon', 'wire')), 
	CONSTRAINT family_lamp_kind_0 CHECK (kind IN ('filament', 'neon', 'LED')), 
	FOREIGN KEY(part_id) REFERENCES part (id) ON DELETE CASCADE
);
CREATE TABLE family_loudspeaker (
	part_id INTEGER NOT NULL, 
	impedance FLOAT, 
	resistance FLOAT, 
	power FLOAT, 
	diameter FLOAT, 
	hole_centres FLOAT, 
	depth FLOAT, 
	field_resistance FLOAT, 
	field_current FLOAT, 
	PRIMARY KEY (part_id), 
	CONSTRAINT family_loudspeaker_impedance_0 CHECK (impedance > 0), 
	CONSTRAINT family_loudspeaker_impedance_1 CHECK (impedance <= 10000.0), 
	CONSTRAINT family_loudspeaker_resistance_0 CHECK (resistance > 0), 
	CONSTRAINT family_loudspeaker_resistance_1 CHECK (resistance <= 10000.0), 
	CONSTRAINT family_loudspeaker_power_0 CHECK (power > 0), 
	CONSTRAINT family_loudspeaker_power_1 CHECK (power <= 1000), 
	CONSTRAINT family_loudspeaker_diameter_0 CHECK (diameter > 0), 
	CONSTRAINT family_loudspeaker_diameter_1 CHECK (diameter <= 1), 
	CONSTRAINT family_loudspeaker_hole_centres_0 CHECK (hole_centres > 0), 
	CONSTRAINT family_loudspeaker_hole_centres_1 CHECK (hole_centres <= 1), 
	CONSTRAINT family_loudspeaker_depth_0 CHECK (depth > 0), 
	CONSTRAINT family_loudspeaker_depth_1 CHECK (depth <= 1), 
	CONSTRAINT family_loudspeaker_field_resistance_0 CHECK (field_resistance > 0), 
	CONSTRAINT family_loudspeaker_field_resistance_1 CHECK (field_resistance <= 100000.0), 
	CONSTRAINT family_loudspeaker_field_current_0 CHECK (field_current > 0), 
	CONSTRAINT family_loudspeaker_field_current_1 CHECK (field_current <= 10), 
	FOREIGN KEY(part_id) REFERENCES part (id) ON DELETE CASCADE
);
CREATE TABLE family_potentiometer (
	part_id INTEGER NOT NULL, 
	resistance FLOAT, 
	tolerance FLOAT, 
	taper TEXT, 
	track TEXT, 
	power FLOAT, 
	voltage_limit FLOAT, 
	gangs INTEGER, 
	switch_poles INTEGER, 
	switch_action TEXT, 
	switch_voltage_ac FLOAT, 
	switch_voltage_dc FLOAT, 
	switch_current FLOAT, 
	shaft_diameter FLOAT, 
	shaft_length FLOAT, 
	shaft_style TEXT, 
	bush_diameter FLOAT, 
	bush_length FLOAT, 
	insulated_shaft BOOLEAN, 
	PRIMARY KEY (part_id), 
	CONSTRAINT family_potentiometer_resistance_0 CHECK (resistance > 0), 
	CONSTRAINT family_potentiometer_resistance_1 CHECK (resistance <= 1000000000.0), 
	CONSTRAINT family_potentiometer_tolerance_0 CHECK (tolerance >= 0), 
	CONSTRAINT family_potentiometer_tolerance_1 CHECK (tolerance <= 1), 
	CONSTRAINT family_potentiometer_taper_0 CHECK (taper IN ('linear', 'log', 'antilog')), 
	CONSTRAINT family_potentiometer_track_0 CHECK (track IN ('carbon', 'cermet', 'wirewound', 'conductive-plastic')), 
	CONSTRAINT family_potentiometer_power_0 CHECK (power > 0), 
	CONSTRAINT family_potentiometer_power_1 CHECK (power <= 1000), 
	CONSTRAINT family_potentiometer_voltage_limit_0 CHECK (voltage_limit > 0), 
	CONSTRAINT family_potentiometer_voltage_limit_1 CHECK (voltage_limit <= 10000.0), 
	CONSTRAINT family_potentiometer_gangs_0 CHECK (gangs >= 1), 
	CONSTRAINT family_potentiometer_gangs_1 CHECK (gangs <= 8), 
	CONSTRAINT family_potentiometer_switch_poles_0 CHECK (switch_poles >= 0), 
	CONSTRAINT family_potentiometer_switch_poles_1 CHECK (switch_poles <= 2), 
	CONSTRAINT family_potentiometer_switch_action_0 CHECK (switch_action IN ('rotary', 'push-pull', 'push')), 
	CONSTRAINT family_potentiometer_switch_voltage_ac_0 CHECK (switch_voltage_ac > 0), 
	CONSTRAINT family_potentiometer_switch_voltage_ac_1 CHECK (switch_voltage_ac <= 1000), 
	CONSTRAINT family_potentiometer_switch_voltage_dc_0 CHECK (switch_voltage_dc > 0), 
	CONSTRAINT family_potentiometer_switch_voltage_dc_1 CHECK (switch_voltage_dc <= 1000), 
	CONSTRAINT family_potentiometer_switch_current_0 CHECK (switch_current > 0), 
	CONSTRAINT family_potentiometer_switch_current_1 CHECK (switch_current <= 100), 
	CONSTRAINT family_potentiometer_shaft_diameter_0 CHECK (shaft_diameter > 0), 
	CONSTRAINT family_potentiometer_shaft_diameter_1 CHECK (shaft_diameter <= 0.05), 
	CONSTRAINT family_potentiometer_shaft_length_0 CHECK (shaft_length > 0), 
	CONSTRAINT family_potentiometer_shaft_length_1 CHECK (shaft_length <= 0.5), 
	CONSTRAINT family_potentiometer_shaft_style_0 CHECK (shaft_style IN ('flat', 'spline', 'round', 'slotted')), 
	CONSTRAINT family_potentiometer_bush_diameter_0 CHECK (bush_diameter > 0), 
	CONSTRAINT family_potentiometer_bush_diameter_1 CHECK (bush_diameter <= 0.05), 
	CONSTRAINT family_potentiometer_bush_length_0 CHECK (bush_length > 0), 
	CONSTRAINT family_potentiometer_bush_length_1 CHECK (bush_length <= 0.1), 
	FOREIGN KEY(part_id) REFERENCES part (id) ON DELETE CASCADE
);
CREATE TABLE family_potentiometer_taps (
	part_id INTEGER NOT NULL, 
	position INTEGER NOT NULL, 
	ratio FLOAT, 
	PRIMARY KEY (part_id, position), 
	CONSTRAINT family_potentiometer_taps_ratio_0 CHECK (ratio > 0), 
	CONSTRAINT family_potentiometer_taps_ratio_1 CHECK (ratio <= 1), 
	FOREIGN KEY(part_id) REFERENCES part (id) ON DELETE CASCADE
);
CREATE TABLE family_rectifier (
	part_id INTEGER NOT NULL, 
	rectifier_type TEXT, 
	technology TEXT, 
	connection TEXT, 
	voltage_peak_inverse FLOAT, 
	voltage_ac FLOAT, 
	dc_current FLOAT, 
	surge FLOAT, 
	"drop" FLOAT, 
	pieces INTEGER, 
	PRIMARY KEY (part_id), 
	CONSTRAINT family_rectifier_technology_0 CHECK (technology IN ('silicon', 'selenium', 'copper-oxide')), 
	CONSTRAINT family_rectifier_connection_0 CHECK (connection IN ('single', 'half-bridge', 'centre-tap', 'bridge', 'doubler')), 
	CONSTRAINT family_rectifier_voltage_peak_inverse_0 CHECK (voltage_peak_inverse > 0), 
	CONSTRAINT family_rectifier_voltage_peak_inverse_1 CHECK (voltage_peak_inverse <= 20000), 
	CONSTRAINT family_rectifier_voltage_ac_0 CHECK (voltage_ac > 0), 
	CONSTRAINT family_rectifier_voltage_ac_1 CHECK (voltage_ac <= 5000), 
	CONSTRAINT family_rectifier_dc_current_0 CHECK (dc_current > 0), 
	CONSTRAINT family_rectifier_dc_current_1 CHECK (dc_current <= 200), 
	CONSTRAINT family_rectifier_surge_0 CHECK (surge > 0), 
	CONSTRAINT family_rectifier_surge_1 CHECK (surge <= 5000), 
	CONSTRAINT family_rectifier_drop_0 CHECK ("drop" > 0), 
	CONSTRAINT family_rectifier_drop_1 CHECK ("drop" <= 200), 
	CONSTRAINT family_rectifier_pieces_0 CHECK (pieces >= 1), 
	CONSTRAINT family_rectifier_pieces_1 CHECK (pieces <= 24), 
	FOREIGN KEY(part_id) REFERENCES part (id) ON DELETE CASCADE
);
CREATE TABLE family_resistor (
	part_id INTEGER NOT NULL, 
	resistance FLOAT, 
	tolerance FLOAT, 
	tolerance_low FLOAT, 
	tolerance_high FLOAT, 
	power FLOAT, 
	voltage_limit FLOAT, 
	technology TEXT, 
	fusible BOOLEAN, 
	non_inductive BOOLEAN, 
	pulse_rated BOOLEAN, 
	bridging BOOLEAN, 
	temperature_max FLOAT, 
	mounting TEXT, 
	diameter FLOAT, 
	length FLOAT, 
	PRIMARY KEY (part_id), 
	CONSTRAINT family_resistor_resistance_0 CHECK (resistance > 0), 
	CONSTRAINT family_resistor_resistance_1 CHECK (resistance <= 1000000000000.0), 
	CONSTRAINT family_resistor_tolerance_0 CHECK (tolerance >= 0), 
	CONSTRAINT family_resistor_tolerance_1 CHECK (tolerance <= 1), 
	CONSTRAINT family_resistor_tolerance_low_0 CHECK (tolerance_low >= -1), 
	CONSTRAINT family_resistor_tolerance_low_1 CHECK (tolerance_low <= 0), 
	CONSTRAINT family_resistor_tolerance_high_0 CHECK (tolerance_high >= 0), 
	CONSTRAINT family_resistor_tolerance_high_1 CHECK (tolerance_high <= 3), 
	CONSTRAINT family_resistor_power_0 CHECK (power > 0), 
	CONSTRAINT family_resistor_power_1 CHECK (power <= 10000.0), 
	CONSTRAINT family_resistor_voltage_limit_0 CHECK (voltage_limit > 0), 
	CONSTRAINT family_resistor_voltage_limit_1 CHECK (voltage_limit <= 100000.0), 
	CONSTRAINT family_resistor_technology_0 CHECK (technology IN ('carbon-composition', 'carbon-film', 'metal-film', 'metal-oxide', 'metal-glaze', 'wirewound')), 
	CONSTRAINT family_resistor_temperature_max_0 CHECK (temperature_max > 0), 
	CONSTRAINT family_resistor_temperature_max_1 CHECK (temperature_max <= 600), 
	CONSTRAINT family_resistor_mounting_0 CHECK (mounting IN ('axial', 'radial', 'tags', 'clamp')), 
	CONSTRAINT family_resistor_diameter_0 CHECK (diameter > 0), 
	CONSTRAINT family_resistor_diameter_1 CHECK (diameter <= 1), 
	CONSTRAINT family_resistor_length_0 CHECK (length > 0), 
	CONSTRAINT family_resistor_length_1 CHECK (length <= 2), 
	FOREIGN KEY(part_id) REFERENCES part (id) ON DELETE CASCADE
);
INSERT INTO "family_resistor" VALUES(3,470000.0,NULL,NULL,NULL,0.5,NULL,'carbon-composition',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
CREATE TABLE family_resistor_taps (
	part_id INTEGER NOT NULL, 
	position INTEGER NOT NULL, 
	resistance FLOAT, 
	current FLOAT, 
	PRIMARY KEY (part_id, position), 
	CONSTRAINT family_resistor_taps_resistance_0 CHECK (resistance > 0), 
	CONSTRAINT family_resistor_taps_resistance_1 CHECK (resistance <= 1000000000000.0), 
	CONSTRAINT family_resistor_taps_current_0 CHECK (current > 0), 
	CONSTRAINT family_resistor_taps_current_1 CHECK (current <= 1000), 
	FOREIGN KEY(part_id) REFERENCES part (id) ON DELETE CASCADE
);
CREATE TABLE family_switch (
	part_id INTEGER NOT NULL, 
	poles INTEGER, 
	ways INTEGER, 
	action TEXT, 
	voltage_ac FLOAT, 
	voltage_dc FLOAT, 
	current FLOAT, 
	surge FLOAT, 
	hole FLOAT, 
	PRIMARY KEY (part_id), 
	CONSTRAINT family_switch_poles_0 CHECK (poles >= 1), 
	CONSTRAINT family_switch_poles_1 CHECK (poles <= 24), 
	CONSTRAINT family_switch_ways_0 CHECK (ways >= 1), 
	CONSTRAINT family_switch_ways_1 CHECK (ways <= 48), 
	CONSTRAINT family_switch_action_0 CHECK (action IN ('toggle', 'rotary', 'push', 'rocker', 'slide', 'key', 'pull')), 
	CONSTRAINT family_switch_voltage_ac_0 CHECK (voltage_ac > 0), 
	CONSTRAINT family_switch_voltage_ac_1 CHECK (voltage_ac <= 1000), 
	CONSTRAINT family_switch_voltage_dc_0 CHECK (voltage_dc > 0), 
	CONSTRAINT family_switch_voltage_dc_1 CHECK (voltage_dc <= 2000), 
	CONSTRAINT family_switch_current_0 CHECK (current > 0), 
	CONSTRAINT family_switch_current_1 CHECK (current <= 100), 
	CONSTRAINT family_switch_surge_0 CHECK (surge > 0), 
	CONSTRAINT family_switch_surge_1 CHECK (surge <= 1000), 
	CONSTRAINT family_switch_hole_0 CHECK (hole > 0), 
	CONSTRAINT family_switch_hole_1 CHECK (hole <= 0.1), 
	FOREIGN KEY(part_id) REFERENCES part (id) ON DELETE CASCADE
);
CREATE TABLE family_transformer (
	part_id INTEGER NOT NULL, 
	kind TEXT, 
	topology TEXT, 
	primary_resistance FLOAT, 
	secondary_resistance FLOAT, 
	primary_inductance FLOAT, 
	dc_current FLOAT, 
	gapped BOOLEAN, 
	centre_tapped BOOLEAN, 
	hum_tap BOOLEAN, 
	power FLOAT, 
	insulation_voltage FLOAT, 
	frequency FLOAT, 
	core_area FLOAT, 
	line_voltage FLOAT, 
	served TEXT, 
	fixing TEXT, 
	PRIMARY KEY (part_id), 
	CONSTRAINT family_transformer_kind_0 CHECK (kind IN ('output', 'mains', 'interstage', 'driver', 'line', 'heater', 'isolating', 'auto')), 
	CONSTRAINT family_transformer_topology_0 CHECK (topology IN ('single-ended', 'push-pull')), 
	CONSTRAINT family_transformer_primary_resistance_0 CHECK (primary_resistance > 0), 
	CONSTRAINT family_transformer_primary_resistance_1 CHECK (primary_resistance <= 1000000.0), 
	CONSTRAINT family_transformer_secondary_resistance_0 CHECK (secondary_resistance > 0), 
	CONSTRAINT family_transformer_secondary_resistance_1 CHECK (secondary_resistance <= 100000.0), 
	CONSTRAINT family_transformer_primary_inductance_0 CHECK (primary_inductance > 0), 
	CONSTRAINT family_transformer_primary_inductance_1 CHECK (primary_inductance <= 10000.0), 
	CONSTRAINT family_transformer_dc_current_0 CHECK (dc_current > 0), 
	CONSTRAINT family_transformer_dc_current_1 CHECK (dc_current <= 100), 
	CONSTRAINT family_transformer_power_0 CHECK (power > 0), 
	CONSTRAINT family_transformer_power_1 CHECK (power <= 100000.0), 
	CONSTRAINT family_transformer_insulation_voltage_0 CHECK (insulation_voltage > 0), 
	CONSTRAINT family_transformer_insulation_voltage_1 CHECK (insulation_voltage <= 100000.0), 
	CONSTRAINT family_transformer_frequency_0 CHECK (frequency > 0), 
	CONSTRAINT family_transformer_frequency_1 CHECK (frequency <= 1000000.0), 
	CONSTRAINT family_transformer_core_area_0 CHECK (core_area > 0), 
	CONSTRAINT family_transformer_core_area_1 CHECK (core_area <= 1), 
	CONSTRAINT family_transformer_line_voltage_0 CHECK (line_voltage > 0), 
	CONSTRAINT family_transformer_line_voltage_1 CHECK (line_voltage <= 1000), 
	FOREIGN KEY(part_id) REFERENCES part (id) ON DELETE CASCADE
);
CREATE TABLE family_transformer_pairs (
	part_id INTEGER NOT NULL, 
	position INTEGER NOT NULL, 
	"primary" TEXT, 
	secondary TEXT, 
	ratio FLOAT, 
	primary_impedance FLOAT, 
	secondary_impedance FLOAT, 
	primary_resistance FLOAT, 
	secondary_resistance FLOAT, 
	PRIMARY KEY (part_id, position), 
	CONSTRAINT family_transformer_pairs_ratio_0 CHECK (ratio > 0), 
	CONSTRAINT family_transformer_pairs_ratio_1 CHECK (ratio <= 10000), 
	CONSTRAINT family_transformer_pairs_primary_impedance_0 CHECK (primary_impedance > 0), 
	CONSTRAINT family_transformer_pairs_primary_impedance_1 CHECK (primary_impedance <= 10000000.0), 
	CONSTRAINT family_transformer_pairs_secondary_impedance_0 CHECK (secondary_impedance > 0), 
	CONSTRAINT family_transformer_pairs_secondary_impedance_1 CHECK (secondary_impedance <= 100000.0), 
	CONSTRAINT family_transformer_pairs_primary_resistance_0 CHECK (primary_resistance > 0), 
	CONSTRAINT family_transformer_pairs_primary_resistance_1 CHECK (primary_resistance <= 1000000.0), 
	CONSTRAINT family_transformer_pairs_secondary_resistance_0 CHECK (secondary_resistance > 0), 
	CONSTRAINT family_transformer_pairs_secondary_resistance_1 CHECK (secondary_resistance <= 100000.0), 
	FOREIGN KEY(part_id) REFERENCES part (id) ON DELETE CASCADE
);
CREATE TABLE family_transformer_windings (
	part_id INTEGER NOT NULL, 
	position INTEGER NOT NULL, 
	name TEXT, 
	taps TEXT, 
	voltage FLOAT, 
	current FLOAT, 
	resistance FLOAT, 
	PRIMARY KEY (part_id, position), 
	CONSTRAINT family_transformer_windings_voltage_0 CHECK (voltage > 0), 
	CONSTRAINT family_transformer_windings_voltage_1 CHECK (voltage <= 100000.0), 
	CONSTRAINT family_transformer_windings_current_0 CHECK (current > 0), 
	CONSTRAINT family_transformer_windings_current_1 CHECK (current <= 1000), 
	CONSTRAINT family_transformer_windings_resistance_0 CHECK (resistance > 0), 
	CONSTRAINT family_transformer_windings_resistance_1 CHECK (resistance <= 1000000.0), 
	FOREIGN KEY(part_id) REFERENCES part (id) ON DELETE CASCADE
);
CREATE TABLE family_valve (
	part_id INTEGER NOT NULL, 
	valve_type TEXT, 
	base TEXT, 
	PRIMARY KEY (part_id), 
	CONSTRAINT family_valve_base_0 CHECK (base IN ('IO', 'B7G', 'B8A', 'B8G', 'B9A', 'P8A', 'Y8A', 'UX4', 'UX5', 'UX6', 'UX7', 'Mazda octal', 'wire-ended subminiature')), 
	FOREIGN KEY(part_id) REFERENCES part (id) ON DELETE CASCADE
);
CREATE TABLE file_origin (
	id INTEGER NOT NULL, 
	file VARCHAR NOT NULL, 
	line INTEGER NOT NULL, 
	"key" VARCHAR NOT NULL, 
	cells JSON NOT NULL, 
	PRIMARY KEY (id)
);
CREATE TABLE list_shape (
	shape VARCHAR NOT NULL, 
	roles JSON NOT NULL, 
	PRIMARY KEY (shape)
);
CREATE TABLE meta (
	name VARCHAR NOT NULL, 
	value VARCHAR NOT NULL, 
	PRIMARY KEY (name)
);
INSERT INTO "meta" VALUES('schema_version','2');
CREATE TABLE movement (
	id INTEGER NOT NULL, 
	part_id INTEGER NOT NULL, 
	act VARCHAR NOT NULL, 
	quantity INTEGER NOT NULL, 
	aside INTEGER NOT NULL, 
	at DATETIME NOT NULL, 
	"by" VARCHAR NOT NULL, 
	why VARCHAR NOT NULL, 
	job VARCHAR NOT NULL, 
	reverses_id INTEGER, 
	PRIMARY KEY (id), 
	CONSTRAINT movement_act_word CHECK (act IN ('shelved', 'bought', 'reserved', 'released', 'fitted', 'returned', 'scrapped', 'counted', 'undone')), 
	FOREIGN KEY(part_id) REFERENCES part (id), 
	UNIQUE (reverses_id), 
	FOREIGN KEY(reverses_id) REFERENCES movement (id)
);
INSERT INTO "movement" VALUES(1,1,'shelved',12,0,'2026-03-01 12:00:00.000000','ann','from the drawer','',NULL);
INSERT INTO "movement" VALUES(2,2,'shelved',1,0,'2026-03-01 12:00:00.000000','ann','from the drawer','',NULL);
INSERT INTO "movement" VALUES(3,3,'shelved',50,0,'2026-03-02 12:00:00.000000','ann','','',NULL);
CREATE TABLE option_keys (
	id INTEGER NOT NULL, 
	family VARCHAR NOT NULL, 
	missing INTEGER NOT NULL, 
	limit_class INTEGER NOT NULL, 
	spread INTEGER NOT NULL, 
	value FLOAT, 
	low FLOAT, 
	high FLOAT, 
	limit_high FLOAT, 
	kind INTEGER NOT NULL, 
	promise INTEGER NOT NULL, 
	PRIMARY KEY (id)
);
INSERT INTO "option_keys" VALUES(256,'capacitor',0,42,4,2.2e-08,1.98e-08,2.42e-08,400.0,8448,999987);
INSERT INTO "option_keys" VALUES(512,'capacitor',4,43,1,1.52e-05,1.4896e-05,1.5504e-05,450.0,4584,2999998);
INSERT INTO "option_keys" VALUES(513,'capacitor',4,43,5,1.6e-05,1.28e-05,2.4e-05,450.0,4566,2999998);
INSERT INTO "option_keys" VALUES(514,'capacitor',4,43,5,8.0e-06,6.4e-06,1.2e-05,450.0,4566,2999998);
INSERT INTO "option_keys" VALUES(515,'capacitor',4,43,5,3.2e-05,2.56e-05,4.8e-05,450.0,4566,2999998);
INSERT INTO "option_keys" VALUES(516,'capacitor',4,43,5,2.4e-05,1.92000000000000025195e-05,3.6e-05,450.0,4566,2999998);
INSERT INTO "option_keys" VALUES(517,'capacitor',4,43,5,2.4e-05,1.92000000000000025195e-05,3.6e-05,450.0,4566,2999998);
INSERT INTO "option_keys" VALUES(518,'capacitor',4,43,5,3.99999999999999964958e-05,3.2e-05,5.99999999999999947437e-05,450.0,4566,2999998);
INSERT INTO "option_keys" VALUES(768,'resistor',0,-5,4,470000.0,376000.0,564000.0,0.5,1782,2999949);
CREATE TABLE part (
	id INTEGER NOT NULL, 
	family VARCHAR NOT NULL, 
	title VARCHAR NOT NULL, 
	marking VARCHAR NOT NULL, 
	condition VARCHAR NOT NULL, 
	origin VARCHAR NOT NULL, 
	on_hand INTEGER NOT NULL, 
	reserved INTEGER NOT NULL, 
	rough BOOLEAN NOT NULL, 
	place_id INTEGER, 
	donor_id INTEGER, 
	file_origin_id INTEGER, 
	maker VARCHAR NOT NULL, 
	date_code VARCHAR NOT NULL, 
	year INTEGER, 
	lead_style VARCHAR NOT NULL, 
	note VARCHAR NOT NULL, 
	PRIMARY KEY (id), 
	CONSTRAINT part_on_hand_not_negative CHECK (on_hand >= 0), 
	CONSTRAINT part_reserved_within_stock CHECK (reserved >= 0 AND reserved <= on_hand), 
	CONSTRAINT part_condition_word CHECK (condition IN ('', 'new', 'unused-old', 'salvaged')), 
	CONSTRAINT part_origin_word CHECK (origin IN ('shelf', 'offered')), 
	FOREIGN KEY(place_id) REFERENCES place (id), 
	FOREIGN KEY(donor_id) REFERENCES donor (id), 
	UNIQUE (file_origin_id), 
	FOREIGN KEY(file_origin_id) REFERENCES file_origin (id)
);
INSERT INTO "part" VALUES(1,'capacitor','22 nF 400 V film','22n 400V film','new','shelf',12,0,0,1,NULL,NULL,'','',NULL,'','');
INSERT INTO "part" VALUES(2,'capacitor','16+16+8 µF 450 V','16-16-8 450V','salvaged','shelf',1,0,0,NULL,1,NULL,'','',NULL,'','');
INSERT INTO "part" VALUES(3,'resistor','470 kΩ 0.5 W carbon-composition','470k 1/2W carbon comp','salvaged','shelf',50,0,1,2,NULL,NULL,'','',NULL,'','');
CREATE TABLE place (
	id INTEGER NOT NULL, 
	name VARCHAR NOT NULL, 
	PRIMARY KEY (id)
);
INSERT INTO "place" VALUES(1,'drawer C2');
INSERT INTO "place" VALUES(2,'box R1');
CREATE TABLE reading (
	id INTEGER NOT NULL, 
	part_id INTEGER NOT NULL, 
	quantity VARCHAR NOT NULL, 
	value FLOAT NOT NULL, 
	uncertainty FLOAT NOT NULL, 
	unit VARCHAR NOT NULL, 
	conditions JSON NOT NULL, 
	instrument VARCHAR NOT NULL, 
	taken_at DATETIME NOT NULL, 
	taken_by VARCHAR NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(part_id) REFERENCES part (id)
);
INSERT INTO "reading" VALUES(1,2,'capacitance@1',1.52e-05,3.04e-07,'F','{}','','2026-03-01 12:00:00.000000','ann');
CREATE TABLE rung (
	family VARCHAR NOT NULL, 
	missing INTEGER NOT NULL, 
	limit_class INTEGER NOT NULL, 
	spread INTEGER NOT NULL, 
	ratio FLOAT NOT NULL, 
	PRIMARY KEY (family, missing, limit_class, spread)
);
INSERT INTO "rung" VALUES('capacitor',0,42,4,1.25);
INSERT INTO "rung" VALUES('capacitor',4,43,1,1.025);
INSERT INTO "rung" VALUES('capacitor',4,43,5,1.6);
INSERT INTO "rung" VALUES('resistor',0,-5,4,1.25);
CREATE TABLE search_posting (
	word_id INTEGER NOT NULL, 
	first INTEGER NOT NULL, 
	offsets BLOB NOT NULL, 
	PRIMARY KEY (word_id, first)
)
 WITHOUT ROWID

;
INSERT INTO "search_posting" VALUES(1,1,X'00000100');
INSERT INTO "search_posting" VALUES(2,2,X'0000');
INSERT INTO "search_posting" VALUES(3,2,X'0000');
INSERT INTO "search_posting" VALUES(4,2,X'0000');
INSERT INTO "search_posting" VALUES(5,1,X'0000');
INSERT INTO "search_posting" VALUES(6,2,X'0000');
INSERT INTO "search_posting" VALUES(7,1,X'0000');
INSERT INTO "search_posting" VALUES(8,2,X'0000');
INSERT INTO "search_posting" VALUES(9,1,X'0000');
INSERT INTO "search_posting" VALUES(10,1,X'00000100');
INSERT INTO "search_posting" VALUES(11,2,X'0000');
INSERT INTO "search_posting" VALUES(12,1,X'0000');
INSERT INTO "search_posting" VALUES(13,1,X'0000');
INSERT INTO "search_posting" VALUES(14,1,X'0000');
INSERT INTO "search_posting" VALUES(15,2,X'0000');
INSERT INTO "search_posting" VALUES(15,3,X'0000');
INSERT INTO "search_posting" VALUES(16,3,X'0000');
INSERT INTO "search_posting" VALUES(17,3,X'0000');
INSERT INTO "search_posting" VALUES(18,3,X'0000');
INSERT INTO "search_posting" VALUES(19,3,X'0000');
INSERT INTO "search_posting" VALUES(20,3,X'0000');
INSERT INTO "search_posting" VALUES(21,3,X'0000');
INSERT INTO "search_posting" VALUES(22,3,X'0000');
INSERT INTO "search_posting" VALUES(23,3,X'0000');
INSERT INTO "search_posting" VALUES(24,3,X'0000');
INSERT INTO "search_posting" VALUES(25,3,X'0000');
CREATE TABLE search_text (
	part_id INTEGER NOT NULL, 
	words BLOB NOT NULL, 
	PRIMARY KEY (part_id)
);
INSERT INTO "search_text" VALUES(1,X'010000000500000007000000090000000A0000000C0000000D0000000E000000');
INSERT INTO "search_text" VALUES(2,X'0100000002000000030000000400000006000000080000000A0000000B0000000F000000');
INSERT INTO "search_text" VALUES(3,X'0F00000010000000110000001200000013000000140000001500000016000000170000001800000019000000');
CREATE TABLE search_word (
	id INTEGER NOT NULL, 
	word VARCHAR NOT NULL, 
	backwards VARCHAR, 
	PRIMARY KEY (id), 
	UNIQUE (word)
);
INSERT INTO "search_word" VALUES(1,'/capacitor',NULL);
INSERT INTO "search_word" VALUES(2,'=0.000008 F',NULL);
INSERT INTO "search_word" VALUES(3,'=0.000016 F',NULL);
INSERT INTO "search_word" VALUES(4,'=16',NULL);
INSERT INTO "search_word" VALUES(5,'=2.2E-8 F',NULL);
INSERT INTO "search_word" VALUES(6,'=4.5E+2 V',NULL);
INSERT INTO "search_word" VALUES(7,'=4E+2 V',NULL);
INSERT INTO "search_word" VALUES(8,'=8',NULL);
INSERT INTO "search_word" VALUES(9,'c2','2c');
INSERT INTO "search_word" VALUES(10,'capacitor','roticapac');
INSERT INTO "search_word" VALUES(11,'d-7','7-d');
INSERT INTO "search_word" VALUES(12,'drawer','reward');
INSERT INTO "search_word" VALUES(13,'film','mlif');
INSERT INTO "search_word" VALUES(14,'new','wen');
INSERT INTO "search_word" VALUES(15,'salvaged','degavlas');
INSERT INTO "search_word" VALUES(16,'/resistor',NULL);
INSERT INTO "search_word" VALUES(17,'=0.1 ohm',NULL);
INSERT INTO "search_word" VALUES(18,'=0.5 W',NULL);
INSERT INTO "search_word" VALUES(19,'=4.7E+5 ohm',NULL);
INSERT INTO "search_word" VALUES(20,'box','xob');
INSERT INTO "search_word" VALUES(21,'carbon','nobrac');
INSERT INTO "search_word" VALUES(22,'comp','pmoc');
INSERT INTO "search_word" VALUES(23,'composition','noitisopmoc');
INSERT INTO "search_word" VALUES(24,'r1','1r');
INSERT INTO "search_word" VALUES(25,'resistor','rotsiser');
CREATE UNIQUE INDEX ix_place_name ON place (name);
CREATE UNIQUE INDEX ix_donor_code ON donor (code);
CREATE UNIQUE INDEX ix_file_origin_key ON file_origin ("key");
CREATE INDEX option_by_value ON option_keys (family, missing, limit_class, spread, value, low, high, limit_high, kind, promise);
CREATE INDEX option_by_promise ON option_keys (family, missing, promise, id, limit_high, value, low, high, kind);
CREATE INDEX ix_search_word_backwards ON search_word (backwards);
CREATE INDEX ix_part_donor_id ON part (donor_id);
CREATE INDEX ix_part_place_id ON part (place_id);
CREATE INDEX ix_reading_part_id ON reading (part_id);
CREATE TRIGGER reading_no_update BEFORE UPDATE ON reading BEGIN SELECT RAISE(ABORT, 'reading is append-only: reverse a mistake by a new line'); END;
CREATE TRIGGER reading_no_delete BEFORE DELETE ON reading BEGIN SELECT RAISE(ABORT, 'reading is append-only: reverse a mistake by a new line'); END;
CREATE INDEX ix_movement_part_id ON movement (part_id);
CREATE TRIGGER movement_no_update BEFORE UPDATE ON movement BEGIN SELECT RAISE(ABORT, 'movement is append-only: reverse a mistake by a new line'); END;
CREATE TRIGGER movement_no_delete BEFORE DELETE ON movement BEGIN SELECT RAISE(ABORT, 'movement is append-only: reverse a mistake by a new line'); END;
COMMIT;
