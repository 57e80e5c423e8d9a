/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the user wants, and what may be changed for it, from words to numbers. */
#include <math.h>
#include <string.h>

#include "find.h"
#include "suggest.h"
#include "tolerance.h"

struct words_of {
    struct arena *arena;
    struct diags *diags;
    const char *text;
};

static bool refuse(struct words_of *r, const char *hint, const char *message)
{
    diags_add(r->diags, DIAG_ERROR, (struct place){r->text, 0, 0}, hint, "%s", message);
    return false;
}

static const char *trimmed(struct arena *arena, const char *text, size_t n)
{
    while (n > 0 && *text == ' ') text++, n--;
    while (n > 0 && text[n - 1] == ' ') n--;
    return arena_text(arena, text, n);
}

/* ---- the wish ---- */

static bool read_value(struct words_of *r, const char *text, struct wish *wish)
{
    struct token t[QUANTITY_TOKENS];
    struct complaint why = {"", ""};
    int n = quantity_scan(text, t, &why);
    if (n < 0) return refuse(r, why.hint[0] ? why.hint : NULL, why.message);
    if (n != 1 || t[0].is_word)
        return refuse(r, "write it as in \"B+ settled-voltage = 250 V\"",
                      arena_printf(r->arena, "`%s` is no value", text));
    wish->value = t[0].value;
    wish->unit = t[0].unit;
    return true;
}

static bool read_slack(struct words_of *r, const char *text, struct wish *wish)
{
    const char *behind = tolerance_behind(text);
    struct tolerance tolerance;
    struct complaint why = {"", ""};
    if (!behind) return true;
    if (wish->relation != '=')
        return refuse(r, "leave it out, or write `=`", "a limit has no tolerance");
    if (!tolerance_parse(behind, &tolerance, &why))
        return refuse(r, why.hint[0] ? why.hint : NULL, why.message);
    if (!tolerance.relative && tolerance.unit != wish->unit)
        return refuse(r, NULL,
                      arena_printf(r->arena, "the value is in %s, its tolerance is not",
                                   quantity_kind(wish->unit)));
    tolerance_range(&tolerance, wish->value, &wish->least, &wish->most);
    wish->slack = wish->most > wish->least;
    return true;
}

/* Where the last `=`, `<`, `>=` ... begins, since a name may hold < and >; the end of the text
 * where there is none. */
static const char *relation_in(const char *text)
{
    static const char signs[] = "<>=";
    const char *at = text + strlen(text);
    for (const char *s = text + strcspn(text, signs); *s; s += 1 + strcspn(s + 1, signs)) at = s;
    while (*at && at > text && strchr(signs, at[-1])) at--;
    return at;
}

bool wish_parse(struct arena *arena, struct diags *diags, const char *text, struct wish *wish)
{
    static const char example[] =
        "write it as in \"B+ settled-voltage = 250 V\" or \"B+ ripple-rms < 0.2 V\"";
    struct words_of r = {arena, diags, text};
    const char *sign = relation_in(text);
    *wish = (struct wish){.text = text, .relation = *sign};
    if (!*sign) return refuse(&r, example, "no `=`, `<` or `>` in what is wanted");
    const char *left = trimmed(arena, text, (size_t)(sign - text)), *blank = strrchr(left, ' ');
    if (!blank) return refuse(&r, example, "name the figure by its subject and its measure");
    wish->subject = trimmed(arena, left, (size_t)(blank - left));
    wish->name = blank + 1;
    wish->measure = measure_find(wish->name);
    sign += 1 + (sign[0] != '=' && sign[1] == '=');
    const char *value = trimmed(arena, sign, strlen(sign));
    return read_value(&r, value, wish) && read_slack(&r, value, wish);
}

bool wish_split(struct arena *arena, const char *text, const char **name, const char **value)
{
    const char *sign = relation_in(text);
    if (sign[0] != '=') return false;
    *name = trimmed(arena, text, (size_t)(sign - text));
    *value = trimmed(arena, sign + 1, strlen(sign + 1));
    return **name && **value;
}

bool wish_met(const struct wish *wish, double figure)
{
    if (isnan(figure)) return false;
    if (wish->relation == '<') return figure < wish->value;
    if (wish->relation == '>') return figure > wish->value;
    if (wish->slack) return figure >= wish->least && figure <= wish->most;
    return fabs(figure - wish->value) <= 1e-4 * fabs(wish->value);
}

/* ---- what may be changed ---- */

/* For keys that hold no value yet. */
static bool usual(const char *key, struct changed *c)
{
    static const struct {
        const char *key;
        enum unit unit;
        double low, high;
    } keys[] = {{"resistance", UNIT_OHM, 1, 100e3},
                {"series resistance", UNIT_OHM, 0.01, 1e3},
                {"value", UNIT_FARAD, 0.1e-6, 1000e-6},
                {"inductance", UNIT_HENRY, 0.1, 100},
                {"voltage", UNIT_VOLT, 50, 300}};
    for (size_t i = 0; i < sizeof keys / sizeof keys[0]; i++) {
        if (strcmp(keys[i].key, key) != 0) continue;
        c->unit = keys[i].unit;
        c->low = keys[i].low;
        c->high = keys[i].high;
        return true;
    }
    return false;
}

