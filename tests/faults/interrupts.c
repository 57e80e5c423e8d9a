/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Preloaded into the program (LD_PRELOAD), this interrupts it in a chosen step of the integrator, which takes
 * the fifth root of its error in each: the same place on every machine, however busy.
 *
 *   INTERRUPT_AT    the step, counted from 1 over all threads; 0: none, they are only counted
 *   INTERRUPT_BY    the signals, one after the other: "INT", "TERM" or "INT TERM"; unset: INT
 *   INTERRUPT_TOLD  a file for the number of steps */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <math.h>
#include <signal.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#pragma GCC diagnostic ignored "-Wpedantic" /* dlsym's object is a function */
typedef double Power(double, double);

static Power *next;
static long at;
static const char *by = "INT";
static int counts;
static atomic_long steps;

__attribute__((constructor)) static void begin(void)
{
    next = (Power *)dlsym(RTLD_NEXT, "pow");
    if (getenv("INTERRUPT_AT")) at = strtol(getenv("INTERRUPT_AT"), NULL, 10);
    if (getenv("INTERRUPT_BY")) by = getenv("INTERRUPT_BY");
    counts = strcmp(program_invocation_short_name, "presolder") == 0; /* and no gnuplot of its */
}

__attribute__((destructor)) static void end(void)
{
    const char *path = getenv("INTERRUPT_TOLD");
    FILE *file = counts && path ? fopen(path, "w") : NULL;
    if (!file) return;
    fprintf(file, "%ld\n", (long)steps);
    fclose(file);
}

double pow(double x, double y)
{
    if (y == -0.2 && counts && ++steps == at) {
        if (strstr(by, "INT")) raise(SIGINT);
        if (strstr(by, "TERM")) raise(SIGTERM);
    }
    return next(x, y);
}
