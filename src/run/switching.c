/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The pattern after a switch or change. A pattern agrees with itself when, after the projection
 * that conserves charge and flux, no conducting rectifier carries backward current, no open one has
 * more than its starting voltage, and none that stands at zero is about to cross. Contradictions
 * are mended by flipping what disagrees, all at once (commutation between ideal rectifiers is a
 * simultaneous swap); failing that, by fewest changes first. */
#include <math.h>
#include <string.h>

#include "flow.h"
#include "meter.h"
#include "numbers.h"
#include "session.h"

enum { MEND_ROUNDS = 8, FLIPS_MOST = 4 };

/* Volts or amperes k of all from the states w of a pattern: y = q w + yu u. */
static double full_of(const struct session *s, const struct reduced *r, const double *w, int k)
{
    const int modal = r->modal;
    const double *row = &r->q[k * r->nw];
    double sum = modal ? dot_wide(modal, row, w) : 0;
    for (int j = modal; j < r->nw; j++) sum += row[j] * w[j];
    for (int j = 0; j < r->nu; j++) sum += r->yu[k * r->nu + j] * s->eq->u[j];
    return sum;
}

void session_charges(struct session *s)
{
    for (int k = 0; k < s->now.r->ny; k++) {
        s->full[k] = full_of(s, s->now.r, s->y, k);
        s->charge[k] = s->full[k] * s->network->stored_by[k];
    }
}

void session_read(struct session *s, double *z)
{
    session_charges(s);
    memcpy(z, s->full, (size_t)s->now.r->ny * sizeof *z);
    memcpy(z + s->now.r->ny, s->states, (size_t)s->eq->ns * sizeof *z);
}

void session_write(struct session *s, const double *z)
{
    const int ny = s->network->capacitors + s->network->inductors;
    for (int k = 0; k < ny; k++) {
        s->full[k] = z[k];
        s->charge[k] = z[k] * s->network->stored_by[k];
    }
    memcpy(s->states, z + ny, (size_t)s->eq->ns * sizeof *z);
}

static void put_moving(const struct session *s, double *tail)
{
    for (int k = 0; k < s->eq->moving; k++) tail[k] = s->states[s->eq->moves[k]];
}

void session_put_states(struct session *s)
{
    put_moving(s, s->y + s->now.r->nw);
}

double session_stored(const struct session *s)
{
    const struct circuit *c = s->network->circuit;
    const int ny = s->network->capacitors + s->network->inductors;
    double sum = 0;
    for (int k = 0; k < ny; k++) sum += s->network->stored_by[k] * sq(s->full[k]) / 2;
    for (int k = 0; k < c->devices.n; k++) {
        const struct device *d = &c->devices.at[k];
        if (d->law->stored) sum += d->law->stored(d->par, s->states + d->state0);
    }
    return sum;
}

/* w of pattern r from s->charge into y (device states behind it are moved by the caller). */
static void project(const struct session *s, const struct reduced *r, double *w)
{
    const double *stored_by = s->network->stored_by;
    equations_sources(s->eq, s->now.t);
    for (int i = 0; i < r->nw; i++) {
        double sum = 0;
        for (int k = 0; k < r->ny; k++) {
            double charge = s->charge[k];
            for (int j = 0; j < r->nu; j++)
                charge -= stored_by[k] * r->yu[k * r->nu + j] * s->eq->u[j];
            sum += r->take[i * r->ny + k] * charge;
        }
        w[i] = sum;
    }
}

void session_take_charges(struct session *s)
{
    project(s, s->now.r, s->y);
    session_charges(s);
}

/* What a gate function is measured against, and its rounding: a conducting rectifier's current is
 * volts over its slope. */
double session_gate_scale(const struct session *s, int gate, double *rounding)
{
    const struct element *e = &s->network->circuit->elements.at[s->network->gate_element[gate]];
    *rounding = 0;
    if (e->kind == ELEMENT_SWITCH) return larger(fabs(e->trip_value), 1e-3);
    if (e->kind != ELEMENT_RECTIFIER || !(s->eq->r->pattern >> gate & 1u)) return s->volts_scale;
    if (e->slope > 0) *rounding = 1e-13 * s->volts_scale / e->slope;
    return s->now.amps_scale;
}

