/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Steps between stops (period ends, corners of square sources, timed changes), a new pattern at
 * every event. This is the only place where time steps and volts meet. */
#include "session.h"

#include <float.h>
#include <math.h>
#include <string.h>

#include "contact.h"
#include "flow.h"
#include "hold.h"
#include "meter.h"
#include "numbers.h"

#define VOLTS_LOOSER 100    /* for potentials, of the greatest volts */
#define SWINGS 4            /* of a capacitor in a cycle: its error is held against so many */
#define LEAST_SCALE 1e-2    /* of a range: so small an error scale at least */
#define STEPS_PER_PERIOD 24 /* at least; no conduction pulse is stepped over */
/* First step in a pattern in which something has closed, at most, in periods: the Jacobian at the start
 * of conduction is that of the 1e9 ohm beside a tube; a long step would take a coil behind it for
 * blocked, unnoticed. */
#define FIRST_STEP 1e-5
#define OVERSLEPT 1e-7         /* of a gate's scale: so far beyond its zero it turns over unseen */
#define EVENTS_PER_PERIOD 2000 /* more is rectifiers switching without end */
#define NUMB 1e-12 /* of a stage's volts: in a dead set rounding makes rectifiers switch */

static int derivative(void *context, double t, const double *y, double *f)
{
    return equations_derivative(((struct session *)context)->eq, t, y, f);
}

static int jacobian(void *context, double t, const double *y, double *dfdy, double *dfdt)
{
    return equations_jacobian(((struct session *)context)->eq, t, y, dfdy, dfdt);
}

static void see(struct session *s, double t)
{
    const int at = s->sightings++ % SESSION_SEEN;
    s->seen[at].t = t;
    memcpy(s->seen[at].column, s->eq->column, (size_t)s->now.r->columns * sizeof(double));
}

const double *session_seen(const struct session *s, double t)
{
    for (int k = s->sightings - 1; k >= 0 && k >= s->sightings - SESSION_SEEN; k--)
        if (s->seen[k % SESSION_SEEN].t == t) return s->seen[k % SESSION_SEEN].column;
    return NULL;
}

static int prepare(void *context, double t, const double *y, double *dfdt)
{
    return equations_prepare(((struct session *)context)->eq, t, y, dfdt);
}

static bool factor(void *context, double per_step)
{
    return equations_factor(((struct session *)context)->eq, per_step);
}

static void back(void *context, double *x)
{
    equations_back(((struct session *)context)->eq, x);
}

static int events(void *context, double t, const double *y, double *g)
{
    struct session *s = context;
    if (equations_solve(s->eq, t, y)) return 1;
    see(s, t);
    for (int k = 0; k < s->network->circuit->gates; k++) {
        bool waits = s->now.opening >> k & 1u;
        g[k] = waits ? -s->now.sign[k] *
                           equations_output(s->eq, OUTPUT_CURRENT, s->network->gate_element[k])
                     : equations_gate(s->eq, k) - s->numb;
    }
    return 0;
}

/* A coil's current that is off by its tolerance may be many volts across what stands beside it; and
 * of modes the volts that they make count. */
static double gauge(void *context, const double *off)
{
    const struct session *s = context;
    const struct reduced *r = s->now.r;
    double most = equations_volts_error(s->eq, off) / (VOLTS_LOOSER * s->volts_scale);
    for (int j = 0; j < r->modal; j++) {
        const double volts = dot_wide(r->modal, &r->q[r->w_of[j] * r->nw], off);
        most = larger(most, fabs(volts) / s->volts[j]);
    }
    return most / s->options.tolerance;
}

/* The current of a tube dies as the 3/2 power of the time left; volts and straight currents pass zero. */
static bool events_are_smooth(const struct session *s)
{
    for (int g = 0; g < s->network->circuit->gates; g++)
        if (s->now.r->pattern >> g & 1u &&
            s->network->circuit->elements.at[s->network->gate_element[g]].kind == ELEMENT_PORT)
            return false;
    return true;
}

