/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Each run lives in an arena of its own; when it is taken its few readings are copied out, its
 * figures are handed on, and the arena is given back. */
#include "bench_runs.h"

#include <math.h>
#include <string.h>

#include "lamp_law.h"
#include "numbers.h"
#include "pool.h"
#include "warm.h"

#define LAMP "mains lamp" /* as mains names what stands in `through` */

/* ---- readings of one run ---- */

static double figure(const struct result *r, const char *subject, enum measure measure)
{
    const struct figure *f = subject ? run_figure(r, subject, measure) : NULL;
    return f ? f->value : (double)NAN;
}

/* Volts of the first filter capacitor are those across it; where it is open, of its point. */
struct bench_figure bench_runs_figure(const struct bench_parts *p, enum bench_reading reading)
{
    switch (reading) {
    case BENCH_LAMP_VOLTS: return (struct bench_figure){LAMP, NULL, MEASURE_RMS_VOLTAGE};
    case BENCH_LINE_AMPERES: return (struct bench_figure){"mains", NULL, MEASURE_LINE_CURRENT};
    case BENCH_LINE_WATTS: return (struct bench_figure){"mains", NULL, MEASURE_LINE_POWER};
    case BENCH_HEATER_VOLTS: return (struct bench_figure){p->heater, NULL, MEASURE_RMS_VOLTAGE};
    case BENCH_FIRST_VOLTS:
        return (struct bench_figure){p->first, p->first_point, MEASURE_SETTLED_VOLTAGE};
    case BENCH_SECOND_VOLTS: return (struct bench_figure){p->second, NULL, MEASURE_SETTLED_VOLTAGE};
    case BENCH_RIPPLE:
    case BENCH_READINGS: break;
    }
    return (struct bench_figure){p->first, p->first_point, measure_on(RANGE_AC)};
}

static double reading_of(const struct result *r, const struct bench_figure *f)
{
    double value = figure(r, f->subject, f->measure);
    return isnan(value) ? figure(r, f->otherwise, f->measure) : value;
}

static enum lamp_glow glow_of(const struct setup *setup, double volts)
{
    const struct circuit *c = setup->stages.at[0].circuit;
    for (int i = 0; i < c->devices.n; i++)
        if (strcmp(c->devices.at[i].part, LAMP) == 0)
            return lamp_glow(lamp_settled_kelvin(c->devices.at[i].par, volts));
    return LAMP_NONE;
}

/* Of the windings a rectifier hangs on, the one with the most volts is the high voltage. */
static double high_voltage_amperes(const struct bench_sheet *sheet, const struct result *r)
{
    double volts = 0, amperes = (double)NAN;
    for (int i = 0; i < sheet->windings.n; i++) volts = larger(volts, sheet->windings.at[i].ratio);
    for (int i = 0; i < sheet->windings.n; i++) {
        const struct bench_winding *w = &sheet->windings.at[i];
        double a = figure(r, w->subject, MEASURE_RMS_CURRENT);
        if (w->ratio > 0.8 * volts && !(a <= amperes)) amperes = a;
    }
    return amperes;
}

static void read_row(struct bench_sheet *sheet, const struct setup *setup, const struct result *r,
                     struct bench_row *row)
{
    const struct bench_parts *p = &sheet->parts;
    row->told = true;
    for (int k = 0; k < BENCH_READINGS; k++) {
        const struct bench_figure f = bench_runs_figure(p, (enum bench_reading)k);
        row->value[k] = reading_of(r, &f);
    }
    row->glow = isnan(row->value[BENCH_LAMP_VOLTS]) ? LAMP_NONE
                                                    : glow_of(setup, row->value[BENCH_LAMP_VOLTS]);
    row->winding = high_voltage_amperes(sheet, r);
    const struct figure *highest =
        p->first ? run_figure(r, p->first, MEASURE_HIGHEST_VOLTAGE) : NULL;
    row->highest = highest ? highest->value : (double)NAN;
    row->highest_time = highest ? highest->time : (double)NAN;
}

static bool is_primary(const char *subject)
{
    const char *dot = strrchr(subject, '.');
    return dot && strcmp(dot, ".primary") == 0;
}

