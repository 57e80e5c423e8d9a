/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_BENCH_TEXT_H
#define PRESOLDER_BENCH_TEXT_H

#include <stdio.h>

#include "bench_sheet.h"
#include "page.h"
#include "writer.h"

/* The sheet for print: what to measure in which order, beside each reading the healthy band and
 * what the likely faults read. `file`, `figures`: paths told at its end. */
void bench_text_write(FILE *to, struct arena *arena, const struct bench_sheet *sheet,
                      const char *file, const char *figures);

/* The same as part of another page: without title, paths and cautions. */
void bench_text_part(struct page *page, const struct bench_sheet *sheet);

/* The same as the file `name`, one row a reading: section, step, condition, reading, unit, value,
 * least, most (of the healthy band; empty where there is none) and outside (of a fault: 1 when the
 * value lies outside the band of its step). SI units. */
void bench_csv_write(struct writer *w, const char *name, const struct bench_sheet *sheet);

#endif
