/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Of parts this is known where parts are read; here are the mains, what is in series with the plug,
 * and how values are laid over a scenario. */
#include "uncertain.h"

#include <math.h>
#include <string.h>

struct source {
    struct arena *arena;
    const struct scenario *scenario;
    const char *variant;
};

static const char *text_of(const struct source *s, const char *path)
{
    return scenario_value(s->arena, s->scenario, s->variant, path);
}

static void find_mains(const struct source *s, struct uncertain_part_finder *f)
{
    static const char *const keys[] = {"voltage", "resistance", "dwell"};
    for (int i = 0; i < 3; i++) {
        const char *text = text_of(s, arena_printf(s->arena, "mains.%s", keys[i]));
        const char *words = text_of(s, arena_printf(s->arena, "mains.tolerance.%s", keys[i]));
        if (!words && i == 0) words = text_of(s, "mains.tolerance");
        if (text) uncertain_part_mains(f, keys[i], text, words);
    }
}

/* What is in series with the plug is a part called `mains lamp`, and laid at `mains.through.lamp`:
 * as a whole when it is one value, else key by key. */
static bool place(void *context, const char **part, const char **key)
{
    const struct source *s = context;
    if (strncmp(*part, "mains ", 6) != 0) return true;
    const char *path = arena_printf(s->arena, "through.%s", *part + 6);
    bool whole = text_of(s, arena_printf(s->arena, "mains.%s", path)) != NULL;
    if (whole && strcmp(*key, "rated") != 0) return false;
    *key = whole ? path : arena_printf(s->arena, "%s.%s", path, *key);
    *part = "mains";
    return true;
}

struct uncertain_list uncertain_of(struct arena *arena, const struct scenario *s,
                                   const char *variant, const struct setup *setup)
{
    struct uncertain_list list = {0};
    struct source source = {arena, s, variant};
    struct uncertain_part_finder *f =
        uncertain_part_begin(arena, setup->stages.at[0].set, &list, place, &source);
    find_mains(&source, f);
    uncertain_part_all(f);
    return list;
}

/* ---- numbers ---- */

double uncertain_quantile(const struct uncertain *v, double u)
{
    if (v->spread == SPREAD_LOG) return v->low * pow(v->high / v->low, u);
    return v->low + u * (v->high - v->low);
}

double uncertain_mean(const struct uncertain *v)
{
    if (v->spread == SPREAD_LOG) return (v->high - v->low) / log(v->high / v->low);
    return (v->low + v->high) / 2;
}

double uncertain_deviation(const struct uncertain *v)
{
    if (v->spread != SPREAD_LOG) return (v->high - v->low) / sqrt(12);
    double mean = uncertain_mean(v);
    return sqrt(mean * (v->low + v->high) / 2 - mean * mean);
}

void uncertain_values(const struct uncertain_list *list, const double *u, double *values)
{
    for (int i = 0; i < list->values.n; i++)
        values[i] = uncertain_quantile(&list->values.at[i], u[list->values.at[i].group]);
}

/* ---- laying ---- */

void uncertain_lay(struct overrides *o, const struct uncertain *v, double value)
{
    const char *texts[UNCERTAIN_PART_TEXTS];
    bool list;
    int n = uncertain_part_texts(o->arena, v, value, texts, &list);
    if (list) overrides_points(o, v->part, v->key, texts, n);
    else overrides_text(o, v->part, v->key, texts[0]);
}

void uncertain_lay_all(struct overrides *o, const struct uncertain_list *list, const double *values)
{
    for (int i = 0; i < list->values.n; i++) uncertain_lay(o, &list->values.at[i], values[i]);
}
