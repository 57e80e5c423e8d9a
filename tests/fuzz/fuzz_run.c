/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A shipped scenario with some of its numbers changed, through a run of one period. The input says
 * which: one byte for the scenario, one for its variant, one for how the run begins, then three a
 * change, two for the number and one for what becomes of it. A run may fail, but at a part or point
 * that it names, and what it finds must be numbers. */
#include "fuzz.h"

#include <math.h>
#include <string.h>
#include <time.h>

#include "file.h"
#include "network.h"
#include "numbers.h"
#include "run.h"

enum {
    SCENARIOS_MOST = 64,
    TEXT_MOST = 32 * 1024,
    CHANGES_MOST = 4,
    SECONDS_MOST = 5,
    FINE = 192,
    WORST = 200
};

static const struct catalogue *catalogue;
static const char *texts[SCENARIOS_MOST];
static int scenarios;

int LLVMFuzzerInitialize(int *argc, char ***argv)
{
    (void)argc, (void)argv;
    struct arena *arena = arena_new();
    jmp_buf exhausted;
    struct file_names names;
    if (!arena || setjmp(exhausted) != 0) abort();
    arena_on_exhausted(arena, &exhausted);
    struct diags *diags = diags_new(arena);
    catalogue = catalogue_read(arena, diags, SOURCE_DIR "/models");
    if (!catalogue || file_list(arena, SOURCE_DIR "/scenarios", &names) != 0) abort();
    for (int i = 0; i < names.n && scenarios < SCENARIOS_MOST; i++) {
        size_t n;
        char *text = arena_alloc(arena, TEXT_MOST);
        const char *path = arena_printf(arena, SOURCE_DIR "/scenarios/%s", names.at[i]);
        if (!strstr(names.at[i], ".yaml")) continue;
        if (file_read(path, text, TEXT_MOST - 1, &n) != 0) abort();
        texts[scenarios++] = text;
    }
    arena_on_exhausted(arena, NULL);
    return scenarios > 0 ? 0 : 1;
}

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* The k-th number of the text (counted round and round) becomes another. */
static const char *change(struct arena *arena, const char *text, unsigned k, unsigned char how)
{
    static const char *const instead[] = {"0",    "-1",  "1e-6", "1e-12", "1e6",  "1e12",
                                          "1e99", "0.5", "1",    "3",     "1000", "1e-300"};
    enum { INSTEAD = sizeof instead / sizeof instead[0] };
    const char *starts[4096];
    unsigned n = 0;
    for (const char *s = text; *s && n < 4096; s++)
        if (is_digit(*s) && (s == text || strchr(" [{:", s[-1]))) starts[n++] = s;
    if (n == 0) return text;
    const char *start = starts[k % n];
    char *end;
    double value = strtod(start, &end);
    if (how < INSTEAD)
        return arena_printf(arena, "%.*s%s%s", (int)(start - text), text, instead[how], end);
    value *= exp2((how - 128) / 8.0);
    return arena_printf(arena, "%.*s%.6g%s", (int)(start - text), text, value, end);
}

static int on_progress(void *context, double done)
{
    (void)done;
    return time(NULL) - *(const time_t *)context > SECONDS_MOST;
}

/* `how`: cold or hot at one of 24 angles, to the tolerance of the search for the worst one; from
 * FINE on to the usual one, and made again where its audit fails; WORST is that search, which costs
 * 48 runs: only for inputs of one change, or most of the time would be its. */
static void run(struct arena *arena, const struct setup *setup, unsigned char how, size_t bytes)
{
    time_t begun = time(NULL);
    struct run_options o = run_defaults();
    o.duration = 1 / setup->frequency;
    o.hot = how & 1;
    if (how < FINE) o.tolerance = 1e-5;
    if (how != WORST || bytes >= 9) o.angle = how / 2 % 24 * 15 * (PI / 180);
    o.progress = on_progress;
    o.progress_context = &begun;
    const struct result *r = run_simulate(arena, setup, &o);
    if (r->status == STATUS_INTERRUPTED) return;
    if (r->status != STATUS_OK && (!r->trouble.names || !*r->trouble.names)) abort();
    for (int i = 0; r->status == STATUS_OK && i < r->figures.n; i++)
        if (isnan(r->figures.at[i].value)) abort();
}

static void once(struct arena *arena, const char *data, size_t bytes)
{
    if (bytes < 6) return;
    const char *text = texts[(unsigned char)data[0] % scenarios];
    for (size_t i = 3; i + 3 <= bytes && i < 3 + 3 * CHANGES_MOST; i += 3)
        text = change(arena, text,
                      (unsigned)((unsigned char)data[i] << 8 | (unsigned char)data[i + 1]),
                      (unsigned char)data[i + 2]);
    struct diags *diags = diags_new(arena);
    const struct scenario *s = scenario_parse(arena, diags, catalogue, "fuzzed", text);
    const int which = s ? (unsigned char)data[1] % (scenario_variants(s) + 1) : 0;
    const char *variant = which > 0 ? scenario_variant(s, which - 1) : NULL;
    const struct setup *setup = s ? scenario_setup(arena, diags, s, variant) : NULL;
    if (!setup && diags_errors(diags) == 0) abort();
    if (setup) run(arena, setup, (unsigned char)data[2], bytes);
}

int LLVMFuzzerTestOneInput(const unsigned char *data, size_t bytes)
{
    fuzz_once(once, data, bytes);
    return 0;
}
