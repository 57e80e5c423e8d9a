/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_FUSING_H
#define PRESOLDER_FUSING_H

#include "failure.h"
#include "fuse_time.h"
#include "run.h"

/* Which fuse in the line survives switch-on and running, and which faults it clears before a
 * winding is too hot. */

#define FUSING_LEAST 0.25 /* rated amperes that are looked at */
#define FUSING_MOST 5.0
#define FUSING_UL_SHARE                                                                            \
    0.75 /* of its rating a fuse to UL 248-14 is used up to; customary, from memory */
/* Of its melting I2t a switch-on may use so much, for a thousand of them: makers' selection guides,
 * from memory. */
#define FUSING_PULSE 0.38
#define FUSING_CLAMP 0.1 /* [s] over which clamp meters may show an inrush, second hand */
#define FUSING_CYCLES 12 /* of the mains that count as the pulse */

/* Line current of one switch-on. */
struct surge {
    double peak;          /* [A] */
    double half, ten;     /* I2t of the first half cycle, and of ten cycles [A2s] */
    double clamp;         /* RMS of the first FUSING_CLAMP [A] */
    double step;          /* [s] */
    ARRAY(double) square; /* mean squares of successive steps [A2] */
    bool hot;             /* a restart: the fuse is warm from running */
    bool crest;           /* closed there, else at a zero */
};

struct fusing_fault {
    const char *name; /* `C1 shorted` */
    double amperes;   /* RMS from the line */
    bool usual;       /* no more than the warm set draws without it: no fuse could see it */
    double limit;     /* seconds until a winding passes its class; inf: never; NaN: none is there */
    const char *winding; /* that one; NULL: none */
};

/* ---- how warm the bodies of a set are (fusing_heat.c) ---- */

/* Watched by a run with `observe` = fusing_heat_observe, observe_every = 12 cycles. */
struct fusing_heat {
    struct arena *arena;
    const struct circuit *circuit; /* of the last call; NULL: none yet */
    double time[2];                /* [s] */
    double *kelvin[2];             /* [states] at the last two calls */
};
void fusing_heat_observe(void *context, double t, const struct equations *eq, const double *y);

/* Seconds until the first body with a limit passes it, when the set of `warm` has run for hours and
 * then the watts of `fault` begin; *part: whose it is. NaN: there is no such body. Bodies are
 * matched by part and role; copper's watts are those of the fault's current at its warmth. */
double fusing_heat_limit(const struct fusing_heat *warm, const struct fusing_heat *fault,
                         const char **part);

enum fusing_verdict { FUSING_HOLDS, FUSING_TOO_SMALL, FUSING_BLOWS_AT_ONCE };

struct fusing_fuse {
    const char *name;
    struct fuse_told told;
    enum fusing_verdict verdict; /* too small to run on, or melted by switch-on */
    double share;                /* greatest rise of its element at switch-on over that to melt */
    double *opens;               /* [faults] seconds, from running warmth; inf: never */
    int cleared;                 /* faults it opens at before the winding's limit */
};

enum { FUSING_SURGES = 4 };

struct fusing {
    const struct setup *setup;
    double running; /* RMS from the line, warm [A] */
    double watts;   /* from the line */
    struct fusing_heat warm;
    ARRAY(struct surge) all;            /* either zero or crest, a core magnetised either way */
    struct surge surges[FUSING_SURGES]; /* of each kind among them the greatest of every column */
    int surge_count;
    ARRAY(struct fusing_fault) faults;
    ARRAY(struct fusing_fuse) fuses; /* by standard and speed, rising */
    const char *standing;            /* a fuse that stands in the plug's lead and was bridged */
    int unbalanced;                  /* runs whose audit failed */
    bool harmful;                    /* some fault takes a winding over its class */
    enum status status;
    struct failure failure; /* why not STATUS_OK */
};

/* Largest running current a fuse is used at: rated, of UL 248-14 ones FUSING_UL_SHARE of it [A]. */
double fusing_most(const struct fuse_told *told);

/* Seconds after which the fuse has melted in a surge, its first FUSING_CYCLES counted over
 * FUSING_PULSE; inf: it holds. *share: greatest rise of the element over that to melt. */
double fusing_melts(const struct fuse_told *told, const struct surge *surge, double frequency,
                    double running, double *share);

const struct fusing *fusing_study(struct arena *arena, struct diags *diags,
                                  const struct catalogue *catalogue, const struct scenario *s,
                                  const char *variant, const struct run_options *options);

/* The smallest fuse of its standard and speed that holds; NULL: none of that class does. `k`: 0..
 * as long as *more. */
const struct fusing_fuse *fusing_smallest(const struct fusing *f, int k, bool *more);

#endif
