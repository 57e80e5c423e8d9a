/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One table of all columns in blocks; the last two tell which figure of the whole set stands
 * nearest to its limit. */
#include "try_text.h"

#include <math.h>
#include <string.h>

#include "cautions.h"
#include "cautions.h"
#include "columns.h"

enum { LABEL_LEAST = 14, LABEL_MOST = 30, WIDTH = 14, TOLD_MOST = 8 };

struct trying {
    struct summary *s;
    const struct try_study *study;
    const struct trial_table *table;
};

/* ---- cells ---- */

/* `10 uF`, of two sweeps `10 uF, 100 ohm`: the label without the names of keys. */
static const char *short_label(struct trying *t, int row)
{
    const struct try_study *y = t->study;
    const char *label = "";
    for (int k = 0; k < y->n; k++)
        label = arena_printf(t->s->arena, "%s%s%s", label, k ? ", " : "",
                             y->sweeps[k].values.at[sweep_index(y->sweeps, y->n, k, row)].text);
    return label;
}

static char mark(enum verdict verdict)
{
    return verdict == VERDICT_OVER ? '!' : verdict == VERDICT_NEAR ? '^' : ' ';
}

static const char *nearest(struct trying *t, const struct trial_row *row)
{
    if (isnan(row->share)) return "- ";
    char sign = row->share > 1 ? '!' : row->share > 0.9 ? '^' : ' ';
    return arena_printf(t->s->arena, "%s%c", summary_percent(t->s, row->share), sign);
}

static const char *worst_words(struct trying *t, const struct trial_row *row)
{
    if (!row->worst_subject) return "";
    return arena_printf(t->s->arena, "%s %s", row->worst_subject,
                        measure_table[row->worst_measure].words);
}

static const char *cell(void *context, int row, int column)
{
    struct trying *t = context;
    const struct trial_row *r = &t->table->rows.at[row];
    int n = t->table->columns.n;
    if (column < 0)
        return arena_printf(t->s->arena, "%s%s", short_label(t, row), r->settled ? "" : " *");
    if (column == n) return nearest(t, r);
    const struct trial_cell *c = &r->cells[column];
    if (isnan(c->value)) return "- ";
    const char *text = summary_value(t->s, c->value, t->table->columns.at[column].unit, false);
    return arena_printf(t->s->arena, "%s%c", text, mark(c->verdict));
}

/* ---- the table ---- */

static void write_head(struct trying *t)
{
    const struct try_study *y = t->study;
    if (y->title) summary_say(t->s, "", "%s", y->title);
    summary_say(t->s, "", "%d value%s of %s%s%s.", t->table->rows.n,
                t->table->rows.n == 1 ? "" : "s", y->sweeps[0].path, y->n > 1 ? " and " : "",
                y->n > 1 ? y->sweeps[1].path : "");
    if (y->cold)
        summary_say(t->s, "",
                    "Each run begins cold and is as long as the scenario says; besides, "
                    "short hot restarts at crest and zero.");
    else
        summary_say(t->s, "",
                    "Each run begins hot, with warm cathodes and empty capacitors, closed at the "
                    "crest, and after its first pulses goes straight to where it settles, heaters "
                    "with it: what warming up does is not in it (--cold tells). Besides, a hot "
                    "restart closed at zero.");
    fputc('\n', t->s->to);
}

/* As wide as the widest label and what stands over them. */
static int label_width(struct trying *t, const char *corner)
{
    size_t wide = strlen(corner);
    for (int i = 0; i < t->table->rows.n && i < TRY_ROWS; i++) {
        size_t n = strlen(cell(t, i, -1));
        if (n > wide) wide = n;
    }
    return wide < LABEL_LEAST ? LABEL_LEAST : wide > LABEL_MOST ? LABEL_MOST : (int)wide;
}

static void write_table(struct trying *t)
{
    int n = t->table->columns.n, rows = t->table->rows.n;
    const char **heads = ARENA_ARRAY(t->s->arena, const char *, n + 1);
    for (int i = 0; i < n; i++) heads[i] = t->table->columns.at[i].head;
    heads[n] = "nearest to its limit";
    const char *corner = t->study->sweeps[0].path;
    if (t->study->n > 1)
        corner = arena_printf(t->s->arena, "%s, %s", corner, t->study->sweeps[1].path);
    struct columns table = {.label = label_width(t, corner),
                            .first = WIDTH,
                            .width = WIDTH,
                            .n = n + 1,
                            .rows = rows < TRY_ROWS ? rows : TRY_ROWS,
                            .corner = corner,
                            .heads = heads,
                            .cell = cell,
                            .context = t};
    columns_write(t->s, &table);
    summary_say(t->s, "  ",
                "! over its rating, ^ over 90 %% of it. Of two plates or halves the "
                "worse one.");
}

