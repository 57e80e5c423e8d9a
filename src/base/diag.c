/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Messages are kept in the order they were found and sorted only for printing. Everything printed
 * may hold what a stranger wrote in a file, so control characters and broken UTF-8 never reach the
 * terminal. */
#include "diag.h"

#include <assert.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "array.h"
#include "utf8.h"

struct source {
    const char *file, *text;
};

struct diags {
    struct arena *arena;
    ARRAY(struct diag) list;
    ARRAY(struct source) sources;
    int errors;
};

struct diags *diags_new(struct arena *arena)
{
    struct diags *diags = ARENA_NEW(arena, struct diags);
    diags->arena = arena;
    return diags;
}

static const struct source *find_source(const struct diags *diags, const char *file)
{
    for (int i = diags->sources.n - 1; i >= 0; i--) /* the latest text of a name counts */
        if (strcmp(diags->sources.at[i].file, file) == 0) return &diags->sources.at[i];
    return NULL;
}

void diags_source(struct diags *diags, const char *file, const char *text)
{
    const char *name = arena_text(diags->arena, file, strlen(file));
    array_push(diags->arena, &diags->sources, (struct source){name, text});
}

void diags_add(struct diags *diags, enum severity severity, struct place at, const char *hint,
               const char *format, ...)
{
    va_list args, again;
    va_start(args, format);
    va_copy(again, args);
    int n = vsnprintf(NULL, 0, format, args);
    va_end(args);
    assert(n >= 0);
    char *message = arena_alloc(diags->arena, (size_t)n + 1);
    vsnprintf(message, (size_t)n + 1, format, again);
    va_end(again);
    const char *kept = hint ? arena_text(diags->arena, hint, strlen(hint)) : NULL;
    array_push(diags->arena, &diags->list, (struct diag){severity, at, message, kept});
    if (severity == DIAG_ERROR) diags->errors++;
}

int diags_errors(const struct diags *diags)
{
    return diags->errors;
}

int diags_count(const struct diags *diags)
{
    return diags->list.n;
}

const struct diag *diags_at(const struct diags *diags, int i)
{
    assert(i >= 0 && i < diags->list.n);
    return &diags->list.at[i];
}

/* ---- one character at a time ---- */

/* Bytes of the UTF-8 character at `s`; 0 when it is none. The final 0 of the text stops it. */
static int char_bytes(const char *s)
{
    unsigned char c = (unsigned char)*s;
    int n = 0;
    if (c < 0x80) n = 1;
    else if (c >= 0xC2 && c < 0xE0) n = 2;
    else if (c >= 0xE0 && c < 0xF0) n = 3;
    else if (c >= 0xF0 && c < 0xF5) n = 4;
    for (int i = 1; i < n; i++)
        if (utf8_begins(s[i])) return 0;
    return n;
}

/* Bytes of the line break at `s`, 0 when there is none: the breaks of YAML 1.1, so that lines count
 * alike. */
static int break_bytes(const char *s)
{
    if (*s == '\n') return 1;
    if (*s == '\r') return s[1] == '\n' ? 2 : 1;
    if (strncmp(s, "\xC2\x85", 2) == 0) return 2;
    if (strncmp(s, "\xE2\x80\xA8", 3) == 0 || strncmp(s, "\xE2\x80\xA9", 3) == 0) return 3;
    return 0;
}

/* Control characters, and the invisible ones that turn the direction of writing or join letters. */
static bool is_control(const char *s)
{
    unsigned char c = (unsigned char)s[0];
    unsigned char d = c ? (unsigned char)s[1] : 0;
    unsigned char e = d ? (unsigned char)s[2] : 0;
    if (c == 0xE2 && d == 0x80) return (e >= 0x8B && e <= 0x8F) || (e >= 0xA8 && e <= 0xAE);
    if (c == 0xE2 && d == 0x81) return e >= 0xA0 && e <= 0xAF;
    if (c == 0xEF && d == 0xBB) return e == 0xBF;
    return (c < 0x20 && c != '\t') || c == 0x7F || (c == 0xC2 && d < 0xA0);
}

/* Writes the character at `s`, or `?` for one that must not reach a terminal; returns its bytes. */
static int put_char(const char *s, FILE *to)
{
    int n = char_bytes(s);
    if (n == 0 || is_control(s)) fputc('?', to);
    else fwrite(s, 1, (size_t)n, to);
    return n == 0 ? 1 : n;
}

static void put_text(const char *s, FILE *to)
{
    while (*s) s += put_char(s, to);
}

