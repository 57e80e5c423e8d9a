/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_HELP_H
#define PRESOLDER_WORDS_HELP_H

/* What the commands and options do, as --help shows it. */

static const char words_help_new_says[] = "write a form to fill in: a scenario with questions";
static const char words_help_new[] =
    "Writes a scenario of that kind with a question at each blank and values of our own making, "
    "which runs as it is. FILE is KIND.yaml when it is not named; a file that is there already "
    "is never written over. Without KIND: lists the kinds.";

static const char words_help_check_says[] = "find every mistake, and show every assumed value";
static const char words_help_check[] =
    "Reads the scenario with all its variants, shows all mistakes at once with file, line and "
    "column, and shows what is taken for every value that was not given: why, between which "
    "bounds it may lie, and which reading would replace it. A guess is a value of weight that "
    "nothing in the scenario gives.";

static const char words_help_switch_on_says[] = "simulate the turn-on: summary, figures, pictures";
static const char words_help_switch_on[] =
    "Simulates the set from switch-on, and its hot restart, judges every figure against its "
    "rating and shows a summary. Writes figures.csv, trace.csv, heat.csv, restart.csv (the hot "
    "restart) and, in the folder plots, gnuplot scripts with their pictures. Files come into "
    "place all together at the end. Ctrl-C ends the run early: what it has found by then is "
    "written, marked as partial. A second Ctrl-C, or a failed run, writes nothing and leaves old "
    "results as they were. In runs longer than 4 s many cycles are skipped once all has "
    "settled but for slow warming; --every-cycle simulates each one.";

static const char words_help_parts_says[] = "the catalogue, or one model or kind with its sources";
static const char words_help_parts[] =
    "Without a name: all models by kind, one line each. With the name of a model: every value "
    "and rating with its source. With the name of a kind: its keys, the faults it can have, and "
    "its models.";

static const char words_help_compare_says[] = "several variants or files side by side in one table";
static const char words_help_compare[] =
    "Simulates the turn-on and the hot restart of every column, several at a time, and shows one "
    "table: values, verdicts, differences to the first column, and what is better and worse. "
    "Columns are the scenario and all its variants, or those named with --variant, or several "
    "files. Beside a variant called `as built` it shows what is worse than there. Writes "
    "figures.csv with all runs and, in the folder plots, a picture of each filtered point with "
    "all columns. Ctrl-C ends it early: the columns finished by then are shown and written, "
    "marked as partial, with exit code 6.";

static const char words_help_try_says[] = "what one or two other values would do: table, curves";
static const char words_help_try[] =
    "Runs the scenario once for each value and shows voltages, ripple, peaks and what is nearest "
    "to its limit. Values: a list (C1.value=4.7uF,10uF,22uF), a range with the number of its "
    "values (R9.resistance=100ohm..1kohm/7, mains.voltage=105V..130V/6), or words "
    "(V6.type=80,5Y3-GT,GZ34); two of them make a grid. For a capacitor at a rectifier it also "
    "finds how large it may be. Runs begin hot and go to where they settle; with --cold they "
    "begin cold and last as long as the scenario says. Writes try.csv, figures.csv, and in the "
    "folder plots curves with the lines of ratings.";

static const char words_help_find_value_says[] =
    "the value of a part that gives the figure you want";
static const char words_help_find_value[] =
    "Finds the value of one key (--change) for which a figure becomes what is wanted (--so-that: "
    "any subject and measure of figures.csv, with =, < or >), then runs the preferred values "
    "beside it (IEC 60063, E12 and E24; \"= 250 V +-2 %\" takes E12 where that is close enough), "
    "gives watts or volts to buy the part by, and how far the answer holds when the load changes "
    "by half. Values from a hundredth to a hundred times the present one are looked at; bounds "
    "of your own: --change \"R9.resistance=10ohm..10kohm\". The part must be in the scenario or "
    "in the variant; its value may be `unknown` there. A target that cannot be met is refused "
    "with what can be reached. Two of each look for two values at once, so that both figures "
    "come out: --change R1.resistance --change R2.resistance --so-that \"B1 settled-voltage = "
    "250 V\" --so-that \"B2 settled-voltage = 180 V\".";

