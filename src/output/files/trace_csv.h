/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_TRACE_CSV_H
#define PRESOLDER_TRACE_CSV_H

#include "run.h"
#include "writer.h"

/* The largest file written [bytes]. */
enum { TRACE_CSV_BYTES = 10 * 1000 * 1000 };

/* Writes the trace of a result as the file `name`: first `t [s]`, then the result's columns, 9
 * significant digits, lines end with \n. A trace that would make a larger file is thinned once more
 * by the rules of trace.h: what an interval's extremes are stays. Without a trace only the heading
 * is written. `most` bounds the bytes; 0: TRACE_CSV_BYTES. Returns the trace whose rows the file
 * holds, in `arena` or the result's own; NULL: none. */
const struct trace *trace_csv_write(struct writer *w, struct arena *arena, const char *name,
                                    const struct result *result, long most);

#endif
