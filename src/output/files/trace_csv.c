/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The size is counted exactly before anything is written; while it is too large, the rows are put
 * through a smaller trace, which keeps the extremes of every interval and the ends of the run. */
#include "trace_csv.h"

#include <string.h>

#include "decimal.h"

static long heading_bytes(const struct result *result)
{
    long bytes = (long)strlen("t [s]\n");
    for (int c = 0; c < result->columns.n; c++) bytes += (long)strlen(result->columns.at[c]) + 3;
    return bytes;
}

/* The rows as text, DECIMAL_BYTES for each number at most; how many bytes. */
static long format(char *text, const struct trace *trace, int columns)
{
    char *to = text;
    for (int r = 0; r < trace_rows(trace); r++) {
        const double *row = trace_values(trace, r);
        to += decimal_format(to, trace_time(trace, r));
        for (int c = 0; c < columns; c++) {
            *to++ = ',';
            to += decimal_format(to, row[c]);
        }
        *to++ = '\n';
    }
    return (long)(to - text);
}

static double period_of(const struct result *result)
{
    double frequency = result->setup ? result->setup->frequency : 0;
    return frequency > 0 ? 1 / frequency : 1.0 / 60;
}

static const struct trace *thinned(struct arena *arena, const struct trace *trace,
                                   const struct result *result, int rows)
{
    int n = trace_rows(trace);
    double start = trace_time(trace, 0), stop = trace_time(trace, n - 1);
    struct trace *small = trace_new(arena, result->columns.n, start, stop, period_of(result), rows);
    for (int i = 0; result->setup && i < result->setup->stages.n; i++) {
        double t = result->setup->stages.at[i].time;
        if (t > start && t < stop) trace_mark(small, t, 1);
    }
    for (int r = 0; r < n; r++) trace_row(small, trace_time(trace, r), trace_values(trace, r));
    trace_finish(small);
    return small;
}

static void write_heading(struct writer *w, const struct result *result)
{
    writer_text(w, "t [s]");
    for (int c = 0; c < result->columns.n; c++) {
        writer_text(w, ",");
        writer_field(w, result->columns.at[c]);
    }
    writer_text(w, "\n");
}

const struct trace *trace_csv_write(struct writer *w, struct arena *arena, const char *name,
                                    const struct result *result, long most)
{
    const struct trace *trace = result->trace;
    if (most <= 0) most = TRACE_CSV_BYTES;
    writer_file(w, name);
    write_heading(w, result);
    if (!trace || trace_rows(trace) == 0) return trace;
    const int rows = trace_rows(trace), columns = result->columns.n;
    char *text = ARENA_ARRAY(arena, char, (size_t)rows *(size_t)(columns + 1) * DECIMAL_BYTES);
    const long room = most - heading_bytes(result), whole = format(text, trace, columns);
    long bytes = whole;
    for (double share = 0.95; bytes > room && share > 0.01; share *= 0.7) {
        trace = thinned(arena, result->trace, result,
                        (int)(share * (double)rows * (double)room / (double)whole));
        bytes = format(text, trace, columns);
    }
    writer_bytes(w, text, (size_t)bytes);
    return trace;
}