static const char words_help_tolerances_says[] =
    "do the figures hold when parts and readings are off?";
static const char words_help_tolerances[] =
    "Runs many sets, each with every uncertain value somewhere in its range: parts by their "
    "tolerance and age, readings by the meter, guesses between their bounds, the line by its "
    "standard. Shows what the meter may read, in how many sets something is outside its rating, "
    "which value moves which figure most, and so which reading to take first. Write a tolerance "
    "of your own after a value (`value: 8 uF +-10 %`, `voltage: 117 V +-5 %`, `-20/+100 %`, "
    "`exact`) or as `tolerance:` of a part (`10 %`, `silver`). Sets are looked at long after "
    "switch-on; with --cold each is a turn-on. Writes tolerances.csv, influence.csv, ranges.csv "
    "(every range with its source) and, in the folder plots, two pictures. Ctrl-C ends it early: "
    "the sets done by then are shown and written, marked as partial, with exit code 6.";

static const char words_help_discharge_says[] =
    "what the capacitors hold, and how to discharge them";
static const char words_help_discharge[] =
    "Simulates the turn-on, then switches the set off, with tubes cold and with tubes hot: "
    "joules, coulombs and volts of every capacitor by itself, how long it needs to 30 V through "
    "what stays connected, the resistor to empty it with (ohms, watts, joules, volts), what may "
    "creep back, and which limits for new equipment it exceeds.";

static const char words_help_reform_says[] = "how to re-form an old electrolytic, and when to stop";
static const char words_help_reform[] =
    "For series resistors from 10 kohm to 470 kohm: current, volts on the part, watts in "
    "resistor and part against time, and when it is within the limit of a good part. The part is "
    "given by --value and --rated, or is one of a scenario (--part). --at gives the volts of the "
    "supply; its rated volts when left out. How leakage heals is taken from one published "
    "specimen. Writes reform.csv and a picture.";

static const char words_help_hot_chassis_says[] = "touch current from a chassis that may be live";
static const char words_help_hot_chassis[] =
    "Puts test networks from what hands may touch to the earth of the wall (joined to the "
    "neutral side): a meter, a short, 1500 ohm with 0.15 uF for a person, the body of IEC 60990; "
    "with both ways round of the plug, switched on and off. Touched are the reference and the "
    "points called chassis, cabinet, case or frame, or those named with --point. Off: a `switch` "
    "of the scenario on a leg of the line is opened, without one each leg in turn.";

static const char words_help_fuse_says[] = "the smallest fuse that holds, and what it clears";
static const char words_help_fuse[] =
    "Simulates switch-on cold and hot, at a zero and at the crest, the warm set, and the warm "
    "set with each filter capacitor and load shorted, and each heater of a rectifier or of a "
    "string on its cathode (10 ohm unless given), all without a fuse. The cathode of a `heater` "
    "part is where a variant or timed change with that fault says it is. Then every fuse of the "
    "catalogue from 0.25 A to 5 A is led through these line currents: does it hold, how soon "
    "does it open at each fault, and is that before a winding of the transformer passes its "
    "insulation class.";

static const char words_help_bench_sheet_says[] =
    "what to read at each step of a careful first power-up";
static const char words_help_bench_sheet[] =
    "A sheet to print and take to the bench: ohms before power, a ratio test of the transformer, "
    "its watts without tubes, then the set on series lamps of 25 to 150 W and at full line. "
    "Beside each healthy band is what the likely faults read: a first filter capacitor shorted, "
    "leaking or open, the second shorted, choke or field coil open, a dead rectifier, shorted "
    "turns. It recommends the lamp. Lamps are of 120 V, from 160 V line on of 230 V. Takes some "
    "dozens of runs, several at a time: about a minute on two processors. Writes "
    "bench-sheet.csv, and figures.csv with all runs.";

