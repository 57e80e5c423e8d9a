/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A line of text as a value of every unit. What is taken must be within its bounds or refused with
 * a word, and must come out as the same value when it is written and read again. */
#include "fuzz.h"

#include <math.h>
#include <string.h>

#include "bounds.h"

int LLVMFuzzerInitialize(int *argc, char ***argv)
{
    (void)argc, (void)argv;
    return 0;
}

static void read(const char *text, enum unit unit)
{
    struct complaint why = {0};
    double value = 0, again = 0;
    char written[64];
    if (!quantity_parse(text, unit, &value, &why)) {
        if (!why.message[0]) abort();
        return;
    }
    if (!isfinite(value)) abort();
    if (!bounds_hold(value, unit, &why)) {
        if (!why.message[0]) abort();
        return;
    }
    quantity_text(value, unit, 12, written, sizeof written);
    if (!quantity_parse(written, unit, &again, &why)) abort();
    double scale = unit == UNIT_CELSIUS ? fabs(value) + 273.15 : fabs(value);
    if (!(fabs(again - value) <= 1e-9 * scale)) abort();
}

static void once(struct arena *arena, const char *data, size_t bytes)
{
    const char *text = arena_text(arena, data, bytes);
    struct token tokens[QUANTITY_TOKENS];
    struct complaint why;
    int n = quantity_scan(text, tokens, &why);
    if (n < 0 && !why.message[0]) abort();
    read(text, n > 0 ? tokens[0].unit : UNIT_VOLT); /* its own; and any */
    read(text, bytes % (UNIT_JOULE_PER_KELVIN + 1));
}

int LLVMFuzzerTestOneInput(const unsigned char *data, size_t bytes)
{
    fuzz_once(once, data, bytes);
    return 0;
}
