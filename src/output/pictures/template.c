/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A fill is a plain list of values and a list of lists, searched from the innermost row outwards
 * through `outer`. A block is written by going over its lines again for every row; a block without
 * rows is gone over once in silence, so that its marks are checked and its end is found. */
#include "template.h"

#include <assert.h>
#include <stdio.h>
#include <string.h>

#include "array.h"
#include "file.h"

enum { TEMPLATE_BYTES = 1 << 18, TEMPLATE_DEPTH = 8 };

struct value {
    const char *name, *text;
};

struct list {
    const char *name;
    ARRAY(struct fill *) rows;
};

struct fill {
    struct arena *arena;
    const struct fill *outer;
    ARRAY(struct value) values;
    ARRAY(struct list) lists;
};

/* ---- values ---- */

struct fill *template_new(struct arena *arena)
{
    struct fill *fill = ARENA_NEW(arena, struct fill);
    fill->arena = arena;
    return fill;
}

void template_text(struct fill *fill, const char *name, const char *text)
{
    struct value value = {arena_text(fill->arena, name, strlen(name)),
                          arena_text(fill->arena, text, strlen(text))};
    array_push(fill->arena, &fill->values, value);
}

/* In single quotes nothing but the quote means anything, but gnuplot 5.4 reads a doubled one only
 * inside a text and not beside another. In double quotes what means something is written in octal;
 * a ` there would start a program. */
void template_quoted(struct fill *fill, const char *name, const char *text)
{
    const char quote = strchr(text, '\'') ? '"' : '\'';
    char *quoted = arena_alloc(fill->arena, 4 * strlen(text) + 3), *to = quoted;
    *to++ = quote;
    for (const char *s = text; *s; s++) {
        unsigned char c = (unsigned char)*s;
        if (quote == '"' && strchr("\"\\`", c)) to += sprintf(to, "\\%03o", c);
        else *to++ = c < 0x20 || c == 0x7F ? ' ' : *s;
    }
    *to++ = quote;
    *to = 0;
    template_text(fill, name, quoted);
}

void template_number(struct fill *fill, const char *name, double value)
{
    char text[40];
    snprintf(text, sizeof text, "%.9g", value);
    char *comma = strchr(text, ',');
    if (comma) *comma = '.';
    template_text(fill, name, text);
}

static struct list *own_list(struct fill *fill, const char *name)
{
    for (int i = 0; i < fill->lists.n; i++)
        if (strcmp(fill->lists.at[i].name, name) == 0) return &fill->lists.at[i];
    return NULL;
}

void template_list(struct fill *fill, const char *list)
{
    if (own_list(fill, list)) return;
    struct list empty = {.name = arena_text(fill->arena, list, strlen(list))};
    array_push(fill->arena, &fill->lists, empty);
}

struct fill *template_row(struct fill *fill, const char *list)
{
    template_list(fill, list);
    struct list *rows = own_list(fill, list);
    struct fill *row = template_new(fill->arena);
    row->outer = fill;
    array_push(fill->arena, &rows->rows, row);
    return row;
}

static const char *find_value(const struct fill *fill, const char *name, size_t n)
{
    for (; fill; fill = fill->outer)
        for (int i = fill->values.n - 1; i >= 0; i--) {
            const struct value *v = &fill->values.at[i];
            if (strlen(v->name) == n && memcmp(v->name, name, n) == 0) return v->text;
        }
    return NULL;
}

static const struct list *find_list(const struct fill *fill, const char *name, size_t n)
{
    for (; fill; fill = fill->outer)
        for (int i = 0; i < fill->lists.n; i++) {
            const struct list *l = &fill->lists.at[i];
            if (strlen(l->name) == n && memcmp(l->name, name, n) == 0) return l;
        }
    return NULL;
}

/* ---- the text ---- */

struct reader {
    struct writer *w;
    struct arena *arena;
    struct diags *diags;
    const char *folder, *path, *text;
    const char *at; /* where the next line begins */
    int line;       /* of the line last taken */
    int depth;      /* of files that include one another, and blocks in blocks */
    bool failed;
};

static void complain(struct reader *r, const char *line, const char *at, const char *hint,
                     const char *what, const char *name, size_t n)
{
    struct place place = {r->path, r->line, (int)(at - line) + 1};
    diags_add(r->diags, DIAG_ERROR, place, hint, "%s `%.*s`", what, (int)n, name);
    r->failed = true;
}

/* The next line without its end, or NULL. */
static const char *next_line(struct reader *r, size_t *n)
{
    if (!*r->at) return NULL;
    const char *line = r->at;
    *n = strcspn(line, "\n");
    r->at = line + *n + (line[*n] ? 1 : 0);
    r->line++;
    return line;
}