static struct first_step *remembered(struct session *s)
{
    const pattern_t now = s->now.r->pattern;
    for (int k = 0; k < s->first.n; k++)
        if (s->first.at[k].pattern == now && s->first.at[k].from == s->from) return &s->first.at[k];
    array_push(s->arena, &s->first,
               (struct first_step){now, s->from, 0, rosenbrock_track_new(s->arena)});
    return &s->first.at[s->first.n - 1];
}

/* Capacitors keep the tolerance, their charges are audited. A coil may err more the less energy it
 * holds beside the part that holds most: the books of energy see no more of it than of that one. */
static void set_scales(struct session *s)
{
    const struct reduced *r = s->now.r;
    const double *holds = s->network->stored_by;
    double most = 0;
    for (int k = 0; k < r->ny; k++) most = larger(most, holds[k] * sq(s->range[k]));
    for (int j = 0; j < r->nw; j++) {
        int k = r->w_of[j];
        /* what counts is what moves now: charges of small pulses are audited too */
        const struct swing *now = &s->swing[k], *before = &s->swing_before[k];
        if (k < s->network->capacitors) {
            double swing = larger(now->most - now->least, before->most - before->least);
            s->volts[j] = clamp(SWINGS * swing, LEAST_SCALE * s->range[k], s->range[k]);
            s->scale[j] = j < r->modal ? DBL_MAX : s->volts[j];
        } else {
            double size =
                larger(larger(now->most, -now->least), larger(before->most, -before->least));
            s->scale[j] = larger(size, LEAST_SCALE * s->range[k]) *
                          clamp(most / (holds[k] * sq(s->range[k])), 1, SESSION_LOOSER);
        }
    }
    for (int k = 0; k < s->eq->moving; k++)
        s->scale[r->nw + k] =
            s->network->circuit->states.at[s->eq->moves[k]].range * s->looser[s->eq->moves[k]];
}

void session_begin(struct session *s)
{
    s->ode = (struct ode){.n = equations_size(s->eq),
                          .events = s->network->circuit->gates,
                          .context = s,
                          .derivative = derivative,
                          .jacobian = jacobian,
                          .event = events,
                          .smooth = events_are_smooth(s),
                          .gauge = gauge};
    if (s->now.r->modal) s->ode.prepare = prepare, s->ode.factor = factor, s->ode.solve = back;
    set_scales(s);
    const pattern_t now = s->now.r->pattern;
    const bool only_opens = now != s->stepped && !(now & ~s->stepped);
    if (now != s->stepped) s->from = s->stepped, s->stepped = now;
    s->begun = s->now.t;
    s->sightings = 0;
    rosenbrock_accuracy(s->solver, s->options.tolerance, s->scale, s->period / STEPS_PER_PERIOD);
    const struct first_step *of = remembered(s);
    const double most = FIRST_STEP * s->period;
    rosenbrock_begin(s->solver, &s->ode, s->now.t, s->y,
                     of->step > 0 && (only_opens || of->step < most) ? of->step : most);
    rosenbrock_follow(s->solver, of->track);
    flow_begin(s);
}

void session_go_on(struct session *s, bool states)
{
    s->sightings = 0;
    if (!states) {
        rosenbrock_refresh(s->solver, s->y);
        return;
    }
    s->ode.n = equations_size(s->eq);
    set_scales(s);
    rosenbrock_begin(s->solver, &s->ode, s->now.t, s->y, rosenbrock_next(s->solver));
}

/* Ranges grow with what is seen. */
static void widen(struct session *s)
{
    const struct circuit *c = s->network->circuit;
    session_charges(s);
    for (int k = 0; k < s->now.r->ny; k++) {
        s->range[k] = larger(s->range[k], fabs(s->full[k]));
        s->swing[k].least = smaller(s->swing[k].least, s->full[k]);
        s->swing[k].most = larger(s->swing[k].most, s->full[k]);
    }
    for (int g = 0; g < c->gates; g++)
        if (s->now.r->pattern >> g & 1u)
            s->now.amps_scale =
                larger(s->now.amps_scale,
                       fabs(equations_output(s->eq, OUTPUT_CURRENT, s->network->gate_element[g])));
    set_scales(s);
}

