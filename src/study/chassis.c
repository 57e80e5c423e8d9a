/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The test networks, the way round of the plug and the open leg of a switch are keys laid over the
 * scenario. Switched on, the runs begin hot and end when the volts have settled; switched off, they
 * begin with cold heaters and, where current may flow, last too short to warm them. */
#include "chassis.h"

#include <math.h>
#include <string.h>

#include "numbers.h"
#include "overrides.h"
#include "pool.h"

/* Microamperes through a capacitor and little else hang on differences of volts. */
#define TOLERANCE 1e-11
#define ON_MOST 10.0  /* [s] */
#define OFF_MOST 10.0 /* nothing but a meter draws [s] */
#define OFF_TOUCH 0.5 /* [s] */

enum { STATES_MOST = 6 };

/* ---- keys ---- */

static void add_capacitor(struct overrides *o, const char *name, const char *from, const char *to,
                          double farads)
{
    overrides_part(o, name, "capacitor", from, to);
    overrides_value(o, name, "value", farads, UNIT_FARAD);
    overrides_text(o, name, "make", "film");
    overrides_text(o, name, "leakage", "none");
    overrides_value(o, name, "series resistance", 0, UNIT_OHM);
}

static const char *name_of(struct overrides *o, const struct chassis *c, const char *what)
{
    return arena_printf(o->arena, "%s %s", c->touch, what);
}

static void add_network(struct overrides *o, const struct chassis *c, enum touch_network network,
                        const char *point)
{
    const char *body = name_of(o, c, "body"), *capacitor = name_of(o, c, "capacitor");
    switch (network) {
    case TOUCH_OPEN: overrides_resistor(o, c->touch, point, "earth", 10e6); break;
    case TOUCH_SHORT: overrides_resistor(o, c->touch, point, "earth", 1); break;
    case TOUCH_UL:
        overrides_resistor(o, c->touch, point, "earth", TOUCH_OHMS);
        add_capacitor(o, capacitor, point, "earth", TOUCH_FARADS);
        break;
    default:
        overrides_resistor(o, c->touch, body, "earth", 500);
        overrides_resistor(o, name_of(o, c, "skin"), point, body, 1500);
        add_capacitor(o, capacitor, point, body, 0.22e-6);
    }
}

/* A primary without `across` is on the mains' points, which a switch moves away. */
static void hold_primaries(struct overrides *o, const struct set *set, const char *const line[2])
{
    for (int i = 0; i < set->parts.n; i++) {
        const struct part *p = set->parts.at[i];
        if (part_is(p, ROLE_PRIMARY_ON_MAINS))
            overrides_points(o, p->name, "primary.across", line, 2);
    }
}

