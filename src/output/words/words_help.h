/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_HELP_H
#define PRESOLDER_WORDS_HELP_H

/* What the commands and options do, as --help shows it. */

static const char words_help_new_says[] = "write a commented scenario to fill in";
static const char words_help_new[] =
    "Writes a scenario of that kind with a question at each blank and values of our own\n"
    "making, which runs as it is. FILE is KIND.yaml when it is not named; a file that is\n"
    "there already is never written over. Without KIND: lists the kinds.\n";

static const char words_help_check_says[] = "validate a scenario and show every assumed value";
static const char words_help_check[] =
    "Reads the scenario with all its variants, shows all mistakes at once with file, line\n"
    "and column, and shows what is taken for every value that was not given: why, between\n"
    "which bounds it may lie, and which reading would replace it. A guess is a value of\n"
    "weight that nothing in the scenario gives.\n";

static const char words_help_switch_on_says[] =
    "simulate the turn-on: summary, figures, trace, pictures";
static const char words_help_switch_on[] =
    "Simulates the set from switch-on, and its hot restart, judges every figure against its\n"
    "rating and shows a summary. Writes figures.csv, trace.csv, heat.csv, restart.csv (the\n"
    "hot restart) and, in the folder plots, gnuplot scripts with their pictures. Files come\n"
    "into place all together at the end. Ctrl-C ends the run early: what it has found by\n"
    "then is written, marked as\n"
    "partial. A second Ctrl-C, or a failed run, writes nothing and leaves old results as\n"
    "they were.\n"
    "In runs longer than a minute many cycles are skipped when all has settled but for\n"
    "slow warming; --every-cycle simulates each one.\n";

static const char words_help_parts_says[] =
    "list the catalogue, or show one model or kind with its sources";
static const char words_help_parts[] =
    "Without a name: all models by kind, one line each. With the name of a model: every value\n"
    "and rating with its source. With the name of a kind: its keys, the faults it can\n"
    "have, and its models.\n";

static const char words_help_compare_says[] =
    "the scenario beside its variants, or several files: one table";
static const char words_help_compare[] =
    "Simulates the turn-on and the hot restart of every column, several at a time, and\n"
    "shows one table: values, verdicts, differences to the first column, and what is better\n"
    "and worse. Columns are the scenario and all its variants, or those named with\n"
    "--variant, or several files. Beside a variant called `as built` it shows what is worse\n"
    "than there. Writes figures.csv with all runs and, in the folder plots, a picture of\n"
    "each filtered point with all columns. Ctrl-C ends it early: the columns finished by\n"
    "then are shown and written, marked as partial, with exit code 6.\n";

static const char words_help_try_says[] =
    "one or two values over a list or range: table and curves";
static const char words_help_try[] =
    "Runs the scenario once for each value and shows voltages, ripple, peaks and what is\n"
    "nearest to its limit. Values: a list (C1.value=4.7uF,10uF,22uF), a range with the number\n"
    "of its values (R9.resistance=100ohm..1kohm/7, mains.voltage=105V..130V/6), or words\n"
    "(V6.type=80,5Y3-GT,GZ34); two of them make a grid. For a capacitor at a rectifier it\n"
    "also finds how large it may be. Runs begin hot and go to where they settle; with --cold\n"
    "they begin cold and last as long as the scenario says. Writes try.csv, figures.csv, and\n"
    "in the folder plots curves with the lines of ratings.\n";

static const char words_help_find_value_says[] =
    "the value of a part, or of two, for a wanted figure each";
static const char words_help_find_value[] =
    "Finds the value of one key (--change) for which a figure becomes what is wanted\n"
    "(--so-that: any subject and measure of figures.csv, with =, < or >), then runs the\n"
    "preferred values beside it (IEC 60063, E12 and E24), gives the watts or volts to buy the\n"
    "part by, and how far the answer holds when the load changes by half. Values from a\n"
    "hundredth to a hundred times the present one are looked at; bounds of your own:\n"
    "--change \"R9.resistance=10ohm..10kohm\". The part must be in the scenario or in the\n"
    "variant; its value may be `unknown` there. A target that cannot be met is refused with\n"
    "what can be reached. Two of each look for two values at once, so that both figures come\n"
    "out: --change R1.resistance --change R2.resistance --so-that \"B1 settled-voltage = 250 "
    "V\"\n"
    "--so-that \"B2 settled-voltage = 180 V\".\n";

static const char words_help_tolerances_says[] =
    "parts and readings are off by so much: do the figures hold?";
