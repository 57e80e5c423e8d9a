/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_SESSION_H
#define PRESOLDER_SESSION_H

#include "rosenbrock.h"
#include "run.h"

/* What one run works with; internal to the layer. */

struct flow;
struct hold;
struct meter;
struct moments;
struct skip;

/* Solved instants that the meter may want again: the nodes at which events were looked for. */
enum { SESSION_SEEN = 8 };

/* What holds little, a coil's current, may err so many times as much. */
#define SESSION_LOOSER 10

/* The instants waited for in a stage [s]; inf: none. */
struct stops {
    double end;     /* of the stage or the run */
    double corner;  /* of a square source */
    double close;   /* of the mains */
    double observe; /* next call of the observer */
};

/* Steps in a pattern entered from another (a gap behind one plate's pulse is another than that
 * behind the other's): the first one tried is the one that did well last time. */
struct first_step {
    pattern_t pattern, from;
    double step; /* [s] */
    struct rosenbrock_track *track;
};

/* A switch that has turned over. */
struct tripped {
    const char *part, *role;
    double time; /* [s] */
};

/* What moves, and so what a trial may change. A state is kept and taken back whole (session_keep);
 * what is only learnt on the way (first steps, swings, first guesses of the equations) is no part of
 * it, and what is held is released before, so that nothing of it is kept elsewhere. */
struct moving {
    double t;                /* [s] */
    const struct reduced *r; /* the pattern in force */
    double amps_scale;       /* greatest rectifier current seen, at least volts_scale / 1e5 [A] */
    pattern_t opening;       /* switches that wait for their current's zero */
    pattern_t impulsive; /* gates of rectifiers in whose path nothing limited a step of current */
    double arc_end;      /* when a switch that trips opens without a zero of its current [s] */
    double between;      /* as in the equations */
    double sign[64];     /* of the current of a switch that waits */
    ARRAY(struct tripped) tripped;
    enum status status;     /* as in the result, which gets both at the end */
    struct trouble trouble; /* why a callback said stop, or why the run ended */
    double *rows;           /* y, states, full, charge, range, lit, one after the other */
};

struct session {
    struct arena *arena;
    /* --- of the run */
    const struct setup *setup;
    struct run_options options;
    struct result *result;
    double period;      /* of the mains [s] */
    bool only_steady;   /* no run, but a steady state long after the last change (steady.h) */
    double first_shift; /* time shift of the sources: the first closing angle [s] */

    /* --- of the stage */
    const struct stage *stage;
    const struct network *network;
    struct reductions *reductions;
    struct equations *eq;
    struct rosenbrock *solver;
    struct ode ode;
    double volts_scale; /* greatest source voltage [V] */
    double numb;    /* a gate that is beyond its zero by no more does not turn over; 0 at first */
    double *looser; /* [ns] what a device state may err more than a capacitor */

    /* --- what moves; the rows of `now` by their names */
    struct moving now;
    size_t room;    /* of now.rows */
    double *y;      /* w, then the device states that move */
    double *states; /* all device states at t */
    double *full;   /* all capacitor volts and inductor amperes at t */
    double *charge; /* their charges and fluxes */
    double *range;  /* [ny] greatest magnitude seen */

    /* --- what is learnt */
    struct swing {
        double least, most;
    } * swing,
        *swing_before; /* [ny] of volts and amperes in this cycle so far, in the one before */
    double *scale;     /* of y, for the error control */
    double *volts;     /* of the capacitors' states: their scale in volts, modes or not */
    ARRAY(struct first_step) first;
    pattern_t stepped, from; /* the pattern that the solver was last begun in, and the one before */
    double begun;            /* when the solver was last begun [s] */
    struct {
        double t, *column; /* [s], as eq->column */
    } seen[SESSION_SEEN];  /* a ring */
    int sightings;         /* so far in this pattern */

    /* --- scratch */
    double *trial;        /* as long as y */
    double *rate;         /* as long as y */
    double *base, *later; /* of the look ahead, as long as y */

    /* --- what goes along */
    struct meter *meter;
    struct moments *moments; /* of the running cycle */
    struct hold *hold;       /* NULL: all device states move */
    struct flow *flow;       /* follows small changes of the state; NULL: not asked for */
    struct skip *skip;       /* NULL: every cycle is simulated */

