/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_BUY_LIST_H
#define PRESOLDER_BUY_LIST_H

#include "capacitor.h"
#include "failure.h"
#include "keep.h"

struct ends;

/* What to buy for a set: for every part the worst that it meets in named runs at +10 % line, and
 * the size sold that stands it. */

#define BUY_RAISED 0.1   /* so much is the line of a worst case over that as drawn */
#define BUY_REVERSE 1.0  /* that an electrolytic stands, Vishay doc. 28329 [V] */
#define BUY_KIND 85      /* the cooler kind of electrolytic [C]; beyond it no kind lives long */
#define BUY_COOL 65      /* can up to which it has 20 K in hand [C] */
#define BUY_HOT_KIND 105 /* the hotter kind [C] */
#define BUY_SHARE_WORST                                                                            \
    0.6              /* of the volts on one of two, capacitances 20 % apart each way: 1.2/2 */
#define BUY_BLEED 10 /* times the leakage that equalising resistors carry */
#define BUY_DIODE_VOLTS 1000.0 /* 1N4007 */
#define BUY_DIODE_SHARE 0.8    /* of its rating */
#define BUY_FUSE_TIMES 1.5     /* of the running current */

/* The worst cases. In all of them the parts that are bought are in place: every filter capacitor of
 * the value proposed, an electrolytic of modern make; they and the resistors and rectifiers sound.
 * A set without mains has its batteries at +10 % instead. */
enum buy_run {
    BUY_HOT,          /* warm cathodes, until settled */
    BUY_COLD,         /* from cold, 30 s at least where something has to warm up */
    BUY_OPEN,         /* warm, every load open: plugged in with its output tube out; absent when the
                       * set has no load */
    BUY_SILICON,      /* 1N4007 in place of every rectifier tube and selenium, warm; absent without
                       * such */
    BUY_SILICON_OPEN, /* the same with every load open */
    BUY_RUNS
};

/* The worst of a figure over the runs; run -1: there is none, value NaN. */
struct buy_worst {
    double value;
    int run;
};

/* More across a resistor needs two in series (common practice, no source) [V]. */
#define BUY_RESISTOR_VOLTS 250.0

/* Two equal parts in series in place of one, each with an equalising resistor across it. */
struct buy_pair {
    double farads;         /* of each [F] */
    double rating;         /* of each [V]; 0: none is sold */
    double ohms;           /* of each resistor */
    double volts, watts;   /* of each resistor, with equal halves [V], [W] */
    double resistor_watts; /* rating to buy [W] */
};

struct buy_capacitor {
    const char *name;
    enum capacitor_make make; /* as drawn */
    bool electrolytic;
    double drawn, farads;     /* printed on the old one; to buy [F] */
    struct buy_worst volts;   /* greatest magnitude [V] */
    double rating;            /* to buy [V]; 0: none is sold, two in series are needed */
    bool uncommon;            /* an electrolytic of that rating is made by few: a pair does too */
    struct buy_pair pair;     /* when rating is 0 or uncommon */
    struct buy_worst reverse; /* most volts the wrong way round [V]; run -1: 1 V at most */
    struct buy_worst ripple;  /* RMS current [A], of BUY_HOT or the end of BUY_COLD */
    double frequency;         /* of its ripple [Hz] */
    double can;               /* its temperature with its own heat in BUY_HOT [K] */
    int celsius;              /* 85 or 105: kind to buy; 0: neither, it needs another place */
    const char *plus, *minus; /* points, as it settles in BUY_HOT */
    double plus_volts, minus_volts; /* against the reference [V] */
    bool swapped;                   /* plus lies at the second point of its `across` */
    bool alternating;               /* no direct voltage to speak of */
    bool insulated;                 /* its negative is not the reference */
    const char *can_name;           /* shared with others; NULL: it has its own */
    bool parted;                    /* the others there have another negative */
    const char *beside;    /* another filter capacitor across the same points; NULL: none */
    const char *rectifier; /* it is the first capacitor of it; NULL: of none */
    enum measure limit;    /* of that rectifier, which it puts over; MEASURE_NONE: none */
    double share;          /* of its rating */
    /* Over its limit on the raised line only, by no more than that is raised; MEASURE_NONE: none. */
    enum measure raised;
    bool derived;                     /* that limit is no maker's; else it is a design-centre one */
    double raised_share, drawn_share; /* of it on the raised line, on the line as drawn */
};

struct buy_resistor {
    const char *name;
    double drawn, ohms; /* as drawn; nearest of E24; NaN: not known */
    struct buy_worst watts, volts;
    double rating; /* to buy [W]; inf: several */
};

/* A heater section that goes out with a tube. */
struct buy_heater {
    const char *name; /* heater part, or the winding */
    double volts, amperes;
    bool string;   /* in series with others on the line: a resistor takes its place */
    double ohms;   /* E24, not below; NaN: none is needed */
    double watts;  /* with the line at +10 % */
    double rating; /* to buy [W] */
};

