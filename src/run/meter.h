/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_METER_H
#define PRESOLDER_METER_H

#include "run.h"
#include "session.h"
#include "wave.h"

/* Measuring and auditing one run: hands probes and powers to `wave` and `trace`, keeps the books of
 * energy and charge. */

struct contact;
struct heat;
struct watch;

struct channel {
    struct probe probe; /* as in the first stage that has it; kind and subject tell it apart */
    const char *part;   /* power channel: name of the part; NULL otherwise */
    bool mains_power;   /* power channel of the outlet */
};

struct temperature {
    const char *part, *role;
    double now;           /* [K] */
    double highest, time; /* [K], [s] */
    double passed;        /* when its limit was first passed [s]; NaN: not yet */
};

/* Periods over which the watts of thermal bodies are taken at the end of a run, at least. */
enum { METER_WATTS = 12 };

struct meter {
    struct arena *arena;
    struct session *session;
    struct wave *wave;
    struct trace *trace;
    ARRAY(struct channel) channels;
    ARRAY(int) traced; /* channels of the trace's columns */
    ARRAY(struct temperature) temperatures;
    double *samples;           /* [4 * channels] */
    double *out;               /* outputs of the network */
    double *row;               /* one row of the trace */
    const struct probe **here; /* [channels] the probe in this stage, NULL: absent */
    int *part_of;        /* [elements] power channel of each element, -1: stores or passes on */
    int *temperature_of; /* [states] in temperatures, -1 */
    bool asleep;         /* nothing is measured: the steps are a trial */
    double mark_time[2]; /* [s] older, newer; NaN: none in this stage */
    double *mark[2];     /* [states] at those instants */
    bool fresh;          /* samples of node 3 are valid as node 0 of the next step */
    double drawn, heat, booked,
        worked;          /* [J] since the start; worked: by sources in jumps, part of drawn */
    double moved;        /* energy that went to and fro between sources and network [J] */
    double stored_first; /* [J] at the start, plus what parts brought in or took away */
    /* the charge books, by capacitor [C] */
    double *gained;                     /* by jumps in this stage */
    double *passed;                     /* integral of |current| */
    double *came;                       /* integral of the current */
    double *charge_first;               /* at the start of the stage */
    double *rates;                      /* [capacitors * 4] currents at the nodes of the step [A] */
    double node_heat[4], node_drawn[4]; /* [W] */
    double charge_worst;
    const char *charge_point;
    struct watch *watch;
    struct contact *contact;  /* NULL: no vibrator */
    struct heat *heat_record; /* NULL: without a trace */
};

struct meter *meter_new(struct arena *arena, struct session *s);

/* A stage begins: maps channels to the stage's elements; full state and pattern are in force. */
void meter_stage(struct meter *m);
/* A stage ends: its charge books are closed. */
void meter_stage_end(struct meter *m);

/* The solver's last step, sampled at the Lobatto nodes. 0, or 1 when the equations could not be
 * solved at a node. */
int meter_step(struct meter *m);

/* A switch: work done by the sources at once, energy lost, charges before and after. */
void meter_jump(struct meter *m, double work, double loss, const double *before,
                const double *after);

/* The state in force was put there out of turn, from charges [C] and stored energy [J] that stood
 * before: the books go on from here. */
void meter_moved(struct meter *m, const double *charge, double stored);

/* A cycle of the mains has ended. */
void meter_cycle(struct meter *m);

/* The values right after a switch or change. */
int meter_instant(struct meter *m);

/* The subject of a temperature in figures. */
const char *meter_temperature(const struct meter *m, int k);

/* The books of energy and charge in one row, books[meter_books_count]; and adding to them. */
int meter_books_count(const struct meter *m);
void meter_books(const struct meter *m, double *books);
void meter_books_add(struct meter *m, const double *books);

/* Whether the volts of all capacitors, or without any every watched quantity, have settled. */
bool meter_settled(const struct meter *m);

/* Fills figures and the audit of the result. */
void meter_report(struct meter *m);

#endif
