/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every value is brought into the trade's usual form with twelve digits and read again from that,
 * so a run is exactly what its label says, and the same as one from a file that says so. */
#include "sweep.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "overrides.h"
#include "tolerance.h"

struct sweep_reader {
    struct arena *arena;
    struct diags *diags;
    struct sweep *sweep;
    bool good;
};

static void complain(struct sweep_reader *r, const char *hint, const char *message)
{
    struct place at = {r->sweep->argument, 0, 0};
    diags_add(r->diags, DIAG_ERROR, at, hint, "%s", message);
    r->good = false;
}

static const char *trimmed(struct arena *arena, const char *text, size_t n)
{
    while (n > 0 && *text == ' ') text++, n--;
    while (n > 0 && text[n - 1] == ' ') n--;
    return arena_text(arena, text, n);
}

static void add(struct sweep_reader *r, const char *text, double value)
{
    struct sweep *s = r->sweep;
    if (s->values.n == SWEEP_MOST) {
        complain(r, "take fewer, or wider steps",
                 arena_printf(r->arena, "more than %d values", SWEEP_MOST));
        return;
    }
    array_push(r->arena, &s->values, (struct sweep_value){text, value});
}

static bool one_quantity(const char *text, double *value, enum unit *unit)
{
    struct token t[QUANTITY_TOKENS];
    struct complaint why;
    if (quantity_scan(text, t, &why) != 1 || t[0].is_word) return false;
    *value = t[0].value;
    *unit = t[0].unit;
    return true;
}

/* What is no single quantity stays as it is. */
static void add_single(struct sweep_reader *r, const char *text)
{
    double value = (double)NAN;
    enum unit unit = UNIT_NUMBER;
    bool quantity = one_quantity(text, &value, &unit);
    if (quantity && tolerance_behind(text))
        complain(r, "leave it out: `tolerances` runs values that are off", "it tries exact values");
    if (!text[0]) complain(r, "write for instance C1.value=4.7uF,10uF", "a value is empty");
    if (!text[0]) return;
    r->sweep->numeric &= quantity && (r->sweep->values.n == 0 || unit == r->sweep->unit);
    if (r->sweep->values.n == 0) r->sweep->unit = unit;
    char out[64];
    if (quantity && unit != UNIT_NUMBER)
        text = arena_printf(r->arena, "%s",
                            quantity_text(value, unit, OVERRIDES_DIGITS, out, sizeof out));
    add(r, text, value);
}

/* `a..b/n`. */
static void add_range(struct sweep_reader *r, const char *text, const char *dots)
{
    static const char example[] = "write it as in mains.voltage=105V..130V/6: six values";
    const char *slash = strrchr(dots, '/');
    const char *from_text = trimmed(r->arena, text, (size_t)(dots - text));
    size_t n = slash ? (size_t)(slash - dots) - 2 : strlen(dots + 2);
    const char *to_text = trimmed(r->arena, dots + 2, n);
    double from, to;
    enum unit unit, other;
    if (!one_quantity(from_text, &from, &unit) || !one_quantity(to_text, &to, &other))
        complain(r, example, arena_printf(r->arena, "`%s` is no range of two quantities", text));
    else if (unit != other)
        complain(r, example,
                 arena_printf(r->arena, "the range runs from %s to %s", quantity_kind(unit),
                              quantity_kind(other)));
    else if (!slash) complain(r, example, "how many values the range has is missing");
    if (!r->good) return;
    char *end;
    long steps = strtol(slash + 1, &end, 10);
    while (*end == ' ') end++;
    if (*end || steps < 2 || steps > SWEEP_MOST)
        complain(r, example,
                 arena_printf(r->arena, "`%s` is no number of values from 2 to %d", slash + 1,
                              SWEEP_MOST));
    else if (!(from < to))
        complain(r, arena_printf(r->arena, "write %s..%s%s", to_text, from_text, slash),
                 from == to ? "the range is empty" : "the range runs downwards");
    for (long k = 0; r->good && k < steps; k++) {
        char out[64];
        double v = from + (to - from) * (double)k / (double)(steps - 1);
        quantity_text(v, unit, OVERRIDES_DIGITS, out, sizeof out);
        add_single(r, arena_printf(r->arena, "%s", out));
    }
}

