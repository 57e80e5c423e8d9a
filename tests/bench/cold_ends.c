/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which verdicts on the start from cold turn over with what was assumed, in the base of shipped
 * scenarios: each assumption at either end of its range. Those that the warm set at these ends
 * shows too are in every summary; the others are marked, and their number is the answer. usage:
 * cold_ends [SCENARIO...] */
#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

#include "ends.h"
#include "shipped.h"
#include "shop.h"

static bool is_named(const struct ends *warm, const struct end_turn *turn)
{
    size_t n = strcspn(turn->subject, ".");
    for (int i = 0; i < warm->turns.n; i++) {
        const struct end_turn *t = &warm->turns.at[i];
        if (t->measure == turn->measure && strncmp(t->subject, turn->subject, n) == 0) return true;
    }
    return false;
}

static int look_at(const char *name)
{
    struct arena *arena = shop_arena();
    const struct scenario *s = shipped_scenario(arena, name);
    const struct setup *setup = shipped_setup(arena, name, NULL);
    const struct ends *warm = ends_study(arena, s, NULL, setup, &(struct ends_options){0}),
                      *cold =
                          ends_study(arena, s, NULL, setup, &(struct ends_options){.cold = true});
    int unnamed = 0;
    for (int i = 0; i < cold->turns.n; i++) {
        const struct end_turn *t = &cold->turns.at[i];
        bool surge = strcmp(t->assumption->key, "surge") == 0; /* said beside the surge itself */
        bool named = surge || is_named(warm, t);
        unnamed += !named;
        printf("%s: %s %s is %.0f %% of its limit with %s %s = %.4g%s\n", name, t->subject,
               measure_table[t->measure].name, 100 * t->share, t->assumption->part,
               t->assumption->key, t->value, named ? "" : " (from cold only)");
    }
    printf("%s: %d ends, %d verdicts turn over, %d from cold only\n", name, cold->looked_at,
           cold->turns.n, unnamed);
    return unnamed;
}

int main(int argc, char **argv)
{
    int n, unnamed = 0;
    void *state = NULL;
    shop_open(&state);
    const char *const *names = shipped_names(shop_arena(), &n);
    for (int i = 0; i < (argc > 1 ? argc - 1 : n); i++)
        unnamed += look_at(argc > 1 ? argv[i + 1] : names[i]);
    printf("%d verdicts turn over from cold only\n", unnamed);
    shop_close(&state);
    return 0;
}
