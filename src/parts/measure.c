/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure.h"

#include <string.h>

#include "tongue.h"

#define X(id, name_, unit_, words_, ...)                                                           \
    [MEASURE_##id] = {.name = name_, .unit = unit_, .words = words_, __VA_ARGS__},
const struct measure_row measure_table[MEASURES] = {[MEASURE_NONE] = {.name = "", .words = ""},
                                                    MEASURE_ROWS(X)};
#undef X

const char *measure_words(enum measure measure)
{
    const struct measure_row *row = &measure_table[measure];
    return tongue_says((struct tongue){row->words, row->words_uk});
}

enum measure measure_find(const char *name)
{
    for (enum measure m = MEASURE_NONE + 1; m < MEASURES; m++)
        if (strcmp(measure_table[m].name, name) == 0) return m;
    return MEASURE_NONE;
}

enum measure measure_on(enum measure_range range)
{
    for (enum measure m = MEASURE_NONE + 1; m < MEASURES; m++)
        if (measure_table[m].range == range) return m;
    return MEASURE_NONE;
}
