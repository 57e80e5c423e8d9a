/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_OPTIONS_H
#define PRESOLDER_OPTIONS_H

#include <stdbool.h>

#include "diag.h"

/* The command line as the user wrote it, read by one table of commands and one of options. */

enum { ARGUMENTS_MOST = 20, WORDS_MOST = 20 };

/* The values of an option that may be given several times. */
struct words {
    const char *at[WORDS_MOST];
    int n;
};

struct options {
    const struct command *command;        /* NULL: none was named */
    const char *argument[ARGUMENTS_MOST]; /* behind the command: scenario, kind, file, part */
    int arguments;
    const char *out;     /* folder for results; NULL: the default */
    const char *variant; /* the last one told; NULL: the scenario itself */
    struct words variants, changes, wishes, points, readings, includes;
    const char *readings_file, *healthy_file; /* NULL: none */
    const char *set;                          /* of readings; NULL: not told */
    const char *value, *rated, *at, *part;    /* of what is re-formed; NULL: not told */
    const char *stock;                        /* file of what is in the drawer; NULL: none */
    const char *format;                       /* of pictures: "svg" or "png" */
    double duration;                          /* of the run [s]; 0: the scenario's */
    int jobs;                                 /* threads; 0: as many as there are processors */
    int samples;                              /* of tolerances; 0: not told */
    int seed;                                 /* of tolerances and exercises; 0: not told */
    int level, pupils;                        /* of an exercise; 0: not told */
    const char *fault;                        /* of an exercise; NULL: not told */
    bool sources, quiet, strict, force, every_cycle, black_and_white, no_plots, cold, help, version;
    bool tolerances; /* bands, even where they cost more than a second */
    bool zigzag, narrow, without_voltages, full, cautions, owner, colour, html;
};

/* How an option takes its value. */
enum option_kind {
    OPTION_FLAG,
    OPTION_TEXT,
    OPTION_FOR, /* a time, or `owner` */
    OPTION_CHOICE,
    OPTION_COUNT, /* a number from 1 on */
    OPTION_WORDS  /* may be given several times */
};

struct option {
    const char *name;  /* with its dashes */
    const char *takes; /* name of the value; NULL: none. OPTION_CHOICE: the words, with | between */
    const char *says;  /* for help */
    enum option_kind kind;
    unsigned commands; /* sum of the commands' bits it belongs to */
    size_t at;         /* offset of its field in struct options */
};

/* All options; ends with a NULL name. */
extern const struct option options_all[];

/* Reads the arguments argv[1..argc-1]. Mistakes go to diags with a hint; the first one ends the
 * reading. Texts point into argv. */
struct options options_read(struct arena *arena, struct diags *diags, int argc, char *const *argv);

#endif
