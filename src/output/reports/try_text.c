/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One table of all columns in blocks; the last two tell which figure of the whole set stands
 * nearest to its limit. */
#include "try_text.h"

#include <math.h>
#include <string.h>

#include "cautions_text.h"
#include "columns.h"
#include "ends_text.h"
#include "words_common.h"
#include "words_try.h"

enum { LABEL_LEAST = 14, LABEL_MOST = 30, WIDTH = 14, TOLD_MOST = 8 };

struct trying {
    struct page *page;
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
        label = arena_printf(t->page->arena, "%s%s%s", label, k ? ", " : "",
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
    return arena_printf(t->page->arena, "%s%c", page_percent(t->page, row->share), sign);
}

static const char *worst_words(struct trying *t, const struct trial_row *row)
{
    if (!row->worst_subject) return "";
    return arena_printf(t->page->arena, "%s %s", row->worst_subject,
                        measure_words(row->worst_measure));
}

static const char *cell(void *context, int row, int column)
{
    struct trying *t = context;
    const struct trial_row *r = &t->table->rows.at[row];
    int n = t->table->columns.n;
    if (column < 0)
        return arena_printf(t->page->arena, "%s%s", short_label(t, row), r->settled ? "" : " *");
    if (column == n) return nearest(t, r);
    const struct trial_cell *c = &r->cells[column];
    if (isnan(c->value)) return "- ";
    const char *text = page_value(t->page, c->value, t->table->columns.at[column].unit, false);
    return arena_printf(t->page->arena, "%s%c", text, mark(c->verdict));
}

/* ---- the table ---- */

static void write_head(struct trying *t)
{
    const struct try_study *y = t->study;
    page_title(t->page, y->title, NULL);
    page_say(t->page, "", words_try_head, t->table->rows.n,
             t->table->rows.n == 1 ? "" : words_try_head_many, y->sweeps[0].path,
             y->n > 1 ? words_try_head_and : "", y->n > 1 ? y->sweeps[1].path : "");
    if (y->cold) page_say(t->page, "", words_try_cold);
    else page_say(t->page, "", words_try_hot);
    page_gap(t->page);
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
    const char **heads = ARENA_ARRAY(t->page->arena, const char *, n + 1);
    for (int i = 0; i < n; i++) heads[i] = t->table->columns.at[i].head;
    heads[n] = words_try_nearest;
    const char *corner = t->study->sweeps[0].path;
    if (t->study->n > 1)
        corner = arena_printf(t->page->arena, "%s, %s", corner, t->study->sweeps[1].path);
    struct columns table = {.label = label_width(t, corner),
                            .first = WIDTH,
                            .width = WIDTH,
                            .n = n + 1,
                            .rows = rows < TRY_ROWS ? rows : TRY_ROWS,
                            .corner = corner,
                            .heads = heads,
                            .cell = cell,
                            .context = t};
    columns_write(t->page, &table);
    page_say(t->page, "  ", words_try_marks, 100 * JUDGE_NEAR);
}

static void write_notes(struct trying *t, const char *file)
{
    int loose = 0, failed = 0, rows = t->table->rows.n;
    for (int i = 0; i < rows; i++) {
        loose += !t->table->rows.at[i].settled;
        failed += !t->table->rows.at[i].balanced;
    }
    if (rows > TRY_ROWS) page_say(t->page, "  ", words_try_first_rows, TRY_ROWS, rows, file);
    if (loose > 0) page_say(t->page, "  ", words_try_unsettled);
    if (failed > 0)
        page_say(t->page, "!! ", words_try_audit, failed, failed == 1 ? "" : words_try_audit_many);
}

/* ---- sentences ---- */

static void tell_over(struct trying *t)
{
    const char *over = "", *inside = "";
    int overs = 0, insides = 0;
    for (int i = 0; i < t->table->rows.n; i++) {
        const struct trial_row *row = &t->table->rows.at[i];
        if (row->over == 0 && insides++ < TOLD_MOST)
            inside = arena_printf(t->page->arena, "%s%s%s", inside, *inside ? "; " : "",
                                  short_label(t, i));
        if (row->over > 0 && overs++ < TOLD_MOST)
            over = arena_printf(t->page->arena, words_try_over, over, *over ? "; " : "",
                                short_label(t, i), worst_words(t, row),
                                page_percent(t->page, row->share));
    }
    page_gap(t->page);
    if (overs == 0) {
        page_say(t->page, "", words_try_none_over);
        if (!t->study->cold) page_say(t->page, "", words_try_not_looked);
        return;
    }
    page_say(t->page, "", words_try_something_over, over,
             overs > TOLD_MOST ? arena_printf(t->page->arena, words_try_more, overs - TOLD_MOST)
                               : "");
    if (insides > 0)
        page_say(t->page, "", words_try_inside, inside,
                 insides > TOLD_MOST
                     ? arena_printf(t->page->arena, words_try_more, insides - TOLD_MOST)
                     : "");
    else page_say(t->page, "", words_try_never_inside);
    if (!t->study->cold) page_say(t->page, "", words_try_not_looked);
}

/* `22 uF`, `1000 uF, as far as was looked,`. */
static const char *how_far(struct trying *t, const struct limit *l)
{
    char most[64];
    quantity_text(l->farads, UNIT_FARAD, 3, most, sizeof most);
    return arena_printf(t->page->arena, "%s%s", most, l->beyond ? words_try_as_far : "");
}

/* `its running peak then uses 98 % of the limit`. */
static const char *what_uses(struct trying *t, enum measure measure, double share)
{
    const char *what = measure_words(measure);
    if (measure == MEASURE_INRUSH_PEAK_CURRENT) what = words_try_hot_restart_peak;
    return arena_printf(t->page->arena, words_try_share, what, page_percent(t->page, share));
}

static const char *with_resistors(struct trying *t, const struct limit *l)
{
    const char *ohms = page_value(t->page, t->study->ohms, UNIT_OHM, false);
    if (l->none) return arena_printf(t->page->arena, words_try_no_value, ohms);
    if (l->beyond) return arena_printf(t->page->arena, words_try_any, ohms);
    return arena_printf(t->page->arena, words_try_up_to, ohms, how_far(t, l),
                        what_uses(t, l->measure, l->share));
}

/* The sheet's own figures, and how they stand to the peaks that were run. A larger capacitor with
 * more ohms before the plates is what sheets of the time allow, from memory. */
static void tell_sheet(struct trying *t, const struct limit *l)
{
    struct page *page = t->page;
    if (isnan(l->sheet)) return;
    const char *sheet = page_value(page, l->sheet + l->others, UNIT_FARAD, false);
    const char *others = "";
    if (l->others > 0)
        others = arena_printf(page->arena, words_try_of_which,
                              page_value(page, l->others, UNIT_FARAD, false));
    char most[64];
    quantity_text(l->farads, UNIT_FARAD, 3, most, sizeof most);
    if (!(l->share > 0)) page_say(page, "", words_try_sheet_alone, sheet, others);
    else if (l->sheet < l->farads && l->beyond)
        page_say(page, "", words_try_sheet_counts, sheet, others,
                 what_uses(t, l->measure, l->share));
    else if (l->sheet < l->farads)
        page_say(page, "", words_try_sheet_more, sheet, others, most,
                 what_uses(t, l->measure, l->share));
    else page_say(page, "", words_try_sheet_less, sheet, others);
    if (isnan(l->least_ohms)) return;
    const char *least = page_value(page, l->least_ohms, UNIT_OHM, false);
    const char *there = page_value(page, l->ohms, UNIT_OHM, false);
    if (l->ohms < l->least_ohms)
        page_say(page, "", words_try_asks_more, least, there,
                 page_value(page, l->least_ohms - l->ohms, UNIT_OHM, false));
    else page_say(page, "", words_try_asks, least, there);
}

/* The answer to what was asked: does this first capacitor fit? */
static void tell_fit(struct trying *t, int i)
{
    const struct try_study *y = t->study;
    const struct trial_row *row = &t->table->rows.at[i];
    const struct limit *bare = &y->limits[0], *eased = &y->limits[1];
    const char *label = short_label(t, i), *ohms = page_value(t->page, y->ohms, UNIT_OHM, false);
    double farads = y->sweeps[0].values.at[sweep_index(y->sweeps, y->n, 0, i)].value;
    double share = isnan(row->rectifier_share) ? 0 : row->rectifier_share;
    bool over_sheet = farads > bare->sheet * (1 + 1e-9); /* false where it says nothing */
    bool eases = bare->beyond || (!eased->none && farads <= eased->farads);
    const char *what = measure_words(row->rectifier_measure);
    const char *percent = page_percent(t->page, share);
    const char *limit = page_value(t->page, row->rectifier_limit,
                                   measure_table[row->rectifier_measure].unit, false);
    if (isnan(row->rectifier_share))
        page_say(t->page, "", words_try_fit_unknown, label, y->rectifier);
    else if (share > 1 && share <= JUDGE_BAND && row->rectifier_derived && !over_sheet)
        page_say(t->page, "", words_try_fit_band, label, y->rectifier, what, percent, limit,
                 eases ? arena_printf(t->page->arena, words_try_fit_eased, ohms) : "");
    else if (share > 1 && (!eases || over_sheet))
        page_say(t->page, "", words_try_fit_not, label, y->rectifier, what, percent, limit);
    else if (over_sheet)
        page_say(t->page, "", words_try_fit_sheet, label,
                 page_value(t->page, bare->sheet + bare->others, UNIT_FARAD, false));
    else if (share > 1)
        page_say(t->page, "", words_try_fit_with, label, ohms, y->rectifier, what, percent, limit);
    else
        page_say(t->page, "", words_try_fit, label, y->rectifier, what, percent, limit,
                 row->over > 0 ? words_try_fit_but : "");
}

static void tell_limit(struct trying *t)
{
    const struct try_study *y = t->study;
    const struct limit *bare = &y->limits[0], *eased = &y->limits[1];
    if (!y->rectifier) return;
    if (bare->status != STATUS_OK || eased->status != STATUS_OK) {
        page_say(t->page, "", words_try_not_found, y->rectifier);
        return;
    }
    if (!bare->none && !(bare->share > 0) && isnan(bare->sheet)) {
        page_say(t->page, "", words_try_no_rating, y->rectifier);
        return;
    }
    const char *with = bare->beyond ? "" : with_resistors(t, eased);
    char least[64];
    quantity_text(LIMIT_LEAST, UNIT_FARAD, 3, least, sizeof least);
    bool sheet = bare->sheet < bare->farads; /* false where it says nothing */
    char allowed[64];
    quantity_text(sheet ? bare->sheet : 0, UNIT_FARAD, 3, allowed, sizeof allowed);
    if (bare->none)
        page_say(t->page, "", words_try_even, least, y->sweeps[0].path, y->rectifier, with);
    else if (!sheet)
        page_say(t->page, "", words_try_stays, y->sweeps[0].path, how_far(t, bare), y->rectifier,
                 what_uses(t, bare->measure, bare->share), with);
    else if (bare->sheet_proof && bare->sheet_share > 0)
        page_say(t->page, "", words_try_stays_sheet, y->sweeps[0].path, allowed, y->rectifier,
                 what_uses(t, bare->sheet_measure, bare->sheet_share));
    tell_sheet(t, bare);
    for (int i = 0; i < t->table->rows.n && i < TOLD_MOST; i++) tell_fit(t, i);
}

void try_text_write(FILE *to, struct arena *arena, const struct try_study *study,
                    const char *figures, const char *file)
{
    struct page page = page_on(to, arena);
    struct trying t = {&page, study, study->table};
    write_head(&t);
    write_table(&t);
    write_notes(&t, file);
    tell_over(&t);
    tell_limit(&t);
    if (study->ends) ends_text_write(&page, study->ends, short_label(&t, study->ends_row));
    page_say(&page, "", words_common_not_safe);
    page_gap(&page);
    page_path(&page, words_try_table, file);
    page_path(&page, words_common_figures, figures);
    struct hazards h = hazards_of(arena, study->setup, NULL, OCCASION_POWER | OCCASION_REPLACE);
    cautions_text_write(&page, &h, 1);
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
    struct arena *scratch = arena_scratch(writer_arena(w));
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
    arena_clear(scratch);
}
