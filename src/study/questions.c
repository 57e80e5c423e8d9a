/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From a run to what the meter would show. */
#include "questions.h"

#include <math.h>
#include <string.h>

#include "bench_parts.h"
#include "capacitor.h"
#include "dead_ohms.h"
#include "numbers.h"
#include "tongue.h"

#define LINE_LEAST 90.0 /* volts of what is fed from the wall and not from a battery */

/* ---- situations ---- */

static bool loads(const struct set *set, const struct meter_reading *m)
{
    const struct circuit *c = set->circuit;
    return m->kind == READING_FIGURE && m->unit == UNIT_VOLT &&
           circuit_find_point(c, m->subject) >= 0 && strcmp(m->subject, c->reference) != 0 &&
           circuit_find_point(c, c->reference) >= 0;
}

/* The meter stays at all points that were read: one more than the reader had there at once, which
 * moves the others by less than any meter's error. */
static void lay_meters(struct overrides *o, const struct set *set, const struct questions *q,
                       const struct reading_set *readings)
{
    for (int i = 0; i < readings->readings.n; i++) {
        const struct meter_reading *m = &readings->readings.at[i];
        if (loads(set, m))
            overrides_resistor(o, arena_printf(o->arena, "meter at %s", m->subject), m->subject,
                               set->circuit->reference, q->meter->ohms);
    }
}

void question_lay(struct overrides *o, const struct set *set, const struct questions *q,
                  const struct situation *s)
{
    if (s->lamp) overrides_text(o, "mains", "through.lamp", s->lamp);
    if (!s->set) return;
    if (!isnan(s->set->line)) overrides_value(o, "mains", "voltage", s->set->line, UNIT_VOLT);
    if (s->set->lamp) overrides_text(o, "mains", "through.lamp", s->set->lamp);
    for (int i = 0; i < s->set->out.n; i++) overrides_text(o, s->set->out.at[i], "fitted", "no");
    lay_meters(o, set, q, s->set);
}

/* ---- what was read ---- */

const char *question_label(struct arena *arena, const struct meter_reading *m)
{
    switch (m->kind) {
    case READING_OHMS: return arena_printf(arena, "%s to %s", m->subject, m->minus);
    case READING_CAPACITANCE: return arena_printf(arena, "%s capacitance", m->subject);
    case READING_SERIES: return arena_printf(arena, "%s series resistance", m->subject);
    case READING_LEAKAGE: return arena_printf(arena, "%s leakage", m->subject);
    default: break;
    }
    if (m->alternating) return arena_printf(arena, "%s AC", m->subject);
    if (m->measure == MEASURE_SETTLED_VOLTAGE) return arena_printf(arena, "%s DC", m->subject);
    if (strcmp(m->subject, "mains") == 0 && m->unit == UNIT_AMPERE)
        return measure_words(MEASURE_LINE_CURRENT);
    if (strcmp(m->subject, "mains") == 0 && m->unit == UNIT_WATT)
        return measure_words(MEASURE_LINE_POWER);
    if (m->measure != MEASURE_NONE)
        return arena_printf(arena, "%s %s", m->subject, measure_words(m->measure));
    return m->unit == UNIT_VOLT ? m->subject
                                : arena_printf(arena, "%s %s", m->subject, quantity_kind(m->unit));
}

static struct read make_read(struct arena *arena, struct meter_reading m, int situation)
{
    bool live = m.kind == READING_FIGURE;
    return (struct read){.what = m,
                         .situation = live ? situation : -1,
                         .label = question_label(arena, &m),
                         .unit = m.unit,
                         .sound = (double)NAN};
}

/* The latest date of all sets; NULL: none has one. ISO 8601 sorts as it is written. */
static const char *latest(const struct measured *measured)
{
    const char *date = NULL;
    for (int i = 0; i < measured->sets.n; i++) {
        const char *other = measured->sets.at[i].date;
        if (other && (!date || strcmp(other, date) > 0)) date = other;
    }
    return date;
}

struct questions questions_of(struct arena *arena, const struct setup *setup, const char *name)
{
    struct questions q = {.lamp = -1, .meter = &setup->measured->meter};
    const char *date = name ? NULL : latest(setup->measured);
    for (int i = 0; i < setup->measured->sets.n; i++) {
        const struct reading_set *set = &setup->measured->sets.at[i];
        int at = q.situations.n;
        if (name && strcmp(set->name, name) != 0) continue;
        if (date && (!set->date || strcmp(set->date, date) != 0)) continue;
        array_push(arena, &q.situations, (struct situation){.name = set->name, .set = set});
        for (int k = 0; k < set->readings.n; k++)
            array_push(arena, &q.reads, make_read(arena, set->readings.at[k], at));
        for (int k = 0; k < set->noticed.n; k++)
            array_push(arena, &q.signs, (struct sign){set->noticed.at[k], at});
    }
    q.read = q.reads.n;
    q.sets = q.situations.n;
    return q;
}

