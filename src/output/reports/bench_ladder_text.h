/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_BENCH_LADDER_TEXT_H
#define PRESOLDER_BENCH_LADDER_TEXT_H

#include "bench_sheet.h"
#include "page.h"

/* The sound set on a variable transformer, a row for each setting. */
void bench_ladder_write(struct page *page, const struct bench_sheet *sheet);

/* Ohms and small AC volts by which the leads of the power transformer are told apart; nothing for a
 * set without one. */
void bench_ladder_leads(struct page *page, const struct bench_sheet *sheet);

#endif
