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
struct envelope;
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

/* Rows of a panel that are summed at once; they lie together. */
enum { METER_BLOCK = 8 };

/* What is looked at in one pattern at every node: the sampled channels, then volts and amperes of
 * every source, then the current of every capacitor. */
struct panel {
    const struct reduced *r;
    bool stale;     /* r was folded anew */
    double *blocks; /* of METER_BLOCK rows each: [columns * METER_BLOCK] */
    int rows;       /* of which so many differ, in a pattern of many columns */
    int *same;      /* [meter->rows] the one of them that a row is; NULL: all are there */
};

struct meter {
    struct arena *arena;
    struct session *session;
    struct wave *wave;
    struct trace *trace;
    ARRAY(struct channel) channels; /* those of probes first, then powers */
    int sampled;                    /* channels of probes */
    ARRAY(int) traced;              /* channels of the trace's columns */
    ARRAY(struct temperature) temperatures;
    ARRAY(struct panel) panels;   /* of this stage */
    ARRAY(int) sources;           /* elements of this stage */
    int rows, width;              /* of a panel; room in `x` for a node */
    int stride;                   /* rows, filled up to whole blocks */
    double *values;               /* [4 * room for rows] at the nodes: [node * rows + row] */
    double *x;                    /* [4 * width] columns at the nodes */
    double *means;                /* [rows * WAVE_SUMS], scratch */
    double *looked;               /* [rows], scratch */
    double *row;                  /* one row of the trace */
    double *watts;                /* [channels] joules of a stretch, scratch */
    const struct probe **here;    /* [sampled] the probe in this stage, NULL: absent */
    int line_volts, line_amperes; /* channels of the outlet in this stage; -1: none */
    int *part_of;        /* [elements] power channel of each element, -1: stores or passes on */
    int *temperature_of; /* [states] in temperatures, -1 */
    bool asleep;         /* nothing is measured: the steps are a trial */
    double *samples;     /* [4 * states] those that move, at the nodes of a step; scratch */
    double mark_time[2]; /* [s] older, newer; NaN: none in this stage */
    double *mark[2];     /* [states] at those instants */
    bool fresh;          /* values of node 3 are valid as node 0 of the next step */
    bool joined;         /* and that node was the end of a step */
    double drawn, heat, booked,
        worked;          /* [J] since the start; worked: by sources in jumps, part of drawn */
    double mains;        /* [J] from the outlet in this stretch */
    double moved;        /* energy that went to and fro between sources and network [J] */
    double stored_first; /* [J] at the start, plus what parts brought in or took away */
    /* the charge books, by capacitor [C] */
    double *gained;       /* by jumps in this stage */
    double *passed;       /* integral of |current| */
    double *came;         /* integral of the current */
    double *charge_first; /* at the start of the stage */
    double charge_worst;
    const char *charge_point;
    struct watch *watch;
    struct contact *contact;   /* NULL: no vibrator */
    struct heat *heat_record;  /* NULL: without a trace */
    struct envelope *envelope; /* likewise */
};

struct meter *meter_new(struct arena *arena, struct session *s);

/* A stage begins: maps channels to the stage's elements; full state and pattern are in force. */
void meter_stage(struct meter *m);
/* A stage ends: its charge books are closed. */
void meter_stage_end(struct meter *m);

/* What the patterns show of their outputs has changed (reductions_fold). */
void meter_refold(struct meter *m);

/* Takes the moments of the stretch, up to now, into the figures and the books. */
void meter_flush(struct meter *m);

/* The solver's last step, sampled at the Lobatto nodes. 0, or 1 when the equations could not be
 * solved at a node. */
int meter_step(struct meter *m);

/* A switch: work done by the sources at once, energy lost, charges before and after. */
void meter_jump(struct meter *m, double work, double loss, const double *before,
                const double *after);

/* The state in force was put there out of turn, from charges [C] and stored energy [J] that stood
 * before: the books go on from here. */
void meter_moved(struct meter *m, const double *charge, double stored);

/* All books begin at the state in force. */
void meter_begin(struct meter *m);

/* A cycle of the mains has ended. */
void meter_cycle(struct meter *m);

/* The values right after a switch or change. */
int meter_instant(struct meter *m);

/* The subject of a temperature in figures. */
const char *meter_temperature(const struct meter *m, int k);

/* Whether the volts of all capacitors, or without any every watched quantity, have settled. */
bool meter_settled(const struct meter *m);

/* Fills figures and the audit of the result. */
void meter_report(struct meter *m);

#endif
