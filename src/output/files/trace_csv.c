/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The size is counted exactly before anything is written; while it is too large, the rows are put
 * through a smaller trace, which keeps the extremes of every interval and the ends of the run. */
#include "trace_csv.h"

#include <string.h>

#include "decimal.h"

enum { NUMBER_BYTES = 17 }; /* the longest: -1.23456789e-300 and what ends it */

/* Numbers as text, as many bytes as there is room for; all bytes are counted. */
struct text {
    char *at;
    long room, bytes;
};

static void add_number(struct text *t, double value, char end)
{
    char text[DECIMAL_BYTES];
    int n = decimal_format(text, value);
    text[n++] = end;
    if (t->bytes + n <= t->room) memcpy(t->at + t->bytes, text, (size_t)n);
    t->bytes += n;
}

static long heading_bytes(const struct result *result)
{
    long bytes = (long)strlen("t [s]\n");
    for (int c = 0; c < result->columns.n; c++) bytes += (long)strlen(result->columns.at[c]) + 3;
    return bytes;
}

/* Bytes of the whole file; its rows are in the text when they are no more than its room. */
static long format(struct text *t, const struct trace *trace, const struct result *result)
{
    const int columns = result->columns.n;
    t->bytes = 0;
    for (int r = 0; r < trace_rows(trace); r++) {
        const double *row = trace_values(trace, r);
        add_number(t, trace_time(trace, r), columns ? ',' : '\n');
        for (int c = 0; c < columns; c++) add_number(t, row[c], c + 1 < columns ? ',' : '\n');
    }
    return heading_bytes(result) + t->bytes;
}

static struct text room_for(struct arena *arena, long bytes)
{
    return (struct text){.at = ARENA_ARRAY(arena, char, bytes), .room = bytes};
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
    const long longest = NUMBER_BYTES * (long)trace_rows(trace) * (result->columns.n + 1);
    struct text text = room_for(arena, most < longest ? most : longest);
    const long whole = format(&text, trace, result);
    double share = 0.95;
    for (long bytes = whole; bytes > most && share > 0.01; share *= 0.7) {
        double rows = share * (double)trace_rows(result->trace) * (double)most / (double)whole;
        trace = thinned(arena, result->trace, result, (int)rows);
        bytes = format(&text, trace, result);
    }
    if (text.bytes > text.room) {
        text = room_for(arena, text.bytes);
        format(&text, trace, result);
    }
    writer_bytes(w, text.at, (size_t)text.bytes);
    return trace;
}
