/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "scenario_keys.h"

#include <stddef.h>

const struct key scenario_keys[] = {
    {"format", "1, the first line of the file", KEY_NEEDED},
    {"title", "one line, shown above all results", 0},
    {"reference", "the point that voltages are given against; chassis when left out", KEY_POINTS},
    {"mains", "the outlet, and what is between it and the set", KEY_MAP},
    {"parts", "the name of each part, then its keys", KEY_NEEDED | KEY_MAP},
    {"chart", "voltages of the service chart, e.g. {B+: 250 V}", KEY_MAP},
    {"measured", "what you read: {B+: 231 V}, or a list of sets of readings", KEY_MAP | KEY_LIST},
    {"meter", "the meter it was read with", KEY_MAP},
    {"noticed", "what was seen, heard or felt, e.g. [hum low, C1 warm]", KEY_LIST},
    {"words", "UK writes HT, reservoir, valve, earth; US is what is written else", 0},
    {"repair", "for the owner's page: complaint, what was found and done", KEY_MAP},
    {"run", "how long to simulate, and from which start", KEY_MAP},
    {"variants", "the name of each variant, then what is different in it", KEY_MAP},
    {NULL, NULL, 0},
};

const struct key variant_keys[] = {
    {"based on", "another variant, whose changes hold here too", 0},
    {"mains", "keys of the outlet that differ", KEY_MAP},
    {"run", "keys of the run that differ", KEY_MAP},
    {"reference", "the point that voltages are given against", KEY_POINTS},
    {NULL, NULL, 0},
};

const struct key meter_keys[] = {
    {"resistance", "ohms of its input, e.g. 10 Mohm", 0},
    {"sensitivity", "of a pointer meter, e.g. 1 kohm/V; with its range", 0},
    {"range", "volts it was set to, e.g. 500 V", 0},
    {"DC", "its accuracy on DC, e.g. 2 %", 0},
    {"AC", "its accuracy on AC, or RMS, or average", 0},
    {"rated", "volts that meter and leads may meet, e.g. 600 V", 0},
    {"through capacitor", "yes: AC was read through a capacitor", 0},
    {"isolating transformer", "yes: the set was on one", 0},
    {NULL, NULL, 0},
};

const struct key condition_keys[] = {
    {"name", "what to call this set of readings", 0},
    {"line", "volts at the outlet then, e.g. 90 V", 0},
    {"lamp", "the series lamp, e.g. 60 W 120 V", 0},
    {"out", "parts that were pulled, e.g. [V6]", KEY_LIST},
    {"date", "the day it was read, e.g. 2026-11-28", 0},
    {"after", "time since switch-on, a minute or more", 0},
    {NULL, NULL, 0},
};

const struct key repair_keys[] = {
    {"ticket", "your number for the job", 0},
    {"complaint", "what the owner said, a text or a list", KEY_LIST},
    {"found", "what was wrong, a text or a list", KEY_LIST},
    {"done", "what was done, a text or a list", KEY_LIST},
    {NULL, NULL, 0},
};
