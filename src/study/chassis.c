/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The test networks, the way round of the plug and the open leg of a switch are keys laid over the
 * scenario. Switched on, the runs begin hot and end when the volts have settled; switched off, they
 * begin with cold heaters and, where current may flow, last too short to warm them. */
#include "chassis.h"

#include <math.h>
#include <string.h>

#include "pool.h"

/* Microamperes through a capacitor and little else hang on differences of volts. */
#define TOLERANCE 1e-10
#define ON_MOST 10.0  /* [s] */
#define OFF_MOST 10.0 /* nothing but a meter draws [s] */
#define OFF_TOUCH 0.5 /* [s] */

enum { KEYS_MOST = 16, STATES_MOST = 6 };

/* ---- keys ---- */

struct keys {
    struct arena *arena;
    struct assignment at[KEYS_MOST];
    int n;
};

static void key(struct keys *k, const char *path, const char *value)
{
    if (k->n < KEYS_MOST) k->at[k->n++] = (struct assignment){path, value};
}

static void resistor(struct keys *k, const char *name, const char *from, const char *ohms)
{
    key(k, name,
        arena_printf(k->arena, "{is: resistor, across: ['%s', earth], resistance: %s}", from,
                     ohms));
}

static void capacitor(struct keys *k, const char *from, const char *to, const char *farads)
{
    key(k, "touch capacitor",
        arena_printf(k->arena,
                     "{is: capacitor, across: ['%s', '%s'], value: %s, make: film, leakage: none, "
                     "series resistance: 0 ohm}",
                     from, to, farads));
}

static void add_network(struct keys *k, enum touch_network network, const char *point)
{
    switch (network) {
    case TOUCH_OPEN: resistor(k, "touch", point, "10 Mohm"); break;
    case TOUCH_SHORT: resistor(k, "touch", point, "1 ohm"); break;
    case TOUCH_UL:
        resistor(k, "touch", point, "1500 ohm");
        capacitor(k, point, "earth", "0.15 uF");
        break;
    default:
        resistor(k, "touch", "touch body", "500 ohm");
        key(k, "touch skin",
            arena_printf(k->arena,
                         "{is: resistor, across: ['%s', touch body], resistance: 1500 ohm}",
                         point));
        capacitor(k, point, "touch body", "0.22 uF");
    }
}

/* A primary without `across` is on the mains' points, which a switch moves away. */
static void hold_primaries(struct keys *k, const struct set *set, const char *const line[2])
{
    for (int i = 0; i < set->parts.n; i++) {
        const struct part *p = set->parts.at[i];
        if (!part_is(p, ROLE_PRIMARY_ON_MAINS)) continue;
        key(k, arena_printf(k->arena, "%s.primary.across", p->name),
            arena_printf(k->arena, "['%s', '%s']", line[0], line[1]));
    }
}

static void add_state(struct keys *k, const struct chassis *c, const struct touch_state *state)
{
    key(k, "mains.plugged", state->reversed ? "reversed" : "as drawn");
    key(k, "mains.state", "on");
    key(k, "run.start", state->on ? "hot" : "cold");
    if (state->on) return;
    if (!state->assumed) {
        key(k, arena_printf(k->arena, "%s.state", state->opened), "open");
        return;
    }
    bool second = strcmp(state->opened, c->line[1]) == 0;
    key(k, "mains.across",
        second ? arena_printf(k->arena, "['%s', plug side]", c->line[0])
               : arena_printf(k->arena, "[plug side, '%s']", c->line[1]));
    key(k, "line switch",
        arena_printf(k->arena, "{is: switch, across: [plug side, '%s'], state: open}",
                     state->opened));
    hold_primaries(k, c->setup->stages.at[0].set, c->line);
}

/* ---- the states ---- */

static bool on_line(const struct chassis *c, const struct circuit *circuit, int point)
{
    return strcmp(circuit->points.at[point], c->line[0]) == 0 ||
           strcmp(circuit->points.at[point], c->line[1]) == 0;
}

/* A switch of the scenario with one end on a leg of the line; NULL: none. */
static const char *own_switch(const struct chassis *c)
{
    const struct set *set = c->setup->stages.at[0].set;
    for (int i = 0; i < set->circuit->elements.n; i++) {
        const struct element *e = &set->circuit->elements.at[i];
        const struct part *p = e->part ? set_find(set, e->part) : NULL;
        if (e->kind == ELEMENT_SWITCH && p && part_is(p, ROLE_SWITCH) &&
            (on_line(c, set->circuit, e->from) || on_line(c, set->circuit, e->to)))
            return p->name;
    }
    return NULL;
}

static int states_of(const struct chassis *c, struct touch_state states[STATES_MOST])
{
    const char *own = own_switch(c);
    int n = 0;
    for (int r = 0; r < 2; r++) states[n++] = (struct touch_state){.reversed = r, .on = true};
    for (int leg = 0; leg < (own ? 1 : 2); leg++)
        for (int r = 0; r < 2; r++)
            states[n++] = (struct touch_state){
                .reversed = r, .opened = own ? own : c->line[leg], .assumed = !own};
    return n;
}

/* ---- the runs ---- */

struct work {
    struct chassis *c;
    const struct setup **setups; /* [rows * TOUCH_NETWORKS] */
    enum status *status;
    bool (*stop)(void);
};

