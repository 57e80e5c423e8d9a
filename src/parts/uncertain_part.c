/* SPDX-License-Identifier: GPL-3.0-or-later */
/* First what is given: every text of a part that begins with a quantity, to any depth of its maps.
 * Then what was assumed, where a key can set it. A value that is laid is written anew from its
 * tokens, so whatever else its text says stays beside it. */
#include "uncertain_part.h"

#include <math.h>
#include <string.h>

#include "numbers.h"
#include "tolerance.h"
#include "uncertain_impl.h"

enum { DIGITS = 12 }; /* of a number that is laid */

struct uncertain_part_finder {
    struct arena *arena;
    const struct set *set;
    struct uncertain_list *list;
    uncertain_part_place *place;
    void *context;
    const struct part *part; /* whose keys are looked at; NULL: of the mains */
    const char *name, *make, *kind;
    ARRAY(const char *) stated; /* `C1.value`: with a tolerance or exact */
};

/* ---- the list ---- */

static const char *rest_of(const struct uncertain_part_finder *f, const struct uncertain *v,
                           enum uncertain_together together)
{
    const char *rest[] = {"value", "rated"};
    const char *words = arena_printf(f->arena, "%s|%s", v->key, f->make ? f->make : "");
    for (int i = 0; together == TOGETHER_BATCH && f->part && i < 2; i++) {
        const struct node *node = part_node(f->part, rest[i]);
        words = arena_printf(f->arena, "%s|%s", words,
                             node && node->kind == NODE_SCALAR ? node->text : "");
    }
    return words;
}

/* What moves together bears the same mark; alone: its own. */
static const char *mark_of(const struct uncertain_part_finder *f, const struct uncertain *v,
                           enum uncertain_together together)
{
    switch (together) {
    case TOGETHER_AC: return "|AC";
    case TOGETHER_DC: return "|DC";
    case TOGETHER_AGE:
    case TOGETHER_BATCH: return rest_of(f, v, together);
    default: return arena_printf(f->arena, "%s.%s", v->part, v->key);
    }
}

static int group_of(struct uncertain_part_finder *f, const struct uncertain *v,
                    enum uncertain_together together)
{
    const char *mark = mark_of(f, v, together),
               *key = arena_printf(f->arena, "%s.%s", v->part, v->key);
    for (int i = 0; i < f->list->groups.n; i++) {
        struct uncertain_group *g = &f->list->groups.at[i];
        if (strcmp(g->mark, mark) != 0) continue;
        g->key = arena_printf(f->arena, "%s, %s", g->key, key);
        g->n++;
        return i;
    }
    struct uncertain_group g = {.mark = mark,
                                .key = key,
                                .together = together,
                                .from = v->from,
                                .known_by = v->known_by,
                                .first = f->list->values.n,
                                .n = 1};
    array_push(f->arena, &f->list->groups, g);
    return f->list->groups.n - 1;
}

static bool holds(const struct uncertain_list *list, const char *part, const char *key)
{
    for (int i = 0; i < list->values.n; i++)
        if (strcmp(list->values.at[i].part, part) == 0 && strcmp(list->values.at[i].key, key) == 0)
            return true;
    return false;
}

/* False: it cannot be laid. */
static bool add(struct uncertain_part_finder *f, struct uncertain v,
                enum uncertain_together together)
{
    if (f->place && !f->place(f->context, &v.part, &v.key)) return false;
    if (!(v.low < v.high) || holds(f->list, v.part, v.key)) return true;
    v.group = group_of(f, &v, together);
    array_push(f->arena, &f->list->values, v);
    return true;
}

static bool is_stated(const struct uncertain_part_finder *f, const char *part, const char *key)
{
    const char *path = arena_printf(f->arena, "%s.%s", part, key);
    for (int i = 0; i < f->stated.n; i++)
        if (strcmp(f->stated.at[i], path) == 0) return true;
    return false;
}

/* ---- the text of a value ---- */

static int which_token(const struct token *t, int n, enum unit unit)
{
    for (int i = 0; i < n; i++)
        if (!t[i].is_word && (unit == UNIT_NUMBER || t[i].unit == unit)) return i;
    return -1;
}

