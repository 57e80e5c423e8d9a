/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "csv.h"

#include <string.h>

char csv_separator(const char *text)
{
    bool quoted = false;
    for (; *text && (quoted || *text != '\n'); text++) {
        if (*text == '"') quoted = !quoted;
        if (!quoted && strchr(",;\t", *text)) return *text;
    }
    return ',';
}

/* Ends the field `out` and goes on behind it; whether another follows in the record. */
static bool end_field(struct csv *csv, char **in, char *out, const char *begin)
{
    char end = **in;
    if (end) ++*in;
    if (end == '\n') {
        csv->line++;
        if (out > begin && out[-1] == '\r') out--;
    }
    *out = 0;
    return end == csv->separator;
}

bool csv_next(struct csv *csv, char **field, int *column, int most, struct csv_record *record)
{
    char *in = csv->at, *line = in;
    *record = (struct csv_record){csv->line, 0, false};
    if (!*in) return false;
    for (int i = 0; i < most; i++) field[i] = in + strlen(in);
    for (bool more = true; more; record->n++) {
        char *begin = in, *out = in;
        int at = (int)(in - line) + 1;
        bool quoted = *in == '"';
        if (quoted) in++;
        while (*in && (quoted || (*in != csv->separator && *in != '\n'))) {
            if (quoted && *in == '"' && in[1] != '"') {
                quoted = false;
                in++;
                continue;
            }
            if (quoted && *in == '"') in++;
            csv->line += quoted && *in == '\n';
            *out++ = *in++;
        }
        record->open |= quoted;
        more = end_field(csv, &in, out, begin);
        if (record->n < most) field[record->n] = begin;
        if (record->n < most && column) column[record->n] = at;
    }
    csv->at = in;
    return true;
}