    /* --- counts, and what the caller is told */
    long newton; /* of stages gone by */
    int patterns;
    long observed; /* calls of the observer so far */
    bool halted;   /* the caller wants an end */
    bool cut;      /* and got it within a period */
    struct run_pace pace;
    double done;  /* the share told last */
    double asked; /* work since the caller was last asked (session_asks) */
};

/* A session at t = 0 without a stage, in `arena`. */
struct session *session_new(struct arena *arena, const struct setup *setup,
                            const struct run_options *options);

/* Finds the pattern that agrees with itself at s->now.t, beginning with `first`, from s->charge;
 * projects the state onto it, books the energy lost from what was stored `before` [J], and puts it
 * in force. False with s->now.trouble set when there is none. */
bool session_settle(struct session *s, pattern_t first, double before);

/* Size of a gate's function now [V or A], and its rounding error in the same unit. */
double session_gate_scale(const struct session *s, int gate, double *rounding);

/* Charges and fluxes from the state in force. */
void session_charges(struct session *s);

/* The network's states from s->charge, in the pattern in force at s->now.t. */
void session_take_charges(struct session *s);
/* z: all capacitor volts, coil currents and device states, in this order; read from the state in
 * force, and put in its place. The pattern is then to be looked for (session_settle). */
void session_read(struct session *s, double *z);
void session_write(struct session *s, const double *z);

/* Room for a state of the stage in force; the present one is kept there, and taken back from there as
 * often as wanted. */
struct moving *session_moving_new(const struct session *s);
void session_keep(const struct session *s, struct moving *to);
void session_take_back(struct session *s, const struct moving *from);

/* The row of a kept state that s has as `row`. */
double *session_row(const struct session *s, const struct moving *of, const double *row);

/* After s->states or what is held has been changed: the tail of y. */
void session_put_states(struct session *s);

/* Stored energy in capacitors and inductors at s->full, and in devices (cores) [J]. */
double session_stored(const struct session *s);

/* Begins to integrate from s->now.t, s->y in the pattern in force. */
void session_begin(struct session *s);

/* Goes on where the solver stands after what the equations look at changed a little; `states`: y
 * has other device states than before. */
void session_go_on(struct session *s, bool states);

/* eq->column as it was solved for at t since the last session_begin; NULL: it was not. */
const double *session_seen(const struct session *s, double t);

/* To the end of the running period, or of the stage when that comes first; switches, corners and
 * the observer are served. False when the run failed (s->result tells) */
bool session_cycle(struct session *s, struct stops *next);

/* The subjects of these gates: `V6.1, V6.2`. */
const char *session_gate_names(struct session *s, pattern_t gates);

/* Gates that stand beyond their zero, after something was put in force out of turn, turn over. False
 * when the run failed. */
bool session_catch_up(struct session *s);

/* A new pattern from here; both sides of the switch are measured. False on trouble. */
bool session_switch(struct session *s, pattern_t pattern);

/* Switches told to open (s->now.opening): those without current at once, the others when it passes
 * zero. False on trouble. */
bool session_open_idle(struct session *s);

/* What happens at an instant that was waited for. False when the run failed. */
bool session_at_stop(struct session *s, struct stops *next);

/* The next instant from t on at which the source stands at `angle` [rad], and the next corner of a
 * square source (inf: none) [s]; the level between corners is taken from it. */
double session_next_angle(const struct session *s, double angle, double t);
double session_next_corner(const struct session *s);

/* Whether a vibrator's contact is closed in the stretch between corners that eq->between lies in. */
bool session_contact_closed(const struct session *s);

/* Within a period that takes long: whether the caller wants an end now, who is asked once so many
 * steps of a small set are worked off, one after the other; `work`: of what was just done, in such
 * steps. Where it is true the run is to be left at once, through session_fail. */
bool session_asks(struct session *s, double work);

/* The same as a network_asked of a session. */
bool session_wants_end(void *session, double multiplications);

/* What the caller answers who is asked now; nonzero: an end. */
int session_ask(struct session *s);

/* What one solution of a set with n unknowns costs, in such steps. */
double session_work(int n);

/* The result is of an interrupted run. True. */
bool session_interrupted(struct session *s);

/* Ends the run as failed, by the trouble that was noted or else by `cause`; or as interrupted where
 * session_asks said so. False. */
bool session_fail(struct session *s, enum trouble_cause cause);

/* The next instant at which a switch trips because its time has come [s]; inf: none. */
double session_next_trip(const struct session *s);

/* Begins stage k: its network, states carried over by part and role, pattern. False on trouble. */
bool session_stage(struct session *s, int k);

#endif
