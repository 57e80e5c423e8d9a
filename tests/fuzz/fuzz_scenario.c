/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Any text as a scenario, set up with all its variants; the catalogue is read once. */
#include "fuzz.h"

#include "catalogue.h"
#include "scenario.h"

static const struct catalogue *catalogue;
static FILE *nowhere;

int LLVMFuzzerInitialize(int *argc, char ***argv)
{
    (void)argc, (void)argv;
    struct arena *arena = arena_new();
    jmp_buf exhausted;
    if (!arena || setjmp(exhausted) != 0) abort();
    arena_on_exhausted(arena, &exhausted);
    struct diags *diags = diags_new(arena);
    catalogue = catalogue_read(arena, diags, SOURCE_DIR "/models");
    nowhere = fopen("/dev/null", "w");
    if (!catalogue || diags_errors(diags) > 0) abort();
    arena_on_exhausted(arena, NULL);
    return 0;
}

static void once(struct arena *arena, const char *data, size_t bytes)
{
    struct diags *diags = diags_new(arena);
    const struct scenario *s =
        scenario_parse(arena, diags, catalogue, "fuzzed", arena_text(arena, data, bytes));
    bool good = s && scenario_check(arena, diags, s);
    if (!good && diags_errors(diags) == 0) abort(); /* refused without a word */
    diags_print(diags, nowhere);
}

int LLVMFuzzerTestOneInput(const unsigned char *data, size_t bytes)
{
    fuzz_once(once, data, bytes);
    return 0;
}