/* When the line is `@WORD name@`: the name. */
static const char *marked(const char *line, size_t n, const char *word, size_t *name_n)
{
    const char *end = line + n;
    while (line < end && *line == ' ') line++;
    while (end > line && (end[-1] == ' ' || end[-1] == '\r')) end--;
    size_t m = strlen(word);
    if ((size_t)(end - line) < m + 2 || *line != '@' || end[-1] != '@') return NULL;
    if (memcmp(line + 1, word, m) != 0) return NULL;
    const char *name = line + 1 + m;
    *name_n = (size_t)(end - 1 - name);
    if (memchr(name, '@', *name_n)) return NULL;
    return name;
}

static bool is_remark(const char *line, size_t n)
{
    while (n > 0 && *line == ' ') line++, n--;
    return n >= 2 && line[0] == '@' && line[1] == '#';
}

static void write_line(struct reader *r, const char *line, size_t n, const struct fill *fill,
                       bool silent)
{
    const char *end = line + n;
    for (const char *s = line; s < end;) {
        const char *mark = memchr(s, '@', (size_t)(end - s));
        if (!mark) mark = end;
        if (!silent) writer_bytes(r->w, s, (size_t)(mark - s));
        if (mark == end) break;
        const char *close = memchr(mark + 1, '@', (size_t)(end - mark - 1));
        size_t length = close ? (size_t)(close - mark - 1) : 0;
        const char *value = length ? find_value(fill, mark + 1, length) : "@";
        if (!close)
            complain(r, line, mark, "write @@ for one @", "a mark that is not closed", mark, 1);
        else if (!value && !silent) /* a row that is not there has no values to look up */
            complain(r, line, mark, NULL, "no value is called", mark + 1, length);
        else if (!silent) writer_text(r->w, value);
        s = close ? close + 1 : end;
    }
    if (!silent) writer_text(r->w, "\n");
}

static void write_lines(struct reader *r, const struct fill *fill, bool in_block, bool silent);

static void write_block(struct reader *r, const char *line, const char *name, size_t n,
                        const struct fill *fill, bool silent)
{
    const struct list *list = silent ? NULL : find_list(fill, name, n);
    if (!list && !silent) complain(r, line, name, NULL, "no list is called", name, n);
    if (++r->depth > TEMPLATE_DEPTH) complain(r, line, name, NULL, "too deep", name, n);
    const char *start = r->at;
    int start_line = r->line;
    for (int i = 0; list && i < list->rows.n && !r->failed; i++) {
        r->at = start, r->line = start_line;
        write_lines(r, list->rows.at[i], true, false);
    }
    if (!list || list->rows.n == 0) write_lines(r, fill, true, true);
    r->depth--;
}

static void include(struct reader *r, const char *line, const char *name, size_t n,
                    const struct fill *fill);

static void write_lines(struct reader *r, const struct fill *fill, bool in_block, bool silent)
{
    size_t n = 0, m = 0;
    const char *line = NULL, *name = NULL;
    int opened = r->line;
    while (!r->failed && (line = next_line(r, &n))) {
        if (is_remark(line, n)) continue;
        if (marked(line, n, "end", &m) && m == 0) {
            if (!in_block) complain(r, line, line, NULL, "nothing to end with", "@end@", 5);
            return;
        }
        if ((name = marked(line, n, "for ", &m))) write_block(r, line, name, m, fill, silent);
        else if ((name = marked(line, n, "include ", &m))) {
            if (!silent) include(r, line, name, m, fill);
        } else write_line(r, line, n, fill, silent);
    }
    if (in_block && !r->failed) {
        r->line = opened;
        complain(r, "", "", NULL, "this block has no", "@end@", 5);
    }
}

/* ---- files ---- */

static const char *read_text(struct reader *r)
{
    char *text = arena_alloc(r->arena, TEMPLATE_BYTES + 1);
    size_t n;
    int error = file_read(r->path, text, TEMPLATE_BYTES, &n);
    if (!error && n < TEMPLATE_BYTES && !memchr(text, 0, n)) return text;
    struct place place = {r->path, 0, 0};
    diags_add(r->diags, DIAG_ERROR, place, NULL, "cannot read this template: %s",
              error ? strerror(error) : "no text, or too long");
    return NULL;
}

static bool write_file(struct reader *r, const char *file, const struct fill *fill)
{
    r->path = arena_printf(r->arena, "%s/%s", r->folder, file);
    r->at = r->text = read_text(r);
    r->line = 0;
    if (!r->text) return false;
    diags_source(r->diags, r->path, r->text);
    write_lines(r, fill, false, false);
    return !r->failed;
}

static void include(struct reader *r, const char *line, const char *name, size_t n,
                    const struct fill *fill)
{
    struct reader inner = *r;
    if (++inner.depth > TEMPLATE_DEPTH) complain(r, line, name, NULL, "too deep", name, n);
    else if (!write_file(&inner, arena_text(r->arena, name, n), fill)) r->failed = true;
}

bool template_write(struct writer *w, struct diags *diags, const char *folder, const char *file,
                    const struct fill *fill)
{
    struct reader r = {.w = w, .arena = fill->arena, .diags = diags, .folder = folder};
    return write_file(&r, file, fill);
}
