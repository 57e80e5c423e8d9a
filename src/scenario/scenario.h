/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_SCENARIO_H
#define PRESOLDER_SCENARIO_H

#include "circuit.h"
#include "part.h"

/* A scenario file: read once, then set up once for every variant. */
struct scenario;

/* Reads and checks the outer form. NULL when it cannot be used at all; all errors are in `diags`.
 */
const struct scenario *scenario_read(struct arena *arena, struct diags *diags,
                                     const struct catalogue *catalogue, const char *path);
/* The same for a text in memory (tests). */
const struct scenario *scenario_parse(struct arena *arena, struct diags *diags,
                                      const struct catalogue *catalogue, const char *name,
                                      const char *text);

/* A scenario without parts, variants or mains: for parts laid over it (overrides.h). */
const struct scenario *scenario_bare(struct arena *arena, const struct catalogue *catalogue,
                                     const char *reference);

/* Whether reports are to be in the words of the trade in the UK: `words: UK`. */
bool scenario_uk(const struct scenario *s);

/* The name that the scenario gives to a point (B+) that the trade also calls `name` (HT); `name`
 * where it has it itself, or none is meant. */
const char *scenario_point(struct arena *arena, const struct scenario *s, const char *name);

const char *scenario_title(const struct scenario *s);

/* What `repair:` tells the owner under `ticket`, `complaint`, `found` or `done`: at most `most`
 * texts. How many. */
int scenario_repair(const struct scenario *s, const char *key, const char **texts, int most);
const char *scenario_path(const struct scenario *s);
int scenario_variants(const struct scenario *s);
const char *scenario_variant(const struct scenario *s, int i);

/* Where `models/`, `scenarios/`, `plots/` are: $PRESOLDER_DATA, the place installed with the
 * running program, the source of a program that is not installed (the link `presolder-data` beside
 * it), the place a program elsewhere was to be installed to: the first that has a models folder.
 * NULL: none. */
const char *scenario_data_folder(struct arena *arena);

/* One stretch of the run between timed changes: its own circuit. Part names, roles and points carry
 * states over. */
struct stage {
    double time; /* when it begins [s]; the first at 0 */
    const struct set *set;
    const struct circuit *circuit; /* of the set */
    int mains_switch;              /* element of the switch in the mains' line; -1: no mains */
    int mains_source;              /* element of the mains' source; -1: no mains */
    bool mains_on;                 /* state of the mains in this stage */
    bool gap_open;     /* square mains: between its closed stretches the contact is open */
    bool closes_given; /* this stage states its own `closes at` */
    bool closes_worst; /* `closes at: worst` (the default) */
    double closes_at;  /* angle of the voltage at which the mains close [rad], when not worst */
    const char
        *change; /* words for what changes here: "C1 condition: shorted"; NULL for the first */
};

struct measured;

/* A reading from the chart or the user's meter. */
struct reading {
    const char *subject; /* point or part */
    double value;        /* volts (or amperes for a part) */
    enum unit unit;
    bool measured; /* measured: true, chart: false */
    struct place at;
};

/* All that one run needs; constant and free of positions that matter to the numbers. */
struct setup {
    const char *title, *variant; /* variant "base" for the scenario itself */
    ARRAY(struct stage) stages;
    ARRAY(struct reading) readings;
    const struct measured *measured; /* all that was read, and how (readings.h) */
    double duration;                 /* [s] */
    bool hot;                        /* run: start: hot */
    double frequency; /* of the mains (or vibrator) [Hz]; the period of all "cycles". 60 Hz when
                         there is none */
};

/* Sets up one variant (NULL or "base": the scenario itself). All checks of all parts, variants'
 * keys and timed changes are made here. NULL when something is wrong (errors in diags) or the
 * variant does not exist (error with the nearest name). */
const struct setup *scenario_setup(struct arena *arena, struct diags *diags,
                                   const struct scenario *s, const char *variant);

/* The text of a key as it stands in a variant; NULL when it is not there or no single text. */
const char *scenario_value(struct arena *arena, const struct scenario *s, const char *variant,
                           const char *path);

/* Sets up the scenario itself and every variant, to find all mistakes of the file in one go. The
 * same mistake met in several variants is added for each; diags_print shows it once. True when
 * there is none. */
bool scenario_check(struct arena *arena, struct diags *diags, const struct scenario *s);

#endif