enum { BUY_HEATERS = 4 };

struct buy_rectifier {
    const char *name, *type;  /* type as in the scenario; "" without */
    bool tube, replaced;      /* replaced: a tube or selenium */
    const char *cathode;      /* point of its one cathode; "" when it has two */
    struct buy_worst inverse; /* of one plate; when replaced, with silicon in its place [V] */
    int diodes;               /* 1N4007 in series for each plate; 0: not known */
    struct buy_heater heater[BUY_HEATERS];
    int heaters;
};

/* A first capacitor that is taken so many sizes of the series smaller than the one next above what is
 * drawn, since its rectifier would be over its rating. */
struct buy_smaller {
    const char *name;
    int sizes;
    enum measure limit; /* that of the rectifier which the next larger size passes */
    double share, next; /* of it; that size [F] */
    const char *rectifier;
};

struct buy_list {
    ARRAY(struct buy_smaller) smaller;
    const struct setup *setup[BUY_RUNS];         /* NULL: absent */
    const struct result *run[BUY_RUNS];          /* NULL: absent or not begun */
    const struct judgement *judgement[BUY_RUNS]; /* beside `run` */
    const char *label[BUY_RUNS];                 /* variant in figures.csv */
    const char *called[BUY_RUNS];                /* the same on the list */
    double line, raised;                         /* mains as drawn, and +10 % [V]; 0: no mains */
    struct keep_list keep; /* capacitors as drawn: warm, and the highest volts of any run */
    ARRAY(struct buy_capacitor) capacitors;
    ARRAY(struct buy_resistor) resistors;
    ARRAY(struct buy_rectifier) rectifiers;
    struct buy_worst line_current; /* RMS, running [A] */
    double fuse;                   /* slow [A]; 0: no mains, or beyond the list */
    bool changes;                  /* the scenario has timed changes */
    bool limited;                  /* a part stands in series with the plug */
    const char *unsettled;   /* a hot run, as it is called, that had not settled; NULL: all had */
    const struct ends *ends; /* with the new parts on the line as drawn (ends.h); NULL: not
                                    * looked at */
    enum status status;
    struct failure failure; /* why not STATUS_OK */
};

struct buy_options {
    double duration;                             /* of the cold run [s]; 0: the scenario's */
    int jobs;                                    /* threads; 0: as many as there are processors */
    int (*progress)(void *context, double done); /* as in run_options; from several threads */
    void *progress_context;
    bool ends;                                      /* look at both ends of what was assumed */
    void (*done)(void *context, int done, int all); /* after every run; may be NULL */
    void *done_context;
};

/* Makes the list for a variant (NULL: the scenario itself). STATUS_SCENARIO, told in `diags`, when
 * it cannot be set up or has no filter capacitor. Everything lives in `arena`. */
const struct buy_list *buy_list(struct arena *arena, struct diags *diags, const struct scenario *s,
                                const char *variant, const struct buy_options *options);

/* True for what the list takes for a filter capacitor: an electrolytic, or 1 uF and more. */
bool buy_is_filter(const struct part *part);

/* True for a rectifier tube, and for selenium. */
bool buy_is_replaced(const struct part *part);

/* ---- sizes sold (buy_sizes.c) ---- */

/* The least of the series E6 (IEC 60063) not below `farads`. */
double buy_farads(double farads);

/* The size of the series below one of it. */
double buy_farads_below(double farads);

/* The least working voltage sold not below `volts` [V]: electrolytics 10 to 600 V, others 160 to
 * 1200 V (common practice, no source; film of 450 to 1200 V: Vishay doc. 28164); 0: none. */
double buy_volts(double volts, bool electrolytic);

/* The least rating of 0.5 W and more not below twice `watts` (common practice, no source); inf
 * beyond 100 W. */
double buy_watts(double watts);

/* 1N4007 (1000 V repetitive) in series for so many inverse volts, each at no more than 80 % of its
 * rating (common practice, no source). */
int buy_diodes(double inverse);

/* The least fuse of the series R10 (IEC 60127) of at least 1.5 times `amperes`; 0: none up to 10 A.
 * The steps keep it below twice (common practice, no source). */
double buy_fuse(double amperes);

/* Two parts in series for `volts` in place of `farads`. Each is rated for 0.6 of the volts, its
 * share when they differ by +-20 %; the resistors carry ten times the leakage a new part of the
 * rating may have after five minutes (Lelon RGA data sheet). A rating of 0 when none is sold. */
struct buy_pair buy_pair(double farads, double volts);

/* Dissipation factor an electrolytic of that rating may have at 120 Hz (Lelon RGA data sheet: 0.12
 * to 160 V, 0.20 to 350 V, 0.25 above). */
double buy_loss(double rating);

#endif
