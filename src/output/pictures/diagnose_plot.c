/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Everything in per cent of what the sound set reads, so that volts, amperes and ohms share an
 * axis.
 */
#include "diagnose_plot.h"

#include <math.h>

#include "diagnose_text.h"
#include "numbers.h"
#include "sheet.h"
#include "words_diagnose.h"

enum { LEADERS = 4, ROWS_MOST = 14, NAME_MOST = 34, PAIR_MOST = 64 };
#define FARTHEST 300.0 /* per cent; what lies beyond stands at the edge, and the axis says so */
#define SPREAD 0.5     /* of a row's height that its marks take */

static double per_cent(const struct read *read, double compared)
{
    double sound = question_shown(read, read->sound), shown = question_shown(read, compared);
    if (!isfinite(sound) || sound == 0 || isnan(shown)) return (double)NAN;
    return clamp(100 * shown / sound, 0, FARTHEST);
}

static const char *cell(struct arena *arena, double value, double *right)
{
    if (isnan(value)) return "?";
    *right = larger(*right, value);
    return arena_printf(arena, "%.6g", value);
}

/* What is drawn beside what was read. */
struct leader {
    const char *name;
    const struct diagnosed_pair *pair; /* NULL: a single cause */
    int cause;
};

static double expected_of(const struct diagnosis *d, const struct leader *l, int read)
{
    return l->pair ? l->pair->expected[read]
                   : diagnose_expected(d, l->cause, d->of[l->cause].best, read);
}

static const char *cause_name(struct arena *arena, const struct diagnosis *d, int cause)
{
    return diagnose_text_cause(arena, &d->r.causes.at[cause]);
}

/* Two faults at once that come nearer, then the likeliest single ones. */
static int leaders_of(struct arena *arena, const struct diagnosis *d, struct leader *leaders)
{
    int n = 0;
    if (d->pair_count > 0) {
        const struct diagnosed_pair *p = &d->pairs[0];
        const char *name =
            arena_printf(arena, words_diagnose_pair, cause_name(arena, d, p->cause[0]), "",
                         cause_name(arena, d, p->cause[1]), "");
        leaders[n++] = (struct leader){sheet_shortened(arena, name, PAIR_MOST), p, -1};
    }
    for (int i = 0; i < d->r.causes.n && n < LEADERS && d->of[d->order[i]].share >= 0.01; i++) {
        enum diagnose_special special = d->r.causes.at[d->order[i]].special;
        if (special == SPECIAL_OUTSIDE || special == SPECIAL_SOUND) continue;
        const char *name = cause_name(arena, d, d->order[i]);
        leaders[n++] = (struct leader){sheet_shortened(arena, name, NAME_MOST), NULL, d->order[i]};
    }
    return n;
}

bool diagnose_plot_write(struct writer *w, struct diags *diags, struct arena *arena,
                         const struct diagnosis *d, const struct plot_options *options)
{
    static const char *const endings[] = {"gp", "svg", "png"};
    struct sheet s = {.arena = arena, .options = options};
    struct leader leaders[LEADERS];
    int n = leaders_of(arena, d, leaders), rows = 0;
    double right = 120;
    for (int k = 0; k < 3; k++)
        writer_retire(w, arena_printf(arena, "plots/diagnosis.%s", endings[k]));
    if (n == 0 || d->r.q.read == 0) return false;
    sheet_begin(&s, d->setup->title, NULL, "diagnosis");
    for (int i = 0; i < d->r.q.read && rows < ROWS_MOST; i++) {
        const struct read *read = &d->r.q.reads.at[i];
        double value = per_cent(read, question_compared(read, read->what.value));
        if (isnan(value)) continue;
        const char *row = arena_printf(arena, "%d %s", -rows, cell(arena, value, &right));
        for (int k = 0; k < n; k++)
            row = arena_printf(arena, "%s %s", row,
                               cell(arena, per_cent(read, expected_of(d, &leaders[k], i)), &right));
        template_text(template_row(s.fill, "ROWS"), "ROW", row);
        struct fill *name = template_row(s.fill, "NAMES");
        template_quoted(name, "NAME", sheet_shortened(arena, read->label, NAME_MOST));
        template_number(name, "AT", -rows);
        rows++;
    }
    if (rows == 0) return false;
    for (int k = 0; k < n; k++) {
        struct fill *column = template_row(s.fill, "COLUMNS");
        template_quoted(column, "NAME", leaders[k].name);
        template_text(column, "STYLE", arena_printf(arena, "%d", k + 1));
        template_text(column, "COLUMN", arena_printf(arena, "%d", k + 3));
        template_number(column, "RISE", n > 1 ? SPREAD * (0.5 - (double)k / (n - 1)) : 0);
    }
    template_number(s.fill, "BOTTOM", 0.4 - rows);
    template_number(s.fill, "RIGHT", 1.05 * right);
    template_quoted(s.fill, "ALONG",
                    right < FARTHEST ? words_diagnose_axis : words_diagnose_axis_cut);
    template_quoted(s.fill, "READ", words_diagnose_read);
    writer_file(w, "plots/diagnosis.gp");
    bool good = template_write(w, diags, options->templates, "diagnosis.gp", s.fill);
    writer_pause(w);
    return good;
}
