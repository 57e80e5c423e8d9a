/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A line of input that begins with a point or apostrophe would be a request, a sentence that begins
 * within a line is set too tight, and an abbreviation at the end of a line would count as the end
 * of a sentence. */
#include "troff.h"

#include <ctype.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

enum { LINE_LONG = 55 }; /* columns: with the escapes less than 80 */

static void put_char(FILE *to, char c)
{
    if (c == '\\') fputs("\\e", to);
    else if (c == '-') fputs("\\-", to);
    else if (c == '~') fputs("\\(ti", to);
    else if (c == '^') fputs("\\(ha", to);
    else if (c == '\x1f') fputs("\\~", to); /* a blank at which no line is broken */
    else fputc(c, to);
}

/* As an argument of a macro. */
static void put_quoted(FILE *to, const char *text)
{
    fputs(" \"", to);
    for (; *text; text++)
        if (*text == '"') fputs("\\(dq", to);
        else if (*text == '`') continue;
        else put_char(to, *text);
    fputc('"', to);
}

/* Whether what ends before s is the end of a sentence and not `e.g.`. */
static bool sentence_ends(const char *text, const char *s)
{
    if (s == text || !strchr(".!?:", s[-1]) || !isupper((unsigned char)s[1])) return false;
    return s - text < 4 || strncmp(s - 4, "e.g.", 4) != 0;
}

/* Whether the line of input ends at this blank: after a sentence, and when it is long. */
static bool line_ends(const char *text, const char *s, int column)
{
    return sentence_ends(text, s) || (column > LINE_LONG && s > text && !strchr(".!?:", s[-1]));
}

void troff_text(FILE *to, const char *text)
{
    bool bold = false, begin = true;
    int column = 0;
    for (const char *s = text; *s; s++, column++) {
        bool blank = *s == ' ' || *s == '\n';
        if (s[0] == '\n' && s[1] == '\n') {
            fputs("\n.Pp\n", to);
            begin = true;
            column = 0;
            continue;
        } else if (blank && (begin || s[1] == '\n' || !s[1])) {
            continue;
        } else if (blank && line_ends(text, s, column)) {
            begin = true;
            column = 0;
            fputc('\n', to);
            continue;
        } else if (blank) {
            fputc(' ', to);
        } else if (*s == '`') {
            if (begin) fputs("\\&", to);
            bold = !bold;
            fputs(bold ? "\\fB" : "\\fP", to);
        } else {
            if (begin && (*s == '.' || *s == '\'')) fputs("\\&", to);
            put_char(to, *s);
            bool abbreviated = *s == '.' && s - text >= 3 && strncmp(s - 3, "e.g.", 4) == 0;
            if (abbreviated) fputs("\\&", to);
        }
        begin = false;
    }
    fputc('\n', to);
}

static void put_date(FILE *to, const char *date)
{
    static const char *const months[] = {"January",   "February", "March",    "April",
                                         "May",       "June",     "July",     "August",
                                         "September", "October",  "November", "December"};
    int month = strlen(date) == 10 ? atoi(date + 5) : 0;
    if (month < 1 || month > 12) fputs(".Dd\n", to);
    else fprintf(to, ".Dd %s %d, %.4s\n", months[month - 1], atoi(date + 8), date);
}

void troff_head(FILE *to, const struct troff_head *head)
{
    put_date(to, head->date);
    fputs(".Dt ", to);
    for (const char *c = head->name; *c; c++) fputc(toupper((unsigned char)*c), to);
    fprintf(to, " %d\n.Os", head->section);
    put_quoted(to, head->version);
    fprintf(to, "\n.Sh NAME\n.Nm %s\n.Nd", head->name);
    fputc(' ', to);
    for (const char *c = head->says; *c; c++) put_char(to, *c);
    fputc('\n', to);
}

void troff_section(FILE *to, const char *title)
{
    fputs(".Sh ", to);
    for (; *title; title++) fputc(toupper((unsigned char)*title), to);
    fputc('\n', to);
}

void troff_subsection(FILE *to, const char *title)
{
    fputs(".Ss", to);
    put_quoted(to, title);
    fputc('\n', to);
}

void troff_list(FILE *to)
{
    fputs(".Bl -tag -width Ds\n", to);
}

void troff_term(FILE *to, const char *term, const char *argument, const char *says)
{
    fputs(".It Sy", to);
    put_quoted(to, term);
    if (argument) {
        fputs(" Ar", to);
        put_quoted(to, argument);
    }
    fputc('\n', to);
    troff_text(to, says);
}

void troff_end_list(FILE *to)
{
    fputs(".El\n", to);
}

void troff_example(FILE *to, const char *line)
{
    fputs(".Dl", to);
    put_quoted(to, line);
    fputc('\n', to);
}

void troff_reference(FILE *to, const char *name, int section, const char *behind)
{
    fprintf(to, ".Xr %s %d%s\n", name, section, behind);
}