static const char words_help_buy_list_says[] = "what to order: capacitors, resistors, diodes, fuse";
static const char words_help_buy_list[] =
    "Runs the worst cases at +10 % line (settled, from cold, and with every load open), with new "
    "parts in place, and lists what to buy for the scenario or a --variant: each filter "
    "capacitor with its volts, ripple current, heat, polarity and where its minus goes; "
    "resistors with watts; rectifiers and the silicon that may replace them; a fuse. Every "
    "recommendation names the run it rests on. Writes buy-list.csv, and figures.csv of all these "
    "runs. "
    "--stock reads what is in the drawer, a CSV file whose first line is kind,value,rating,pieces "
    "(electrolytic,10 uF,450 V,4), marks what it has, and writes order.csv with a column for "
    "prices.";

static const char words_help_schematic_says[] =
    "the supply as a circuit diagram, with its voltages";
static const char words_help_schematic[] =
    "Draws the scenario or a --variant as schematic.svg: mains on the left, load on the right, "
    "B+ on top, the reference at the bottom. Every point has a number; the column gives its DC "
    "and its AC or ripple. Parts over their rating are marked. The voltages are those of the "
    "last switch-on in the same folder; when there is none, or the scenario is newer, the set is "
    "run first, as switch-on does. Symbols are those of IEC 60617.";

static const char words_help_report_says[] =
    "everything on one page of HTML, to read, print and keep";
static const char words_help_report[] =
    "Runs the scenario, or each --variant (several are set side by side), as switch-on does, "
    "and writes report.html: the answer, what to stop for, the schematic, what the meter should "
    "read with room for what it reads, margins, pictures, what was assumed, cautions, date and "
    "audit. It is one file, needs no network, and prints on A4 and Letter. --include adds the "
    "sheets of buy-list, bench-sheet and tolerances. --for owner writes owner.html instead: one "
    "page that goes back with the set, with the first and the last set of `measured:`, and what "
    "the scenario says under `repair:`. The date is today's, or that of SOURCE_DATE_EPOCH.";

static const char words_help_diagnose_says[] = "what is wrong, from what your meter reads";
static const char words_help_diagnose[] =
    "Takes readings: --reading \"B+ DC = 181 V\" (several), or --readings FILE, or `measured:` "
    "and `noticed:` of the scenario. Any measure of figures.csv may be read (\"mains "
    "line-current = 0.4 A\"), AC (\"B+ AC = 3.1 V\"), ohms of the dead set (\"B+ to chassis ohms "
    "= 22 kohm\"), and what a capacitor tester reads (\"C1 capacitance = 3 uF\"). Of several sets "
    "of "
    "readings all count, where some have a date those of the latest. Runs the set "
    "with each fault its parts can have, at several severities, weighs them by the readings, and "
    "shows the likeliest causes, which of them cannot be told apart, a reading that fits "
    "nothing, and the next reading that would tell them apart best for its work among those that "
    "are safe. Writes diagnosis.csv. Exit code 3 when a reading names nothing of the set.";

static const char words_help_schema_says[] = "the JSON Schema of a scenario, for an editor";
static const char words_help_schema[] =
    "With it an editor that knows JSON Schema completes keys, words and types of a scenario and "
    "marks those that are wrong as you type. How the file is named to the editor depends on the "
    "editor. Quantities and points are for `presolder check`.";

static const char words_help_exercise_says[] = "sheets with hidden faults for a class, with a key";
static const char words_help_exercise[] =
    "Draws a fault for every sheet from those that the parts of the set can have, runs the set "
    "with it, and writes pupils.html (sheets, with the readings on cards to cut out), "
    "key.html (faults, why each reading changed, what would suffer, marking) and "
    "demonstration.html (silicon for the tube; a new capacitor across an old one: predict "
    "first). Level 1: one fault; 2: one whose first symptoms point at another part; 3: two. A "
    "fault is set only where the readings on the cards lead to it. The same seed gives the same "
    "sheets. SCENARIO may be a recipe, like those in scenarios/exercises.";

