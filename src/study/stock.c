/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "stock.h"

#include <errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/stat.h>

#include "csv.h"
#include "file.h"
#include "hint.h"

enum { FIELDS = 32, PIECES_MOST = 100000 };
enum column { COLUMN_KIND, COLUMN_VALUE, COLUMN_RATING, COLUMN_PIECES, COLUMNS };

#define BYTES_MOST (8 << 20)
#define ROUNDING 1e-9 /* of values that are the same */

static const char *const column_names[COLUMNS] = {"kind", "value", "rating", "pieces"};

const char *const stock_kinds[STOCK_KINDS] = {"electrolytic", "film", "resistor",
                                              "diode",        "tube", "slow fuse"};

/* ---- reading ---- */

struct drawer {
    struct arena *arena;
    struct diags *diags;
    const char *path;
    struct stock *stock;
    int at[COLUMNS]; /* field of each column; -1: not there */
    int fields;      /* of the first line */
};

struct line {
    char *field[FIELDS];
    int column[FIELDS];
    struct csv_record record;
};

static bool complain(const struct drawer *r, const struct line *l, int field, const char *hint,
                     const char *message)
{
    struct place place = {r->path, l->record.line, field >= 0 ? l->column[field] : 1};
    diags_add(r->diags, DIAG_ERROR, place, hint, "%s", message);
    return false;
}

static const char *trim(char *text)
{
    while (*text == ' ') text++;
    size_t n = strlen(text);
    while (n > 0 && text[n - 1] == ' ') text[--n] = 0;
    return text;
}

static bool is_blank(const struct line *l)
{
    return l->record.n == 1 && !*trim(l->field[0]);
}

/* Columns that are not ours are the owner's, but not ones that look like a slip of the pen. */
static bool read_head(struct drawer *r, struct line *l)
{
    for (int k = 0; k < COLUMNS; k++) r->at[k] = -1;
    r->fields = l->record.n;
    for (int i = 0; i < l->record.n && i < FIELDS; i++) {
        const char *name = trim(l->field[i]);
        for (int k = 0; k < COLUMNS; k++)
            if (strcasecmp(name, column_names[k]) == 0) r->at[k] = i;
    }
    for (int k = 0; k < 2; k++) {
        if (r->at[k] >= 0) continue;
        const char *near = NULL;
        for (int i = 0; i < l->record.n && i < FIELDS && !near; i++)
            if (hint_nearest(l->field[i], &column_names[k], 1)) near = l->field[i];
        return complain(r, l, -1, "the first line names the columns: kind,value,rating,pieces",
                        near ? arena_printf(r->arena,
                                            "column `%s` is missing; `%s` is no column of ours",
                                            column_names[k], near)
                             : arena_printf(r->arena, "column `%s` is missing", column_names[k]));
    }
    return true;
}

static const char *text_of(const struct drawer *r, const struct line *l, enum column column)
{
    return r->at[column] < 0 ? "" : trim(l->field[r->at[column]]);
}

static bool read_kind(const struct drawer *r, const struct line *l, enum stock_kind *kind)
{
    const char *word = text_of(r, l, COLUMN_KIND);
    for (int k = 0; k < STOCK_KINDS; k++) {
        *kind = (enum stock_kind)k;
        if (strcmp(word, stock_kinds[k]) == 0) return true;
    }
    const char *near = hint_nearest(word, stock_kinds, STOCK_KINDS);
    return complain(r, l, r->at[COLUMN_KIND],
                    near ? arena_printf(r->arena, "did you mean `%s`?", near)
                         : "known are electrolytic, film, resistor, diode, tube, slow fuse",
                    arena_printf(r->arena, "`%s` is no kind of part known here", word));
}

static bool read_quantity(const struct drawer *r, const struct line *l, enum column column,
                          enum unit unit, double *value)
{
    struct complaint why = {"", ""};
    if (quantity_parse(text_of(r, l, column), unit, value, &why) && *value > 0) return true;
    return complain(r, l, r->at[column], why.hint[0] ? why.hint : NULL,
                    why.message[0] ? why.message : "it must be more than nothing");
}

static bool read_pieces(const struct drawer *r, const struct line *l, int *pieces)
{
    const char *text = text_of(r, l, COLUMN_PIECES);
    char *end;
    *pieces = 1;
    if (!*text) return true;
    long n = strtol(text, &end, 10);
    *pieces = (int)n;
    return (*end == 0 && n >= 0 && n <= PIECES_MOST) ||
           complain(r, l, r->at[COLUMN_PIECES], "write for instance 3",
                    arena_printf(r->arena, "`%s` is no number of pieces", text));
}

