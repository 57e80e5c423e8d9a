/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Paragraphs are broken greedily; a column is a code point. */
#include "page.h"

#include <math.h>
#include <stdarg.h>
#include <string.h>

#include "page_html.h"
#include "utf8.h"
#include "words_common.h"

#define LEAST_VOLTS 0.5e-3   /* [V] */
#define LEAST_AMPERES 0.5e-6 /* [A] */
#define TIE '\x1f'           /* a blank that is not broken at */

static struct page_style style_of_all;

void page_style_set(struct page_style style)
{
    style_of_all = style;
}

struct page_style page_style(void)
{
    return style_of_all;
}

struct page page_on(FILE *to, struct arena *arena)
{
    if (style_of_all.html) return page_html_on(style_of_all.html, arena, false);
    return (struct page){.to = to, .arena = arena};
}

void page_title(const struct page *p, const char *title, const char *variant)
{
    if (p->html) return;
    if (title) page_say(p, "", "%s", title);
    if (variant && strcmp(variant, "base") != 0) page_say(p, "", words_common_variant, variant);
}

/* --- letters --- */

static int columns(const char *text)
{
    return utf8_count(text, strlen(text));
}

static void put_letter(const struct page *p, int c)
{
    if (c == '\n' && p->lines) ++*p->lines;
    if (p->to) fputc(c, p->to);
}

static void put(const struct page *p, const char *text, size_t bytes)
{
    for (size_t i = 0; i < bytes; i++) {
        unsigned char c = (unsigned char)text[i];
        if (c == TIE) c = ' ';
        else if (c < ' ' || c == 0x7f) c = '?';
        put_letter(p, c);
    }
}

/* --- paragraphs --- */

struct line {
    int indent, at; /* columns */
    bool empty;
};

static void new_line(const struct page *p, struct line *line)
{
    put_letter(p, '\n');
    for (int i = 0; i < line->indent; i++) put_letter(p, ' ');
    line->at = line->indent;
    line->empty = true;
}

/* A word longer than a line is cut hard. */
static void put_word(const struct page *p, struct line *line, const char *word, size_t bytes)
{
    int wide = utf8_count(word, bytes);
    if (!line->empty && line->at + 1 + wide > PAGE_COLUMNS) new_line(p, line);
    if (!line->empty) put_letter(p, ' '), line->at++;
    while (line->at + utf8_count(word, bytes) > PAGE_COLUMNS) {
        size_t n = utf8_bytes(word, (size_t)(PAGE_COLUMNS - line->at));
        put(p, word, n);
        new_line(p, line);
        word += n;
        bytes -= n;
    }
    put(p, word, bytes);
    line->at += utf8_count(word, bytes);
    line->empty = false;
}

/* Bytes up to a blank that may be broken at; not the one before a `%`. */
static size_t word_bytes(const char *text)
{
    size_t n = strcspn(text, " \n");
    while (text[n] == ' ' && text[n + 1] == '%') n += 1 + strcspn(text + n + 1, " \n");
    return n;
}

void page_hang(const struct page *p, const char *first, int hang, const char *text)
{
    if (p->html) {
        page_html_say(p, first, text);
        return;
    }
    int wide = columns(first);
    struct line line = {wide + hang, wide, true};
    put(p, first, strlen(first));
    while (*text) {
        size_t bytes = word_bytes(text);
        if (bytes > 0) put_word(p, &line, text, bytes);
        text += bytes + (text[bytes] != 0);
    }
    put_letter(p, '\n');
}

void page_say(const struct page *p, const char *first, const char *format, ...)
{
    va_list args, again;
    va_start(args, format);
    va_copy(again, args);
    int n = vsnprintf(NULL, 0, format, args);
    va_end(args);
    char *text = arena_alloc(p->arena, (size_t)n + 1);
    vsnprintf(text, (size_t)n + 1, format, again);
    va_end(again);
    page_hang(p, first, 0, text);
}

/* --- lines --- */

void page_line(const struct page *p, const char *text)
{
    if (p->html) {
        page_html_line(p, text);
        return;
    }
    size_t bytes = strlen(text);
    while (bytes > 0 && (text[bytes - 1] == ' ' || text[bytes - 1] == TIE)) bytes--;
    put(p, text, bytes);
    put_letter(p, '\n');
}

void page_heads(const struct page *p)
{
    if (p->html) page_html_heads(p);
}

void page_gap(const struct page *p)
{
    if (p->html) page_html_gap(p);
    else put_letter(p, '\n');
}

void page_path(const struct page *p, const char *text, const char *path)
{
    if (p->html) return;
    bool fits = columns(text) + 1 + columns(path) <= PAGE_COLUMNS;
    page_line(p, fits ? arena_printf(p->arena, "%s %s", text, path) : text);
    if (!fits) page_line(p, arena_printf(p->arena, "    %s", path));
}

void page_heading(const struct page *p, const char *text)
{
    page_heading_of(p, NULL, text);
}

void page_heading_of(const struct page *p, const char *class, const char *text)
{
    if (p->html) {
        page_html_heading(p, class, text);
        return;
    }
    page_gap(p);
    page_line(p, text);
}

/* --- texts --- */

static char *tied(char *text)
{
    for (char *p = text; *p; p++)
        if (*p == ' ') *p = TIE;
    return text;
}

static double seen(double value, enum unit unit)
{
    bool nothing = (unit == UNIT_VOLT && fabs(value) < LEAST_VOLTS) ||
                   (unit == UNIT_AMPERE && fabs(value) < LEAST_AMPERES);
    return nothing ? 0 : value;
}

static const char *value_text(const struct page *p, double value, enum unit unit,
                              const char *before)
{
    char out[64];
    value = seen(value, unit);
    bool rough = *before && isfinite(value) && value != 0;
    quantity_text(value, unit, rough ? 2 : 3, out, sizeof out);
    return tied(arena_printf(p->arena, "%s%s", rough ? before : "", out));
}

const char *page_value(const struct page *p, double value, enum unit unit, bool rough)
{
    return value_text(p, value, unit, rough ? words_common_about : "");
}

const char *page_value_tight(const struct page *p, double value, enum unit unit, bool rough)
{
    return value_text(p, value, unit, rough ? words_common_about_tight : "");
}

const char *page_number(const struct page *p, double value, enum unit unit, int digits)
{
    char out[64];
    return tied(arena_printf(p->arena, "%s", quantity_text(value, unit, digits, out, sizeof out)));
}

const char *page_percent(const struct page *p, double share)
{
    if (isnan(share)) return "";
    if (share > 9.99) return ">999\x1f%"; /* also where nothing limits it */
    double percent = round(100 * share);
    if (percent < 1 && share > 0) return "<1\x1f%";
    if (percent == 100 && share > 1) return ">100\x1f%";
    if (percent == 100 && share < 1) return "<100\x1f%";
    return arena_printf(p->arena, "%.0f\x1f%%", percent);
}

const char *page_cell(const struct page *p, const char *text, int width)
{
    bool right = width < 0;
    if (p->html)
        return arena_printf(p->arena, " %s%c", text, right ? PAGE_HTML_RIGHT : PAGE_HTML_LEFT);
    int room = right ? -width : width, wide = columns(text);
    if (wide > room) {
        int bytes = (int)utf8_bytes(text, (size_t)(room - 2));
        return arena_printf(p->arena, "%.*s..", bytes, text);
    }
    if (right) return arena_printf(p->arena, "%*s%s", room - wide, "", text);
    return arena_printf(p->arena, "%s%*s", text, room - wide, "");
}
