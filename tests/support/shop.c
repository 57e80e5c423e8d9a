/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One arena and one catalogue for all tests of a program. */
#include "shop.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>
#include <gsl/gsl_errno.h>

#include "numbers.h"
#include "why.h"

static struct arena *arena;
static const struct catalogue *catalogue;

int shop_open(void **state)
{
    (void)state;
    gsl_set_error_handler_off();
    arena = arena_new();
    catalogue = catalogue_read(arena, diags_new(arena), SOURCE_DIR "/models");
    return catalogue ? 0 : -1;
}

int shop_close(void **state)
{
    (void)state;
    arena_free(arena);
    return 0;
}

struct arena *shop_arena(void)
{
    return arena;
}

const struct catalogue *shop_catalogue(void)
{
    return catalogue;
}

const struct scenario *shop_scenario(const char *text)
{
    struct diags *diags = diags_new(arena);
    const struct scenario *s = scenario_parse(arena, diags, catalogue, "shop", text);
    if (!s) diags_print(diags, stderr);
    assert_non_null(s);
    return s;
}

const struct setup *shop_setup(const char *text, const char *variant)
{
    struct diags *diags = diags_new(arena);
    const struct setup *setup = scenario_setup(arena, diags, shop_scenario(text), variant);
    if (!setup) diags_print(diags, stderr);
    assert_non_null(setup);
    return setup;
}

void shop_refused(const char *text, const char *message)
{
    struct diags *diags = diags_new(arena);
    const struct scenario *s = scenario_parse(arena, diags, catalogue, "shop", text);
    bool found = false;
    assert_true(!s || !scenario_setup(arena, diags, s, NULL));
    for (int i = 0; i < diags_count(diags); i++)
        found |= strstr(diags_at(diags, i)->message, message) != NULL;
    if (!found) diags_print(diags, stderr);
    assert_true(found);
}

const struct result *shop_run(const char *text, double every, run_observer *observe, void *context)
{
    struct run_options o = run_defaults();
    o.angle = PI / 2;
    o.observe = observe;
    o.observe_context = context;
    o.observe_every = every;
    const struct result *r = run_simulate(arena, shop_setup(text, NULL), &o);
    if (r->status != STATUS_OK) fail_msg("%s", why(r));
    if (r->statistics.audit_failed)
        fail_msg("audit: energy %.3g, charge %.3g at %s", r->statistics.energy_residual,
                 r->statistics.charge_residual, r->statistics.charge_point);
    return r;
}

double shop_figure(const struct result *r, const char *subject, enum measure measure)
{
    const struct figure *f = run_figure(r, subject, measure);
    if (!f) fail_msg("no %s of %s", measure_table[measure].name, subject);
    return f->value;
}

double shop_state(const struct equations *eq, const double *y, const char *part, const char *role)
{
    for (int k = 0; k < eq->ns; k++) {
        const struct state *st = &eq->circuit->states.at[k];
        if (strcmp(st->part, part) == 0 && strcmp(st->role, role) == 0) return y[eq->r->nw + k];
    }
    return (double)NAN;
}

const char shop_choke_set[] =
    "format: 1\nmains: {voltage: 117 V, frequency: 60 Hz}\nrun: {for: 1 s}\nparts:\n"
    "  T1:\n    is: power transformer\n"
    "    primary: {across: [line, neutral], rated: 117 V, resistance: 8 ohm}\n"
    "    windings:\n"
    "      high voltage: {across: [plate 1, chassis, plate 2], open circuit: [300 V, 300 V], "
    "resistance: [110 ohm, 115 ohm]}\n"
    "      heaters: {open circuit: 6.6 V}\n"
    "  V6: {is: rectifier, type: 6X5-GT, plates: [plate 1, plate 2], cathode: first filter, heated "
    "by: heaters}\n"
    "  C1: {is: capacitor, across: [first filter, chassis], value: 16 uF, rated: 450 V, make: "
    "dry}\n"
    "  L1: {is: choke, across: [first filter, B+], inductance: 10 H, resistance: 400 ohm}\n"
    "  C2: {is: capacitor, across: [B+, chassis], value: 16 uF, rated: 450 V, make: dry}\n"
    "  tubes: {is: load, across: [B+, chassis], draws: 50 mA at 270 V, like: tubes, lineup: "
    "[6K7-G, 6F6-G], heated by: heaters}\n";
