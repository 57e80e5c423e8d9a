/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Nothing of gnuplot's language stands here: only the values for the blanks of the templates. */
#include "sheet.h"

#include <limits.h>
#include <math.h>
#include <string.h>

#include "numbers.h"
#include "sort.h"
#include "utf8.h"

enum { TITLE_CHARACTERS = 80 };

/* Names of curves under a picture, as shares of its width and height. */
#define KEY_ROOM 0.93
#define KEY_LETTER 0.0152
#define KEY_SAMPLE 6.5 /* in letters */
#define KEY_ABOVE 0.65 /* the picture proper over one row of names */
#define KEY_ROW 0.04

/* Names beside the panels, as shares of the width. */
#define BESIDE_LETTER 0.0122
#define BESIDE_SAMPLE 0.085

const char *sheet_shortened(struct arena *arena, const char *text, int most)
{
    size_t bytes = utf8_bytes(text, (size_t)most);
    return text[bytes] ? arena_printf(arena, "%.*s...", (int)bytes, text) : text;
}

void sheet_begin(struct sheet *s, const char *title, const char *second, const char *name)
{
    s->fill = template_new(s->arena);
    s->low = s->high = 0;
    s->lines.n = s->ratings.n = s->covers.n = s->styles = 0;
    s->longest = 0;
    s->close = 0.06;
    s->letter = 0.0134;
    template_quoted(s->fill, "TITLE", sheet_shortened(s->arena, title, TITLE_CHARACTERS));
    template_quoted(s->fill, "SECOND",
                    sheet_shortened(s->arena, second ? second : "", TITLE_CHARACTERS));
    template_quoted(s->fill, "NAME", name);
    template_quoted(s->fill, "FORMAT", s->options->format);
    template_text(s->fill, "BLACK_AND_WHITE", s->options->black_and_white ? "1" : "0");
    template_list(s->fill, "LINES");
    template_list(s->fill, "PIECES");
}

void sheet_reach(struct sheet *s, double low, double high)
{
    s->low = smaller(s->low, low);
    s->high = larger(s->high, high);
}

void sheet_cover(struct sheet *s, double at, double low, double high)
{
    array_push(s->arena, &s->covers, (struct cover){at, low, high});
}

void sheet_key(struct sheet *s, int n, size_t longest)
{
    int columns = (int)(KEY_ROOM / (KEY_LETTER * ((double)longest + KEY_SAMPLE)));
    if (columns < 1) columns = 1;
    template_text(s->fill, "KEY_COLUMNS", arena_printf(s->arena, "%d", columns));
    s->close *= KEY_ABOVE / (KEY_ABOVE - KEY_ROW * ((n - 1) / columns));
}

double sheet_beside(struct sheet *s, double right)
{
    right = smaller(right, 1 - BESIDE_LETTER * s->longest - BESIDE_SAMPLE);
    template_number(s->fill, "RIGHT", right);
    return right;
}

