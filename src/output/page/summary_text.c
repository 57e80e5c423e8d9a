/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Paragraphs are broken greedily. A column is a code point: names may be in any script, everything
 * else is ASCII. */
#include "summary_impl.h"

#include <math.h>
#include <stdarg.h>
#include <string.h>

#define LEAST_VOLTS 0.5e-3   /* [V] */
#define LEAST_AMPERES 0.5e-6 /* [A] */
#define TIE '\x1f'           /* a blank that is not broken at */

static bool starts_column(char c)
{
    return ((unsigned char)c & 0xC0) != 0x80;
}

static int columns(const char *text, int bytes)
{
    int n = 0;
    for (int i = 0; i < bytes; i++) n += starts_column(text[i]);
    return n;
}

static void put(struct summary *s, const char *text, int bytes)
{
    for (int i = 0; i < bytes; i++) {
        unsigned char c = (unsigned char)text[i];
        if (c == TIE) c = ' ';
        else if (c < ' ' || c == 0x7f) c = '?';
        fputc(c, s->to);
    }
}

/* Bytes of `text` that fill at most `room` columns. */
static int fitting(const char *text, int bytes, int room)
{
    int i = 0;
    while (i < bytes && columns(text, i + 1) <= room) i++;
    return i;
}

struct line {
    int indent, at; /* columns */
};

static void new_line(struct summary *s, struct line *line)
{
    fprintf(s->to, "\n%*s", line->indent, "");
    line->at = line->indent;
}

/* A word longer than a line is cut hard. */
static void put_word(struct summary *s, struct line *line, const char *word, int bytes)
{
    int wide = columns(word, bytes), gap = line->at > line->indent;
    if (gap && line->at + gap + wide > SUMMARY_COLUMNS) {
        new_line(s, line);
        gap = 0;
    }
    if (gap) fputc(' ', s->to);
    line->at += gap;
    while (line->at + columns(word, bytes) > SUMMARY_COLUMNS) {
        int n = fitting(word, bytes, SUMMARY_COLUMNS - line->at);
        put(s, word, n);
        new_line(s, line);
        word += n;
        bytes -= n;
    }
    put(s, word, bytes);
    line->at += columns(word, bytes);
}

/* Bytes up to a blank that may be broken at; not the one before a `%`. */
static int word_bytes(const char *text)
{
    size_t n = strcspn(text, " \n");
    while (text[n] == ' ' && text[n + 1] == '%') n += 1 + strcspn(text + n + 1, " \n");
    return (int)n;
}

void summary_say(struct summary *s, const char *first, const char *format, ...)
{
    va_list args, again;
    va_start(args, format);
    va_copy(again, args);
    int n = vsnprintf(NULL, 0, format, args);
    va_end(args);
    char *text = arena_alloc(s->arena, (size_t)n + 1);
    vsnprintf(text, (size_t)n + 1, format, again);
    va_end(again);
    struct line line = {(int)strlen(first), (int)strlen(first)};
    put(s, first, line.indent);
    while (*text) {
        int bytes = word_bytes(text);
        if (bytes > 0) put_word(s, &line, text, bytes);
        text += bytes + (text[bytes] != 0);
    }
    fputc('\n', s->to);
}

void summary_line(struct summary *s, const char *text)
{
    int bytes = (int)strlen(text);
    while (bytes > 0 && (text[bytes - 1] == ' ' || text[bytes - 1] == TIE)) bytes--;
    put(s, text, bytes);
    fputc('\n', s->to);
}

void summary_path(struct summary *s, const char *text, const char *path)
{
    int wide = columns(text, (int)strlen(text)) + 1 + columns(path, (int)strlen(path));
    summary_line(s, wide <= SUMMARY_COLUMNS ? arena_printf(s->arena, "%s %s", text, path) : text);
    if (wide > SUMMARY_COLUMNS) summary_line(s, arena_printf(s->arena, "    %s", path));
}

void summary_heading(struct summary *s, const char *text)
{
    fprintf(s->to, "\n%s\n", text);
}

static char *tied(char *text)
{
    for (char *p = text; *p; p++)
        if (*p == ' ') *p = TIE;
    return text;
}

/* Less than any meter shows. */
static double plain(double value, enum unit unit)
{
    bool nothing = (unit == UNIT_VOLT && fabs(value) < LEAST_VOLTS) ||
                   (unit == UNIT_AMPERE && fabs(value) < LEAST_AMPERES);
    return nothing ? 0 : value;
}

const char *summary_value(struct summary *s, double value, enum unit unit, bool rough)
{
    char out[64];
    value = plain(value, unit);
    rough = rough && isfinite(value) && value != 0;
    quantity_text(value, unit, rough ? 2 : 3, out, sizeof out);
    return tied(arena_printf(s->arena, "%s%s", rough ? "about " : "", out));
}

bool summary_warms(const struct summary *s)
{
    for (int i = 0; i < s->set->parts.n && !s->setup->hot; i++)
        if (s->set->parts.at[i]->heater_count > 0) return true;
    return false;
}

const char *summary_time(struct summary *s, double t)
{
    char out[64];
    int digits = t >= 1 && summary_warms(s) ? 2 : 3;
    return tied(
        arena_printf(s->arena, "%s", quantity_text(t, UNIT_SECOND, digits, out, sizeof out)));
}

const char *summary_cell(struct summary *s, const char *text, int width)
{
    bool right = width < 0;
    int room = right ? -width : width, bytes = (int)strlen(text), wide = columns(text, bytes);
    if (wide > room) {
        bytes = fitting(text, bytes, room - 2);
        return arena_printf(s->arena, "%.*s..", bytes, text);
    }
    if (right) return arena_printf(s->arena, "%*s%s", room - wide, "", text);
    return arena_printf(s->arena, "%s%*s", text, room - wide, "");
}

const char *summary_percent(struct summary *s, double share)
{
    if (isnan(share)) return "";
    if (share > 9.99) return ">999\x1f%"; /* also where nothing limits it */
    double percent = round(100 * share);
    if (percent < 1 && share > 0) return "<1\x1f%";
    if (percent == 100 && share > 1) return ">100\x1f%";
    if (percent == 100 && share < 1) return "<100\x1f%";
    return arena_printf(s->arena, "%.0f\x1f%%", percent);
}

const char *summary_part(struct summary *s, const char *subject)
{
    return arena_text(s->arena, subject, strcspn(subject, "."));
}