/* Of straight-line rectifiers that stood still at zero in the first look, those that begin to rise
 * as t^2: by a step of second order (Heun), longer than the first. s->base and s->rate are the
 * state and its rate at s->now.t. */
static pattern_t second_look(struct session *s, const struct reduced *r, const double *g,
                             pattern_t undecided)
{
    const int n = r->nw + s->eq->moving;
    const double ahead = 1e-4 * s->period;
    pattern_t wrong = 0;
    for (int k = 0; k < s->network->circuit->gates; k++)
        if (s->network->circuit->elements.at[s->network->gate_element[k]].kind != ELEMENT_RECTIFIER)
            undecided &= ~((pattern_t)1 << k);
    if (!undecided) return 0;
    for (int j = 0; j < n; j++) s->trial[j] = s->base[j] + ahead * s->rate[j];
    if (equations_derivative(s->eq, s->now.t + ahead, s->trial, s->later)) return 0;
    for (int j = 0; j < n; j++) s->trial[j] = s->base[j] + ahead / 2 * (s->rate[j] + s->later[j]);
    if (equations_solve(s->eq, s->now.t + ahead, s->trial)) return 0;
    for (int k = 0; k < s->network->circuit->gates; k++) {
        if (!(undecided >> k & 1u)) continue;
        double rounding, scale = session_gate_scale(s, k, &rounding),
                         then = equations_gate(s->eq, k);
        if (then - g[k] > 1e-11 * scale + rounding && then > 0) wrong |= (pattern_t)1 << k;
    }
    return wrong;
}

/* Bits of the gates that disagree with pattern r at s->now.t. r->fault, or a failing solution,
 * disagrees wholly: *usable = false. */
static pattern_t disagreeing(struct session *s, const struct reduced *r, bool *usable)
{
    const struct circuit *c = s->network->circuit;
    double g[64];
    pattern_t wrong = 0, undecided = 0;
    *usable = false;
    if (r->fault) return 0;
    equations_pattern(s->eq, r);
    project(s, r, s->trial);
    put_moving(s, s->trial + r->nw);
    if (equations_derivative(s->eq, s->now.t, s->trial, s->rate)) return 0;
    for (int k = 0; k < c->gates; k++) g[k] = equations_gate(s->eq, k);
    /* a short look ahead tells those that stand at zero */
    const double ahead = 1e-7 * s->period;
    memcpy(s->base, s->trial, (size_t)(r->nw + s->eq->moving) * sizeof *s->base);
    for (int j = 0; j < r->nw + s->eq->moving; j++) s->trial[j] += ahead * s->rate[j];
    if (equations_solve(s->eq, s->now.t + ahead, s->trial)) return 0;
    for (int k = 0; k < c->gates; k++) {
        if (s->now.opening >> k & 1u) continue;
        double rounding, scale = session_gate_scale(s, k, &rounding);
        double now = g[k], then = equations_gate(s->eq, k), rise = then - now;
        bool rising =
            now > -1e-10 * scale - rounding && rise > 1e-11 * scale + rounding && then > 0;
        /* a rounding error in a coil's current is microvolts across 1e9 ohm, gone at once where all
         * is well */
        bool stays = now > 1e-9 * scale + rounding && (then > 0 || now > 1e-3 * scale);
        if (stays || rising) wrong |= (pattern_t)1 << k;
        else if (fabs(now) <= 1e-9 * scale + rounding && fabs(rise) <= 1e-11 * scale + rounding)
            undecided |= (pattern_t)1 << k;
    }
    *usable = true;
    return wrong ? wrong : second_look(s, r, g, undecided);
}

const char *session_gate_names(struct session *s, pattern_t gates)
{
    const char *text = "";
    for (int k = 0; k < s->network->circuit->gates; k++)
        if (gates >> k & 1u)
            text =
                arena_printf(s->arena, "%s%s%s", text, *text ? ", " : "",
                             s->network->circuit->elements.at[s->network->gate_element[k]].subject);
    return text;
}

