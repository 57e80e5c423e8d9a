/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Four states (volts, two kinds of weak spots, warmth of the can) over eight decades of time: a
 * stiff problem for the solver of the runs. That the leakage at full volts has come down to its
 * limit is an event. */
#include "reform.h"

#include <math.h>
#include <string.h>

#include "numbers.h"
#include "overrides.h"
#include "rosenbrock.h"

enum { VOLTS, WEAK, WEAKER, WARMTH, STATES };

/* Amperes at 20 uF and 350 V over 20 uF 350 V = 7 mF V. */
const struct reform_law reform_specimen = {.a1 = 4.3e-3 / 7e-3,
                                           .a2 = 0.2e-3 / 7e-3,
                                           .a3 = 0.034e-3 / 7e-3,
                                           .tau1 = 500,
                                           .tau2 = 3800,
                                           .vr = 350.0 / 450};

const double reform_resistors[REFORM_RESISTORS] = {10e3, 22e3, 47e3, 100e3, 220e3, 470e3};
const double reform_times[REFORM_TIMES] = {20, 60, 300, 900, 3600, 10800, 28800, 86400};

struct forming {
    const struct reform_task *task;
    const struct reform_law *law;
    double ohms;
};

/* [S] at the can's warmth. */
static double leak(const struct forming *f, const double *y)
{
    const struct reform_law *l = f->law;
    double spots = l->a1 * y[WEAK] + l->a2 * y[WEAKER] + l->a3;
    return f->task->farads * spots * exp(f->task->growth * (y[WARMTH] - f->task->ambient));
}

static double rate(const struct forming *f, double tau)
{
    return 1 / (f->law->vr * f->task->rated * tau); /* [1/(V s)] */
}

static int derivative(void *context, double t, const double *y, double *d)
{
    const struct forming *f = context;
    const struct reform_task *k = f->task;
    double g = leak(f, y), v = y[VOLTS];
    (void)t;
    d[VOLTS] = ((k->at - v) / f->ohms - v * g) / k->farads;
    d[WEAK] = -y[WEAK] * v * rate(f, f->law->tau1);
    d[WEAKER] = -y[WEAKER] * v * rate(f, f->law->tau2);
    d[WARMTH] = (v * v * g - (y[WARMTH] - k->ambient) / k->thermal_resistance) / k->heat;
    return 0;
}

static int jacobian(void *context, double t, const double *y, double *j, double *dt)
{
    const struct forming *f = context;
    const struct reform_task *k = f->task;
    double g = leak(f, y), v = y[VOLTS];
    double warm = exp(k->growth * (y[WARMTH] - k->ambient));
    double dg[STATES] = {0, k->farads * f->law->a1 * warm, k->farads * f->law->a2 * warm,
                         k->growth * g};
    (void)t;
    memset(j, 0, STATES * STATES * sizeof *j);
    memset(dt, 0, STATES * sizeof *dt);
    for (int i = 0; i < STATES; i++) {
        j[VOLTS * STATES + i] = -v * dg[i] / k->farads;
        j[WARMTH * STATES + i] = v * v * dg[i] / k->heat;
    }
    j[VOLTS * STATES + VOLTS] -= (1 / f->ohms + g) / k->farads;
    j[WARMTH * STATES + VOLTS] += 2 * v * g / k->heat;
    j[WARMTH * STATES + WARMTH] -= 1 / (k->thermal_resistance * k->heat);
    for (int i = WEAK; i <= WEAKER; i++) {
        double r = rate(f, i == WEAK ? f->law->tau1 : f->law->tau2);
        j[i * STATES + VOLTS] = -y[i] * r;
        j[i * STATES + i] = -v * r;
    }
    return 0;
}

static int event(void *context, double t, const double *y, double *g)
{
    const struct forming *f = context;
    (void)t;
    g[0] = f->task->limit - f->task->at * leak(f, y);
    return 0;
}

/* ---- one course ---- */