static void read_windings(struct bench_runs *b, const struct bench_piece *p, const struct result *r)
{
    const struct circuit *c = p->setup->stages.at[0].circuit;
    for (int i = 0, k = 0; i < c->probes.n; i++) {
        const struct probe *probe = &c->probes.at[i];
        if (!(probe->flags & PROBE_WINDING) || probe->kind != PROBE_VOLTAGE ||
            is_primary(probe->subject))
            continue;
        if (p->ratio) array_push(b->arena, &b->sheet->windings, (struct bench_winding){0});
        if (k >= b->sheet->windings.n) return;
        struct bench_winding *w = &b->sheet->windings.at[k++];
        w->subject = probe->subject;
        *(p->ratio ? &w->ratio : &w->line) = figure(r, probe->subject, MEASURE_RMS_VOLTAGE);
    }
}

/* ---- the pool ---- */

static void make(void *context, int i)
{
    struct bench_runs *b = context;
    const struct bench_piece *p = &b->pieces.at[i];
    struct bench_slot *slot = &b->slots[i];
    struct run_options o = run_defaults();
    o.duration = p->duration;
    o.no_bleed = true;
    o.hot = p->hot;
    o.angle = PI / 2;
    o.progress = b->options->progress;
    const struct warm_options warm = {
        .pulses = true, .duration = p->duration, .progress = b->options->progress};
    slot->result = p->settle && p->hot ? warm_run(slot->arena, p->setup, &warm)
                                       : run_simulate(slot->arena, p->setup, &o);
}

static void work(void *context, int i)
{
    struct bench_runs *b = context;
    b->slots[i].arena = arena_new();
    pool_within(b->slots[i].arena, make, context, i);
}

static void note_audit(struct bench_runs *b, const char *name, const struct statistics *st)
{
    struct bench_sheet *sheet = b->sheet;
    if (!st->audit_failed) return;
    const char *before = sheet->unbalanced_runs;
    sheet->unbalanced++;
    sheet->unbalanced_runs =
        arena_printf(b->arena, "%s%s%s", before ? before : "", before ? ", " : "", name);
}

static void keep(struct bench_runs *b, const struct bench_piece *p, struct arena *arena,
                 const struct result *r)
{
    struct bench_sheet *sheet = b->sheet;
    sheet->runs++;
    note_audit(b, p->setup->variant, &r->statistics);
    if (p->ratio || p->line) read_windings(b, p, r);
    if (p->row) read_row(sheet, p->setup, r, p->row);
    if (p->ohms)
        *p->ohms = fabs(figure(r, b->meter, MEASURE_SETTLED_VOLTAGE) /
                        figure(r, b->meter, MEASURE_AVERAGE_CURRENT));
    if (!b->options->judged) return;
    const char *name = p->setup->variant;
    b->options->judged(b->options->judged_context, judge(arena, p->setup, &r, &name, 1));
}

static bool take(void *context, int i)
{
    struct bench_runs *b = context;
    struct bench_sheet *sheet = b->sheet;
    const struct bench_piece *p = &b->pieces.at[i];
    struct bench_slot *slot = &b->slots[i];
    enum status status = slot->result ? slot->result->status : STATUS_SOLUTION;
    if (status == STATUS_OK) keep(b, p, slot->arena, slot->result);
    else if (!(status == STATUS_SOLUTION && p->may_fail)) {
        sheet->status = status;
        sheet->failure = failure_of_run(b->arena, slot->result, FAILURE_NAMED, p->setup->variant);
    }
    if (slot->arena) arena_free(slot->arena);
    slot->arena = NULL;
    if (b->options->done) b->options->done(b->options->done_context, i + 1, b->pieces.n);
    return sheet->status == STATUS_OK;
}

static void give_back_rest(void *slots)
{
    for (struct bench_slot *slot = slots; !slot->last; slot++) {
        arena_free(slot->arena);
        slot->arena = NULL;
    }
}

bool bench_runs_make(struct bench_runs *b)
{
    int n = b->pieces.n, jobs = b->options->jobs > 0 ? b->options->jobs : pool_processors();
    if (jobs > POOL_JOBS) jobs = POOL_JOBS;
    b->slots = ARENA_ARRAY(b->arena, struct bench_slot, n + 1);
    b->slots[n].last = true;
    arena_at_free(b->arena, give_back_rest, b->slots);
    if (!pool_run_in(b->arena, n, jobs, n > jobs ? n : jobs, work, take, b) &&
        b->sheet->status == STATUS_OK)
        b->sheet->status = STATUS_SOLUTION, b->sheet->failure.cause = FAILURE_THREADS;
    give_back_rest(b->slots);
    b->pieces.n = 0;
    return b->sheet->status == STATUS_OK;
}
