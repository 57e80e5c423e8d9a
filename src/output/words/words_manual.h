/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_MANUAL_H
#define PRESOLDER_WORDS_MANUAL_H

/* What the manual pages say beside the tables. */

static const char words_manual_says[] =
    "see what a repair of a tube radio's power supply does before you solder it";
static const char words_manual_program[] =
    "Simulates the power supply of a vintage tube radio in the time domain, from the plug to the "
    "load, with tubes that warm up by their own heaters. Type in what the multimeter and the "
    "service chart say; it answers what each capacitor sees at turn-on, whether every part is "
    "within "
    "its rating, what happens when an old part leaks or shorts, what the meter should read, and "
    "what is wrong when it reads something else.\n\n"
    "A scenario is one file, described in";
static const char words_manual_cautions[] =
    "Results are only as good as the values typed in: trust the meter.";
static const char words_manual_data[] =
    "folder that holds `models`, `plots` and `scenarios`, instead of the one that was installed.";
static const char words_manual_out[] =
    "results: `figures.csv` with one row a figure, curves, and pictures in `plots`.";
/* folder of the installed scenarios */
static const char words_manual_examples[] = "worked scenarios to start from.";
static const char words_manual_see_command[] = "Exit codes, files and cautions are those of";

static const char words_manual_scenario_says[] = "description of a set for presolder";
static const char words_manual_scenario[] =
    "A scenario is a file of YAML: keys with values, one below the other, and what belongs to a "
    "key "
    "further in. It describes the supply of one set, and variants of it. `presolder new` writes "
    "one "
    "to fill in, `presolder check` finds all mistakes in it.\n\n"
    "Values carry their unit: `8 uF`, `1500 ohm cold`, `60 mA at 225 V`. Old units (`8 mfd`, `60 "
    "cps`) are taken where they are clear. A tolerance may follow a value: `8 uF +-10 %`, "
    "`-20/+100 %`, `exact`. What is not known is left out or called `unknown`: a value is assumed "
    "and named as such in the results. Points are free names that parts share.";
static const char words_manual_changes[] =
    "A key `at TIME` (`at 20 s`), of the file or of a variant, changes parts or the mains during "
    "the "
    "run; below it are the names of parts with the keys that change.";
static const char words_manual_variants[] =
    "A variant holds names of parts with the keys that differ in it, parts of its own, and:";
static const char words_manual_readings[] =
    "A set of readings holds names of points and parts with what was read there; `ohms`, below it "
    "what was read on the dead set, as in `{B+ to chassis: 22 kohm}`; `noticed`; and:";
static const char words_manual_parts[] =
    "Every part has the name by which results call it. Keys that are needed may come from the type "
    "that is named instead.";
static const char words_manual_faults[] = "Faults (`condition:`):";
static const char words_manual_needed[] = " (needed)";
static const char words_manual_by_type[] = " (mostly from the type)";
static const char words_manual_below[] = "Keys of `%s`:";
static const char words_manual_below_named[] = "Keys of each of the `%s`, below its name:";
static const char words_manual_dangerous[] = " (dangerous)";

#endif