/* NULL: no text with a quantity of that unit (UNIT_NUMBER: of any), or its first one is zero. */
static struct uncertain_text *read_text(struct arena *arena, const struct node *node,
                                        enum unit unit)
{
    struct uncertain_text *text = ARENA_NEW(arena, struct uncertain_text);
    text->list = node->kind == NODE_LIST;
    text->pieces = text->list ? node->n : 1;
    if (node->kind == NODE_MAP || text->pieces < 1 || text->pieces > UNCERTAIN_PART_TEXTS)
        return NULL;
    for (int i = 0; i < text->pieces; i++) {
        const struct node *one = text->list ? node->items[i] : node;
        struct complaint why;
        struct token *t = text->piece[i].token;
        if (one->kind != NODE_SCALAR) return NULL;
        int n = quantity_scan(one->text, t, &why), which = which_token(t, n, unit);
        if (which < 0 || t[0].is_word || t[which].value == 0) return NULL;
        text->piece[i].n = n;
        text->piece[i].which = which;
    }
    return text;
}

static const struct token *token_of(const struct uncertain_text *text)
{
    return &text->piece[0].token[text->piece[0].which];
}

/* ---- what is given ---- */

static const char *last_key(const char *path)
{
    const char *dot = strrchr(path, '.');
    return dot ? dot + 1 : path;
}

/* The key that a tolerance written by itself is of. */
static bool is_main(const struct node *map, const char *key)
{
    static const char *const mains[] = {"value",      "draws",         "inductance", "open circuit",
                                        "voltage",    "bias resistor", "drop",       "perveance",
                                        "resistance", "rated"};
    for (size_t i = 0; i < sizeof mains / sizeof mains[0]; i++)
        if (node_get(map, mains[i])) return strcmp(mains[i], key) == 0;
    return false;
}

/* The words of the tolerance that a value has; NULL: none. */
static const char *tolerance_words(const struct node *map, const char *key,
                                   const struct node *value)
{
    const struct node *scalar = value->kind == NODE_LIST && value->n > 0 ? value->items[0] : value;
    const char *behind = scalar->kind == NODE_SCALAR ? tolerance_behind(scalar->text) : NULL;
    const struct node *node = node_get(map, "tolerance");
    if (behind || !node) return behind;
    if (node->kind == NODE_SCALAR) return is_main(map, key) ? node->text : NULL;
    node = node_get(node, key);
    return node && node->kind == NODE_SCALAR ? node->text : NULL;
}

static void add_stated(struct uncertain_part_finder *f, const struct node *node, const char *path,
                       const char *words, const char *source)
{
    struct tolerance t;
    struct complaint why;
    const struct uncertain_rule *rule = uncertain_table_rule(f->kind, f->make, last_key(path));
    if (!tolerance_parse(words, &t, &why)) return;
    array_push(f->arena, &f->stated, arena_printf(f->arena, "%s.%s", f->name, path));
    struct uncertain_text *text = read_text(f->arena, node,
                                            !t.relative ? t.unit
                                            : rule      ? rule->unit
                                                        : UNIT_NUMBER);
    if (!text) return;
    const struct token *token = token_of(text);
    struct uncertain v = {.part = f->name,
                          .key = path,
                          .unit = token->unit,
                          .value = token->value,
                          .from = source ? UNCERTAIN_TOLERANCE : UNCERTAIN_STATED,
                          .known_by = rule ? rule->known_by : KNOWN_BY_NOTHING,
                          .source = source ? source : "stated in the scenario",
                          .text = text};
    tolerance_range(&t, v.value, &v.low, &v.high);
    add(f, v, rule && source ? rule->together : TOGETHER_ALONE);
}

static void add_by_rule(struct uncertain_part_finder *f, const struct node *node, const char *path)
{
    const struct uncertain_rule *rule = uncertain_table_rule(f->kind, f->make, last_key(path));
    struct uncertain_text *text = rule ? read_text(f->arena, node, rule->unit) : NULL;
    if (!text) return;
    const struct token *token = token_of(text);
    struct tolerance t = {rule->low, rule->high, true, UNIT_PERCENT};
    struct uncertain v = {.part = f->name,
                          .key = path,
                          .unit = token->unit,
                          .value = token->value,
                          .spread = rule->spread,
                          .from = rule->from,
                          .known_by = rule->known_by,
                          .source = rule->source,
                          .text = text};
    tolerance_range(&t, v.value, &v.low, &v.high);
    add(f, v, rule->together);
}

/* A tube's perveance comes before its drop, unless the scenario gives the drop alone. */
static bool passed_over(const struct uncertain_part_finder *f, const char *key)
{
    if (!f->part || !part_is(f->part, ROLE_RECTIFIER)) return false;
    bool own_drop = node_get(f->part->own, "drop") && !node_get(f->part->own, "perveance");
    if (strcmp(key, "perveance") == 0) return own_drop;
    return strcmp(key, "drop") == 0 && !own_drop && part_node(f->part, "perveance");
}

