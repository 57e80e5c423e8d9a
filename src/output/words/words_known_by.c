/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "words_known_by.h"

#include <assert.h>

#include "tongue.h"

static const struct tongue readings[KNOWN_BYS] = {
    [KNOWN_BY_NOTHING] = {0},
    [KNOWN_BY_OHMS_COLD] = EITHER("its ohms cold, with a meter"),
    [KNOWN_BY_SETTLING] = EITHER("how long its current takes to settle after switch-on"),
    [KNOWN_BY_RANGE_ENDS] = EITHER("its amperes at both ends of its range"),
    [KNOWN_BY_DROP_UNDER_LOAD] =
        EITHER("the drop of its voltage under load, divided by the amperes"),
    [KNOWN_BY_LEAKAGE_WARM] = EITHER("milliamperes cold and warm at the same voltage"),
    [KNOWN_BY_CAN_WARMTH] = EITHER("warmth of the can over the room against its watts"),
    [KNOWN_BY_CAPACITANCE_METER] = EITHER("read it on a capacitance meter"),
    [KNOWN_BY_RESISTANCE_METER] = EITHER("read it on a series-resistance meter"),
    [KNOWN_BY_LEAKAGE_AT_TWO] =
        EITHER("milliamperes at two voltages above the breakdown, on a leakage tester"),
    [KNOWN_BY_LEAKAGE_BEGINS] =
        EITHER("the voltage at which it begins to draw milliamperes through 10 kohm"),
    [KNOWN_BY_LEAKAGE_ABOVE_FORMING] = EITHER("milliamperes at two voltages above forming"),
    [KNOWN_BY_CAN_THERMOMETER] = EITHER("a thermometer on the can when it happens"),
    [KNOWN_BY_OHMS_ACROSS] = EITHER("ohms across it with the set dead"),
    [KNOWN_BY_CAN_MARKING] = EITHER("printed on some cans, else in the data sheet"),
    [KNOWN_BY_RESISTANCE_METER_OR_MAKE] =
        EITHER("read it on a series-resistance meter, or name its make or type"),
    [KNOWN_BY_LEAKAGE_TESTER] = EITHER("milliamperes at its working voltage on a leakage tester"),
    [KNOWN_BY_FUSE_MARKING] = EITHER("the marking on its cap, as `standard`"),
    [KNOWN_BY_DATA_SHEET] = EITHER("the maker's data sheet"),
    [KNOWN_BY_WARM_UP_TIME] = EITHER("time from a cold switch-on to 95 % of its settled current"),
    [KNOWN_BY_HEATER_SHORT_IN_STRING] =
        US_UK_ROW("ohms from cathode to heater at its socket, tube hot and "
                  "just switched off, the string open",
                  "ohms from cathode to heater at its valveholder, valve "
                  "hot and just switched off, the string open"),
    [KNOWN_BY_RIPPLE_RATIO] =
        US_UK_ROW("the AC voltages on both filter capacitors: their ratio gives it",
                  "the AC voltages on both smoothing capacitors: their ratio gives it"),
    [KNOWN_BY_OHMS_HOT] = EITHER("ohms hot, at once after switching off, against ohms cold"),
    [KNOWN_BY_OHMS_OF_GOOD_ONE] = EITHER("its ohms against those of a good one"),
    [KNOWN_BY_LAMP_OHMS] = EITHER("the ohms of the cold lamp, as `cold resistance`"),
    [KNOWN_BY_CHOKE_DROP] =
        US_UK_ROW("the drop across a choke, field coil or resistor in B+, divided by its ohms",
                  "the drop across a choke, field coil or resistor in HT, divided by its ohms"),
    [KNOWN_BY_LINEUP] = US_UK_ROW("name its tubes in `lineup` and their winding in `heated by`",
                                  "name its valves in `lineup` and their winding in `heated by`"),
    [KNOWN_BY_CATHODE_RESISTOR] =
        EITHER("the resistor at its cathode, one end lifted; a set with a fixed bias has none"),
    [KNOWN_BY_GRID_OHMS] = EITHER("ohms from its grid to chassis, the coupling capacitor lifted"),
    [KNOWN_BY_EMISSION_TEST] =
        US_UK_ROW("an emission test; low B+ with little ripple means a weak one",
                  "an emission test; low HT with little ripple means a weak one"),
    [KNOWN_BY_GLOW_DROP] = EITHER("its drop while it glows, with a meter on DC"),
    [KNOWN_BY_HEATER_SHORT] = US_UK_ROW(
        "ohms from cathode to heater at its socket, tube hot and just switched off",
        "ohms from cathode to heater at its valveholder, valve hot and just switched off"),
    [KNOWN_BY_PLATE_SHORT] = US_UK_ROW("ohms from plate to cathode with the set dead",
                                       "ohms from anode to cathode with the set dead"),
    [KNOWN_BY_VOLTS_TUBES_OUT] =
        US_UK_ROW("read it again with all tubes out", "read it again with all valves out"),
    [KNOWN_BY_LINE_WATTS_TUBES_OUT] =
        US_UK_ROW("line watts with all tubes out", "mains watts with all valves out"),
    [KNOWN_BY_SCALES] = EITHER("kitchen scales"),
    [KNOWN_BY_PRIMARY_WARMTH] =
        EITHER("ohms of the primary after hours, right after switching off, "
               "against ohms cold: 1 % is 2.6 K"),
    [KNOWN_BY_VOLTS_IN_AND_OUT] = US_UK_ROW(
        "its voltage with tubes out and with tubes in: the difference over the amperes",
        "its voltage with valves out and with valves in: the difference over the amperes"),
    [KNOWN_BY_OSCILLOSCOPE] = EITHER("look at the primary with an oscilloscope"),
    [KNOWN_BY_OUTLET_DROP] = US_UK_ROW(
        "volts lost at the outlet when a known load is switched on, divided by its amperes",
        "volts lost at the mains socket when a known load is switched on, divided by its amperes"),
    [KNOWN_BY_LINE_AMPERES_TUBES_OUT] =
        US_UK_ROW("line amperes with all tubes out", "mains amperes with all valves out"),
    [KNOWN_BY_THERMOMETER] = EITHER("a thermometer beside the set"),
};

const char *words_known_by(enum known_by known_by)
{
    assert((unsigned)known_by < KNOWN_BYS);
    return tongue_says(readings[known_by]);
}