static const char *tail_of(struct arena *arena, const struct token *t, int n)
{
    const char *tail = "";
    for (int i = 1; i < n; i++) {
        char out[64];
        const char *word =
            t[i].is_word ? t[i].word : quantity_text(t[i].value, t[i].unit, 12, out, sizeof out);
        tail = arena_printf(arena, "%s %s", tail, word);
    }
    return tail;
}

/* False with an error when the part's kind has no such key. A part that is not there is told when
 * it is set up. */
static bool check_key(struct words_of *r, const struct scenario *s, const char *variant,
                      const char *path)
{
    const char *dot = strchr(path, '.');
    static const char *const common[] = {"is", "type", "fitted", "note", NULL};
    if (strchr(dot + 1, '.')) return true; /* deeper: told when it is set up */
    if (suggest_in(dot + 1, common)) return true;
    const char *is = scenario_value(r->arena, s, variant,
                                    arena_printf(r->arena, "%.*s.is", (int)(dot - path), path));
    const struct part_kind *kind = is ? kind_find(is) : NULL;
    suggest_words words = {0};
    for (const struct key *k = kind ? kind->keys : NULL; k && k->name; k++) {
        if (strcmp(k->name, dot + 1) == 0) return true;
        array_push(r->arena, &words, k->name);
    }
    if (!kind) return true;
    return refuse(r, suggest(r->arena, dot + 1, &words),
                  arena_printf(r->arena, "a %s has no key `%s`", kind->name, dot + 1));
}

static bool read_present(struct words_of *r, const char *present, struct changed *c)
{
    struct token t[QUANTITY_TOKENS];
    struct complaint why;
    const char *key = strrchr(c->path, '.') + 1;
    int n = present && strcmp(present, "unknown") != 0 ? quantity_scan(present, t, &why) : 0;
    c->now = (double)NAN;
    c->tail = "";
    if (n > 0 && !t[0].is_word && t[0].value > 0) {
        bool line = t[0].unit == UNIT_VOLT;
        c->unit = t[0].unit;
        c->now = t[0].value;
        c->low = c->now / (line ? 2 : 100);
        c->high = c->now * (line ? 1.5 : 100);
        c->tail = tail_of(r->arena, t, n);
        return true;
    }
    if (usual(key, c)) return true;
    return refuse(r, "say where to look: --change \"R9.resistance=10ohm..10kohm\"",
                  arena_printf(r->arena, "`%s` holds no quantity to begin from", c->path));
}

static bool read_bounds(struct words_of *r, const char *text, struct changed *c)
{
    static const char example[] = "write it as in --change \"R9.resistance=10ohm..10kohm\"";
    const char *dots = strstr(text, "..");
    struct complaint why;
    if (!dots) return refuse(r, example, "bounds are two values with `..` between");
    const char *from = trimmed(r->arena, text, (size_t)(dots - text));
    const char *to = trimmed(r->arena, dots + 2, strlen(dots + 2));
    struct token t[QUANTITY_TOKENS];
    if (quantity_scan(from, t, &why) == 1 && !t[0].is_word) c->unit = t[0].unit;
    if (!quantity_parse(from, c->unit, &c->low, &why) ||
        !quantity_parse(to, c->unit, &c->high, &why))
        return refuse(r, why.hint[0] ? why.hint : example, why.message);
    if (c->low > 0 && c->high > c->low) return true;
    return refuse(r, example, "bounds are above zero, the lower one first");
}

bool wish_parse_changed(struct arena *arena, struct diags *diags, const struct scenario *s,
                        const char *variant, const char *text, struct changed *c)
{
    struct words_of r = {arena, diags, text};
    size_t n = strcspn(text, "=");
    *c = (struct changed){.text = text, .path = trimmed(arena, text, n), .tail = ""};
    if (!strchr(c->path, '.'))
        return refuse(&r, "write it as in --change R9.resistance",
                      arena_printf(arena, "`%s` names no key of a part", c->path));
    if (!check_key(&r, s, variant, c->path)) return false;
    const char *present = scenario_value(arena, s, variant, c->path);
    if (!text[n]) return read_present(&r, present, c);
    if (!read_bounds(&r, text + n + 1, c)) return false;
    double low = c->low, high = c->high;
    enum unit unit = c->unit;
    if (present && !read_present(&r, present, c)) return false;
    c->low = low;
    c->high = high;
    if (present && c->unit != unit && !isnan(c->now))
        return refuse(&r, NULL, arena_printf(arena, "it is given in %s", quantity_kind(c->unit)));
    c->unit = unit;
    return true;
}
