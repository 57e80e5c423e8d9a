/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Two or three steady states a guess. */
#include "influence.h"

#include <math.h>
#include <string.h>

#include "ends.h"
#include "warm.h"

/* Keys of guesses that move direct volts; the others move ripple, peaks, the line or warmth. */
static bool moves_volts(const char *key)
{
    static const char *const keys[] = {"resistance", "open circuit", "emission", NULL};
    for (int i = 0; keys[i]; i++)
        if (strcmp(key, keys[i]) == 0) return true;
    return false;
}

static const char *fed_point(const struct set *set)
{
    const struct part *load = part_with(set, ROLE_LOAD);
    struct part_way way;
    return load && part_way(set, load, 0, &way) ? way.point[0] : NULL;
}

static double volts_of(struct arena *arena, const struct setup *setup, const char *point)
{
    const struct result *run = setup ? warm_steady(arena, setup, &(struct warm_options){0}) : NULL;
    const struct figure *f = run ? run_figure(run, point, MEASURE_SETTLED_VOLTAGE) : NULL;
    return f ? f->value : (double)NAN;
}

bool influence_of(struct arena *arena, const struct scenario *s, const char *variant,
                  const struct setup *setup, const struct assumption *a,
                  struct influence *influence)
{
    const double ends[2] = {a->low, a->high};
    *influence = (struct influence){.assumption = a, .point = fed_point(setup->stages.at[0].set)};
    if (!a->guess || !moves_volts(a->key) || !influence->point || !(a->high > a->low)) return false;
    for (int k = 0; k < 2; k++) {
        struct overrides o = overrides_new(arena);
        if (!isfinite(ends[k]) || !ends_lay(&o, s, variant, a, ends[k])) return false;
        const struct setup *with =
            overrides_setup(&o, diags_new(arena), s, variant, k ? "high end" : "low end");
        influence->volts[k] = volts_of(arena, with, influence->point);
    }
    influence->taken = volts_of(arena, setup, influence->point);
    return isfinite(influence->volts[0]) && isfinite(influence->volts[1]);
}
