/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Nothing assumed makes a shipped set look safer than it is: with every assumption of its base
 * variant at either end of its range, no figure of the warm set or its hot restarts goes over its
 * rating without being named. The ends are laid here as a user would write them, by path and
 * text. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "ends.h"
#include "shipped.h"
#include "shop.h"

/* What need not be laid: how long things take to warm says nothing of a warm set, and the class of
 * an insulation is taken as the lowest. */
static bool is_exempt(const struct assumption *a)
{
    return strcmp(a->key, "warm-up") == 0 || strcmp(a->key, "heat capacity") == 0 ||
           strcmp(a->key, "heated by") == 0 || strcmp(a->key, "mass") == 0 ||
           (strcmp(a->key, "insulation class") == 0 && a->value == a->low);
}

static const struct trial *trial_at(const struct scenario *s, const struct assumption *a,
                                    double value, struct arena *arena)
{
    char text[64];
    const char *dot = a ? strchr(a->part, '.') : NULL, *path = "";
    struct diags *diags = diags_new(arena);
    struct overrides o = overrides_new(arena);
    if (a) {
        quantity_text(fmin(value, a->unit == UNIT_OHM ? 1e12 : value), a->unit, 12, text,
                      sizeof text);
        path = dot ? arena_printf(arena, "%.*s.windings.%s.%s", (int)(dot - a->part), a->part,
                                  dot + 1, a->key)
                   : arena_printf(arena, "%s.%s", a->part, a->key);
        const char *said = strcmp(a->key, "leakage grows") == 0
                               ? arena_printf(arena, "%g times by 60 C", value)
                               : arena_text(arena, text, strlen(text));
        if (strcmp(a->key, "inductance without current") == 0) {
            path = arena_printf(arena, "%s.inductance", a->part);
            said = arena_printf(arena, "%s at 0 A, %s", text, scenario_value(arena, s, NULL, path));
        }
        if (!overrides_assign(&o, diags, path, said)) fail_msg("%s=%s", path, said);
    }
    const struct trial *t =
        trial_with(arena, diags, s, NULL, "end", &o, &(struct trial_options){0});
    if (!t) fail_msg("%s cannot be set", path);
    return t;
}

static bool is_over(const struct judgement *j, const struct judged *row)
{
    for (int i = 0; i < j->all.n; i++) {
        const struct judged *o = &j->all.at[i];
        if (o->verdict == VERDICT_OVER && o->figure.measure == row->figure.measure &&
            strcmp(o->figure.subject, row->figure.subject) == 0 &&
            strcmp(o->variant, row->variant) == 0)
            return true;
    }
    return false;
}

static bool is_named(const struct ends *e, const struct assumption *a, const struct judged *row)
{
    size_t n = strcspn(row->figure.subject, ".");
    for (int i = 0; i < e->turns.n; i++) {
        const struct end_turn *t = &e->turns.at[i];
        if (strcmp(t->assumption->part, a->part) == 0 && strcmp(t->assumption->key, a->key) == 0 &&
            t->measure == row->figure.measure && strncmp(t->subject, row->figure.subject, n) == 0)
            return true;
    }
    return false;
}

static int look_at(const char *name)
{
    const struct scenario *s = shipped_scenario(shop_arena(), name);
    const struct setup *setup = shipped_setup(shop_arena(), name, NULL);
    const struct set *set = setup->stages.at[0].set;
    const struct ends *e =
        ends_study(shop_arena(), s, NULL, setup, &(struct ends_options){.jobs = 2});
    const struct trial *taken = trial_at(s, NULL, 0, shop_arena());
    int looked = 0;
    for (int i = 0; i < e->not_laid.n; i++)
        if (!is_exempt(e->not_laid.at[i]))
            fail_msg("%s: %s %s is not looked at", name, e->not_laid.at[i]->part,
                     e->not_laid.at[i]->key);
    assert_int_equal(e->not_settled.n, 0);
    for (int i = 0; i < set->assumptions.n; i++) {
        const struct assumption *a = &set->assumptions.at[i];
        const double ends[2] = {a->low, a->high};
        for (int k = 0; k < 2 && a->low < a->high && !is_exempt(a); k++) {
            struct arena *arena = arena_new();
            if (ends[k] == a->value || !isfinite(ends[k])) continue;
            const struct trial *t = trial_at(s, a, ends[k], arena);
            assert_int_equal(t->status, STATUS_OK);
            for (int j = 0; j < t->judgement->all.n; j++) {
                const struct judged *row = &t->judgement->all.at[j];
                if (row->verdict != VERDICT_OVER || isnan(row->share) ||
                    is_over(taken->judgement, row) || is_named(e, a, row))
                    continue;
                fail_msg("%s: %s %s turns over with %s %s, unnamed", name, row->figure.subject,
                         measure_table[row->figure.measure].name, a->part, a->key);
            }
            looked++;
            arena_free(arena);
        }
    }
    assert_int_equal(looked, e->looked_at);
    return e->turns.n;
}

static void nothing_turns_over_unnamed(void **state)
{
    int n, turns = 0;
    const char *const *names = shipped_names(shop_arena(), &n);
    (void)state;
    for (int i = 0; i < n; i++) turns += look_at(names[i]);
    assert_true(turns > 0); /* or the test could not fail */
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(nothing_turns_over_unnamed)};
    return cmocka_run_group_tests(tests, shop_open, shop_close);
}