static bool read_row(const struct drawer *r, const struct line *l, struct stock_row *row)
{
    static const enum unit units[STOCK_KINDS] = {UNIT_FARAD,  UNIT_FARAD,  UNIT_OHM,
                                                 UNIT_NUMBER, UNIT_NUMBER, UNIT_AMPERE};
    *row = (struct stock_row){.value = (double)NAN, .rating = (double)NAN, .line = l->record.line};
    if (l->record.n > r->fields)
        return complain(
            r, l, r->fields < FIELDS ? r->fields : -1,
            "a comma inside a field needs quotes around it",
            arena_printf(r->arena, "%d fields, and the first line has %d", l->record.n, r->fields));
    if (!read_kind(r, l, &row->kind)) return false;
    enum unit unit = units[row->kind];
    bool good = unit == UNIT_NUMBER || read_quantity(r, l, COLUMN_VALUE, unit, &row->value);
    if (unit == UNIT_NUMBER) row->type = text_of(r, l, COLUMN_VALUE);
    if (row->type && !*row->type)
        good = complain(r, l, r->at[COLUMN_VALUE], "write the type, for instance 1N4007",
                        "there is no type");
    if (*text_of(r, l, COLUMN_RATING))
        good &= read_quantity(r, l, COLUMN_RATING,
                              row->kind == STOCK_RESISTOR ? UNIT_WATT : UNIT_VOLT, &row->rating);
    return read_pieces(r, l, &row->pieces) && good;
}

static void read_lines(struct drawer *r, char *text)
{
    struct csv csv = {text, csv_separator(text), 1};
    struct line l;
    bool head = true;
    while (csv_next(&csv, l.field, l.column, FIELDS, &l.record)) {
        struct stock_row row;
        if (l.record.open) {
            complain(r, &l, -1, "a quote inside a field is written twice",
                     "a quote is opened here and never closed");
            return;
        }
        if (is_blank(&l)) continue;
        if (head && !read_head(r, &l)) return;
        if (!head && read_row(r, &l, &row)) array_push(r->arena, &r->stock->rows, row);
        head = false;
    }
    if (head)
        complain(r, &l, -1, "the first line names the columns: kind,value,rating,pieces",
                 "there is nothing in it");
}

static const char *trouble(const char *path, size_t *bytes)
{
    struct stat st;
    if (stat(path, &st) != 0) return strerror(errno);
    if (S_ISDIR(st.st_mode)) return "this is a folder";
    if (!S_ISREG(st.st_mode)) return "this is no ordinary file";
    if (st.st_size > BYTES_MOST) return "this is too large for a drawer";
    *bytes = (size_t)st.st_size;
    return NULL;
}

struct stock *stock_read(struct arena *arena, struct diags *diags, const char *path)
{
    struct stock *stock = ARENA_NEW(arena, struct stock);
    struct drawer r = {.arena = arena, .diags = diags, .path = path, .stock = stock};
    const char *slash = strrchr(path, '/');
    size_t bytes = 0, n = 0;
    int errors = diags_errors(diags);
    const char *why = trouble(path, &bytes);
    char *text = arena_alloc(arena, bytes + 1);
    if (!why) {
        int error = file_read(path, text, bytes, &n);
        why = error ? strerror(error) : NULL;
    }
    if (!why && memchr(text, 0, n)) why = "this is no text";
    if (why) {
        diags_add(diags, DIAG_ERROR, (struct place){path, 0, 0},
                  "save the drawer as a table with commas (CSV)", "%s", why);
        return NULL;
    }
    text[n] = 0;
    stock->path = slash ? slash + 1 : path;
    diags_source(diags, path, arena_text(arena, text, n));
    read_lines(&r, strncmp(text, "\xEF\xBB\xBF", 3) == 0 ? text + 3 : text);
    return diags_errors(diags) == errors ? stock : NULL;
}

/* ---- what is needed ---- */

static bool kept(const struct buy_list *list, const char *name)
{
    for (int i = 0; i < list->keep.rows.n; i++)
        if (strcmp(list->keep.rows.at[i].name, name) == 0)
            return list->keep.rows.at[i].what == KEEP_IT;
    return false;
}

static struct stock_item *add(struct arena *arena, struct stock *s, struct stock_item item)
{
    item.order = item.keep ? 0 : item.pieces;
    array_push(arena, &s->items, item);
    return &s->items.at[s->items.n - 1];
}

/* ---- taking ---- */

static bool will_do(const struct stock_row *row, const struct stock_item *item)
{
    if (row->kind != item->kind || row->pieces == 0) return false;
    if (item->type) return strcmp(row->type, item->type) == 0;
    if (!(row->value >= item->least) || !(row->value <= item->most)) return false;
    return isnan(item->rating) || row->rating >= item->rating;
}

/* How many pieces the drawer has of it. */
static int held(const struct stock *s, const struct stock_item *item)
{
    int n = 0;
    for (int i = 0; i < s->rows.n; i++)
        if (will_do(&s->rows.at[i], item)) n += s->rows.at[i].pieces;
    return n;
}

