/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "json.h"

#include <assert.h>

static void put_escaped(FILE *to, const char *text)
{
    fputc('"', to);
    for (const unsigned char *c = (const unsigned char *)text; *c; c++) {
        if (*c == '"' || *c == '\\') fprintf(to, "\\%c", *c);
        else if (*c < 0x20) fprintf(to, "\\u%04x", *c);
        else fputc(*c, to);
    }
    fputc('"', to);
}

static void begin(struct json *j, const char *key)
{
    if (j->items[j->depth]) fputc(',', j->to);
    j->items[j->depth] = true;
    if (j->depth > 0) fprintf(j->to, "\n%*s", 2 * j->depth, "");
    if (!key) return;
    put_escaped(j->to, key);
    fputs(": ", j->to);
}

void json_open(struct json *j, const char *key, char bracket)
{
    begin(j, key);
    fputc(bracket, j->to);
    assert(j->depth + 1 < JSON_DEEPEST);
    j->items[++j->depth] = false;
}

void json_close(struct json *j, char bracket)
{
    assert(j->depth > 0);
    bool empty = !j->items[j->depth];
    j->depth--;
    if (!empty) fprintf(j->to, "\n%*s", 2 * j->depth, "");
    fputc(bracket, j->to);
    if (j->depth == 0) fputc('\n', j->to);
}

void json_text(struct json *j, const char *key, const char *text)
{
    begin(j, key);
    put_escaped(j->to, text);
}

void json_bare(struct json *j, const char *key, const char *word)
{
    begin(j, key);
    fputs(word, j->to);
}