/* A new pattern from here; both sides of the switch are measured. */
bool session_switch(struct session *s, pattern_t pattern)
{
    const pattern_t changed = s->now.r->pattern ^ pattern;
    session_charges(s);
    if (!session_settle(s, pattern, session_stored(s))) return false;
    if (meter_instant(s->meter)) {
        s->now.trouble =
            (struct trouble){.cause = TROUBLE_SWITCHED, .names = session_gate_names(s, changed)};
        return false;
    }
    session_begin(s);
    return true;
}

/* Switches told to open: those without current at once, the others when it passes zero. */
bool session_open_idle(struct session *s)
{
    pattern_t idle = 0;
    equations_solve(s->eq, s->now.t, s->y);
    for (int g = 0; g < s->network->circuit->gates; g++) {
        if (!(s->now.opening >> g & 1u)) continue;
        double i = equations_output(s->eq, OUTPUT_CURRENT, s->network->gate_element[g]);
        s->now.sign[g] = i < 0 ? -1 : 1;
        if (fabs(i) <= 1e-9 * s->now.amps_scale) idle |= (pattern_t)1 << g;
    }
    s->now.opening &= ~idle;
    return !idle || session_switch(s, s->now.r->pattern ^ idle);
}

/* Gates whose function slept because it began at zero, and that stand well beyond it now: a current
 * that began as t^2 in the wrong direction. The equations have been solved at the end of the step.
 */
static pattern_t overslept(const struct session *s, double slack)
{
    pattern_t flips = 0;
    for (int g = 0; g < s->network->circuit->gates; g++) {
        if (s->now.opening >> g & 1u) continue;
        double rounding, scale = session_gate_scale(s, g, &rounding);
        if (equations_gate(s->eq, g) > slack * scale + 10 * rounding) flips |= (pattern_t)1 << g;
    }
    return flips;
}

static bool trips(const struct session *s, pattern_t gates)
{
    for (int g = 0; g < s->network->circuit->gates; g++)
        if (gates >> g & 1u && s->network->circuit->elements.at[s->network->gate_element[g]].trips)
            return true;
    return false;
}

/* Turns gates over. A closed switch that trips waits for the zero of its current first. */
static bool turn_over(struct session *s, pattern_t flips)
{
    pattern_t arcs = 0;
    for (int g = 0; g < s->network->circuit->gates; g++) {
        pattern_t bit = (pattern_t)1 << g;
        if (flips & bit & s->now.r->pattern & ~s->now.opening &&
            s->network->circuit->elements.at[s->network->gate_element[g]].trips)
            arcs |= bit;
    }
    if (arcs || trips(s, flips)) hold_release(s);
    flips &= ~arcs;
    s->now.opening &= ~flips;
    if (flips && !session_switch(s, s->now.r->pattern ^ flips)) return false;
    if (!arcs) return true;
    s->now.opening |= arcs;
    s->now.arc_end = s->now.t + s->period / 2;
    session_begin(s);
    return session_open_idle(s);
}

static bool at_event(struct session *s)
{
    const unsigned char *fired = rosenbrock_fired(s->solver);
    pattern_t flips = 0;
    for (int g = 0; g < s->network->circuit->gates; g++)
        if (fired[g]) flips |= (pattern_t)1 << g;
    return turn_over(s, flips);
}

/* No zero has come within half a period: what trips opens all the same. */
static bool end_arcs(struct session *s)
{
    pattern_t arcs = 0;
    for (int g = 0; g < s->network->circuit->gates; g++)
        if (s->network->circuit->elements.at[s->network->gate_element[g]].trips)
            arcs |= s->now.opening & (pattern_t)1 << g;
    s->now.arc_end = HUGE_VAL;
    return turn_over(s, arcs);
}

