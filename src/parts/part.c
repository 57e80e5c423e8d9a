/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reading keys of a part. A key that is missing or `unknown` is silent and leaves the caller to its
 * guess; a key that is wrong is complained of at its value and then counts as missing, so that
 * reading goes on and finds more. */
#include "part.h"

#include <assert.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "bounds.h"
#include "suggest.h"
#include "tolerance.h"

/* ---- names ---- */

const char *part_name_fault(const char *name)
{
    if (!name[0]) return "is empty";
    if (name[0] == ' ' || name[strlen(name) - 1] == ' ') return "begins or ends with a blank";
    for (const char *s = name; *s; s++) {
        unsigned char c = (unsigned char)*s;
        if (c < 0x20 || c == 0x7F) return "holds a line end or control character";
        if (c == '.') return "holds a point";
        if (c == ',') return "holds a comma";
        if (c == '=') return "holds an equals sign";
        if (c == ':' && s[1] == ' ') return "holds a colon before a blank";
    }
    return NULL;
}

/* ---- complaints ---- */

/* A map may begin a line below its key, so the key itself is shown; of anything else the value. */
static struct place place_of(const struct part *part, const char *key)
{
    const struct pair *p = key ? node_pair(part->map, key) : NULL;
    if (!p) return part->at;
    return p->value->kind == NODE_MAP || p->value->at.line == 0 ? p->at : p->value->at;
}

void part_complain(struct set *set, const struct part *part, const char *key, const char *hint,
                   const char *format, ...)
{
    va_list args, again;
    va_start(args, format);
    va_copy(again, args);
    int n = vsnprintf(NULL, 0, format, args);
    va_end(args);
    assert(n >= 0);
    char *message = arena_alloc(set->arena, (size_t)n + 1);
    vsnprintf(message, (size_t)n + 1, format, again);
    va_end(again);
    diags_add(set->diags, DIAG_ERROR, place_of(part, key), hint, "%s", message);
}

static const char *form_of(const struct node *node)
{
    return node->kind == NODE_MAP ? "a map" : node->kind == NODE_LIST ? "a list" : "one text";
}

static const char *takes_of(const struct part *part, const char *key)
{
    const struct key *k = key_find(part->kind ? part->kind->keys : NULL, key);
    return k ? k->takes : NULL;
}

static const char *takes_hint(struct set *set, const struct part *part, const char *key)
{
    const char *takes = takes_of(part, key);
    return takes && takes[0] ? arena_printf(set->arena, "`%s` takes %s", key, takes) : NULL;
}

/* ---- which keys there are ---- */

const struct key part_common_keys[] = {
    {"is", "the kind of the part", KEY_NEEDED},
    {"type", "a type of the catalogue; what it says need not be written", 0},
    {"fitted", "no: the part is out of its place", 0},
    {"note", "a line of your own, which is not looked at", 0},
    {"tolerance", "of its value, e.g. 10 %, or of those named, e.g. {value: 10 %}", KEY_OR_MAP},
    {NULL, NULL, 0},
};

static int check_known(struct set *set, const struct part *part)
{
    suggest_words words = {0};
    int complaints = 0;
    suggest_table(set->arena, &words, part->kind->keys);
    suggest_table(set->arena, &words, part_common_keys);
    for (int i = 0; i < part->own->n; i++) {
        const struct pair *p = &part->own->pairs[i];
        bool known = false;
        for (int k = 0; k < words.n && !known; k++) known = strcmp(words.at[k], p->key) == 0;
        if (known) continue;
        bool named = strcmp(part->name, part->kind->name) == 0; /* mains, run */
        diags_add(set->diags, DIAG_ERROR, p->at, suggest(set->arena, p->key, &words),
                  named ? "`%s` has no key `%s`" : "a %s has no key `%s`", part->kind->name,
                  p->key);
        complaints++;
    }
    return complaints;
}

/* What is new in a variant may be what is looked for. */
static const char *unknown_hint(const struct set *set, const struct part *part, const char *key)
{
    if (!set->variant || strcmp(set->variant, "base") == 0)
        return "measure it or take it from the part's marking";
    return arena_printf(set->arena,
                        "measure it, or look for it with `presolder find-value --variant \"%s\" "
                        "--change %s.%s`",
                        set->variant, part->name, key);
}