static void look_at(struct uncertain_part_finder *f, const struct node *map, const struct pair *p,
                    const char *path)
{
    const char *words = tolerance_words(map, p->key, p->value);
    bool model = words && f->part && f->part->model && map == f->part->map &&
                 !node_get(f->part->own, "tolerance") && words == node_get(map, "tolerance")->text;
    if (passed_over(f, p->key)) return;
    if (words)
        add_stated(f, p->value, path, words, model ? part_source(f->part, "tolerance") : NULL);
    else add_by_rule(f, p->value, path);
}

static void walk(struct uncertain_part_finder *f, const struct node *map, const char *prefix)
{
    for (int i = 0; i < map->n; i++) {
        const struct pair *p = &map->pairs[i];
        const char *path = arena_printf(f->arena, "%s%s", prefix, p->key);
        if (strcmp(p->key, "tolerance") == 0) continue;
        if (p->value->kind == NODE_MAP) walk(f, p->value, arena_printf(f->arena, "%s.", path));
        else look_at(f, map, p, path);
    }
}

/* ---- the mains ---- */

static const struct node *scalar_node(struct arena *arena, const char *text)
{
    struct node *node = ARENA_NEW(arena, struct node);
    *node = (struct node){.kind = NODE_SCALAR, .text = text};
    return node;
}

static void add_line(struct uncertain_part_finder *f, const struct node *node)
{
    struct uncertain v = {.part = "mains",
                          .key = "voltage",
                          .unit = UNIT_VOLT,
                          .from = UNCERTAIN_LINE,
                          .text = read_text(f->arena, node, UNIT_VOLT)};
    if (!v.text) return;
    v.value = token_of(v.text)->value;
    v.source = uncertain_table_line(v.value, f->set->frequency, &v.low, &v.high);
    add(f, v, TOGETHER_ALONE);
}

void uncertain_part_mains(struct uncertain_part_finder *f, const char *key, const char *text,
                          const char *tolerance)
{
    const struct node *node = scalar_node(f->arena, text);
    const char *behind = tolerance_behind(text), *words = behind ? behind : tolerance;
    f->part = NULL;
    f->make = NULL;
    f->name = f->kind = "mains";
    if (words) add_stated(f, node, key, words, NULL);
    else if (strcmp(key, "voltage") == 0) add_line(f, node);
}

/* ---- parts ---- */

static void begin_part(struct uncertain_part_finder *f, const struct part *part)
{
    const struct node *make = part_node(part, "make");
    f->part = part;
    f->name = part->name;
    f->kind = part->kind->name;
    f->make = make && make->kind == NODE_SCALAR  ? make->text
              : !part_is(part, ROLE_CAPACITOR)   ? NULL
              : part_is(part, ROLE_ELECTROLYTIC) ? "modern"
                                                 : "film";
}

static void look_at_part(struct uncertain_part_finder *f, const struct part *part)
{
    begin_part(f, part);
    walk(f, part->map, "");
}

/* ---- what was assumed ---- */

static bool has_key(const struct part *part, const char *key)
{
    for (const struct key *k = part->kind->keys; k->name; k++)
        if (strcmp(k->name, key) == 0) return true;
    return false;
}

/* `T1.high voltage 1` of two halves, which are laid as one value: the winding's name; NULL: the
 * second half, or no winding. */
static const char *winding_of(struct uncertain_part_finder *f, const struct part *part,
                              const char *name, int *halves)
{
    const struct node *windings = part ? node_get(part->map, "windings") : NULL;
    for (int i = 0; windings && windings->kind == NODE_MAP && i < windings->n; i++) {
        const char *key = windings->pairs[i].key;
        *halves = 1;
        if (strcmp(key, name) == 0) return key;
        *halves = 2;
        if (strcmp(arena_printf(f->arena, "%s 1", key), name) == 0) return key;
    }
    return NULL;
}

/* Where a value that was assumed is laid, and in which form. False: no key sets it. */
static bool place_of(struct uncertain_part_finder *f, const struct assumption *a,
                     struct uncertain *v)
{
    const char *dot = strchr(a->part, '.');
    int halves = 1;
    v->part = a->part;
    v->key = a->key;
    f->part = NULL;
    f->make = NULL;
    if (strcmp(a->part, "mains") == 0 || strcmp(a->part, "run") == 0) return true;
    if (dot) {
        v->part = arena_text(f->arena, a->part, (size_t)(dot - a->part));
        const struct part *part = set_find(f->set, v->part);
        const char *winding = winding_of(f, part, dot + 1, &halves);
        if (!winding) return false;
        v->key = arena_printf(f->arena, "windings.%s.%s", winding, a->key);
        const struct node *node =
            node_get(node_get(node_get(part->map, "windings"), winding), a->key);
        v->text = node ? read_text(f->arena, node, a->unit) : NULL;
        v->value *= halves, v->low *= halves, v->high *= halves;
        return true;
    }
    const struct part *part = set_find(f->set, a->part);
    if (!part || !has_key(part, a->key)) return false;
    begin_part(f, part);
    return true;
}