static const char words_help_option_out[] =
    "folder for the results (default ./presolder-out/NAME-OF-SCENARIO)";
static const char words_help_option_variant[] =
    "run this variant of the scenario (compare: several, `base` is itself)";
static const char words_help_option_change[] = "the value to find, e.g. R9.resistance";
static const char words_help_option_so_that[] =
    "what is wanted, e.g. \"B+ settled-voltage = 250 V\"";
static const char words_help_option_reading[] = "a reading, e.g. \"B+ DC = 181 V\" (several)";
static const char words_help_option_readings[] = "a file with `measured`, `meter`, `noticed`";
static const char words_help_option_set[] =
    "this set of readings alone, by its name (default: all, or those of the latest date)";
static const char words_help_option_match_healthy[] =
    "first fit the sound set to these readings, taken when it was healthy";
static const char words_help_option_value[] = "capacitance printed on the part, e.g. 20uF";
static const char words_help_option_rated[] = "volts printed on the part, e.g. 450V";
static const char words_help_option_at[] =
    "volts of the supply, e.g. 350V (default: the rated volts)";
static const char words_help_option_part[] = "the scenario's capacitor to re-form";
static const char words_help_option_point[] = "what hands may touch (may be given several times)";
static const char words_help_option_for[] = "length of the run, e.g. 10s (default: the scenario's)";
static const char words_help_option_for_report[] =
    "length of the run; `owner`: the page that goes back with the set";
static const char words_help_option_stock[] = "a CSV file of what is in the drawer";
static const char words_help_option_include[] =
    "add shopping-list, bench-sheet, tolerances (commas between)";
static const char words_help_option_every_cycle[] = "leap over no cycles in a long run";
static const char words_help_option_cold[] =
    "run from cold instead of hot: what warm-up does counts";
static const char words_help_option_tolerances[] =
    "give the usual range of each reading even where that takes long";
static const char words_help_option_samples[] = "how many sets are run (default 1000)";
static const char words_help_option_seed[] = "another draw (default 1)";
static const char words_help_option_fault[] =
    "this fault, e.g. leaky or \"C1 leaky\" (default any)";
static const char words_help_option_level[] = "how hard it is (default 1)";
static const char words_help_option_pupils[] = "how many sheets (default 12)";
static const char words_help_option_colour[] = "pages and pictures in colour";
static const char words_help_option_jobs[] =
    "runs at a time (default: as many as there are processors)";
static const char words_help_option_strict[] = "exit code 1 when a rating is exceeded";
static const char words_help_option_sources[] =
    "how many values of each file are read, second hand, derived, from memory";
static const char words_help_option_full[] =
    "show everything: all margins, heat, guesses, every caution";
static const char words_help_option_cautions[] = "show every caution in full";
static const char words_help_option_html[] =
    "write the answer as a part of a page of HTML, without head or style";
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
    "presolder: what a tube radio's power supply will do, before you solder\n\n"
    "usage: presolder COMMAND [arguments] [options]\n\ncommands:\n";
static const char words_help_only_strict[] = " (only with --strict)";
static const char words_help_this[] = "this page; `presolder COMMAND --help` says more";
static const char words_help_version[] = "show version, commit and libraries";
static const char words_help_example[] = "\nexample:\n  %s\n";
/* name, what it does; name, blank or nothing, arguments */
static const char words_help_command[] = "presolder %s: %s\n\nusage: presolder %s%s%s [options]\n";
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
/* commit, its date; GSL's version, libyaml's; the C library's */
static const char words_help_commit[] = "commit %s of %s\n";
static const char words_help_no_commit[] = "commit unknown: built without git\n";
static const char words_help_libraries[] = "GNU Scientific Library %s, libyaml %s\n";
static const char words_help_c_library[] = "GNU C library %s\n";
static const char words_help_unless_forced[] = ", or a run its audit (unless --force)";
static const char words_help_option_force[] = "exit code 0 although a run fails its audit";

#endif