/* Bytes up to the comma that parts values. */
static size_t item_bytes(const char *text)
{
    int depth = 0;
    size_t n = 0;
    for (; text[n] && (depth > 0 || text[n] != ','); n++) {
        depth += text[n] == '[' || text[n] == '{';
        depth -= text[n] == ']' || text[n] == '}';
    }
    return n;
}

static int compare_texts(const void *a, const void *b)
{
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

static void refuse_doubles(struct sweep_reader *r)
{
    int n = r->sweep->values.n;
    const char **texts = ARENA_ARRAY(r->arena, const char *, n);
    for (int i = 0; i < n; i++) texts[i] = r->sweep->values.at[i].text;
    qsort(texts, (size_t)n, sizeof *texts, compare_texts);
    for (int i = 1; i < n && r->good; i++)
        if (strcmp(texts[i - 1], texts[i]) == 0)
            complain(r, NULL, arena_printf(r->arena, "the value %s is there twice", texts[i]));
}

bool sweep_parse(struct arena *arena, struct diags *diags, const char *argument,
                 struct sweep *sweep)
{
    *sweep = (struct sweep){.argument = argument, .numeric = true};
    struct sweep_reader r = {arena, diags, sweep, true};
    const char *equals = strchr(argument, '=');
    if (!equals || equals == argument || !equals[1]) {
        complain(&r, "write it as in C1.value=4.7uF,10uF,22uF or mains.voltage=105V..130V/6",
                 !equals              ? "no `=` with values after it"
                 : equals == argument ? "no name of a key before the `=`"
                                      : "no values after the `=`");
        return false;
    }
    sweep->path = trimmed(arena, argument, (size_t)(equals - argument));
    for (const char *s = equals + 1; s && r.good;) {
        size_t n = item_bytes(s);
        const char *item = trimmed(arena, s, n), *dots = strstr(item, "..");
        bool nested = item[0] == '[' || item[0] == '{';
        if (dots && !nested) add_range(&r, item, dots);
        else add_single(&r, item);
        s = s[n] ? s + n + 1 : NULL;
    }
    const char *dot = strrchr(sweep->path, '.');
    if (dot && strcmp(dot, ".type") == 0) sweep->numeric = false;
    if (r.good) refuse_doubles(&r);
    return r.good;
}

/* ---- pieces ---- */

int sweep_pieces(const struct sweep *sweeps, int n)
{
    int all = 1;
    for (int k = 0; k < n; k++) all *= sweeps[k].values.n;
    return all;
}

int sweep_index(const struct sweep *sweeps, int n, int k, int piece)
{
    for (int j = n - 1; j > k; j--) piece /= sweeps[j].values.n;
    return piece % sweeps[k].values.n;
}

static const char *text_of(const struct sweep *sweeps, int n, int k, int piece)
{
    return sweeps[k].values.at[sweep_index(sweeps, n, k, piece)].text;
}

const char *sweep_label(struct arena *arena, const struct sweep *sweeps, int n, int piece)
{
    const char *label = "";
    for (int k = 0; k < n; k++)
        label = arena_printf(arena, "%s%s%s=%s", label, k ? ", " : "", sweeps[k].path,
                             text_of(sweeps, n, k, piece));
    return label;
}

static bool lay(struct arena *arena, struct diags *diags, const struct sweep *sweeps, int n,
                int piece, struct overrides *o)
{
    *o = overrides_new(arena);
    for (int k = 0; k < n; k++)
        if (!overrides_assign(o, diags, sweeps[k].path, text_of(sweeps, n, k, piece))) return false;
    return true;
}

const struct setup *sweep_setup(struct arena *arena, struct diags *diags, const struct scenario *s,
                                const char *variant, const struct sweep *sweeps, int n, int piece)
{
    struct overrides o;
    if (!lay(arena, diags, sweeps, n, piece, &o)) return NULL;
    return overrides_setup(&o, diags, s, variant, sweep_label(arena, sweeps, n, piece));
}

const struct scenario *sweep_scenario(struct arena *arena, struct diags *diags,
                                      const struct scenario *s, const char *variant,
                                      const struct sweep *sweeps, int n, int piece)
{
    struct overrides o;
    if (!lay(arena, diags, sweeps, n, piece, &o)) return NULL;
    return overrides_scenario(&o, diags, s, variant, sweep_label(arena, sweeps, n, piece));
}