/* The next instant at which the source stands at `angle` [rad]. */
double session_next_angle(const struct session *s, double angle, double t)
{
    double turns = (t + s->eq->shift) / s->period - angle / (2 * PI);
    return t + (ceil(turns - 1e-9) - turns) * s->period;
}

double session_next_corner(const struct session *s)
{
    double corner = HUGE_VAL;
    const struct circuit *c = s->network->circuit;
    for (int k = 0; k < c->waveforms.n; k++)
        corner =
            smaller(corner, circuit_waveform_corner(&c->waveforms.at[k], s->now.t + s->eq->shift) -
                                s->eq->shift);
    s->eq->between = isfinite(corner) ? (s->now.t + corner) / 2 : s->now.t;
    return corner;
}

bool session_fail(struct session *s, enum trouble_cause cause)
{
    if (s->cut) return !session_interrupted(s);
    s->now.status = STATUS_SOLUTION;
    if (s->now.trouble.cause == TROUBLE_NONE) s->now.trouble.cause = cause;
    s->now.trouble.time = s->now.t;
    return false;
}

/* At the part whose state moves worst, with its points, where nothing better is known. */
static bool fail_near(struct session *s, enum trouble_cause cause)
{
    if (s->now.trouble.cause == TROUBLE_NONE)
        s->now.trouble.names = trouble_place(s, rosenbrock_worst(s->solver));
    return session_fail(s, cause);
}

static bool fail_step(struct session *s, enum rosenbrock_result did)
{
    static const enum trouble_cause causes[] = {[ROSENBROCK_STOPPED] = TROUBLE_EQUATIONS,
                                                [ROSENBROCK_TINY] = TROUBLE_TINY_STEP,
                                                [ROSENBROCK_SINGULAR] = TROUBLE_SINGULAR};
    return fail_near(s, causes[did]);
}

/* `late`: the gates that turn over, or 0 for those whose event it is. */
static bool fail_switching(struct session *s, pattern_t late)
{
    const unsigned char *fired = rosenbrock_fired(s->solver);
    for (int g = 0; g < s->network->circuit->gates && !late; g++)
        if (fired[g]) late |= (pattern_t)1 << g;
    s->now.trouble =
        (struct trouble){.cause = TROUBLE_SWITCHING, .names = session_gate_names(s, late)};
    return session_fail(s, TROUBLE_NONE);
}

/* One step and what follows from it. */
static bool advance(struct session *s, double stop, long *events_left)
{
    enum rosenbrock_result did = rosenbrock_step(s->solver, stop);
    if (did != ROSENBROCK_STEP && did != ROSENBROCK_EVENT) return fail_step(s, did);
    s->now.t = rosenbrock_time(s->solver);
    s->pace.steps++;
    memcpy(s->y, rosenbrock_state(s->solver), (size_t)equations_size(s->eq) * sizeof *s->y);
    equations_states(s->eq, s->now.t, s->y, s->states);
    flow_step(s, s->now.t - rosenbrock_previous(s->solver));
    if (meter_step(s->meter)) return fail_near(s, TROUBLE_EQUATIONS);
    hold_step(s, s->now.t - rosenbrock_previous(s->solver));
    widen(s);
    double *first = &remembered(s)->step;
    if (*first == 0 || rosenbrock_previous(s->solver) == s->begun)
        *first = larger(rosenbrock_next(s->solver), 1e-9 * s->period);
    pattern_t late = did == ROSENBROCK_STEP ? overslept(s, OVERSLEPT) : 0;
    if (did == ROSENBROCK_STEP && !late) return true;
    s->pace.switches++;
    if (--*events_left < EVENTS_PER_PERIOD / 2) s->numb = NUMB * s->volts_scale;
    if (*events_left < 0) return fail_switching(s, late);
    if (!(late ? turn_over(s, late) : at_event(s))) return session_fail(s, TROUBLE_NONE);
    return true;
}

static pattern_t mains_bit(const struct session *s)
{
    return (pattern_t)1 << s->network->circuit->elements.at[s->stage->mains_switch].gate;
}