/* ---- the quoted line ---- */

/* Characters of a line shown at most, and how many of them before the caret. */
enum { QUOTE_WIDTH = 120, QUOTE_BEFORE = 80 };

/* Where a line begins; the sorted order of the messages lets it only move on. */
struct cursor {
    const struct source *source;
    const char *at;
    int line;
};

static const char *seek_line(struct cursor *c, const struct source *source, int line)
{
    if (c->source != source) *c = (struct cursor){source, source->text, 1};
    assert(line >= c->line);
    const char *s = c->at;
    while (c->line < line && *s) {
        int n = break_bytes(s);
        s += n ? n : 1;
        if (n) c->line++, c->at = s;
    }
    return c->line == line ? c->at : NULL;
}

static const char *skip_chars(const char *s, int n)
{
    while (n-- > 0 && *s && !break_bytes(s)) {
        int bytes = char_bytes(s);
        s += bytes ? bytes : 1;
    }
    return s;
}

/* The line and a caret below it, tabs kept so that both line up; of a long line the part around the
 * caret. */
static void put_quote(const char *line, int column, FILE *to)
{
    int skipped = column > QUOTE_BEFORE + 1 ? column - 1 - QUOTE_BEFORE : 0;
    const char *start = skip_chars(line, skipped), *s = start;
    fputs(skipped ? "  ..." : "  ", to);
    for (int i = 0; i < QUOTE_WIDTH && *s && !break_bytes(s); i++) s += put_char(s, to);
    fputs(*s && !break_bytes(s) ? "...\n" : "\n", to);
    if (column < 1) return;
    fputs(skipped ? "     " : "  ", to);
    s = start;
    for (int i = skipped + 1; i < column; i++) {
        bool inside = *s && !break_bytes(s);
        fputc(inside && *s == '\t' ? '\t' : ' ', to);
        if (inside) s = skip_chars(s, 1);
    }
    fputs("^\n", to);
}

/* ---- all of them ---- */

static void put_place(struct place at, FILE *to)
{
    if (!at.file) return;
    put_text(at.file, to);
    if (at.line > 0) fprintf(to, ":%d", at.line);
    if (at.line > 0 && at.column > 0) fprintf(to, ":%d", at.column);
    fputs(": ", to);
}

static void put_diag(const struct diags *diags, const struct diag *d, struct cursor *cursor,
                     FILE *to)
{
    static const char *const severities[] = {"error", "warning", "note"};
    put_place(d->at, to);
    fprintf(to, "%s: ", severities[d->severity]);
    put_text(d->message, to);
    fputc('\n', to);
    const struct source *source =
        d->at.file && d->at.line > 0 ? find_source(diags, d->at.file) : NULL;
    const char *line = source ? seek_line(cursor, source, d->at.line) : NULL;
    if (line) put_quote(line, d->at.column, to);
    if (!d->hint || !d->hint[0]) return;
    fputs("  hint: ", to);
    put_text(d->hint, to);
    fputc('\n', to);
}

static int compare_places(const struct diag *a, const struct diag *b)
{
    int files = strcmp(a->at.file ? a->at.file : "", b->at.file ? b->at.file : "");
    if (files) return files;
    if (a->at.line != b->at.line) return a->at.line < b->at.line ? -1 : 1;
    return (a->at.column > b->at.column) - (a->at.column < b->at.column);
}

/* Of messages at one place the one found first comes first; all lie in one array, so addresses
 * tell. */
static int compare_diags(const void *a, const void *b)
{
    const struct diag *x = *(const struct diag *const *)a, *y = *(const struct diag *const *)b;
    int places = compare_places(x, y);
    return places ? places : (x > y) - (x < y);
}

static bool said_before(const struct diag **sorted, int i)
{
    for (int j = i - 1; j >= 0 && compare_places(sorted[j], sorted[i]) == 0; j--)
        if (sorted[j]->severity == sorted[i]->severity &&
            strcmp(sorted[j]->message, sorted[i]->message) == 0)
            return true;
    return false;
}

void diags_print(const struct diags *diags, FILE *to)
{
    int n = diags->list.n;
    const struct diag **sorted = ARENA_ARRAY(diags->arena, const struct diag *, n);
    for (int i = 0; i < n; i++) sorted[i] = &diags->list.at[i];
    qsort(sorted, (size_t)n, sizeof *sorted, compare_diags);
    struct cursor cursor = {0};
    for (int i = 0; i < n; i++)
        if (!said_before(sorted, i)) put_diag(diags, sorted[i], &cursor, to);
}