/* ---- what may be read next ---- */

static bool same(const struct meter_reading *a, const struct meter_reading *b)
{
    return a->kind == b->kind && strcmp(a->subject, b->subject) == 0 &&
           strcmp(a->minus ? a->minus : "", b->minus ? b->minus : "") == 0 &&
           a->measure == b->measure && a->alternating == b->alternating && a->unit == b->unit;
}

struct adding {
    struct arena *arena;
    struct questions *q;
    int situation; /* -1: dead */
    enum diagnose_class class;
};

static void add(struct adding *a, struct meter_reading m, enum diagnose_work work)
{
    m.value = m.accuracy = (double)NAN;
    for (int i = 0; i < a->q->reads.n; i++)
        if (a->q->reads.at[i].situation == (m.kind == READING_FIGURE ? a->situation : -1) &&
            same(&a->q->reads.at[i].what, &m))
            return;
    struct read r = make_read(a->arena, m, a->situation);
    r.class = a->class;
    r.work = work;
    array_push(a->arena, &a->q->reads, r);
}

/* Dead: across whatever a lead reaches, and a tester at the filter capacitors. */
static void add_dead(struct adding *a, const struct set *set)
{
    struct bench_parts parts = bench_parts_find(a->arena, set);
    for (int i = 0; i < parts.pairs.n; i++)
        add(a,
            (struct meter_reading){.kind = READING_OHMS,
                                   .subject = parts.pairs.at[i].plus,
                                   .minus = parts.pairs.at[i].minus,
                                   .unit = UNIT_OHM},
            WORK_OHMS);
    for (int i = 0; i < set->parts.n; i++) {
        const struct part *p = set->parts.at[i];
        struct part_way way;
        if (part_is(p, ROLE_RESISTOR) && part_way(set, p, 0, &way) && way.points >= 2)
            add(a,
                (struct meter_reading){.kind = READING_OHMS,
                                       .subject = way.point[0],
                                       .minus = way.point[1],
                                       .unit = UNIT_OHM},
                WORK_OHMS);
        if (!part_is(p, ROLE_FILTER)) continue;
        add(a,
            (struct meter_reading){
                .kind = READING_CAPACITANCE, .subject = p->name, .unit = UNIT_FARAD},
            WORK_TESTER);
        if (part_volts(p) > 0)
            add(a,
                (struct meter_reading){.kind = READING_LEAKAGE,
                                       .subject = p->name,
                                       .at = part_volts(p),
                                       .unit = UNIT_AMPERE},
                WORK_TESTER);
    }
}

/* Under power: direct volts and ripple of the filter's points, a heater other than the rectifier's,
 * the line. Nothing at a rectifier's plates or socket: no lead goes there under power. */
static void add_live(struct adding *a, const struct set *set, bool lamp)
{
    struct bench_parts parts = bench_parts_find(a->arena, set);
    const char *reference = set->circuit->reference;
    for (int i = 0; i < parts.filters.n; i++) {
        struct part_way way;
        if (!part_way(set, parts.filters.at[i], 0, &way) || way.points < 2) continue;
        for (int end = 0; end < 2; end++) {
            const char *point = way.point[end];
            if (strcmp(point, reference) == 0) continue;
            add(a,
                (struct meter_reading){
                    .subject = point, .measure = MEASURE_SETTLED_VOLTAGE, .unit = UNIT_VOLT},
                lamp ? WORK_LAMP : WORK_DC);
            if (!lamp)
                add(a,
                    (struct meter_reading){
                        .subject = point, .alternating = true, .unit = UNIT_VOLT},
                    WORK_RIPPLE);
        }
    }
    if (parts.heater && !lamp && !parts.heater_of_rectifier)
        add(a,
            (struct meter_reading){
                .subject = parts.heater, .measure = MEASURE_RMS_VOLTAGE, .unit = UNIT_VOLT},
            WORK_WINDING);
    /* Of a battery no plug: its ammeter would want a live lead opened, and shows neither a vibrator's
     * RMS nor the primary alone. */
    if (set->line_volts < LINE_LEAST) return;
    if (!lamp)
        add(a,
            (struct meter_reading){
                .subject = "mains", .measure = MEASURE_RMS_VOLTAGE, .unit = UNIT_VOLT},
            WORK_LINE);
    add(a,
        (struct meter_reading){
            .subject = "mains", .measure = MEASURE_LINE_CURRENT, .unit = UNIT_AMPERE},
        WORK_LINE);
    add(a,
        (struct meter_reading){
            .subject = "mains", .measure = MEASURE_LINE_POWER, .unit = UNIT_WATT},
        WORK_LINE);
}

