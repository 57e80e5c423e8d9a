/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_STATUS_H
#define PRESOLDER_STATUS_H

/* One list: name, exit code of the program. */
#define STATUS_LIST(X)                                                                             \
    X(STATUS_OK, 0)                                                                                \
    X(STATUS_OVER_RATING, 1)                                                                       \
    X(STATUS_USAGE, 2)                                                                             \
    X(STATUS_SCENARIO, 3)                                                                          \
    X(STATUS_SOLUTION, 4)                                                                          \
    X(STATUS_WRITE, 5)                                                                             \
    X(STATUS_INTERRUPTED, 6)

#define STATUS_ENUM(name, code) name,
enum status { STATUS_LIST(STATUS_ENUM) STATUS_COUNT };
#undef STATUS_ENUM

/* The exit code that belongs to a status. */
int status_exit_code(enum status status);

#endif
