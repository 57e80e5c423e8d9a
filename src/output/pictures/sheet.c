/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Nothing of gnuplot's language stands here: only the values for the blanks of the templates. */
#include "sheet.h"

#include <limits.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "numbers.h"
#include "utf8.h"

enum { TITLE_CHARACTERS = 80 };

const char *sheet_shortened(struct arena *arena, const char *text, int most)
{
    size_t bytes = utf8_bytes(text, (size_t)most);
    return text[bytes] ? arena_printf(arena, "%.*s...", (int)bytes, text) : text;
}

void sheet_begin(struct sheet *s, const char *title, const char *second, const char *name)
{
    s->fill = template_new(s->arena);
    s->low = s->high = 0;
    s->lines.n = 0;
    s->close = 0.06;
    template_quoted(s->fill, "TITLE", sheet_shortened(s->arena, title, TITLE_CHARACTERS));
    template_quoted(s->fill, "SECOND",
                    sheet_shortened(s->arena, second ? second : "", TITLE_CHARACTERS));
    template_quoted(s->fill, "NAME", name);
    template_quoted(s->fill, "FORMAT", s->options->format);
    template_text(s->fill, "BLACK_AND_WHITE", s->options->black_and_white ? "1" : "0");
    template_list(s->fill, "LINES");
}

void sheet_reach(struct sheet *s, double low, double high)
{
    s->low = smaller(s->low, low);
    s->high = larger(s->high, high);
}

void sheet_range(struct sheet *s, const char *low, const char *high)
{
    double air = 0.06 * (s->high - s->low);
    template_number(s->fill, low, s->low != 0 ? s->low - air : 0);
    template_number(s->fill, high, s->high + air);
}

void sheet_line(struct sheet *s, double level, bool rating, const char *label)
{
    array_push(s->arena, &s->lines, (struct level_line){level, label, rating});
    sheet_reach(s, level, level);
}

static int compare_lines(const void *a, const void *b)
{
    double x = ((const struct level_line *)a)->level, y = ((const struct level_line *)b)->level;
    return (x > y) - (x < y);
}

/* Where the label of a line can stand: at the right, at the left or between, above or below it. */
struct spot {
    double from, to; /* across: shares of the width */
    double height;   /* of its middle, on the upright axis */
    int side;
    bool below;
};

enum { SPOTS = 6 };

/* Width of a letter of the labels, a share of the panel; seen in the pictures. */
#define LETTER 0.0134

static struct spot spot_of(const struct level_line *l, int k, double tall)
{
    static const double ends[] = {0.99, 0.01, 0.5}, shift[] = {1, 0, 0.5};
    const double wide = LETTER * (double)strlen(l->label);
    struct spot s = {.side = k / 2, .below = k % 2};
    s.from = ends[s.side] - shift[s.side] * wide;
    s.to = s.from + wide;
    s.height = l->level + (s.below ? -0.55 : 0.55) * tall;
    return s;
}

/* How many lines go through the label, and how many labels set before lie under it. */
static int clashes(const struct sheet *s, const struct spot *spot, const struct spot *set, int n,
                   double tall)
{
    int count = 0;
    for (int i = 0; i < s->lines.n; i++)
        count += fabs(s->lines.at[i].level - spot->height) < 0.45 * tall;
    for (int i = 0; i < n; i++)
        count += fabs(set[i].height - spot->height) < 0.9 * tall && set[i].from < spot->to &&
                 spot->from < set[i].to;
    return count;
}

/* From below upwards, each label at the first spot with the fewest clashes. */
void sheet_place_lines(struct sheet *s)
{
    static const char *const sides[] = {"0.99", "0.01", "0.5"};
    static const char *const align[] = {"right", "left", "center"};
    const double tall = s->close * (s->high - s->low);
    struct spot *set = ARENA_ARRAY(s->arena, struct spot, s->lines.n);
    if (s->lines.n > 0)
        qsort(s->lines.at, (size_t)s->lines.n, sizeof s->lines.at[0], compare_lines);
    for (int i = 0; i < s->lines.n; i++) {
        const struct level_line *l = &s->lines.at[i];
        int least = INT_MAX;
        for (int k = 0; k < SPOTS && least > 0; k++) {
            struct spot spot = spot_of(l, k, tall);
            int count = clashes(s, &spot, set, i, tall);
            if (count >= least) continue;
            least = count;
            set[i] = spot;
        }
        struct fill *row = template_row(s->fill, "LINES");
        template_number(row, "LEVEL", l->level);
        template_quoted(row, "LABEL", l->label);
        template_text(row, "LINE", l->rating ? "20" : "21");
        template_text(row, "RISE", set[i].below ? "-0.7" : "0.6");
        template_text(row, "SIDE", sides[set[i].side]);
        template_text(row, "ALIGN", align[set[i].side]);
    }
}
