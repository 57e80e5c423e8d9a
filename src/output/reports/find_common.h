/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_FIND_COMMON_H
#define PRESOLDER_FIND_COMMON_H

#include "find.h"
#include "page.h"
#include "writer.h"

/* What the searches for one and for two values say alike. */

/* `250 V` with so many digits. */
const char *find_amount(struct page *page, double value, enum unit unit, int digits);

/* `R1.resistance (now 30 ohm)`. */
const char *find_changed_words(struct page *page, const struct changed *changed);

/* The part the key belongs to: `T1` of `T1.primary.resistance`. */
const char *find_part(struct page *page, const struct changed *changed);

/* Watts of a resistor or coil, volts of a capacitor; NaN: neither is told. */
double find_strain(const struct changed *changed, const struct trial *trial, enum unit *unit);

/* Cells: figures over their ratings; by how much a figure is off its wish. */
const char *find_over_words(struct page *page, const struct trial *trial);
const char *find_off_words(struct page *page, const struct wish *wish, double figure);

/* How each run begins. */
void find_runs_words(struct page *page, bool cold);

/* Watts or volts to buy a resistor or capacitor by; `who` begins the sentence. False: the part is
 * none that is bought so. */
bool find_purchase_write(struct page *page, const struct changed *changed,
                         const struct trial *trial, const char *who);

/* From which load to which the answer holds, by n wishes; or that no part is a load. */
void find_loads_write(struct page *page, const struct finding *f, const struct wish *wishes, int n);

/* The last lines: a warning, the file, the cautions. */
void find_end_write(struct page *page, const struct finding *f, const char *figures);

/* `load +25 %`. */
const char *find_load_label(struct page *page, double load);

/* The figures of all its runs but those that closed in: answer, neighbours, loads, grid; each label
 * once. */
void find_figures_write(struct writer *w, const char *name, const struct finding *f);

#endif