static bool as_it_runs(const struct situation *s)
{
    return !s->set || (isnan(s->set->line) && !s->set->lamp && s->set->out.n == 0);
}

void questions_add_next(struct arena *arena, struct questions *q, const struct setup *setup)
{
    const struct set *set = setup->stages.at[0].set;
    struct adding a = {.arena = arena, .q = q, .situation = -1, .class = CLASS_DEAD};
    add_dead(&a, set);
    int line = 0;
    while (line < q->situations.n && !as_it_runs(&q->situations.at[line])) line++;
    if (line == q->situations.n)
        array_push(arena, &q->situations,
                   (struct situation){.name = US_UK("full line", "full mains")});
    a.situation = line;
    a.class = CLASS_LINE;
    add_live(&a, set, false);
    if (setup->stages.at[0].mains_source < 0 || set->line_volts < LINE_LEAST) return;
    array_push(arena, &q->situations, (struct situation){.name = "on the lamp"});
    a.situation = q->lamp = q->situations.n - 1;
    a.class = CLASS_LAMP;
    add_live(&a, set, true);
}

/* ---- from a run ---- */

static double figure(const struct result *r, const char *subject, enum measure measure)
{
    const struct figure *f = r ? run_figure(r, subject, measure) : NULL;
    return f ? f->value : (double)NAN;
}

/* A meter that shows 1.11 times the mean of the rectified volts: right for a sine (crest to crest
 * 2.83 times RMS), 4 % low for a triangle (3.46 times); both derived, between them a straight line. */
static double averaged(double rms, double pp)
{
    const double sine = 2 * sqrt(2), triangle = 2 * sqrt(3);
    double share = rms > 0 ? (pp / rms - sine) / (triangle - sine) : 0;
    return rms * (1 - 0.0382 * clamp(share, 0, 1));
}

static double alternating(const struct questions *q, const struct result *r, const char *subject)
{
    double ripple = figure(r, subject, measure_on(RANGE_AC));
    double rms = figure(r, subject, MEASURE_RMS_VOLTAGE);
    if (isnan(ripple) || (!q->meter->through && !isnan(rms))) return rms;
    return q->meter->average ? averaged(ripple, figure(r, subject, MEASURE_RIPPLE_PP)) : ripple;
}

/* Direct volts of a part that is out of the circuit: between its points. */
static double between(const struct set *set, const struct result *r, const char *subject)
{
    const struct part *part = set_find(set, subject);
    struct part_way way;
    if (!part || !part_way(set, part, 0, &way) || way.points < 2) return (double)NAN;
    double volts[2];
    for (int i = 0; i < 2; i++)
        volts[i] = strcmp(way.point[i], set->circuit->reference) == 0
                       ? 0
                       : figure(r, way.point[i], MEASURE_SETTLED_VOLTAGE);
    return volts[0] - volts[1];
}

static double plain(const struct result *r, const struct meter_reading *m)
{
    bool mains = strcmp(m->subject, "mains") == 0;
    if (m->unit == UNIT_WATT)
        return figure(r, m->subject, mains ? MEASURE_LINE_POWER : MEASURE_DISSIPATION);
    if (m->unit == UNIT_AMPERE) {
        double rms = figure(r, m->subject, mains ? MEASURE_LINE_CURRENT : MEASURE_RMS_CURRENT);
        double mean = figure(r, m->subject, MEASURE_AVERAGE_CURRENT);
        return isnan(mean) || fabs(mean) < rms / 2 ? rms : mean;
    }
    double mean = figure(r, m->subject, MEASURE_SETTLED_VOLTAGE);
    return isnan(mean) ? figure(r, m->subject, MEASURE_RMS_VOLTAGE) : mean;
}

static double of_part(const struct set *set, const struct meter_reading *m)
{
    const struct part *part = set_find(set, m->subject);
    if (!part || !part_is(part, ROLE_CAPACITOR)) return (double)NAN;
    if (m->kind == READING_CAPACITANCE) return capacitor_farads(part);
    if (m->kind == READING_SERIES) return capacitor_series(part);
    return capacitor_leaks(part, m->at, set->ambient);
}

/* Ohms and leakages span decades, and a meter's errors are shares of them: they are compared by
 * their logarithms, within what a meter can tell. */
bool question_by_decades(const struct read *read)
{
    return read->what.kind == READING_OHMS || read->what.kind == READING_SERIES ||
           read->what.kind == READING_LEAKAGE;
}

static const struct span {
    double least, most;
} ohms_told = {0.1, 20e6}, amperes_told = {1e-6, 1};

double question_compared(const struct read *read, double value)
{
    const struct span *s = read->what.kind == READING_LEAKAGE ? &amperes_told : &ohms_told;
    return question_by_decades(read) && !isnan(value) ? log(clamp(value, s->least, s->most))
                                                      : value;
}

