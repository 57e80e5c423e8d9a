/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The keys of a failing load. */
#include <math.h>

#include "kinds.h"
#include "load.h"

/* --- as a table ----------------------------------------------------------------------------- */

static bool is_scaled(const struct set *set, const struct part *part)
{
    (void)set;
    return part_is(part, ROLE_SCALES);
}

static bool has_grid(const struct set *set, const struct part *part)
{
    const struct load *l = part->data;
    (void)set;
    return l->like == LOAD_OUTPUT && l->output.leak == 0;
}

/* Of the plate before it: two thirds of the stage's own volts (estimate). */
static const char *before_it(struct arena *arena, const struct part *part)
{
    const struct load *l = part->data;
    return arena_printf(arena, " from %.3g V", 2 * l->volts / 3);
}

const struct part_fault load_faults[] = {
    {.name = "too much",
     .says = "it draws more than usual",
     .dangerous = true,
     .severity = {.key = "load", UNIT_PERCENT, 0.1, 3, 0.67, .more = true},
     .can = is_scaled},
    {.name = "too little",
     .says = "it draws less than usual: a tube or its bias has failed",
     .says_uk = "it draws less than usual: a valve or its bias has failed",
     .keyed = true,
     .severity =
         {.key = "scaled by", UNIT_PERCENT, 0.1, 0.9, 0.5, load_scale, UNIT_NUMBER, "usual"},
     .can = is_scaled},
    {.name = "open", .says = "it draws nothing"},
    {.name = "shorted",
     .says = "a short across the supply at this point",
     .dangerous = true,
     .overloads = true,
     .severity = {.key = "short resistance", UNIT_OHM, 0, 50, 1}},
    {.name = "leaky coupling capacitor",
     .says = "the capacitor before the grid of an output stage leaks and drives it positive",
     .dangerous = true,
     .keyed = true,
     .severity = {.key = "leaky coupling capacitor", UNIT_OHM, 100e3, 20e6, 2e6, .tail = before_it},
     .can = has_grid},
    {.name = NULL},
};

/* --- reading -------------------------------------------------------------------------------- */

static void read_draws_now(struct set *set, const struct part *part, struct load *l)
{
    struct token t[QUANTITY_TOKENS];
    int n = part_phrase(set, part, "draws now", t);
    if (n == 0) return;
    bool amperes = kind_token(t, n, UNIT_AMPERE, &l->now_amperes) && l->now_amperes > 0;
    bool volts = kind_token(t, n, UNIT_VOLT, &l->now_volts) && l->now_volts > 0;
    if (!amperes || (!volts && (n > 1 || l->like != LOAD_CURRENT)))
        part_complain(set, part, "draws now", "write it as in `100 mA at 250 V`",
                      "%s: what it draws now is not understood", part->name);
}

static void read_too_much(struct set *set, const struct part *part, struct load *l)
{
    bool now = part_node(part, "draws now"), more = part_node(part, "load");
    if (l->like == LOAD_OUTPUT)
        part_complain(set, part, "condition", "write `leaky coupling capacitor: 2 Mohm from 200 V`",
                      "%s: an output stage draws too much when its grid is driven positive",
                      part->name);
    else if (now && more)
        part_complain(set, part, "load", "keep one of them",
                      "%s: `draws now` and `load` exclude each other", part->name);
    else if (now) read_draws_now(set, part, l);
    else if (part_value(set, part, "load", UNIT_PERCENT, 0, &l->more)) l->more += 1;
    else if (!more)
        part_complain(set, part, "condition",
                      "write `draws now: 100 mA at 250 V`, or `load: +67 %`",
                      "%s: how much is too much?", part->name);
}

/* Keys that stand without their condition would be passed over. */
static void check_strays(struct set *set, const struct part *part)
{
    static const char *const rows[][2] = {
        {"draws now", "too much"}, {"load", "too much"}, {"heaters out", "open"}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        kind_stray(set, part, rows[i][0], rows[i][1]);
}

void load_fault(struct set *set, const struct part *part, struct load *l)
{
    static const char *const words[] = {"no", "yes", NULL};
    l->more = 1;
    check_strays(set, part);
    if (l->condition == LOAD_SHORTED)
        l->bridge =
            fault_severity(set, part, 0, "common practice, no source", KNOWN_BY_OHMS_ACROSS);
    if (l->condition == LOAD_TOO_MUCH) read_too_much(set, part, l);
    if (l->condition == LOAD_OPEN) l->heaters_out = part_word(set, part, "heaters out", words) == 1;
}