static const char words_help_tolerances[] =
    "Runs many sets, each with every uncertain value somewhere in its range: parts by their\n"
    "tolerance and age, readings by the meter, guesses between their bounds, the line by its\n"
    "standard. Shows what the meter may read, in how many sets something is outside its\n"
    "rating, which value moves which figure most, and so which reading to take first. Write a\n"
    "tolerance of your own after a value (`value: 8 uF +-10 %`, `voltage: 117 V +-5 %`,\n"
    "`-20/+100 %`, `exact`) or as `tolerance:` of a part (`10 %`, `silver`). Sets are looked at\n"
    "long after switch-on; with --cold each is a turn-on. Writes tolerances.csv,\n"
    "influence.csv, ranges.csv (every range with its source) and, in the folder plots, two\n"
    "pictures. Ctrl-C ends it early: the sets done by then are shown and written, marked as\n"
    "partial, with exit code 6.\n";

static const char words_help_discharge_says[] =
    "what the capacitors hold, how they empty, and a safe tool for it";
static const char words_help_discharge[] =
    "Simulates the turn-on, then switches the set off, with tubes cold and with tubes hot:\n"
    "joules, coulombs and voltage of every capacitor by itself, how long it needs to 30 V\n"
    "through what stays connected, the resistor to empty it with (ohms, watts, joules,\n"
    "volts), what may creep back, and which limits for new equipment it exceeds.\n";

static const char words_help_reform_says[] =
    "re-forming an old electrolytic: which resistor, how long";
static const char words_help_reform[] =
    "For series resistors from 10 kohm to 470 kohm: current, voltage on the part, watts in\n"
    "resistor and part against time, and when it is within the limit of a good part. The\n"
    "part is given by --value and --rated, or is one of a scenario (--part). --at gives the\n"
    "voltage of the supply; its rated voltage when left out. How leakage heals is taken from\n"
    "one published specimen. Writes reform.csv and a picture.\n";

static const char words_help_hot_chassis_says[] =
    "voltage and touch current from the chassis to the earth of the wall";
static const char words_help_hot_chassis[] =
    "Puts test networks from what hands may touch to the earth of the wall (joined to the\n"
    "neutral side): a meter, a short, 1500 ohm with 0.15 uF for a person, the body of\n"
    "IEC 60990; with both ways round of the plug, switched on and off. Touched are the\n"
    "reference and the points called chassis, cabinet, case or frame, or those named with\n"
    "--point. Off: a `switch` of the scenario on a leg of the line is opened, without one\n"
    "each leg in turn.\n";

static const char words_help_fuse_says[] =
    "the smallest line fuse that holds, and which faults it clears in time";
static const char words_help_fuse[] =
    "Simulates switch-on cold and hot, at a zero and at the crest, the warm set, and the\n"
    "warm set with each filter capacitor and load shorted, and each heater of a rectifier or\n"
    "of a string on its cathode (10 ohm unless given), all without a fuse. The cathode of a\n"
    "`heater` part is where a variant or timed change with that fault names it. Then every\n"
    "fuse of the catalogue from 0.25 A to 5 A is led through these line currents: does it\n"
    "hold, how soon does it open at each fault, and is that before a winding of the\n"
    "transformer passes its insulation class.\n";

static const char words_help_bench_sheet_says[] =
    "what the meters read at each step of a careful first power-up";
static const char words_help_bench_sheet[] =
    "A sheet to print and take to the bench: ohms before power, a ratio test of the\n"
    "transformer, its watts without tubes, then the set on series lamps of 25 to 150 W and at\n"
    "full line. Beside each healthy band is what the likely faults read: a first filter\n"
    "capacitor shorted, leaking or open, the second shorted, choke or field coil open, a dead\n"
    "rectifier, shorted turns. It recommends the lamp. Lamps are of 120 V, from 160 V line on\n"
    "of 230 V. Takes some dozens of runs, several at a time: about a minute on two\n"
    "processors. Writes bench-sheet.csv, and figures.csv with all runs.\n";

static const char words_help_buy_list_says[] =
    "what to buy: values, volts, watts, polarity, diodes, fuse";
static const char words_help_buy_list[] =
    "Runs the worst cases at +10 % line (settled, from cold, and with every load open),\n"
    "with new parts in place, and lists what to buy for the scenario or a --variant: each\n"
    "filter capacitor with its voltage, ripple current, heat, polarity and where its minus\n"
    "goes; resistors with watts; rectifiers and the silicon that may replace them; a fuse.\n"
    "Every recommendation names the run it rests on. Writes buy-list.csv, and figures.csv\n"
    "of all these runs.\n";

static const char words_help_schematic_says[] =
    "the supply as a circuit diagram, with the voltages of the last run";
static const char words_help_schematic[] =
    "Draws the scenario or a --variant as schematic.svg: mains on the left, load on the right,\n"
    "B+ on top, the reference at the bottom. Every point has a number; the column gives its DC\n"
    "and its AC or ripple. Parts over their rating are marked. The voltages are those of the\n"
    "last switch-on in the same folder; when there is none, or the scenario is newer, the set\n"
    "is run first, as switch-on does. Symbols are those of IEC 60617.\n";
static const char words_help_diagnose_says[] =
    "what is wrong, by what your meter reads, and what to read next";