double question_shown(const struct read *read, double compared)
{
    const struct span *s = read->what.kind == READING_LEAKAGE ? &amperes_told : &ohms_told;
    if (!question_by_decades(read)) return compared;
    double value = exp(compared);
    return s == &ohms_told && value > 0.99 * s->most ? HUGE_VAL : value;
}

static double value_of(struct arena *arena, const struct questions *q, const struct read *read,
                       const struct set *set, const struct result *r)
{
    const struct meter_reading *m = &read->what;
    if (m->kind == READING_OHMS) return dead_ohms(arena, set->circuit, m->subject, m->minus, NULL);
    if (m->kind != READING_FIGURE) return of_part(set, m);
    if (!r) return (double)NAN;
    double value = m->alternating               ? alternating(q, r, m->subject)
                   : m->measure == MEASURE_NONE ? plain(r, m)
                                                : figure(r, m->subject, m->measure);
    if (!isnan(value)) return value;
    if (m->unit == UNIT_AMPERE || m->unit == UNIT_WATT) return 0;
    return m->unit == UNIT_VOLT && !m->alternating ? between(set, r, m->subject) : value;
}

double question_read(struct arena *arena, const struct questions *q, const struct read *read,
                     const struct set *set, const struct result *r)
{
    return question_compared(read, value_of(arena, q, read, set, r));
}

bool question_by_plug(const struct read *read)
{
    return strcmp(read->what.subject, "mains") == 0;
}

double question_assumed(struct arena *arena, const struct read *read, const struct set *set)
{
    const struct meter_reading *m = &read->what;
    double share = 0;
    if (m->kind == READING_OHMS) dead_ohms(arena, set->circuit, m->subject, m->minus, &share);
    const struct part *part = m->kind == READING_LEAKAGE ? set_find(set, m->subject) : NULL;
    return part && part_is(part, ROLE_CAPACITOR) && capacitor_leak_assumed(part) ? 1 : share;
}

/* Of the logarithm of ohms or of a leakage. A fault that passes more leaves less to it. */
static double leakage_deviation(const struct read *read, double expected)
{
    double less =
        read->what.kind == READING_LEAKAGE ? read->sound - expected : expected - read->sound;
    return read->assumed * smaller(exp(less), 1) * log(DIAGNOSE_LEAKAGE_TIMES);
}

double question_deviation(const struct questions *q, const struct read *read, double expected)
{
    const struct meter_reading *m = &read->what;
    double meter = q->meter->dc, model = DIAGNOSE_MODEL;
    if (read->unit == UNIT_WATT || read->unit == UNIT_AMPERE) meter = DIAGNOSE_WATTMETER;
    if (m->alternating || measure_table[m->measure].range == RANGE_AC) meter = q->meter->ac;
    if (read->ripple) model = DIAGNOSE_MODEL_RIPPLE;
    if (question_by_plug(read) && read->unit != UNIT_VOLT) model = DIAGNOSE_MODEL_LINE;
    if (m->kind == READING_OHMS) meter = DIAGNOSE_OHMMETER, model = DIAGNOSE_MODEL_OHMS;
    if (m->kind == READING_CAPACITANCE || m->kind == READING_SERIES) meter = DIAGNOSE_TESTER;
    if (m->kind == READING_LEAKAGE) meter = DIAGNOSE_TESTER_LEAKAGE;
    if (!isnan(m->accuracy)) meter = m->accuracy;
    double floor = diagnose_floor(read->unit) + DIAGNOSE_FLOOR * fabs(read->sound);
    if (m->kind == READING_LEAKAGE) floor = 0;
    if (!isfinite(floor)) floor = diagnose_floor(read->unit);
    if (question_by_decades(read))
        return sqrt(sq(meter) + sq(model) + sq(diagnose_floor(read->unit) / exp(expected)) +
                    sq(leakage_deviation(read, expected)));
    return sqrt((sq(meter) + sq(model)) * sq(expected) + sq(floor));
}

double question_together(const struct read *one, double a, const struct read *other, double b)
{
    double model = one->ripple ? DIAGNOSE_MODEL_RIPPLE : DIAGNOSE_MODEL;
    if (one->situation < 0 || one->situation != other->situation || one->unit != UNIT_VOLT ||
        other->unit != UNIT_VOLT || one->ripple != other->ripple)
        return 0;
    return DIAGNOSE_MODEL_ALIKE * sq(model) * a * b;
}

double question_anywhere(const struct read *read)
{
    if (question_by_decades(read)) return log(DIAGNOSE_ANYWHERE_TIMES);
    double size = isfinite(read->sound) ? fabs(read->sound) : 0;
    double share = read->ripple ? DIAGNOSE_ANYWHERE_RIPPLE : DIAGNOSE_ANYWHERE;
    return share * size + 10 * diagnose_floor(read->unit);
}