static struct reform_point point(const struct forming *f, const double *y)
{
    double i = (f->task->at - y[VOLTS]) / f->ohms;
    return (struct reform_point){.amperes = i,
                                 .volts = y[VOLTS],
                                 .resistor_watts = i * i * f->ohms,
                                 .part_watts = y[VOLTS] * y[VOLTS] * leak(f, y),
                                 .kelvin = y[WARMTH]};
}

static bool step_to(struct rosenbrock *solver, const struct forming *f, double stop,
                    struct reform_course *c)
{
    while (rosenbrock_time(solver) < stop) {
        enum rosenbrock_result did = rosenbrock_step(solver, stop);
        if (did != ROSENBROCK_STEP && did != ROSENBROCK_EVENT) return false;
        struct reform_point now = point(f, rosenbrock_state(solver));
        c->part_most = larger(c->part_most, now.part_watts);
        c->hottest = larger(c->hottest, now.kelvin);
        if (did == ROSENBROCK_EVENT && isinf(c->accepted)) c->accepted = rosenbrock_time(solver);
    }
    return true;
}

bool reform_run(struct arena *arena, const struct reform_task *task, const struct reform_law *law,
                double ohms, struct reform_course *course)
{
    struct forming f = {task, law, ohms};
    const double start[STATES] = {0, 1, 1, task->ambient}, scale[STATES] = {task->at, 1, 1, 100};
    struct ode ode = {.n = STATES,
                      .events = 1,
                      .context = &f,
                      .derivative = derivative,
                      .jacobian = jacobian,
                      .event = event};
    struct rosenbrock *solver = rosenbrock_new(arena, STATES, 1);
    *course = (struct reform_course){.ohms = ohms, .hottest = task->ambient, .accepted = HUGE_VAL};
    course->resistor_most = sq(task->at) / ohms;
    if (task->at * leak(&f, start) <= task->limit) course->accepted = 0;
    rosenbrock_accuracy(solver, 1e-8, scale, 3600);
    rosenbrock_begin(solver, &ode, 0, start, 0);
    for (int k = 0; k < REFORM_TIMES; k++) {
        if (!step_to(solver, &f, reform_times[k], course)) return false;
        course->at[k] = point(&f, rosenbrock_state(solver));
    }
    return true;
}

/* ---- the part ---- */

double reform_limit(double farads, double rated)
{
    const struct capacitor old = {.make = MAKE_DRY, .farads = farads};
    const char *basis;
    return capacitor_leak_limit(&old, rated, &basis);
}

/* The part alone on a battery, read like any other, so that its can has the usual size. */
bool reform_prepare(struct arena *arena, struct diags *diags, const struct catalogue *catalogue,
                    struct reform_task *task)
{
    const struct scenario *bare = scenario_bare(arena, catalogue, "minus");
    struct overrides o = overrides_new(arena);
    overrides_part(&o, "supply", "battery", "plus", "minus");
    overrides_value(&o, "supply", "voltage", task->at, UNIT_VOLT);
    overrides_part(&o, "C", "capacitor", "plus", "minus");
    overrides_value(&o, "C", "value", task->farads, UNIT_FARAD);
    overrides_value(&o, "C", "rated", task->rated, UNIT_VOLT);
    overrides_text(&o, "C", "make", task->make);
    overrides_text(&o, "C", "leakage", "50 times limit");
    const struct setup *setup = overrides_setup(&o, diags, bare, NULL, task->name);
    if (!setup) return false;
    const struct set *set = setup->stages.at[0].set;
    const struct capacitor *c = set_find(set, "C")->data;
    task->growth = c->growth;
    task->thermal_resistance = c->can->law.thermal_resistance;
    task->heat = c->can->law.heat;
    task->ambient = set->ambient;
    task->warmest = capacitor_warmth_limit(c, &task->warmest_basis);
    task->limit = reform_limit(task->farads, task->rated);
    return true;
}
