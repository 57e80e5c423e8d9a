/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_SCENARIO_IMPL_H
#define PRESOLDER_SCENARIO_IMPL_H

#include "scenario.h"
#include "scenario_keys.h"
#include "suggest.h"

/* Inside the scenario layer only. From the file to a setup:
 *   scenario.c     the file's outer form
 *   plan.c         a variant: the raw tree at the start and the timed changes, as overlays
 *   overrides.c    keys laid over a scenario, as one more variant
 *   terminals.c    which part ends on which point; points used once, parts nothing feeds
 *   stage_build.c  one raw tree -> the parts of one stage and their circuit
 *   mains.c        the mains of one stage
 *   readings.c     chart, and readings in place of those of the file
 *   reading_sets.c what was measured, under which conditions, with which meter
 *   noticed.c      what was seen, heard or felt
 *   setup.c        all stages of a variant, the run, the probes of points */

struct scenario {
    const char *path, *title;
    const struct node *root; /* of the file; its `parts` is a map */
    const struct catalogue *catalogue;
    ARRAY(const struct pair *) variants;
    bool wrong; /* its outer form has errors */
};

/* ---- plan.c ---- */

/* What can be overlaid, as raw trees; any may be NULL. */
struct draft {
    const struct node *parts, *mains, *run;
    const struct node *reference;
};

/* One timed change. */
struct change {
    double time;       /* [s] > 0 */
    struct place at;   /* of its key */
    struct draft over; /* parts and mains only */
    const char *words; /* what it changes */
};

struct plan {
    const char *variant; /* "base" for the scenario itself */
    struct draft start;
    ARRAY(struct change) changes; /* in time order, one for each time */
};

/* True when the key reads `at ...`. */
bool plan_is_timed(const char *key);

/* True when the key cannot be a part's name: it has a meaning of its own. */
bool plan_is_reserved(const char *key);

/* The time of a key `at TIME`; false when it is none, which is reported. */
bool plan_time(struct diags *diags, const struct pair *pair, double *time);

/* The plan of a variant (NULL: the scenario itself), which must exist. Parts that are changed but
 * not there are reported and left out. */
struct plan plan_make(struct arena *arena, struct diags *diags, const struct scenario *s,
                      const struct pair *variant);

/* Finds a variant (NULL or "base": the scenario itself, *which NULL). False with an error when
 * there is none. */
bool plan_variant(struct arena *arena, struct diags *diags, const struct scenario *s,
                  const char *name, const struct pair **which);

/* `over` laid on `base`. A part whose `is:` changes is replaced as a whole. */
struct draft plan_overlay(struct arena *arena, const struct draft *base, const struct draft *over);

/* ---- terminals.c ---- */

/* One end of a part on a point. */
struct terminal {
    const char *part; /* "mains" for the plug */
    const char *point;
    struct place at;
    const char *winding; /* name of the winding it belongs to, or NULL */
    int group;           /* terminals of one group are joined inside the part */
    bool feeds;          /* of the mains, a source or a winding */
    bool watched;        /* of a capacitor */
    bool rectifier;      /* plate or cathode */
};

struct terminals {
    ARRAY(struct terminal) list;
    suggest_words points; /* each once, in the order of the file */
    int groups;
};

/* All ends of all parts of a draft, those that are not fitted too, and of the mains. */
struct terminals terminals_of(struct arena *arena, const struct draft *draft);

/* Reports names that may not be, both ends on one point, points used once, and parts that nothing
 * feeds. */
void terminals_check(struct arena *arena, struct diags *diags, const struct draft *draft,
                     const struct terminals *terminals);

bool terminals_use(const struct terminals *terminals, const char *point);

/* ---- stage_build.c ---- */

enum { PATTERN_BITS = 64 }; /* of pattern_t */

/* A draft as parts and circuit, with the mains of this stage. NULL when anything is wrong. */
struct mains;
struct set *stage_build(struct arena *arena, struct diags *diags, const struct catalogue *catalogue,
                        const struct draft *draft, const struct terminals *terminals,
                        struct mains *mains, const char *variant);

/* The key `run`, or an empty part of that name, for the readers of part.h. */
struct part stage_run(struct arena *arena, const struct draft *draft);

/* ---- readings.c ---- */

/* The names a reading may have: points and parts. */
struct reading_names {
    suggest_words known; /* of the scenario itself or this variant */
    suggest_words here;  /* of this variant, in any stage */
};

/* Reads `chart`, `measured`, `meter` and `noticed` into the setup. Names not known are reported;
 * readings of what is not in this variant are left out. */
void readings_read(struct arena *arena, struct diags *diags, const struct scenario *s,
                   const struct reading_names *points, const struct reading_names *parts,
                   struct setup *setup);

#endif
