/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every key is a map of maps with one key each, laid over those before it. Nodes are never changed
 * once they are made, so copies may share them. Their place is the words of the change. */
#include "overrides.h"

#include <assert.h>
#include <string.h>

#include "scenario_impl.h"

enum { PATH_DEPTH = 8 };

/* ---- nodes ---- */

static const struct node *scalar_of(struct overrides *o, struct place at, const char *text)
{
    struct node *node = ARENA_NEW(o->arena, struct node);
    *node = (struct node){.kind = NODE_SCALAR, .at = at, .text = text};
    return node;
}

/* A map of one key. */
static const struct node *map_of(struct overrides *o, struct place at, const char *key,
                                 const struct node *value)
{
    struct node *node = ARENA_NEW(o->arena, struct node);
    struct pair *pair = ARENA_NEW(o->arena, struct pair);
    *pair = (struct pair){key, at, value};
    *node = (struct node){.kind = NODE_MAP, .at = at, .text = "", .n = 1, .pairs = pair};
    return node;
}

/* An empty key stands for the part as a whole. */
static void lay(struct overrides *o, struct place at, const char *part, const char *key,
                const struct node *value)
{
    size_t end = strlen(key);
    while (end > 0) {
        size_t from = end;
        while (from > 0 && key[from - 1] != '.') from--;
        value = map_of(o, at, arena_text(o->arena, key + from, end - from), value);
        end = from > 0 ? from - 1 : 0;
    }
    o->keys = node_overlay(o->arena, o->keys, map_of(o, at, part, value));
}

static struct place place_of(struct overrides *o, const char *part, const char *key,
                             const char *text)
{
    return (struct place){arena_printf(o->arena, "%s.%s=%s", part, key, text), 0, 0};
}

/* ---- names ---- */

static bool is_used(const struct node *node, const char *name)
{
    size_t n = strlen(name);
    if (node->kind == NODE_SCALAR) return strncmp(node->text, name, n) == 0;
    for (int i = 0; i < node->n; i++) {
        bool map = node->kind == NODE_MAP;
        if (map && strncmp(node->pairs[i].key, name, n) == 0) return true;
        if (is_used(map ? node->pairs[i].value : node->items[i], name)) return true;
    }
    return false;
}

const char *overrides_free_name(struct arena *arena, const struct scenario *s, const char *wanted)
{
    const char *name = wanted;
    for (int i = 2; is_used(s->root, name); i++) name = arena_printf(arena, "%s %d", wanted, i);
    return name;
}

/* ---- what a study lays ---- */

struct overrides overrides_new(struct arena *arena)
{
    return (struct overrides){.arena = arena};
}

void overrides_text(struct overrides *o, const char *part, const char *key, const char *text)
{
    struct place at = place_of(o, part, key, text);
    lay(o, at, part, key, scalar_of(o, at, text));
}

void overrides_value(struct overrides *o, const char *part, const char *key, double value,
                     enum unit unit)
{
    char out[64];
    assert(unit != UNIT_SECOND);
    quantity_text(value, unit, OVERRIDES_DIGITS, out, sizeof out);
    overrides_text(o, part, key, arena_text(o->arena, out, strlen(out)));
}

void overrides_points(struct overrides *o, const char *part, const char *key,
                      const char *const *points, int n)
{
    struct node *list = ARENA_NEW(o->arena, struct node);
    const char *words = "";
    for (int i = 0; i < n; i++)
        words = arena_printf(o->arena, "%s%s%s", words, i ? ", " : "", points[i]);
    struct place at = place_of(o, part, key, arena_printf(o->arena, "[%s]", words));
    *list = (struct node){.kind = NODE_LIST, .at = at, .text = "", .n = n};
    list->items = ARENA_ARRAY(o->arena, const struct node *, n);
    for (int i = 0; i < n; i++) list->items[i] = scalar_of(o, at, points[i]);
    lay(o, at, part, key, list);
}

void overrides_part(struct overrides *o, const char *part, const char *kind, const char *from,
                    const char *to)
{
    const char *ends[] = {from, to};
    overrides_text(o, part, "is", kind);
    overrides_points(o, part, "across", ends, 2);
}

