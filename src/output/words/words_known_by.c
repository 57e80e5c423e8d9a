/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "words_known_by.h"

#include <assert.h>

static const char *const readings[KNOWN_BYS] = {
    [KNOWN_BY_NOTHING] = NULL,
    [KNOWN_BY_OHMS_COLD] = "its ohms cold, with a meter",
    [KNOWN_BY_SETTLING] = "how long its current takes to settle after switch-on",
    [KNOWN_BY_RANGE_ENDS] = "its amperes at both ends of its range",
    [KNOWN_BY_DROP_UNDER_LOAD] = "the drop of its voltage under load, divided by the amperes",
    [KNOWN_BY_LEAKAGE_WARM] = "milliamperes cold and warm at the same voltage",
    [KNOWN_BY_CAN_WARMTH] = "warmth of the can over the room against its watts",
    [KNOWN_BY_CAPACITANCE_METER] = "read it on a capacitance meter",
    [KNOWN_BY_RESISTANCE_METER] = "read it on a series-resistance meter",
    [KNOWN_BY_LEAKAGE_AT_TWO] =
        "milliamperes at two voltages above the breakdown, on a leakage tester",
    [KNOWN_BY_LEAKAGE_BEGINS] = "the voltage at which it begins to draw milliamperes through 10 "
                                "kohm",
    [KNOWN_BY_LEAKAGE_ABOVE_FORMING] = "milliamperes at two voltages above forming",
    [KNOWN_BY_CAN_THERMOMETER] = "a thermometer on the can when it happens",
    [KNOWN_BY_OHMS_ACROSS] = "ohms across it with the set dead",
    [KNOWN_BY_CAN_MARKING] = "printed on some cans, else in the data sheet",
    [KNOWN_BY_RESISTANCE_METER_OR_MAKE] =
        "read it on a series-resistance meter, or name its make or type",
    [KNOWN_BY_LEAKAGE_TESTER] = "milliamperes at its working voltage on a leakage tester",
    [KNOWN_BY_FUSE_MARKING] = "the marking on its cap, as `standard`",
    [KNOWN_BY_DATA_SHEET] = "the maker's data sheet",
    [KNOWN_BY_WARM_UP_TIME] = "time from a cold switch-on to 95 % of its settled current",
    [KNOWN_BY_HEATER_SHORT_IN_STRING] = "ohms from cathode to heater at its socket, tube hot and "
                                        "just switched off, the string open",
    [KNOWN_BY_RIPPLE_RATIO] = "the AC voltages on both filter capacitors: their ratio gives it",
    [KNOWN_BY_OHMS_HOT] = "ohms hot, at once after switching off, against ohms cold",
    [KNOWN_BY_OHMS_OF_GOOD_ONE] = "its ohms against those of a good one",
    [KNOWN_BY_LAMP_OHMS] = "the ohms of the cold lamp, as `cold resistance`",
    [KNOWN_BY_CHOKE_DROP] =
        "the drop across a choke, field coil or resistor in B+, divided by its ohms",
    [KNOWN_BY_LINEUP] = "name its tubes in `lineup` and their winding in `heated by`",
    [KNOWN_BY_CATHODE_RESISTOR] =
        "the resistor at its cathode, one end lifted; a set with a fixed bias has none",
    [KNOWN_BY_GRID_OHMS] = "ohms from its grid to chassis, the coupling capacitor lifted",
    [KNOWN_BY_EMISSION_TEST] = "an emission test; low B+ with little ripple means a weak one",
    [KNOWN_BY_GLOW_DROP] = "its drop while it glows, with a meter on DC",
    [KNOWN_BY_HEATER_SHORT] =
        "ohms from cathode to heater at its socket, tube hot and just switched off",
    [KNOWN_BY_PLATE_SHORT] = "ohms from plate to cathode with the set dead",
    [KNOWN_BY_VOLTS_TUBES_OUT] = "read it again with all tubes out",
    [KNOWN_BY_LINE_WATTS_TUBES_OUT] = "line watts with all tubes out",
    [KNOWN_BY_SCALES] = "kitchen scales",
    [KNOWN_BY_PRIMARY_WARMTH] = "ohms of the primary after hours, right after switching off, "
                                "against ohms cold: 1 % is 2.6 K",
    [KNOWN_BY_VOLTS_IN_AND_OUT] =
        "its voltage with tubes out and with tubes in: the difference over the amperes",
    [KNOWN_BY_OSCILLOSCOPE] = "look at the primary with an oscilloscope",
    [KNOWN_BY_OUTLET_DROP] =
        "volts lost at the outlet when a known load is switched on, divided by its amperes",
    [KNOWN_BY_LINE_AMPERES_TUBES_OUT] = "line amperes with all tubes out",
    [KNOWN_BY_THERMOMETER] = "a thermometer beside the set",
};

const char *words_known_by(enum known_by known_by)
{
    assert((unsigned)known_by < KNOWN_BYS);
    return readings[known_by];
}