static int check_needed(struct set *set, const struct part *part)
{
    int complaints = 0;
    for (const struct key *k = part->kind->keys; k->name; k++) {
        if (!(k->use & KEY_NEEDED) || part_node(part, k->name)) continue;
        if (node_get(part->map, k->name) && k->use & KEY_UNKNOWN) continue;
        if (node_get(part->map, k->name))
            part_complain(set, part, k->name, unknown_hint(set, part, k->name),
                          "%s: `%s` must be known", part->name, k->name);
        else
            part_complain(set, part, k->name, takes_hint(set, part, k->name),
                          "`%s` of %s is missing", k->name, part->name);
        complaints++;
    }
    return complaints;
}

static int check_tolerance(struct set *set, const struct node *node)
{
    struct tolerance tolerance;
    struct complaint why;
    if (node->kind == NODE_SCALAR && tolerance_parse(node->text, &tolerance, &why)) return 0;
    diags_add(set->diags, DIAG_ERROR, node->at,
              node->kind == NODE_SCALAR ? why.hint : "write it as in `tolerance: 10 %`", "%s",
              node->kind == NODE_SCALAR ? why.message : "`tolerance` takes one value or keys");
    return 1;
}

/* `tolerance: 10 %` is of the part's main value, `tolerance: {value: 10 %}` of those named. */
static int check_tolerances(struct set *set, const struct part *part)
{
    const struct node *node = node_get(part->own, "tolerance");
    suggest_words words = {0};
    int complaints = 0;
    if (!node || node->kind != NODE_MAP) return node ? check_tolerance(set, node) : 0;
    suggest_table(set->arena, &words, part->kind->keys);
    for (int i = 0; i < node->n; i++) {
        const struct pair *p = &node->pairs[i];
        if (takes_of(part, p->key)) {
            complaints += check_tolerance(set, p->value);
            continue;
        }
        diags_add(set->diags, DIAG_ERROR, p->at, suggest(set->arena, p->key, &words),
                  "a %s has no key `%s`", part->kind->name, p->key);
        complaints++;
    }
    return complaints;
}

int part_check(struct set *set, const struct part *part)
{
    return check_known(set, part) + check_needed(set, part) + check_tolerances(set, part);
}

/* ---- one key ---- */

const struct node *part_node(const struct part *part, const char *key)
{
    const struct node *node = node_get(part->map, key);
    bool unknown = node && node->kind == NODE_SCALAR && strcmp(node->text, "unknown") == 0;
    return unknown ? NULL : node;
}

/* The text of a key that holds one; NULL when it is missing, unknown or wrong. */
static const struct node *part_scalar(struct set *set, const struct part *part, const char *key)
{
    const struct node *node = part_node(part, key);
    if (!node) return NULL;
    if (node->kind != NODE_SCALAR)
        part_complain(set, part, key, takes_hint(set, part, key), "`%s` takes one value, not %s",
                      key, form_of(node));
    else if (!node->text[0])
        part_complain(set, part, key, takes_hint(set, part, key), "`%s` has no value", key);
    else return node;
    return NULL;
}

static bool part_bounded(struct set *set, const struct part *part, const char *key, enum unit unit,
                         double value)
{
    struct complaint why;
    if (bounds_hold(value, unit, &why)) return true;
    part_complain(set, part, key, why.hint, "`%s`: %s", key, why.message);
    return false;
}

bool part_between(struct set *set, const struct part *part, const char *key, enum unit unit,
                  double value, double least, double most)
{
    struct complaint why;
    if (bounds_between(value, unit, least, most, &why)) return true;
    part_complain(set, part, key, why.hint, "`%s`: %s", key, why.message);
    return false;
}

bool part_value(struct set *set, const struct part *part, const char *key, enum unit unit,
                double least, double *value)
{
    const struct node *node = part_scalar(set, part, key);
    struct complaint why;
    char bound[40];
    double read;
    if (!node) return false;
    if (!quantity_parse(node->text, unit, &read, &why)) {
        part_complain(set, part, key, why.hint, "%s", why.message);
        return false;
    }
    if (!part_bounded(set, part, key, unit, read)) return false;
    if (read >= least) {
        *value = read;
        return true;
    }
    const char *hint = takes_hint(set, part, key);
    if (least == 0) part_complain(set, part, key, hint, "`%s` may not be negative", key);
    else
        part_complain(set, part, key, hint, "`%s` must be at least %s", key,
                      quantity_text(least, unit, 3, bound, sizeof bound));
    return false;
}