bool session_contact_closed(const struct session *s)
{
    const struct circuit *c = s->network->circuit;
    double u, u1, u2;
    if (s->stage->mains_source < 0) return true;
    circuit_waveform_at(&c->waveforms.at[c->elements.at[s->stage->mains_source].group],
                        s->eq->between + s->eq->shift, &u, &u1, &u2);
    return u != 0;
}

/* A corner of a square source: a vibrator's contact makes or breaks. Where its gap is open, a
 * closed one opens whatever it carries. */
static bool at_corner(struct session *s, struct stops *next)
{
    struct contact *contact = s->meter->contact;
    pattern_t pattern = s->now.r->pattern;
    session_charges(s);
    double before = session_stored(s);
    bool was = session_contact_closed(s);
    next->corner = session_next_corner(s);
    bool is = session_contact_closed(s);
    if (contact && was) contact_breaks(contact, s->meter);
    if (s->stage->gap_open && s->stage->mains_on && isinf(next->close))
        pattern = is ? pattern | mains_bit(s) : pattern & ~mains_bit(s);
    if (!session_settle(s, pattern, before) || meter_instant(s->meter)) return false;
    if (contact && is) contact_makes(contact, s->meter);
    session_begin(s);
    return true;
}

/* What happens at an instant that was waited for. */
bool session_at_stop(struct session *s, struct stops *next)
{
    if (s->now.t >= next->corner && !at_corner(s, next)) return session_fail(s, TROUBLE_NONE);
    if (s->now.t >= next->close) {
        next->close = HUGE_VAL;
        wave_closing(s->meter->wave, s->now.t);
        if (s->meter->trace) trace_mark(s->meter->trace, s->now.t, 8);
        pattern_t bit = s->stage->gap_open && !session_contact_closed(s) ? 0 : mains_bit(s);
        if (!session_switch(s, s->now.r->pattern | bit)) return session_fail(s, TROUBLE_NONE);
    }
    if (s->now.t >= s->now.arc_end && !end_arcs(s)) return session_fail(s, TROUBLE_NONE);
    if (s->now.t >= next->observe) {
        memcpy(s->trial, s->y, (size_t)s->now.r->nw * sizeof *s->y);
        memcpy(s->trial + s->now.r->nw, s->states, (size_t)s->eq->ns * sizeof *s->y);
        s->options.observe(s->options.observe_context, s->now.t, s->eq, s->trial);
        s->observed++;
        next->observe = (double)s->observed * s->options.observe_every;
    }
    return true;
}

bool session_catch_up(struct session *s)
{
    if (equations_solve(s->eq, s->now.t, s->y)) return fail_near(s, TROUBLE_EQUATIONS);
    pattern_t late = overslept(s, 0);
    return !late || turn_over(s, late) || session_fail(s, TROUBLE_NONE);
}

bool session_cycle(struct session *s, struct stops *next)
{
    long left = EVENTS_PER_PERIOD;
    const double whole = wave_period_end(s->meter->wave), end = smaller(next->end, whole);
    s->asked = 0;
    s->pace = (struct run_pace){0};
    while (s->now.t < end) {
        double stop = smaller(smaller(end, s->now.arc_end),
                              smaller(next->corner, smaller(next->close, next->observe)));
        if (session_asks(s, session_work(s->ode.n))) return session_fail(s, TROUBLE_NONE);
        if (!advance(s, stop, &left)) return false;
        if (s->now.t >= stop && !session_at_stop(s, next)) return false;
    }
    if (s->now.t < whole) return true;
    memcpy(s->swing_before, s->swing, (size_t)s->now.r->ny * sizeof *s->swing);
    for (int k = 0; k < s->now.r->ny; k++) s->swing[k] = (struct swing){s->full[k], s->full[k]};
    meter_cycle(s->meter);
    if (s->meter->asleep) return true;
    hold_cycle(s);
    return !hold_holds(s->hold) || session_catch_up(s); /* it went over to other lines */
}