static int on_progress(void *context, double done)
{
    const struct work *w = context;
    (void)done;
    return w->stop && w->stop();
}

static void simulate(void *context, int i)
{
    struct work *w = context;
    struct touch *row = &w->c->rows.at[i / TOUCH_NETWORKS];
    enum touch_network network = i % TOUCH_NETWORKS;
    struct arena *arena = arena_new();
    struct run_options o = run_defaults();
    if (!arena) return;
    o.duration = row->state.on ? ON_MOST : network == TOUCH_OPEN ? OFF_MOST : OFF_TOUCH;
    o.until_settled = true;
    o.tolerance = TOLERANCE;
    o.angle = 0;
    o.progress = on_progress;
    o.progress_context = w;
    const struct result *r = run_simulate(arena, w->setups[i], &o);
    const struct figure *rms =
        result_find(r, "touch", network == TOUCH_OPEN ? "rms-voltage" : "rms-current");
    const struct figure *mean = result_find(r, "touch", "settled-voltage");
    w->status[i] = r->status;
    if (network == TOUCH_UL) rms = result_find(r, "touch", "rms-voltage");
    if (r->status == STATUS_OK && rms)
        row->rms[network] = network == TOUCH_UL ? rms->value / 1500 : rms->value;
    if (r->status == STATUS_OK && mean && network == TOUCH_OPEN) row->direct = mean->value;
    arena_free(arena);
}

static bool take(void *context, int i)
{
    struct work *w = context;
    if (w->status[i] != STATUS_OK) w->c->status = w->status[i];
    return w->status[i] == STATUS_OK;
}

static const struct setup *set_up(struct arena *arena, struct diags *diags,
                                  const struct scenario *s, const char *variant,
                                  const struct chassis *c, const struct touch *row,
                                  enum touch_network network)
{
    struct keys k = {.arena = arena};
    add_state(&k, c, &row->state);
    add_network(&k, network, row->point);
    const struct scenario *with = scenario_override(arena, diags, s, variant, "touched", k.at, k.n);
    return with ? scenario_setup(arena, diags, with, "touched") : NULL;
}

static void run_all(struct arena *arena, struct diags *diags, const struct scenario *s,
                    const char *variant, struct chassis *c, int jobs, bool (*stop)(void))
{
    const int n = c->rows.n * TOUCH_NETWORKS;
    struct work w = {.c = c,
                     .setups = ARENA_ARRAY(arena, const struct setup *, n),
                     .status = ARENA_ARRAY(arena, enum status, n),
                     .stop = stop};
    for (int i = 0; i < n; i++) {
        w.setups[i] = set_up(arena, diags, s, variant, c, &c->rows.at[i / TOUCH_NETWORKS],
                             i % TOUCH_NETWORKS);
        w.status[i] = STATUS_SOLUTION;
        if (!w.setups[i]) c->status = STATUS_SCENARIO;
        if (!w.setups[i]) return;
    }
    if (jobs <= 0) jobs = pool_processors();
    if (!pool_run(n, jobs, jobs, simulate, take, &w) && c->status == STATUS_OK)
        c->status = STATUS_SOLUTION;
}

/* ---- the whole ---- */

int chassis_points(const struct setup *setup, const char **points, int most)
{
    static const char *const names[] = {"chassis", "cabinet", "case", "frame"};
    const struct circuit *c = setup->stages.at[0].circuit;
    int n = 0;
    if (c->reference && strcmp(c->reference, "earth") != 0 && n < most) points[n++] = c->reference;
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        bool known = n > 0 && strcmp(points[0], names[i]) == 0;
        if (!known && n < most && circuit_find_point(c, names[i]) >= 0) points[n++] = names[i];
    }
    return n;
}

const struct chassis *chassis_study(struct arena *arena, struct diags *diags,
                                    const struct scenario *s, const char *variant,
                                    const char *const *points, int n, int jobs, bool (*stop)(void))
{
    struct chassis *c = ARENA_NEW(arena, struct chassis);
    struct touch_state states[STATES_MOST];
    const struct assignment drawn = {"mains.plugged", "as drawn"};
    c->setup = scenario_setup(arena, diags, s, variant);
    c->status = STATUS_SCENARIO;
    if (!c->setup) return c;
    c->message = "there are no mains: nothing joins this set to the earth of the wall";
    if (c->setup->stages.at[0].mains_source < 0) return c;
    const struct scenario *with = scenario_override(arena, diags, s, variant, "drawn", &drawn, 1);
    c->setup = with ? scenario_setup(arena, diags, with, "drawn") : NULL;
    if (!c->setup) return c;
    for (int i = 0; i < 2; i++) c->line[i] = c->setup->stages.at[0].set->line[i];
    int count = states_of(c, states);
    for (int p = 0; p < n; p++)
        for (int i = 0; i < count; i++) {
            struct touch row = {.point = points[p], .state = states[i], .direct = (double)NAN};
            for (int k = 0; k < TOUCH_NETWORKS; k++) row.rms[k] = (double)NAN;
            array_push(arena, &c->rows, row);
        }
    c->status = STATUS_OK;
    c->message = NULL;
    run_all(arena, diags, s, variant, c, jobs, stop);
    return c;
}