/* Rectifiers whose current follows the slope of a source directly, while charge moved at once:
 * nothing limits their step. */
static void note_impulses(struct session *s, const struct reduced *r)
{
    const struct circuit *c = s->network->circuit;
    for (int k = 0; k < c->gates; k++) {
        const int e = s->network->gate_element[k];
        if (c->elements.at[e].kind != ELEMENT_RECTIFIER || !(r->pattern >> k & 1u)) continue;
        const double *row =
            &r->out[(size_t)(c->elements.n + e) * (size_t)r->columns + (size_t)(r->nw + r->nu)];
        for (int j = 0; j < r->nu; j++)
            if (row[j] != 0) s->now.impulsive |= (pattern_t)1 << k;
    }
}

/* Puts r in force and enters lost energy and unlimited currents in the books. A constraint's charge
 * times the sources in it is work they did at once: mu' (loop_u u), where C' mu = change of charge
 * and mu is read off at the pivots. */
static void accept(struct session *s, const struct reduced *r, double before)
{
    const int ny = r->ny;
    double *old = s->rate, work = 0;
    memcpy(old, s->charge, (size_t)ny * sizeof *old);
    put_moving(s, s->y + r->nw);
    project(s, r, s->y);
    flow_switch(s, r);
    s->now.r = r;
    equations_pattern(s->eq, r);
    session_charges(s);
    for (int k = 0; k < r->constraints; k++) {
        double mu = s->charge[r->pivot[k]] - old[r->pivot[k]], volts = 0;
        for (int j = 0; j + 1 < r->nu; j++) volts += r->loop_u[k * r->nu + j] * s->eq->u[j];
        work += mu * volts;
        if (fabs(mu * volts) > 1e-9 * (fabs(before) + fabs(work))) note_impulses(s, r);
    }
    meter_jump(s->meter, work, before + work - session_stored(s), old, s->charge);
}

static int bits(pattern_t p)
{
    int n = 0;
    for (; p; p &= p - 1) n++;
    return n;
}

/* Energy [J] that would be left in pattern r, by the projection alone. */
static double left_in(struct session *s, const struct reduced *r)
{
    double sum = 0;
    project(s, r, s->trial);
    for (int k = 0; k < r->ny; k++)
        sum += s->network->stored_by[k] * sq(full_of(s, r, s->trial, k)) / 2;
    return sum;
}

/* Tries all patterns with exactly `flips` gates of `free` flipped from `from`; one that keeps more
 * than `keeps` joules. */
static const struct reduced *search(struct session *s, pattern_t from, pattern_t free, int flips,
                                    pattern_t least, double keeps)
{
    bool usable;
    if (flips == 0) {
        const struct reduced *r = reductions_get(s->reductions, from);
        if (session_asks(s, session_work(r->ny + r->np))) return NULL;
        if (r->fault || !(left_in(s, r) > keeps)) return NULL;
        pattern_t wrong = disagreeing(s, r, &usable);
        return usable && !wrong ? r : NULL;
    }
    for (pattern_t bit = least; bit && bit <= free && !s->cut; bit <<= 1) {
        if (!(free & bit)) continue;
        const struct reduced *r = search(s, from ^ bit, free, flips - 1, bit << 1, keeps);
        if (r) return r;
    }
    return NULL;
}

/* A coil's current that found no way is volts without end: they fire a rectifier before any energy
 * is lost. So of the patterns that agree with themselves one that keeps the coils' energy is taken,
 * if there is one. */
