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

/* The instants waited for in a stage [s]; inf: none. */
struct stops {
    double end;     /* of the stage or the run */
    double corner;  /* of a square source */
    double close;   /* of the mains */
    double observe; /* next call of the observer */
};

/* Steps in a pattern: the first one tried after entering it is the one that did well last time. */
struct first_step {
    pattern_t pattern;
    double step; /* [s] */
    struct rosenbrock_track *track;
};

/* A switch that has turned over. */
struct tripped {
    const char *part, *role;
    double time; /* [s] */
};

struct session {
    struct arena *arena;
    const struct setup *setup;
    struct run_options options;
    struct result *result;
    double period; /* of the mains [s] */

    const struct stage *stage;
    const struct network *network;
    struct reductions *reductions;
    struct equations *eq;
    const struct reduced *r; /* the pattern in force */
    struct rosenbrock *solver;
    struct ode ode;
    long newton; /* of stages gone by */
    int patterns;

    double t;
    double *y;      /* w, then the device states that move */
    double *states; /* all device states at t */
    double *full;   /* all capacitor volts and inductor amperes at t */
    double *charge; /* their charges and fluxes */
    double *range;  /* [ny] greatest magnitude seen */
    struct swing {
        double least, most;
    } * swing,
        *swing_before;    /* [ny] of volts and amperes in this cycle so far, in the one before */
    double *looser;       /* [ns] what a device state may err more than a capacitor */
    double *scale;        /* of y, for the error control */
    double *volts;        /* of the capacitors' states: their scale in volts, modes or not */
    double *trial;        /* scratch, as long as y */
    double *rate;         /* scratch, as long as y */
    double *base, *later; /* scratch of the look ahead, as long as y */
    double volts_scale;   /* greatest source voltage [V] */
    double amps_scale;    /* greatest rectifier current seen, at least volts_scale / 1e5 [A] */

    pattern_t opening; /* switches that wait for their current's zero */
    pattern_t
        impulsive; /* rectifier gates in whose path a step of current was not limited by anything */
    double arc_end; /* when a switch that trips opens without a zero of its current [s] */
    ARRAY(struct tripped) tripped;
    double sign[64]; /* of the current of a switch that waits */
    ARRAY(struct first_step) first;
    struct meter *meter;
    struct moments *moments; /* of the running cycle */
    struct hold *hold;       /* NULL: all device states move */
    struct flow *flow;       /* follows small changes of the state; NULL: not asked for */
    struct {
        double t, *column; /* [s], as eq->column */
    } seen[SESSION_SEEN];  /* a ring */
    int sightings;         /* so far in this pattern */
    bool halted;           /* the caller wants an end */
    bool cut;              /* and got it within a period */
    struct run_pace pace;
    double done;         /* the share told last */
    double asked;        /* work since the caller was last asked (session_asks) */
    bool only_steady;    /* no run, but a steady state long after the last change (steady.h) */
    struct skip *skip;   /* NULL: every cycle is simulated */
    double first_shift;  /* time shift of the sources: the first closing angle [s] */
    double begun;        /* when the solver was last begun [s] */
    long observed;       /* calls of the observer so far */
    const char *trouble; /* why a callback said stop */
};

/* A session at t = 0 without a stage, in `arena`. */
struct session *session_new(struct arena *arena, const struct setup *setup,
                            const struct run_options *options);

/* Finds the pattern that agrees with itself at s->t, beginning with `first`, from s->charge;
 * projects the state onto it, books the energy lost from what was stored `before` [J], and puts it
 * in force. False with s->trouble set when there is none. */
bool session_settle(struct session *s, pattern_t first, double before);

/* Size of a gate's function now [V or A], and its rounding error in the same unit. */
double session_gate_scale(const struct session *s, int gate, double *rounding);

/* Charges and fluxes from the state in force. */
void session_charges(struct session *s);

/* After s->states or what is held has been changed: the tail of y. */
void session_put_states(struct session *s);

/* Stored energy in capacitors and inductors at s->full, and in devices (cores) [J]. */
double session_stored(const struct session *s);

/* Begins to integrate from s->t, s->y in the pattern in force. */
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

/* A new pattern from here; both sides of the switch are measured. False on trouble. */
bool session_switch(struct session *s, pattern_t pattern);

/* Switches told to open (s->opening): those without current at once, the others when it passes
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

/* Ends the run as failed: s->result gets `what` and the instant; or as interrupted where session_asks
 * said so. False. */
bool session_fail(struct session *s, const char *what);

/* The next instant at which a switch trips because its time has come [s]; inf: none. */
double session_next_trip(const struct session *s);

/* Begins stage k: its network, states carried over by part and role, pattern. False on trouble. */
bool session_stage(struct session *s, int k);

#endif