static void add_state(struct overrides *o, const struct chassis *c, const struct touch_state *state)
{
    const char *side = name_of(o, c, "plug side"), *name = name_of(o, c, "line switch");
    overrides_text(o, "mains", "plugged", state->reversed ? "reversed" : "as drawn");
    overrides_text(o, "mains", "state", "on");
    overrides_text(o, "run", "start", state->on ? "hot" : "cold");
    if (state->on) return;
    if (!state->assumed) {
        overrides_text(o, state->opened, "state", "open");
        return;
    }
    bool second = strcmp(state->opened, c->line[1]) == 0;
    const char *plug[] = {second ? c->line[0] : side, second ? side : c->line[1]};
    overrides_points(o, "mains", "across", plug, 2);
    overrides_part(o, name, "switch", side, state->opened);
    overrides_text(o, name, "state", "open");
    hold_primaries(o, c->setup->stages.at[0].set, c->line);
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

struct slot {
    struct arena *arena;
    const struct result *result;
};

struct work {
    struct arena *arena;
    struct chassis *c;
    const struct setup **setups; /* [rows * TOUCH_NETWORKS] */
    struct slot *slots;          /* the same */
    bool (*stop)(void);
};

static int on_progress(void *context, double done)
{
    const struct work *w = context;
    (void)done;
    return w->stop && w->stop();
}

static void read_figures(struct touch *row, enum touch_network network, const char *touch,
                         const struct result *r)
{
    bool volts = network == TOUCH_OPEN || network == TOUCH_UL;
    const struct figure *rms =
        run_figure(r, touch, volts ? MEASURE_RMS_VOLTAGE : MEASURE_RMS_CURRENT);
    const struct figure *mean = run_figure(r, touch, MEASURE_SETTLED_VOLTAGE);
    if (rms) row->rms[network] = network == TOUCH_UL ? rms->value / TOUCH_OHMS : rms->value;
    if (mean && network == TOUCH_OPEN) row->direct = mean->value;
    const struct figure *amperes = run_figure(r, touch, MEASURE_AVERAGE_CURRENT);
    if (amperes && network == TOUCH_IEC) row->body_direct = amperes->value;
}

bool chassis_body_over(const struct touch *t)
{
    double square = sq(t->rms[TOUCH_IEC]) - sq(t->body_direct);
    return sqrt(2 * (square > 0 ? square : 0)) > TOUCH_PEAK || fabs(t->body_direct) > TOUCH_DIRECT;
}

bool chassis_over(const struct touch *t)
{
    return t->rms[TOUCH_UL] > TOUCH_LIMIT || chassis_body_over(t);
}

static void simulate(void *context, int i)
{
    struct work *w = context;
    const struct touch *row = &w->c->rows.at[i / TOUCH_NETWORKS];
    struct run_options o = run_defaults();
    o.duration = row->state.on ? ON_MOST : i % TOUCH_NETWORKS == TOUCH_OPEN ? OFF_MOST : OFF_TOUCH;
    o.until_settled = true;
    o.no_bleed = true;
    o.tolerance = TOLERANCE;
    o.angle = 0;
    o.progress = on_progress;
    o.progress_context = w;
    w->slots[i].result = run_simulate(w->slots[i].arena, w->setups[i], &o);
}

static void work(void *context, int i)
{
    struct work *w = context;
    w->slots[i].arena = arena_new();
    pool_within(w->slots[i].arena, simulate, context, i);
}

static bool take(void *context, int i)
{
    struct work *w = context;
    struct chassis *c = w->c;
    struct slot *slot = &w->slots[i];
    const struct result *r = slot->result;
    struct touch *row = &c->rows.at[i / TOUCH_NETWORKS];
    enum status status = r ? r->status : STATUS_SOLUTION;
    if (status == STATUS_OK) {
        read_figures(row, i % TOUCH_NETWORKS, c->touch, r);
        c->unbalanced += r->statistics.audit_failed;
    } else {
        c->status = status;
        c->failure = failure_of_run(w->arena, r, FAILURE_TOUCH, row->point);
        c->failure.reversed = row->state.reversed;
        c->failure.on = row->state.on;
    }
    arena_free(slot->arena);
    slot->arena = NULL;
    return status == STATUS_OK;
}

static void give_back_rest(void *work)
{
    struct work *w = work;
    for (int i = 0; i < w->c->rows.n * TOUCH_NETWORKS; i++) {
        arena_free(w->slots[i].arena);
        w->slots[i].arena = NULL;
    }
}

static const struct setup *set_up(struct arena *arena, struct diags *diags,
                                  const struct scenario *s, const char *variant,
                                  const struct chassis *c, const struct touch *row,
                                  enum touch_network network)
{
    struct overrides o = overrides_new(arena);
    add_state(&o, c, &row->state);
    add_network(&o, c, network, row->point);
    return overrides_setup(&o, diags, s, variant, "touched");
}

static void run_all(struct arena *arena, struct diags *diags, const struct scenario *s,
                    const char *variant, struct chassis *c, int jobs, bool (*stop)(void))
{
    const int n = c->rows.n * TOUCH_NETWORKS;
    struct work *w = ARENA_NEW(arena, struct work);
    *w = (struct work){.arena = arena,
                       .c = c,
                       .setups = ARENA_ARRAY(arena, const struct setup *, n),
                       .slots = ARENA_ARRAY(arena, struct slot, n),
                       .stop = stop};
    for (int i = 0; i < n; i++) {
        w->setups[i] = set_up(arena, diags, s, variant, c, &c->rows.at[i / TOUCH_NETWORKS],
                              i % TOUCH_NETWORKS);
        if (!w->setups[i]) c->status = STATUS_SCENARIO;
        if (!w->setups[i]) return;
    }
    if (jobs <= 0) jobs = pool_processors();
    arena_at_free(arena, give_back_rest, w);
    if (!pool_run_in(arena, n, jobs, jobs, work, take, w) && c->status == STATUS_OK)
        c->status = STATUS_SOLUTION, c->failure.cause = FAILURE_THREADS;
    give_back_rest(w);
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
    struct overrides drawn = overrides_new(arena);
    c->setup = scenario_setup(arena, diags, s, variant);
    c->touch = overrides_free_name(arena, s, "touch");
    c->status = STATUS_SCENARIO;
    if (!c->setup) return c;
    if (c->setup->stages.at[0].mains_source < 0) {
        c->failure.cause = FAILURE_NO_EARTH;
        return c;
    }
    overrides_text(&drawn, "mains", "plugged", "as drawn");
    c->setup = overrides_setup(&drawn, diags, s, variant, "drawn");
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
    run_all(arena, diags, s, variant, c, jobs, stop);
    return c;
}