int part_phrase(struct set *set, const struct part *part, const char *key,
                struct token tokens[QUANTITY_TOKENS])
{
    const struct node *node = part_scalar(set, part, key);
    struct complaint why;
    if (!node) return 0;
    int n = quantity_scan(node->text, tokens, &why);
    for (int i = 0; i < n; i++)
        if (!tokens[i].is_word && !part_bounded(set, part, key, tokens[i].unit, tokens[i].value))
            return 0;
    if (n > 0) return n;
    if (n < 0) part_complain(set, part, key, why.hint, "%s", why.message);
    else part_complain(set, part, key, takes_hint(set, part, key), "`%s` has no value", key);
    return 0;
}

/* Whether the table of keys, where it lists words, lists these in any order. */
static bool lists(struct arena *arena, const struct part *part, const char *key,
                  const char *const choices[])
{
    const struct key *k = key_find(part->kind ? part->kind->keys : NULL, key);
    int n = 0, listed = 0;
    if (!k || !(k->use & KEY_WORDS)) return true;
    while (choices[n]) n++;
    for (const char *word; (word = key_word(arena, k, listed)); listed++)
        if (!suggest_in(word, choices)) return false;
    return listed == n;
}

int part_word(struct set *set, const struct part *part, const char *key,
              const char *const choices[])
{
    assert(lists(set->arena, part, key, choices));
    const struct node *node = part_scalar(set, part, key);
    if (!node) return -1;
    for (int i = 0; choices[i]; i++)
        if (strcmp(choices[i], node->text) == 0) return i;
    suggest_words words = {0};
    suggest_list(set->arena, &words, choices);
    part_complain(set, part, key, suggest(set->arena, node->text, &words),
                  "`%s` is no word for `%s`", node->text, key);
    return -1;
}

const char *part_name(struct set *set, const struct part *part, const char *key)
{
    const struct node *node = part_scalar(set, part, key);
    return node ? node->text : NULL;
}

/* ---- lists of names ---- */

static bool check_item(struct set *set, const struct part *part, const char *key,
                       const struct node *item)
{
    if (item->kind == NODE_SCALAR && item->text[0]) return true;
    diags_add(set->diags, DIAG_ERROR, item->at, takes_hint(set, part, key),
              item->kind == NODE_SCALAR ? "a name is missing in `%s`"
                                        : "`%s` takes names, nothing nested",
              key);
    return false;
}

static const char *how_many(struct set *set, int least, int most)
{
    static const char *const words[] = {"no", "one", "two", "three", "four"};
    if (least == most && most <= 4)
        return arena_printf(set->arena, "%s name%s", words[most], most == 1 ? "" : "s");
    if (least == most) return arena_printf(set->arena, "%d names", most);
    return arena_printf(set->arena, "%d to %d names", least, most);
}

int part_names(struct set *set, const struct part *part, const char *key, int least, int most,
               const char **names)
{
    const struct node *node = part_node(part, key);
    if (!node) return 0;
    const struct node *const one[] = {node};
    const struct node *const *items = node->kind == NODE_LIST ? node->items : one;
    int n = node->kind == NODE_LIST ? node->n : 1;
    bool good = true;
    for (int i = 0; i < n; i++) good &= check_item(set, part, key, items[i]);
    if (!good) return 0;
    if (n < least || n > most) {
        part_complain(set, part, key, takes_hint(set, part, key), "`%s` takes %s, not %d", key,
                      how_many(set, least, most), n);
        return 0;
    }
    for (int i = 0; i < n; i++) names[i] = items[i]->text;
    return n;
}

static bool is_needed(const struct part *part, const char *key)
{
    const struct key *k = key_find(part->kind ? part->kind->keys : NULL, key);
    return k && k->use & KEY_NEEDED;
}

bool part_across(struct set *set, const struct part *part, int *from, int *to)
{
    const char *names[2];
    if (!part_node(part, "across") && !is_needed(part, "across"))
        part_complain(set, part, "across",
                      "write the two points it lies between, as in `across: [B+, chassis]`",
                      "`across` of %s is missing", part->name);
    if (part_names(set, part, "across", 2, 2, names) != 2) return false;
    *from = circuit_point(set->circuit, names[0]);
    *to = circuit_point(set->circuit, names[1]);
    return true;
}

/* ---- where a value comes from ---- */

const char *part_source(const struct part *part, const char *key)
{
    const struct node *own = node_get(part->own, key);
    if (own && own == part_node(part, key)) return "scenario";
    const struct node *source = part->model ? node_get(part->model->sources, key) : NULL;
    return source && source->kind == NODE_SCALAR ? source->text : "";
}