int sheet_style(struct sheet *s, const char *name)
{
    for (int i = 0; i < s->styles && i < SHEET_STYLES; i++)
        if (strcmp(s->styled[i], name) == 0) return i + 1;
    s->styled[s->styles % SHEET_STYLES] = name;
    return s->styles++ % SHEET_STYLES + 1;
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

void sheet_rating(struct sheet *s, double level, const char *part, double limit, enum unit unit,
                  const char *word)
{
    for (int i = 0; i < s->ratings.n; i++) {
        struct sheet_rating *have = &s->ratings.at[i];
        if (fabs(have->level - level) > 1e-6 * fabs(level)) continue;
        if (strcmp(have->last, part) == 0) return;
        if (strcmp(have->word, word) != 0) continue;
        have->parts = arena_printf(s->arena, "%s, %s", have->parts, part);
        have->last = part;
        return;
    }
    array_push(s->arena, &s->ratings, (struct sheet_rating){level, limit, unit, part, word, part});
}

void sheet_ratings(struct sheet *s)
{
    const double sight = SHEET_SIGHT * s->high;
    for (int i = 0; i < s->ratings.n; i++) {
        const struct sheet_rating *r = &s->ratings.at[i];
        char limit[64];
        quantity_text(r->limit, r->unit, 3, limit, sizeof limit);
        if (r->level > 0 && r->level <= sight)
            sheet_line(s, r->level, true,
                       arena_printf(s->arena, "%s: %s %s", r->parts, limit, r->word));
    }
    s->ratings.n = 0;
}

static int compare_lines(const void *a, const void *b)
{
    double x = ((const struct level_line *)a)->level, y = ((const struct level_line *)b)->level;
    return (x < y) - (x > y);
}

/* Where the label of a line can be: across at one of the PLACES, above or below its line. */
struct spot {
    double from, to; /* across: shares of the width */
    double height;   /* of its middle, on the upright axis */
};

#define LABEL_GAP 0.02 /* of the width, between two of them side by side */

enum { PLACES = 9, HEIGHTS = 4, SPOTS = HEIGHTS * PLACES };

/* Next to the line first, from the right to the left, above and below in turn. */
static struct spot spot_of(const struct sheet *s, const struct level_line *l, int k, double tall)
{
    static const double rise[HEIGHTS] = {0.6, -0.6, 1.7, -1.7};
    const double wide = s->letter * (double)utf8_count(l->label, strlen(l->label));
    const double from = 0.99 - wide - (0.98 - wide) * (k / 2 % PLACES) / (PLACES - 1);
    return (struct spot){from, from + wide, l->level + rise[k / (2 * PLACES) * 2 + k % 2] * tall};
}

/* Labels set before that lie under it weigh most, then lines through it or between it and its own,
 * then curves. */
static int clashes(const struct sheet *s, const struct level_line *own, const struct spot *spot,
                   const struct spot *set, int n, double tall)
{
    int count = 0;
    for (int i = 0; i < s->covers.n; i++) {
        const struct cover *c = &s->covers.at[i];
        count += c->at > spot->from && c->at < spot->to && c->low < spot->height + 0.5 * tall &&
                 c->high > spot->height - 0.5 * tall;
    }
    for (int i = 0; i < s->lines.n; i++) {
        double level = s->lines.at[i].level;
        bool between = s->lines.at[i].rating && (level - own->level) * (level - spot->height) < 0;
        if (fabs(level - spot->height) < 0.5 * tall) count += s->covers.n / 8 + 1;
        if (between) count += s->covers.n / 8 + 1;
    }
    for (int i = 0; i < n; i++)
        if (fabs(set[i].height - spot->height) < tall && set[i].from < spot->to + LABEL_GAP &&
            spot->from < set[i].to + LABEL_GAP)
            count += s->covers.n + 1;
    return count;
}

/* The level, but for the stretches on which labels lie. */
static void add_pieces(const struct sheet *s, const struct level_line *l, const struct spot *set,
                       double tall)
{
    for (double left = 0; left < 1;) {
        double right = 1, next = 1;
        for (int i = 0; i < s->lines.n; i++) {
            if (fabs(set[i].height - l->level) > 0.45 * tall || set[i].to <= left) continue;
            if (set[i].from >= right) continue;
            right = larger(set[i].from, left);
            next = set[i].to;
        }
        struct fill *row = template_row(s->fill, "PIECES");
        template_number(row, "LEVEL", l->level);
        template_number(row, "LEFT", left);
        template_number(row, "RIGHT", right);
        template_text(row, "LINE", l->rating ? "20" : "21");
        left = next;
    }
}

/* From above downwards, each label at the first spot with the fewest clashes. */
void sheet_place_lines(struct sheet *s)
{
    const double tall = s->close * (s->high - s->low);
    struct spot *set = ARENA_ARRAY(s->arena, struct spot, s->lines.n);
    sort_stable(s->lines.at, s->lines.n, sizeof s->lines.at[0], compare_lines);
    for (int i = 0; i < s->lines.n; i++) {
        const struct level_line *l = &s->lines.at[i];
        int least = INT_MAX;
        for (int k = 0; k < SPOTS && least > 0; k++) {
            struct spot spot = spot_of(s, l, k, tall);
            int count = clashes(s, l, &spot, set, i, tall);
            if (count >= least) continue;
            least = count;
            set[i] = spot;
        }
        sheet_reach(s, set[i].height, set[i].height);
        struct fill *row = template_row(s->fill, "LINES");
        template_quoted(row, "LABEL", l->label);
        template_number(row, "AT", (set[i].from + set[i].to) / 2);
        template_number(row, "HEIGHT", set[i].height);
        template_number(row, "FROM", set[i].from);
        template_number(row, "TO", set[i].to);
        template_number(row, "LOW", set[i].height - 0.45 * tall);
        template_number(row, "HIGH", set[i].height + 0.45 * tall);
    }
    for (int i = 0; i < s->lines.n; i++) add_pieces(s, &s->lines.at[i], set, tall);
    s->lines.n = s->covers.n = 0;
}
