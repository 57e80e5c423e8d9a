/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_STATUS_H
#define PRESOLDER_STATUS_H

/* One list: name, exit code of the program, text. */
#define STATUS_LIST(X)                                                                             \
    X(STATUS_OK, 0, "done")                                                                        \
    X(STATUS_OVER_RATING, 1, "a rating is exceeded")                                               \
    X(STATUS_USAGE, 2, "wrong usage")                                                              \
    X(STATUS_SCENARIO, 3, "the scenario or a model is wrong")                                      \
    X(STATUS_SOLUTION, 4, "the solution failed")                                                   \
    X(STATUS_WRITE, 5, "cannot write")                                                             \
    X(STATUS_INTERRUPTED, 6, "interrupted")

#define STATUS_ENUM(name, code, text) name,
enum status { STATUS_LIST(STATUS_ENUM) STATUS_COUNT };
#undef STATUS_ENUM

/* The exit code that belongs to a status, and its text in plain words. */
int status_exit_code(enum status status);
const char *status_text(enum status status);

#endif