static void write_notes(struct trying *t, const char *file)
{
    int loose = 0, failed = 0, rows = t->table->rows.n;
    for (int i = 0; i < rows; i++) {
        loose += !t->table->rows.at[i].settled;
        failed += !t->table->rows.at[i].balanced;
    }
    if (rows > TRY_ROWS)
        summary_say(t->s, "  ", "The first %d rows; all %d stand in %s.", TRY_ROWS, rows, file);
    if (loose > 0)
        summary_say(t->s, "  ",
                    "* had not settled: the mean of the last cycles (a longer run "
                    "tells: --for 60s).");
    if (failed > 0)
        summary_say(t->s, "!! ", "THE AUDIT OF %d RUN%s FAILED: do not rely on their figures.",
                    failed, failed == 1 ? "" : "S");
}

/* ---- sentences ---- */

static void tell_over(struct trying *t)
{
    const char *over = "", *inside = "";
    int overs = 0, insides = 0;
    for (int i = 0; i < t->table->rows.n; i++) {
        const struct trial_row *row = &t->table->rows.at[i];
        if (row->over == 0 && insides++ < TOLD_MOST)
            inside =
                arena_printf(t->s->arena, "%s%s%s", inside, *inside ? "; " : "", short_label(t, i));
        if (row->over > 0 && overs++ < TOLD_MOST)
            over = arena_printf(t->s->arena, "%s%s%s (%s, %s of its limit)", over,
                                *over ? "; " : "", short_label(t, i), worst_words(t, row),
                                summary_percent(t->s, row->share));
    }
    fputc('\n', t->s->to);
    if (overs == 0) {
        summary_say(t->s, "", "Nothing is over its rating at any of these values.");
        return;
    }
    summary_say(t->s, "", "Something is over its rating at %s%s.", over,
                overs > TOLD_MOST ? arena_printf(t->s->arena, "; and %d more", overs - TOLD_MOST)
                                  : "");
    if (insides > 0)
        summary_say(t->s, "", "Everything is inside its rating at %s%s.", inside,
                    insides > TOLD_MOST
                        ? arena_printf(t->s->arena, "; and %d more", insides - TOLD_MOST)
                        : "");
    else summary_say(t->s, "", "At no value everything is inside its rating.");
}

/* `22 uF`, `1000 uF, as far as was looked,`. */
static const char *how_far(struct trying *t, const struct limit *l)
{
    char most[64];
    quantity_text(l->farads, UNIT_FARAD, 3, most, sizeof most);
    return arena_printf(t->s->arena, "%s%s", most, l->beyond ? ", as far as was looked," : "");
}

/* `its running peak then uses 98 % of the limit`. */
static const char *what_uses(struct trying *t, enum measure measure, double share)
{
    const char *what = measure_table[measure].words;
    if (measure == MEASURE_INRUSH_PEAK_CURRENT) what = "peak at a hot restart";
    return arena_printf(t->s->arena, "its %s then uses %s of the limit", what,
                        summary_percent(t->s, share));
}

static const char *with_resistors(struct trying *t, const struct limit *l)
{
    const char *ohms = summary_value(t->s, t->study->ohms, UNIT_OHM, false);
    if (l->none) return arena_printf(t->s->arena, "; with %s per plate no value does", ohms);
    return arena_printf(t->s->arena, "; with %s per plate up to %s (%s)", ohms, how_far(t, l),
                        what_uses(t, l->measure, l->share));
}

/* The sheet's own figures, and how they stand to the peaks that were run. A larger capacitor with
 * more ohms before the plates is what sheets of the time allow, from memory. */
static void tell_sheet(struct trying *t, const struct limit *l, const char *with)
{
    struct summary *s = t->s;
    if (isnan(l->sheet)) return;
    const char *sheet = summary_value(s, l->sheet + l->others, UNIT_FARAD, false);
    const char *others = "";
    if (l->others > 0)
        others = arena_printf(s->arena, ", of which %s are there already",
                              summary_value(s, l->others, UNIT_FARAD, false));
    char most[64];
    quantity_text(l->farads, UNIT_FARAD, 3, most, sizeof most);
    if (!(l->share > 0))
        summary_say(s, "",
                    "The sheet says up to %s for the first capacitor%s; no rating of its peaks is "
                    "known.",
                    sheet, others);
    else if (l->sheet < l->farads)
        summary_say(s, "",
                    "The sheet says up to %s for the first capacitor%s, a stand-in for the peak "
                    "current; the peak current itself would allow %s (%sproven by a run: %s)%s. "
                    "A larger one is charged over many cycles, each with a peak near the first.",
                    sheet, others, most, l->beyond ? "no more was tried; " : "",
                    what_uses(t, l->measure, l->share), with);
    else
        summary_say(s, "",
                    "The sheet says up to %s for the first capacitor%s, a stand-in for the peak "
                    "current; here the peak current itself allows less.",
                    sheet, others);
    if (isnan(l->least_ohms)) return;
    const char *least = summary_value(s, l->least_ohms, UNIT_OHM, false);
    const char *there = summary_value(s, l->ohms, UNIT_OHM, false);
    if (l->ohms < l->least_ohms)
        summary_say(s, "",
                    "It asks for at least %s before each plate with that; there are only %s: "
                    "a resistor of %s or more in each plate's lead makes it up.",
                    least, there, summary_value(s, l->least_ohms - l->ohms, UNIT_OHM, false));
    else
        summary_say(s, "", "It asks for at least %s before each plate with that; there are %s.",
                    least, there);
}