void overrides_resistor(struct overrides *o, const char *part, const char *from, const char *to,
                        double ohms)
{
    overrides_part(o, part, "resistor", from, to);
    overrides_value(o, part, "resistance", ohms, UNIT_OHM);
}

/* ---- the command line ---- */

/* At most PATH_DEPTH words with a point between, none of them empty. */
static bool is_path(const char *path)
{
    int words = 1;
    for (const char *s = path; *s; s++) words += *s == '.';
    size_t n = strlen(path);
    return n > 0 && path[0] != '.' && path[n - 1] != '.' && !strstr(path, "..") &&
           words <= PATH_DEPTH;
}

/* Keys of a scenario that are no part would be passed over. */
static bool is_changeable(const char *part)
{
    return strcmp(part, "mains") == 0 || strcmp(part, "run") == 0 || !plan_is_reserved(part);
}

bool overrides_assign(struct overrides *o, struct diags *diags, const char *path, const char *value)
{
    struct place at = {arena_printf(o->arena, "%s=%s", path, value), 0, 0};
    size_t n = strcspn(path, ".");
    const char *part = arena_text(o->arena, path, n), *key = path[n] ? path + n + 1 : "";
    if (!is_path(path) || (!*key && value[0] != '{') || !is_changeable(part)) {
        diags_add(diags, DIAG_ERROR, at, "write it as in `C1.value=10uF` or `mains.voltage=110V`",
                  "`%s` names no key of a part", path);
        return false;
    }
    const struct node *node = value[0] == '[' || value[0] == '{'
                                  ? doc_parse(o->arena, diags, at.file, value, strlen(value))
                                  : scalar_of(o, at, value);
    if (node) lay(o, at, part, key, node);
    return node;
}

/* ---- the variant ---- */

static bool is_there(const struct draft *start, const struct pair *p)
{
    return strcmp(p->key, "mains") == 0 || strcmp(p->key, "run") == 0 || plan_is_timed(p->key) ||
           node_get(start->parts, p->key) || node_get(p->value, "is");
}

static bool check_there(struct arena *arena, struct diags *diags, const struct draft *start,
                        const struct node *keys)
{
    bool good = true;
    for (int i = 0; keys && i < keys->n; i++) {
        const struct pair *p = &keys->pairs[i];
        if (is_there(start, p)) continue;
        suggest_words words = {0};
        suggest_keys(arena, &words, start->parts);
        array_push(arena, &words, "mains");
        array_push(arena, &words, "run");
        diags_add(diags, DIAG_ERROR, p->at, suggest(arena, p->key, &words),
                  "there is no part `%s` to change", p->key);
        good = false;
    }
    return good;
}

const struct scenario *overrides_scenario(const struct overrides *o, struct diags *diags,
                                          const struct scenario *s, const char *variant,
                                          const char *name)
{
    const struct place at = {s->path, 0, 0};
    const struct pair *base = NULL;
    struct overrides whole = overrides_new(o->arena);
    if (!plan_variant(o->arena, diags, s, variant, &base)) return NULL;
    struct draft start = plan_make(o->arena, diags_new(o->arena), s, base).start;
    if (!check_there(o->arena, diags, &start, o->keys)) return NULL;
    lay(&whole, at, "based on", "", scalar_of(&whole, at, base ? base->key : "base"));
    struct scenario *copy = ARENA_NEW(o->arena, struct scenario);
    struct pair *pair = ARENA_NEW(o->arena, struct pair);
    *copy = *s;
    *pair = (struct pair){name, at, node_overlay(o->arena, whole.keys, o->keys)};
    copy->variants.at = NULL;
    copy->variants.n = copy->variants.room = 0;
    for (int i = 0; i < s->variants.n; i++)
        array_push(o->arena, &copy->variants, s->variants.at[i]);
    array_push(o->arena, &copy->variants, pair);
    return copy;
}

const struct setup *overrides_setup(const struct overrides *o, struct diags *diags,
                                    const struct scenario *s, const char *variant, const char *name)
{
    const struct scenario *with = overrides_scenario(o, diags, s, variant, name);
    return with ? scenario_setup(o->arena, diags, with, name) : NULL;
}