static const struct reduced *spare_coils(struct session *s, const struct reduced *found,
                                         pattern_t free)
{
    double coils = 0;
    for (int k = s->network->capacitors; k < found->ny; k++)
        coils += sq(s->charge[k]) / s->network->stored_by[k] / 2;
    project(s, found, s->trial);
    double kept = 0;
    for (int k = s->network->capacitors; k < found->ny; k++)
        kept += s->network->stored_by[k] * sq(full_of(s, found, s->trial, k)) / 2;
    if (!(coils - kept > 1e-6 * coils) || coils < 1e-12) return found;
    double keeps = left_in(s, found) + (coils - kept) / 2;
    for (int flips = 1; flips <= 2; flips++) {
        const struct reduced *better = search(s, found->pattern, free, flips, 1, keeps);
        if (better) return better;
    }
    return found;
}

static bool part_conducts(const struct session *s, const char *part)
{
    for (int g = 0; g < s->network->circuit->gates; g++)
        if (s->now.r->pattern >> g & 1u &&
            strcmp(s->network->circuit->elements.at[s->network->gate_element[g]].part, part) == 0)
            return true;
    return false;
}

/* The gas of a rectifier glows while any section conducts, and for a time after. */
static void note_glow(struct session *s)
{
    for (int g = 0; g < s->network->circuit->gates; g++) {
        const struct element *e = &s->network->circuit->elements.at[s->network->gate_element[g]];
        if (!(e->glows > 0)) continue;
        if (part_conducts(s, e->part)) s->eq->lit[g] = HUGE_VAL;
        else if (isinf(s->eq->lit[g]) && s->eq->lit[g] > 0) s->eq->lit[g] = s->now.t + e->glows;
    }
}

static void note_trips(struct session *s)
{
    for (int g = 0; g < s->network->circuit->gates; g++) {
        const struct element *e = &s->network->circuit->elements.at[s->network->gate_element[g]];
        bool known = !e->trips || (s->now.r->pattern >> g & 1u) == e->starts_closed;
        for (int k = 0; k < s->now.tripped.n && !known; k++)
            known = strcmp(s->now.tripped.at[k].part, e->part) == 0 &&
                    strcmp(s->now.tripped.at[k].role, e->role) == 0;
        if (!known)
            array_push(s->arena, &s->now.tripped, (struct tripped){e->part, e->role, s->now.t});
    }
}

bool session_settle(struct session *s, pattern_t first, double before)
{
    pattern_t tried[MEND_ROUNDS], now = first, wrong = 0, free = 0;
    const struct reduced *found = NULL;
    bool usable;
    for (int round = 0; round < MEND_ROUNDS && !found; round++) {
        for (int k = 0; k < round; k++)
            if (tried[k] == now) round = MEND_ROUNDS;
        if (round >= MEND_ROUNDS) break;
        tried[round] = now;
        const struct reduced *r = reductions_get(s->reductions, now);
        wrong = disagreeing(s, r, &usable);
        if (!usable) break;
        if (!wrong) found = r;
        now ^= wrong;
    }
    for (int k = 0; k < s->network->circuit->gates; k++)
        if (s->network->circuit->elements.at[s->network->gate_element[k]].kind != ELEMENT_SWITCH)
            free |= (pattern_t)1 << k;
    for (int flips = 1; flips <= FLIPS_MOST && flips <= bits(free) && !found && !s->cut; flips++)
        found = search(s, first, free, flips, 1, -1);
    if (!found) {
        const struct reduced *r = reductions_get(s->reductions, first);
        if (r->fault)
            s->now.trouble =
                (struct trouble){.cause = TROUBLE_NETWORK, .fault = r->fault, .names = r->at_fault};
        else
            s->now.trouble = (struct trouble){
                .cause = TROUBLE_PATTERN,
                .names =
                    wrong || free ? session_gate_names(s, wrong ? wrong : free) : trouble_laws(s)};
        return false;
    }
    accept(s, spare_coils(s, found, free), before);
    note_trips(s);
    note_glow(s);
    return true;
}

double session_next_trip(const struct session *s)
{
    double next = HUGE_VAL;
    for (int g = 0; g < s->network->circuit->gates; g++) {
        const struct element *e = &s->network->circuit->elements.at[s->network->gate_element[g]];
        if (e->trips && e->trip_state < 0 && e->trip_value > s->now.t)
            next = smaller(next, e->trip_value);
    }
    return next;
}
