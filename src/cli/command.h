/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_COMMAND_H
#define PRESOLDER_COMMAND_H

#include <stdio.h>

#include "options.h"
#include "scenario.h"
#include "status.h"
#include "suggest.h"

/* One command is one const table in a file of its own, and one line in commands_all. */

/* What a command works with. */
struct job {
    struct arena *arena;
    struct diags *diags;
    const struct options *options;
    FILE *out, *err;
    const char *data;                  /* folder with models, scenarios and plots, once found */
    const struct catalogue *catalogue; /* once read */
    bool unbalanced;                   /* a run failed its audit: exit code 4 without --force */
};

struct command {
    const char *name;
    const char *takes;   /* its arguments, for help: "SCENARIO" */
    const char *says;    /* one line for help */
    const char *tells;   /* the rest of its help: whole lines */
    const char *example; /* a command line */
    int least, most;     /* arguments */
    unsigned bit;        /* in struct option.commands */
    enum status (*run)(struct job *job);
};

enum command_bit {
    FOR_NEW = 1,
    FOR_CHECK = 2,
    FOR_SWITCH_ON = 4,
    FOR_PARTS = 8,
    FOR_COMPARE = 16,
    FOR_TRY = 32,
    FOR_FIND_VALUE = 64,
    FOR_DISCHARGE = 128,
    FOR_REFORM = 256,
    FOR_HOT_CHASSIS = 512,
    FOR_FUSE = 1024,
    FOR_BENCH_SHEET = 2048,
    FOR_BUY_LIST = 4096,
    FOR_TOLERANCES = 8192,
    FOR_SCHEMATIC = 16384,
    FOR_DIAGNOSE = 32768,
    FOR_REPORT = 1 << 16,
    FOR_EXERCISE = 1 << 17,
    FOR_SCHEMA = 1 << 18,
    FOR_ALL = 0xFFFFF
};

extern const struct command command_new, command_check, command_switch_on, command_parts,
    command_compare, command_try, command_find_value, command_discharge, command_reform,
    command_hot_chassis, command_fuse, command_bench_sheet, command_buy_list, command_tolerances,
    command_schematic, command_diagnose, command_report, command_exercise, command_schema;

/* All commands in the order of help; ends with NULL. */
extern const struct command *const commands_all[];

/* ---- what several commands do (job.c) ---- */

/* A message about the whole work, not a place in a file: `error: ...` with a hint (may be NULL). */
void job_error(struct job *job, const char *hint, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* Adds a message of another list. */
void job_diag(struct job *job, const struct diag *diag);

/* Finds the data folder and reads the catalogue. False with an error when that fails. */
bool job_catalogue(struct job *job);

/* The same, and the scenario that is the first argument; NULL with errors. */
const struct scenario *job_scenario(struct job *job);

/* The same with the scenario of another file. */
const struct scenario *job_scenario_of(struct job *job, const char *path);

/* The kinds of scenario that `new` writes (command_new.c). */
suggest_words command_new_forms(struct job *job);

/* ---- help (help.c) ---- */

/* The help of the program, or of one command. */
void help_write(FILE *to, struct arena *arena, const struct command *command);

/* On what an exit code depends, with a blank before it, or "". */
const char *help_condition(enum status status);

/* The two lines shown when nothing is asked for. */
void help_usage(FILE *to);

#endif