static const char words_help_diagnose[] =
    "Takes readings: --reading \"B+ DC = 181 V\" (several), or --readings FILE, or `measured:`\n"
    "and `noticed:` of the scenario. Any measure of figures.csv may be read (\"mains\n"
    "line-current = 0.4 A\"), AC (\"B+ AC = 3.1 V\"), ohms of the dead set (\"B+ to chassis\n"
    "ohms = 22 kohm\"), and what a capacitor tester reads (\"C1 capacitance = 3 uF\").\n"
    "Runs the set with each fault its parts can have, at several severities, weighs them by\n"
    "the readings, and shows the likeliest causes, which of them cannot be told apart, a\n"
    "reading that fits nothing, and the next reading that would tell them apart best for its\n"
    "work among those that are safe. Writes diagnosis.csv. Exit code 3 when a reading names\n"
    "nothing of the set.\n";

static const char words_help_option_out[] =
    "folder for the results (default ./presolder-out/NAME-OF-SCENARIO)";
static const char words_help_option_variant[] =
    "run this variant of the scenario (compare: several, `base` is itself)";
static const char words_help_option_change[] = "the value to find, e.g. R9.resistance";
static const char words_help_option_so_that[] =
    "what is wanted, e.g. \"B+ settled-voltage = 250 V\"";
static const char words_help_option_reading[] = "a reading, e.g. \"B+ DC = 181 V\" (several)";
static const char words_help_option_readings[] = "a file with `measured`, `meter`, `noticed`";
static const char words_help_option_match_healthy[] =
    "first fit the sound set to these readings, taken when it was healthy";
static const char words_help_option_value[] = "capacitance printed on the part, e.g. 20uF";
static const char words_help_option_rated[] = "voltage printed on the part, e.g. 450V";
static const char words_help_option_at[] =
    "voltage of the supply, e.g. 350V (default: the rated one)";
static const char words_help_option_part[] = "the scenario's capacitor to re-form";
static const char words_help_option_point[] = "what hands may touch (may be given several times)";
static const char words_help_option_for[] = "length of the run, e.g. 10s (default: the scenario's)";
static const char words_help_option_every_cycle[] = "leap over no cycles in a long run";
static const char words_help_option_cold[] =
    "run from cold instead of hot: what warm-up does counts";
static const char words_help_option_tolerances[] =
    "give the usual range of each reading even where that takes long";
static const char words_help_option_samples[] = "how many sets are run (default 1000)";
static const char words_help_option_seed[] = "another draw of the sets (default 1)";
static const char words_help_option_jobs[] =
    "runs at a time (default: as many as there are processors)";
static const char words_help_option_strict[] = "exit code 1 when a rating is exceeded";
static const char words_help_option_sources[] =
    "how many values of each file are read, second hand, derived, from memory";
static const char words_help_option_full[] =
    "show everything: all margins, heat, guesses, every caution";
static const char words_help_option_cautions[] = "show every caution in full";
static const char words_help_option_quiet[] = "say nothing but errors";
static const char words_help_option_format[] = "kind of the pictures (default svg)";
static const char words_help_option_black_and_white[] = "pictures for print without colour";
static const char words_help_option_no_plots[] = "write no gnuplot scripts and draw no pictures";
static const char words_help_option_zigzag[] = "resistors as zigzags, not as boxes";
static const char words_help_option_narrow[] = "in strips, for the screen of a telephone";
static const char words_help_option_without_voltages[] = "draw the circuit only, run nothing";
static const char words_help_option_help[] = "show this";
static const char words_help_option_version[] = "show the version";

static const char words_help_options[] = "\noptions:\n";
static const char words_help_exit_codes[] = "\nexit codes:\n";
static const char words_help_commands[] =
    "presolder: see what a repair of a tube radio's power supply does before you solder it\n\n"
    "usage: presolder COMMAND [arguments] [options]\n\ncommands:\n";
static const char words_help_only_strict[] = " (only with --strict)";
static const char words_help_this[] =
    "show this; `presolder COMMAND --help` says more about a command";
static const char words_help_version[] = "show the version";
static const char words_help_example[] = "\nexample:\n  %s\n";
/* name, what it does; name, arguments */
static const char words_help_command[] = "presolder %s: %s\n\nusage: presolder %s %s [options]\n";
static const char words_help_usage[] = "usage: presolder COMMAND [arguments] [options]\n"
                                       "`presolder --help` lists what there is, with an example\n";

/* file, thrice */
static const char words_help_written[] =
    "%s is written. Answer its questions with your own readings, then\n"
    "  presolder check %s\n"
    "shows what is still assumed, and\n"
    "  presolder switch-on %s\n"
    "runs it.\n";
static const char words_help_kinds[] =
    "kinds of scenario that `presolder new KIND [FILE]` writes:\n";
static const char words_help_unless_forced[] = ", or a run its audit (unless --force)";
static const char words_help_option_force[] = "exit code 0 although a run fails its audit";

#endif
