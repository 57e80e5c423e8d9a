/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Keeps no trace: of ten thousand trials only figures are wanted. */
#include "trial.h"

#include <math.h>

#include "numbers.h"
#include "warm.h"

#define HOT_MOST 30 /* time to settle when the scenario asks for less [s] */

static const struct result *short_run(struct trial *t, struct arena *arena, double angle)
{
    if (t->status != STATUS_OK) return NULL;
    const struct result *r = turn_on_first_cycles(arena, t->setup, angle, 0, false);
    t->status = r->status;
    t->trouble = r->trouble;
    return r;
}

static struct judgement *judge_all(struct arena *arena, const struct trial *t)
{
    const struct result *runs[3] = {t->run};
    const char *names[3] = {t->setup->variant};
    int n = 1;
    if (t->crest) runs[n] = t->crest, names[n++] = t->crest_name;
    if (t->zero) runs[n] = t->zero, names[n++] = t->zero_name;
    return judge(arena, t->setup, runs, names, n);
}

static const struct result *run_warm(struct arena *arena, const struct setup *setup,
                                     const struct trial_options *options)
{
    const struct warm_options o = {.pulses = true,
                                   .bleed = true,
                                   .duration = options->duration,
                                   .progress = options->progress,
                                   .progress_context = options->progress_context};
    return warm_run(arena, setup, &o);
}

static const struct result *run_whole(struct arena *arena, const struct setup *setup,
                                      const struct trial_options *options, bool crest)
{
    bool hot = !options->cold || setup->hot;
    struct run_options o = run_defaults();
    o.duration = options->duration;
    o.hot = hot;
    if (crest) o.angle = PI / 2;
    if (hot && !(o.duration > 0)) o.duration = larger(setup->duration, HOT_MOST);
    o.progress = options->progress;
    o.progress_context = options->progress_context;
    return run_simulate(arena, setup, &o);
}

struct trial *trial_run(struct arena *arena, const struct setup *setup,
                        const struct trial_options *options)
{
    struct trial *t = ARENA_NEW(arena, struct trial);
    const struct stage *first = &setup->stages.at[0];
    bool closes = first->mains_source >= 0 && first->mains_on;
    bool hot = !options->cold || setup->hot;
    t->setup = setup;
    t->run = hot && !options->whole ? run_warm(arena, setup, options)
                                    : run_whole(arena, setup, options, hot && closes);
    t->status = t->run->status;
    t->trouble = t->run->trouble;
    if (t->status == STATUS_OK && options->progress &&
        options->progress(options->progress_context, 1) != 0) {
        t->status = STATUS_INTERRUPTED; /* no run has asked where a steady state was found */
    }
    t->crest_name = setup->variant;
    t->zero_name = arena_printf(arena, "%s (hot restart at zero)", setup->variant);
    if (closes && !hot) {
        t->crest_name = arena_printf(arena, "%s (hot restart at crest)", setup->variant);
        t->crest = short_run(t, arena, PI / 2);
    }
    if (closes) t->zero = short_run(t, arena, 0);
    t->judgement = judge_all(arena, t);
    return t;
}

const struct trial *trial_with(struct arena *arena, struct diags *diags, const struct scenario *s,
                               const char *variant, const char *label,
                               const struct overrides *overrides,
                               const struct trial_options *options)
{
    const struct setup *setup = overrides_setup(overrides, diags, s, variant, label);
    return setup ? trial_run(arena, setup, options) : NULL;
}

bool trial_volts_settled(const struct result *run)
{
    const struct setup *setup = run->setup;
    const struct circuit *c = setup->stages.at[setup->stages.n - 1].circuit;
    for (int i = 0; i < c->probes.n; i++) {
        const struct probe *p = &c->probes.at[i];
        if (!(p->flags & PROBE_CAPACITOR) || p->kind != PROBE_VOLTAGE) continue;
        const struct figure *settled = run_figure(run, p->subject, MEASURE_SETTLED);
        if (settled && settled->value < 1) return false;
    }
    return true;
}

bool trial_balanced(const struct trial *t)
{
    return !t->run->statistics.audit_failed && !(t->crest && t->crest->statistics.audit_failed) &&
           !(t->zero && t->zero->statistics.audit_failed);
}