static void tell_limit(struct trying *t)
{
    const struct try_study *y = t->study;
    const struct limit *bare = &y->limits[0], *eased = &y->limits[1];
    if (!y->rectifier) return;
    if (bare->status != STATUS_OK || eased->status != STATUS_OK) {
        summary_say(t->s, "", "How large the capacitor may be for %s could not be found.",
                    y->rectifier);
        return;
    }
    if (!bare->none && !(bare->share > 0) && isnan(bare->sheet)) {
        summary_say(t->s, "", "No rating of %s is known that the capacitor could exceed.",
                    y->rectifier);
        return;
    }
    const char *with = bare->beyond ? "" : with_resistors(t, eased);
    char least[64];
    quantity_text(LIMIT_LEAST, UNIT_FARAD, 3, least, sizeof least);
    bool sheet = bare->sheet < bare->farads; /* false where it says nothing */
    char allowed[64];
    quantity_text(sheet ? bare->sheet : 0, UNIT_FARAD, 3, allowed, sizeof allowed);
    if (bare->none)
        summary_say(t->s, "", "Even with %s as %s, %s is over its ratings%s.", least,
                    y->sweeps[0].path, y->rectifier, with);
    else if (!sheet)
        summary_say(t->s, "",
                    "%s up to %s stays inside the ratings of %s with this transformer (proven by a "
                    "run: %s)%s.",
                    y->sweeps[0].path, how_far(t, bare), y->rectifier,
                    what_uses(t, bare->measure, bare->share), with);
    else if (bare->sheet_proof && bare->sheet_share > 0)
        summary_say(t->s, "",
                    "%s up to %s stays inside the ratings of %s and its sheet's first capacitor "
                    "with this transformer (proven by a run: %s).",
                    y->sweeps[0].path, allowed, y->rectifier,
                    what_uses(t, bare->sheet_measure, bare->sheet_share));
    tell_sheet(t, bare, sheet ? with : "");
}

void try_text_write(FILE *to, struct arena *arena, const struct try_study *study,
                    const char *figures, const char *file)
{
    struct summary s = {.to = to, .arena = arena};
    struct trying t = {&s, study, study->table};
    write_head(&t);
    write_table(&t);
    write_notes(&t, file);
    tell_over(&t);
    tell_limit(&t);
    summary_say(&s, "",
                "Inside its rating is not safe: what is rotten, cracked or damp in old "
                "insulation no calculation sees.");
    fputc('\n', to);
    summary_path(&s, "The table:", file);
    summary_path(&s, "All figures:", figures);
    struct hazards h = hazards_of(arena, study->setup, NULL, OCCASION_POWER | OCCASION_REPLACE);
    summary_cautions(&s, &h, 1);
}

/* ---- the file ---- */

static void write_value(struct writer *w, const struct sweep *s, const struct sweep_value *v)
{
    if (s->numeric) writer_number(w, v->value);
    else writer_field(w, v->text);
}

static const char *named(struct arena *arena, const char *name, enum unit unit)
{
    const char *symbol = quantity_symbol(unit);
    return *symbol ? arena_printf(arena, "%s [%s]", name, symbol) : name;
}

void try_csv_write(struct writer *w, const char *name, const struct try_study *y)
{
    const struct trial_table *table = y->table;
    struct arena *scratch = arena_new();
    writer_file(w, name);
    for (int k = 0; k < y->n; k++) {
        const struct sweep *s = &y->sweeps[k];
        writer_field(w, s->numeric ? named(scratch, s->path, s->unit) : s->path);
        writer_text(w, ",");
    }
    for (int i = 0; i < table->columns.n; i++) {
        const struct trial_column *c = &table->columns.at[i];
        writer_field(w, named(scratch, c->key, c->unit));
        writer_text(w, ",");
    }
    writer_text(w, "nearest,share,over,settled\n");
    for (int i = 0; i < table->rows.n; i++) {
        const struct trial_row *row = &table->rows.at[i];
        for (int k = 0; k < y->n; k++) {
            const struct sweep *s = &y->sweeps[k];
            write_value(w, s, &s->values.at[sweep_index(y->sweeps, y->n, k, i)]);
            writer_text(w, ",");
        }
        for (int k = 0; k < table->columns.n; k++) {
            if (!isnan(row->cells[k].value)) writer_number(w, row->cells[k].value);
            writer_text(w, ",");
        }
        writer_field(w, row->worst_subject ? arena_printf(scratch, "%s %s", row->worst_subject,
                                                          measure_table[row->worst_measure].name)
                                           : "");
        writer_text(w, ",");
        if (!isnan(row->share)) writer_number(w, row->share);
        writer_format(w, ",%d,%d\n", row->over, row->settled);
    }
    arena_free(scratch);
}
