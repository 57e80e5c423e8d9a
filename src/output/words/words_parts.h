/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_PARTS_H
#define PRESOLDER_WORDS_PARTS_H

/* The catalogue. */

static const char words_parts_keys[] = "  keys:";
static const char words_parts_needed[] = " (needed)";
static const char words_parts_models[] = "  models:\n";
/* Of a value: its source, where that of the one before is it. */
static const char words_parts_same[] = "the same source";
static const char words_parts_example[] = "  example:";
static const char words_parts_inner[] = "keys of `%s`:";
static const char words_parts_inner_named[] = "keys of each of the `%s`, below its name:";
static const char words_parts_common[] = "  keys of every part:";
/* A catalogue's kind that is no part of its own. */
static const char words_parts_tube[] =
    "for `lineup:` or `tube:` of a load, and `tube:` of a heater";
/* Below all models: the kinds of part. */
static const char words_parts_more[] =
    "`presolder parts NAME` shows a model with all its values and their sources, or what a kind of "
    "part takes: %s. NAME may also be mains, through, run, variants, words, chart or measured.";
static const char words_parts_lists[] = "`presolder parts` lists them all";
static const char words_parts_unknown[] = "the catalogue has no model and no kind `%s`";

/* What stands beside the parts: whole lines. */
static const char words_parts_mains[] = "the outlet and what is between it and the set\n";
static const char words_parts_through[] =
    "under `mains:`, in series with the plug, or between wall and plug\n";
static const char words_parts_run[] = "how long, and from what state\n";
static const char words_parts_variants[] =
    "the same set with other values; each has a name and what differs\n"
    "    high line:                   # run it with --variant \"high line\"\n"
    "      mains: {voltage: 128 V}\n"
    "    silicon:\n"
    "      V6: {type: 1N4007}         # keys of a part that change\n"
    "    bleeder added:\n"
    "      R9: {is: resistor, across: [B+, chassis], resistance: 100 kohm}  # new\n"
    "    silicon on a high line:\n"
    "      based on: silicon          # another variant, and what differs from it\n"
    "      mains: {voltage: 128 V}\n"
    "    the first capacitor shorts:\n"
    "      at 20 s:                   # something that happens during the run\n"
    "        C1: {condition: shorted}\n"
    "  `presolder parts KIND` lists the keys and the conditions of a part.\n";
static const char words_parts_words[] = "US (as usual) or UK: valves, anodes and HT in all "
                                        "reports\n"
                                        "    words: UK\n"
                                        "  Either way both are read: `is: mains transformer`, "
                                        "`anodes:`, `ESR:`,\n"
                                        "  `like: valves`. A reading of HT or reservoir is that "
                                        "of B+ or first filter,\n  where the set has those.\n";
static const char words_parts_chart[] =
    "what the service chart says: points in volts, parts in amperes\n"
    "    chart: {first filter: 330 V, B+: 225 V}\n";
static const char words_parts_measured[] =
    "what your meter read, written like `chart:`; also AC, ohms, `noticed:`\n"
    "    measured:\n"
    "      B+: {DC: 194 V, AC: 0.3 V}\n"
    "      mains: {current: 0.5 A, power: 52 W}\n"
    "      ohms: {B+ to chassis: 7.1 kohm}      # the set dead, plus lead first\n"
    "      C1: {capacitance: 3 uF, ESR: 40 ohm, leakage: 2 mA at 350 V}\n"
    "      noticed: [hum low, C1 warm]\n"
    "  or several sets of readings, each with its conditions:\n"
    "    measured:\n"
    "    - {name: on the lamp, lamp: 60 W 120 V, out: [V6], B+: 90 V}\n"
    "    - {name: repaired, date: 2026-11-28, line: 112 V, after: 5 min, B+: 220 V}\n"
    "  and the meter, unless it is a digital one:\n"
    "    meter: {sensitivity: 1 kohm/V, range: 500 V, AC: average}\n"
    "  noticed: lamp dark, dim, bright; fuse holds, opens after seconds, opens at\n"
    "  once; hum none, low, raspy; plates dark, red, blue between; heaters lit, dark;\n"
    "  a can or transformer cool, warm, too hot to hold\n";

/* Heading of the sizes that are read; each: unit in words, least, most. */
static const char words_parts_bounds[] =
    "  values are read between (apart from 0; a key may allow less):";
static const char words_parts_bound[] = "%s%s %s to %s";

/* Heading of the faults of a kind; behind the name of a dangerous one; a severity: key, least,
 * most, ` of ` and of what (or nothing), usual. */
static const char words_parts_faults[] = "  faults:";
static const char words_parts_dangerous[] = " (dangerous)";
static const char words_parts_severity[] = "%s: %s to %s%s%s, usually %s";
static const char words_parts_of[] = " of ";

/* Heading of the table of sources, one of its rows and its last: a file or `all`, then how many
 * values: read, second hand, derived, from memory; and the share of the last in per cent. */
static const char words_parts_sources[] =
    "                               read  second hand  derived  memory\n";
static const char words_parts_grades[] = "%-27s %7d      %7d  %7d %7d\n";
static const char words_parts_sources_note[] =
    "read: in the maker's own sheet. second hand: in a page or list that quotes sheets. "
    "derived: by arithmetic from others, or typical of the kind. memory: written down from memory; "
    "look it up before you rely on it. %.0f\x1f%% of the values are from memory.";

#endif