static void take(struct stock *s, struct stock_item *item)
{
    for (int i = 0; i < s->rows.n && item->order > 0; i++) {
        struct stock_row *row = &s->rows.at[i];
        if (!will_do(row, item)) continue;
        int n = row->pieces < item->order ? row->pieces : item->order;
        if (item->taken == 0) item->line = row->line;
        row->pieces -= n;
        item->taken += n;
        item->order -= n;
    }
}

/* Across each of a pair: two of half the ohms where one would not withstand the volts. */
static void take_equalising(struct arena *arena, struct stock *s, const struct buy_list *list,
                            const struct buy_capacitor *k)
{
    bool halves = k->pair.volts > BUY_RESISTOR_VOLTS;
    double ohms = halves ? k->pair.ohms / 2 : k->pair.ohms;
    take(s, add(arena, s,
                (struct stock_item){.part = arena_printf(arena, "across %s", k->name),
                                    .kind = STOCK_RESISTOR,
                                    .value = ohms,
                                    .least = ohms * (1 - STOCK_SAME_OHMS),
                                    .most = ohms * (1 + STOCK_SAME_OHMS),
                                    .rating = k->pair.resistor_watts,
                                    .pieces = halves ? 4 : 2,
                                    .keep = kept(list, k->name)}));
}

static void take_capacitor(struct arena *arena, struct stock *s, const struct buy_list *list,
                           const struct buy_capacitor *k)
{
    struct stock_item one = {.part = k->name,
                             .kind = k->electrolytic ? STOCK_ELECTROLYTIC : STOCK_FILM,
                             .value = k->farads,
                             .least = fmin(k->drawn, k->farads) * (1 - ROUNDING),
                             .most = k->farads * (1 + ROUNDING),
                             .rating = k->rating,
                             .pieces = 1,
                             .keep = kept(list, k->name)};
    struct stock_item two = one;
    two.value = k->pair.farads;
    two.least = 2 * one.least;
    two.most = two.value * (1 + ROUNDING);
    two.rating = k->pair.rating;
    two.pieces = 2;
    bool single = k->rating > 0, pair = k->pair.farads > 0 && k->pair.rating > 0;
    if (!single && !pair) return;
    bool by_pair = pair && (!single || (held(s, &one) == 0 && held(s, &two) >= 2));
    take(s, add(arena, s, by_pair ? two : one));
    if (by_pair) take_equalising(arena, s, list, k);
}

static int plates(const struct buy_list *list, const char *name)
{
    const struct set *set = list->setup[BUY_HOT]->stages.at[0].set;
    const struct part *part = set_find(set, name);
    struct part_way way;
    int n = 0;
    while (part && part_way(set, part, n, &way)) n++;
    return n > 0 ? n : 1;
}

static void take_rectifier(struct arena *arena, struct stock *s, const struct buy_list *list,
                           const struct buy_rectifier *v)
{
    struct stock_item item = {.part = v->name,
                              .kind = v->tube ? STOCK_TUBE : STOCK_DIODE,
                              .type = v->tube ? v->type : "1N4007",
                              .value = (double)NAN,
                              .rating = (double)NAN,
                              .pieces = v->tube ? 1 : v->diodes * plates(list, v->name)};
    if (item.pieces > 0 && *item.type) take(s, add(arena, s, item));
}

void stock_take(struct arena *arena, struct stock *s, const struct buy_list *list)
{
    for (int i = 0; i < list->capacitors.n; i++)
        take_capacitor(arena, s, list, &list->capacitors.at[i]);
    for (int i = 0; i < list->resistors.n; i++) {
        const struct buy_resistor *r = &list->resistors.at[i];
        if (!isfinite(r->ohms) || !isfinite(r->rating)) continue;
        struct stock_item item = {.part = r->name,
                                  .kind = STOCK_RESISTOR,
                                  .value = r->ohms,
                                  .least = r->ohms * (1 - STOCK_SAME_OHMS),
                                  .most = r->ohms * (1 + STOCK_SAME_OHMS),
                                  .rating = r->rating,
                                  .pieces = 1};
        take(s, add(arena, s, item));
    }
    for (int i = 0; i < list->rectifiers.n; i++)
        take_rectifier(arena, s, list, &list->rectifiers.at[i]);
    struct stock_item fuse = {.part = "mains",
                              .kind = STOCK_SLOW_FUSE,
                              .value = list->fuse,
                              .least = list->fuse * (1 - ROUNDING),
                              .most = list->fuse * (1 + ROUNDING),
                              .rating = (double)NAN,
                              .pieces = 1};
    if (list->fuse > 0) take(s, add(arena, s, fuse));
}
