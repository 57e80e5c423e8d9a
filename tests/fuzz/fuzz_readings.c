/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Any text as a file of readings at a small set, which is read once. What is taken must be a
 * reading of something with a value; what is refused must be refused with a word. */
#include "fuzz.h"

#include <math.h>

#include "bounds.h"
#include "catalogue.h"
#include "file.h"
#include "readings.h"

enum { TEXT_MOST = 4096 };

static const struct scenario *set;
static FILE *nowhere;

int LLVMFuzzerInitialize(int *argc, char ***argv)
{
    (void)argc, (void)argv;
    struct arena *arena = arena_new();
    jmp_buf exhausted;
    size_t n;
    if (!arena || setjmp(exhausted) != 0) abort();
    arena_on_exhausted(arena, &exhausted);
    struct diags *diags = diags_new(arena);
    const struct catalogue *catalogue = catalogue_read(arena, diags, SOURCE_DIR "/models");
    char *text = arena_alloc(arena, TEXT_MOST);
    if (file_read(SOURCE_DIR "/tests/cli/small.yaml", text, TEXT_MOST - 1, &n) != 0) abort();
    set = scenario_parse(arena, diags, catalogue, "small", text);
    nowhere = fopen("/dev/null", "w");
    if (!set || diags_errors(diags) > 0) abort();
    arena_on_exhausted(arena, NULL);
    return 0;
}

static void check(const struct measured *measured)
{
    for (int i = 0; i < measured->sets.n; i++) {
        const struct reading_set *taken = &measured->sets.at[i];
        if (!taken->name) abort();
        for (int k = 0; k < taken->readings.n; k++) {
            const struct meter_reading *r = &taken->readings.at[k];
            struct complaint why;
            bool open = r->kind == READING_OHMS && isinf(r->value);
            if (!r->subject || (!open && !bounds_hold(r->value, r->unit, &why))) abort();
            if (r->kind == READING_OHMS && !r->minus) abort();
        }
        for (int k = 0; k < taken->noticed.n; k++)
            if (!noticed_word(taken->noticed.at[k].kind, taken->noticed.at[k].word)) abort();
    }
    if (!(measured->meter.ohms > 0) || isinf(measured->meter.ohms)) abort();
}

static void once(struct arena *arena, const char *data, size_t bytes)
{
    struct diags *diags = diags_new(arena);
    const struct scenario *s =
        readings_parse(arena, diags, set, "fuzzed", arena_text(arena, data, bytes));
    const struct setup *setup = s ? scenario_setup(arena, diags, s, NULL) : NULL;
    if (!setup && diags_errors(diags) == 0) abort(); /* refused without a word */
    if (setup && setup->measured) check(setup->measured);
    diags_print(diags, nowhere);
}

int LLVMFuzzerTestOneInput(const unsigned char *data, size_t bytes)
{
    fuzz_once(once, data, bytes);
    return 0;
}
