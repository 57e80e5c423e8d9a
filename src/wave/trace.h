/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_TRACE_H
#define PRESOLDER_TRACE_H

#include "arena.h"

/* A bounded record of chosen columns against time: the rows that hold an extreme of an interval are
 * kept, so no extreme of any column is lost; full resolution around switch-on, around marked
 * instants and in the last periods. The intervals are (stop - start) / 2^k, with k as large as the
 * budget of rows allows. */
struct trace;

/* About so many rows make files under 10 MB. */
enum { TRACE_ROWS = 24000 };

/* Periods at full resolution after the start, before each mark and at the end; marks honoured. */
enum { TRACE_HEAD = 8, TRACE_LEAD = 1, TRACE_TAIL = 6, TRACE_MARKS = 16 };

/* `columns` columns, a run from `start` to `stop` [s] with mains period `period` [s]; the run may
 * end earlier or later. At most `rows` rows (but at least 16 a column) are kept of all before the
 * last periods, half of them at most for the marked stretches, and a quarter of `rows` for the last
 * periods. Nothing is left out while `rows` are enough for all. Lives in `arena`; nothing is
 * allocated afterwards. */
struct trace *trace_new(struct arena *arena, int columns, double start, double stop, double period,
                        int rows);

/* Full resolution from TRACE_LEAD periods before t [s] to `periods` periods after it (switch-on,
 * timed changes); at most TRACE_MARKS marks are honoured. t may lie ahead, or be the time of the
 * last row. */
void trace_mark(struct trace *tr, double t, double periods);

/* One row: time [s] and values[columns]. Times never fall; two rows at one time are the two sides
 * of a jump. The same row twice is taken once. */
void trace_row(struct trace *tr, double t, const double *values);

/* After the last row: rows in order of time. row i: its time and a pointer to its values. */
void trace_finish(struct trace *tr);
int trace_rows(const struct trace *tr);
double trace_time(const struct trace *tr, int row); /* [s] */
const double *trace_values(const struct trace *tr, int row);

#endif
