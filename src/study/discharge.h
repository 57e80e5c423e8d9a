/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_DISCHARGE_H
#define PRESOLDER_DISCHARGE_H

#include "capacitor.h"
#include "failure.h"
#include "run.h"

/* What a set's capacitors hold when it is switched off, how they empty by themselves, and what a
 * resistor to empty them with must stand. */

#define DISCHARGE_SAFE RUN_BLED /* [V] */
#define DISCHARGE_HOLD 30.0     /* a discharge tool is held on so long [s], common practice */
#define DISCHARGE_METER                                                                            \
    100e6                     /* [ohm] of the meter on the plug: the probe IEC 62368-1 asks for,   \
                               * from memory; a meter of 10 Mohm would empty the capacitor itself */
#define DISCHARGE_RULE 10e3   /* the customary tool: 10 kohm, 5 W wirewound, 500 V */
#define DISCHARGE_WATTS 5.0   /* [W] */
#define DISCHARGE_VOLTS 500.0 /* [V] */
#define DISCHARGE_OVERLOAD                                                                         \
    10.0 /* times its watts a wirewound resistor stands for 5 s, from memory */

enum { DISCHARGE_MARKS = 3 };
extern const double discharge_marks[DISCHARGE_MARKS]; /* seconds after switch-off: 1, 2, 5 */

/* Share of its volts that creeps back when a part that was charged for long is emptied quickly and
 * left alone for minutes. */
struct creep {
    double least, most;
};
extern const struct creep discharge_creep[]; /* by enum capacitor_make */

/* How the volts of one capacitor fall once the mains are off. */
struct decay_seen {
    double start;               /* volts at switch-off */
    double at[DISCHARGE_MARKS]; /* volts at the marks */
    double safe;                /* seconds to below DISCHARGE_SAFE for good; inf: not in `end` */
    double left, end;           /* volts at the end of the run, and its length [s] */
};

/* One capacitor by itself, also in a string or a doubler. Charges and energies are those at its
 * highest volts. */
struct stored {
    const char *name, *make;
    double farads;
    double settled;               /* in the warm set, as all studies tell it [V] */
    double from;                  /* at the instant from which it is emptied, of its energy [V] */
    int unbalanced;               /* runs but `run` whose audit failed */
    double highest;               /* of the whole turn-on [V] */
    double joules, coulombs;      /* at `highest` */
    double cold;                  /* bleed-down-time of its settled volts with cold tubes [s] */
    double to_50;                 /* the same to 50 V */
    bool across_line;             /* between the points of the plug */
    bool leak_only;               /* then hardly anything but the leakage told of it empties it */
    struct decay_seen cold_marks; /* the first seconds with cold tubes */
    struct decay_seen hot;        /* with tubes that are hot at switch-off */
    double creep_low, creep_high; /* volts that may creep back some minutes after it was emptied */
};

/* A resistor to empty everything with. */
struct tool {
    double ohms;
    int in_series;  /* equal resistors that make it up, for their volts */
    double peak;    /* watts when put across the highest volts */
    double joules;  /* all the set holds */
    double watts;   /* rating of the whole, customary sizes [W] */
    double volts;   /* it must stand */
    double longest; /* seconds to DISCHARGE_SAFE with all capacitors joined */
};

struct discharge {
    const struct setup *setup;
    const struct result *run; /* the scenario's own */
    ARRAY(struct stored) parts;
    double joules, coulombs, highest; /* of the set */
    bool has_plug;                    /* fed from the line by a plug */
    struct decay_seen pins; /* volts between the prongs of the plug when it is pulled at the crest
                             * (the worse one), with cold tubes, into a meter of DISCHARGE_METER */
    const char *meter;      /* the name of the part that is this meter */
    bool has_hot;           /* false: no mains to switch off, or they are off at the end */
    struct tool rule, fit;  /* the customary one in this set; the one to use */
    bool rule_fits;
    int unbalanced; /* runs whose audit failed */
    enum status status;
    struct failure failure; /* why not STATUS_OK */
};

/* Runs the scenario as it is, then hot until settled, then hot with the mains off at the end, and
 * cold from the highest volts without mains. Lives in `arena`. */
const struct discharge *discharge_study(struct arena *arena, struct diags *diags,
                                        const struct scenario *s, const char *variant,
                                        const struct run_options *options);

/* The tool of `ohms` for capacitors of `farads` in all at `volts`: peak V^2/R, time R C ln(V/30).
 */
struct tool discharge_tool(double ohms, double farads, double volts, double joules);

/* ---- limits of shock and energy (charge_limits.c) ---- */

/* Their figures; where each is from tells charge_limit_source. */
#define CHARGE_LIVE 42.4 /* from these volts a charged part counts at all: IEC 60335-1, 8.1.4 */
#define CHARGE_COULOMBS 45e-6 /* at most [C] */
#define CHARGE_FARADS 0.1e-6  /* [F], from CHARGE_LIVE to CHARGE_FARADS_TO volts */
#define CHARGE_FARADS_TO 450.0
#define CHARGE_WORKER_FROM 100.0 /* [V]; below these 100 J are a hazard */
#define CHARGE_WORKER_TO 400.0   /* [V]; up to these CHARGE_WORKER_BELOW joules, then _ABOVE */
#define CHARGE_WORKER_BELOW 1.0
#define CHARGE_WORKER_ABOVE 0.25
#define CHARGE_VOLTS 60.0       /* at most at the second and the third mark [V] */
#define CHARGE_EXEMPT 60e-6     /* a part of no more need not fall within five seconds [C] */
#define CHARGE_BLEEDER 60.0     /* seconds to 50 V at most */
#define CHARGE_HIGH_VOLTS 600.0 /* from these volts on CHARGE_BLEEDER_HIGH */
#define CHARGE_BLEEDER_HIGH 300.0

enum charge_limit {
    CHARGE_LIMIT_CHARGE,
    CHARGE_LIMIT_CAPACITANCE,
    CHARGE_LIMIT_WORKER,
    CHARGE_LIMIT_TWO_SECONDS,
    CHARGE_LIMIT_FIVE_SECONDS,
    CHARGE_LIMIT_BLEEDER,
    CHARGE_LIMITS
};
bool charge_limit_over(enum charge_limit limit, const struct stored *c);

/* Its source with its status: read, second hand, from memory. */
const char *charge_limit_source(enum charge_limit limit);

/* Limits of the volts between the prongs of a pulled plug. */
struct pin_limit {
    const char *source;
    int mark;      /* of discharge_marks */
    double volts;  /* at most [V], or, when at most 1, that share of the crest */
    double farads; /* across the line from which it holds [F] */
};
int charge_pin_limits_count(void);
const struct pin_limit *charge_pin_limit_at(int i);
bool charge_pin_limit_over(const struct pin_limit *limit, const struct decay_seen *pins);

#endif
