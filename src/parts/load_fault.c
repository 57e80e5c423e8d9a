/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The keys of a failing load. */
#include <math.h>

#include "kinds.h"
#include "load.h"

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
                      "%s: nothing tells how much is too much", part->name);
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
        l->bridge = kind_short(set, part, 1, 50, KNOWN_BY_OHMS_ACROSS);
    if (l->condition == LOAD_TOO_MUCH) read_too_much(set, part, l);
    if (l->condition == LOAD_OPEN) l->heaters_out = part_word(set, part, "heaters out", words) == 1;
}