/* A load's customary current is scaled, so that the volts that belong to it stay. */
static bool shape(struct uncertain_part_finder *f, const struct assumption *a, struct uncertain *v)
{
    if (strcmp(a->key, "leakage grows") == 0) {
        v->text = read_text(f->arena, scalar_node(f->arena, "2.5 times by 60 C"), UNIT_NUMBER);
    } else if (strcmp(a->key, "draws") == 0) {
        if (!f->part || !part_is(f->part, ROLE_SCALES) || part_node(f->part, "scaled by"))
            return false;
        v->key = "scaled by";
        v->unit = UNIT_NUMBER;
        v->low /= v->value, v->high /= v->value, v->value = 1;
    } else if (f->part && part_node(f->part, a->key) && !v->text) {
        return false; /* it is there in words */
    }
    return true;
}

static void add_guess(struct uncertain_part_finder *f, const struct assumption *a)
{
    struct uncertain v = {.unit = a->unit,
                          .value = a->value,
                          .low = a->low,
                          .high = a->high,
                          .from = UNCERTAIN_GUESS,
                          .source = a->basis,
                          .known_by = a->known_by};
    bool electrolytic = false;
    if (!uncertain_table_varies(a)) return;
    if (!place_of(f, a, &v) || !shape(f, a, &v)) {
        if (a->guess) array_push(f->arena, &f->list->kept, a);
        return;
    }
    if (is_stated(f, v.part, v.key)) return;
    if (v.low > 0 && v.high >= 2 * v.low) v.spread = SPREAD_LOG;
    electrolytic = f->part && part_is(f->part, ROLE_CAPACITOR);
    bool old =
        electrolytic && f->make && strcmp(f->make, "modern") != 0 && strcmp(f->make, "film") != 0;
    bool laid = add(f, v, !electrolytic ? TOGETHER_ALONE : old ? TOGETHER_AGE : TOGETHER_BATCH);
    if (!laid && a->guess) array_push(f->arena, &f->list->kept, a);
}

struct uncertain_part_finder *uncertain_part_begin(struct arena *arena, const struct set *set,
                                                   struct uncertain_list *list,
                                                   uncertain_part_place *place, void *context)
{
    struct uncertain_part_finder *f = ARENA_NEW(arena, struct uncertain_part_finder);
    f->arena = arena;
    f->set = set;
    f->list = list;
    f->place = place;
    f->context = context;
    return f;
}

void uncertain_part_all(struct uncertain_part_finder *f)
{
    for (int i = 0; i < f->set->parts.n; i++) look_at_part(f, f->set->parts.at[i]);
    for (int i = 0; i < f->set->assumptions.n; i++) add_guess(f, &f->set->assumptions.at[i]);
}

/* ---- writing ---- */

/* Times in seconds: minutes would not keep them whole. */
static const char *quantity_of(struct arena *arena, double value, enum unit unit)
{
    char out[64];
    if (unit == UNIT_SECOND) return arena_printf(arena, "%.12g s", value);
    quantity_text(value, unit, DIGITS, out, sizeof out);
    return arena_text(arena, out, strlen(out));
}

static const char *written(struct arena *arena, const struct uncertain_text *text, int piece,
                           double factor)
{
    const char *out = "";
    for (int i = 0; i < text->piece[piece].n; i++) {
        const struct token *t = &text->piece[piece].token[i];
        bool moves = i == text->piece[piece].which;
        const char *one =
            t->is_word ? t->word : quantity_of(arena, t->value * (moves ? factor : 1), t->unit);
        out = arena_printf(arena, "%s%s%s", out, i ? " " : "", one);
    }
    return out;
}

int uncertain_part_texts(struct arena *arena, const struct uncertain *v, double value,
                         const char *texts[UNCERTAIN_PART_TEXTS], bool *list)
{
    const struct uncertain_text *text = v->text;
    *list = text && text->list;
    if (!text) texts[0] = quantity_of(arena, value, v->unit);
    for (int i = 0; text && i < text->pieces; i++)
        texts[i] = written(arena, text, i, value / v->value);
    return text ? text->pieces : 1;
}
