/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The outer form of the file: which keys stand where, names, what variants are based on. What the
 * values mean is found out when a variant is set up, since only then it is known which part a key
 * belongs to. */
#include <string.h>

#include "format.h"
#include "scenario_impl.h"
#include "trade_names.h"

struct reading_file {
    struct arena *arena;
    struct diags *diags;
    struct scenario *s;
};

/* ---- shapes ---- */

static bool need_map(struct reading_file *r, const struct pair *p)
{
    if (p->value->kind == NODE_MAP) return true;
    bool empty = p->value->kind == NODE_SCALAR && !p->value->text[0];
    diags_add(r->diags, DIAG_ERROR, p->at, "write `key: value` lines below it, further in",
              empty ? "`%s` has nothing in it" : "`%s` takes keys with values", p->key);
    return false;
}

static void check_timed(struct reading_file *r, const struct pair *p)
{
    double time;
    plan_time(r->diags, p, &time);
    if (!need_map(r, p)) return;
    for (int i = 0; i < p->value->n; i++) {
        const struct pair *q = &p->value->pairs[i];
        if (strcmp(q->key, "mains") != 0 && plan_is_reserved(q->key))
            diags_add(r->diags, DIAG_ERROR, q->at,
                      "a timed change holds names of parts, and `mains`",
                      "`%s` cannot change during the run", q->key);
        else need_map(r, q);
    }
}

static void check_text(struct reading_file *r, const struct pair *p)
{
    if (p && (p->value->kind != NODE_SCALAR || !p->value->text[0]))
        diags_add(r->diags, DIAG_ERROR, p->at, NULL, "`%s` takes one line of text", p->key);
}

/* Texts, or lists of them. */
static void check_repair(struct reading_file *r, const struct pair *repair)
{
    suggest_words words = {0};
    suggest_table(r->arena, &words, repair_keys);
    if (!repair || !need_map(r, repair)) return;
    for (int i = 0; i < repair->value->n; i++) {
        const struct pair *p = &repair->value->pairs[i];
        bool text = p->value->kind == NODE_SCALAR;
        for (int k = 0; p->value->kind == NODE_LIST && k < p->value->n; k++) {
            text = p->value->items[k]->kind == NODE_SCALAR;
            if (!text) break;
        }
        if (!key_find(repair_keys, p->key))
            diags_add(r->diags, DIAG_ERROR, p->at, suggest(r->arena, p->key, &words),
                      "unknown key `%s`", p->key);
        else if (!text)
            diags_add(r->diags, DIAG_ERROR, p->at, "write for instance `done: [C1 replaced]`",
                      "`%s` takes a text, or a list of texts", p->key);
    }
}

static void check_words(struct reading_file *r)
{
    static const char *const known[] = {"US", "UK", NULL};
    const struct pair *p = node_pair(r->s->root, "words");
    if (!p || (p->value->kind == NODE_SCALAR && suggest_in(p->value->text, known))) return;
    diags_add(r->diags, DIAG_ERROR, p->value->at, "write `words: UK` or `words: US`",
              "`words` takes US or UK");
}

bool scenario_uk(const struct scenario *s)
{
    const struct node *words = node_get(s->root, "words");
    return words && words->kind == NODE_SCALAR && strcmp(words->text, "UK") == 0;
}

static void check_top(struct reading_file *r)
{
    suggest_words words = {0};
    suggest_table(r->arena, &words, scenario_keys);
    array_push(r->arena, &words, "at");
    for (int i = 0; i < r->s->root->n; i++) {
        const struct pair *p = &r->s->root->pairs[i];
        if (plan_is_timed(p->key)) check_timed(r, p);
        else if (!key_find(scenario_keys, p->key))
            diags_add(r->diags, DIAG_ERROR, p->at, suggest(r->arena, p->key, &words),
                      "unknown key `%s`", p->key);
    }
    check_text(r, node_pair(r->s->root, "title"));
    check_text(r, node_pair(r->s->root, "reference"));
    check_repair(r, node_pair(r->s->root, "repair"));
    check_words(r);
    static const char *const maps[] = {"mains", "chart", "measured", "meter", "run", NULL};
    for (int i = 0; maps[i]; i++) {
        const struct pair *p = node_pair(r->s->root, maps[i]);
        bool list = p && p->value->kind == NODE_LIST && strcmp(maps[i], "measured") == 0;
        if (p && !list) need_map(r, p);
    }
}

/* ---- parts ---- */

static void check_part_name(struct reading_file *r, const struct pair *p)
{
    static const char *const taken[] = {"mains", "set", "run", "base", NULL};
    const char *fault = part_name_fault(p->key);
    if (fault)
        diags_add(r->diags, DIAG_ERROR, p->at, "names may not hold . , = or line ends",
                  "the name of the part `%s` %s", p->key, fault);
    else if (suggest_in(p->key, taken) || plan_is_reserved(p->key))
        diags_add(r->diags, DIAG_ERROR, p->at, "choose another name", "no part can be called `%s`",
                  p->key);
}

/* More would take minutes to read and hours to run. */
enum { PARTS_MOST = 1000, VARIANTS_MOST = 100 };

static bool few_enough(struct reading_file *r, const struct pair *map, const char *what, int most)
{
    if (map->value->n <= most) return true;
    diags_add(r->diags, DIAG_ERROR, map->at, "leave out what does not bear on the supply",
              "there are %d %s; at most %d are read", map->value->n, what, most);
    return false;
}

static bool check_parts(struct reading_file *r)
{
    const struct pair *parts = node_pair(r->s->root, "parts");
    if (!parts) {
        diags_add(r->diags, DIAG_ERROR, r->s->root->at,
                  "write `parts:` and below it `C1: {is: capacitor, ...}`", "`parts` is missing");
        return false;
    }
    if (!need_map(r, parts) || !few_enough(r, parts, "parts", PARTS_MOST)) return false;
    for (int i = 0; i < parts->value->n; i++) {
        check_part_name(r, &parts->value->pairs[i]);
        need_map(r, &parts->value->pairs[i]);
    }
    return true;
}

/* ---- variants ---- */

static const struct pair *find_variant(const struct scenario *s, const char *name)
{
    for (int i = 0; i < s->variants.n; i++)
        if (strcmp(s->variants.at[i]->key, name) == 0) return s->variants.at[i];
    return NULL;
}

static void variant_words(struct arena *arena, const struct scenario *s, suggest_words *words)
{
    for (int i = 0; i < s->variants.n; i++) array_push(arena, words, s->variants.at[i]->key);
}

static const struct pair *base_of(const struct scenario *s, const struct pair *variant)
{
    const struct node *on = node_get(variant->value, "based on");
    return on && on->kind == NODE_SCALAR ? find_variant(s, on->text) : NULL;
}

static void check_based_on(struct reading_file *r, const struct pair *variant)
{
    const struct node *on = node_get(variant->value, "based on");
    if (!on || (on->kind == NODE_SCALAR && strcmp(on->text, "base") == 0)) return;
    if (on->kind != NODE_SCALAR || !find_variant(r->s, on->text)) {
        suggest_words words = {0};
        variant_words(r->arena, r->s, &words);
        const char *name = on->kind == NODE_SCALAR ? on->text : "(not one name)";
        diags_add(r->diags, DIAG_ERROR, on->at, suggest(r->arena, name, &words),
                  "there is no variant `%s`", name);
        return;
    }
    int steps = 0; /* a chain longer than there are variants runs in a circle */
    const struct pair *base = base_of(r->s, variant);
    while (base && base != variant && steps++ <= r->s->variants.n) base = base_of(r->s, base);
    if (base == variant)
        diags_add(r->diags, DIAG_ERROR, on->at,
                  "a variant is based on another, and in the end on the scenario",
                  "`%s` is based on itself, by way of `%s`", variant->key, on->text);
}

/* One key of a variant: it changes a part, or puts one in. */
static void check_change(struct reading_file *r, const struct pair *p)
{
    bool known = node_get(node_get(r->s->root, "parts"), p->key) != NULL;
    if (key_find(scenario_keys, p->key))
        diags_add(
            r->diags, DIAG_ERROR, p->at,
            "a variant holds names of parts, `mains`, `run`, `reference`, `based on` and `at TIME`",
            "`%s` does not belong in a variant", p->key);
    else if (need_map(r, p) && !known) check_part_name(r, p);
}

static void check_variant(struct reading_file *r, const struct pair *variant)
{
    check_based_on(r, variant);
    for (int i = 0; i < variant->value->n; i++) {
        const struct pair *p = &variant->value->pairs[i];
        if (plan_is_timed(p->key)) check_timed(r, p);
        else if (strcmp(p->key, "reference") == 0) check_text(r, p);
        else if (strcmp(p->key, "mains") == 0 || strcmp(p->key, "run") == 0) need_map(r, p);
        else if (strcmp(p->key, "based on") != 0) check_change(r, p);
    }
}

static bool has_control(const char *name)
{
    for (const char *c = name; *c; c++)
        if ((unsigned char)*c < 0x20 || *c == 0x7F) return true;
    return false;
}

static void list_variants(struct reading_file *r)
{
    const struct pair *variants = node_pair(r->s->root, "variants");
    if (!variants || !need_map(r, variants)) return;
    if (!few_enough(r, variants, "variants", VARIANTS_MOST)) return;
    for (int i = 0; i < variants->value->n; i++) {
        const struct pair *p = &variants->value->pairs[i];
        if (strcmp(p->key, "base") == 0)
            diags_add(r->diags, DIAG_ERROR, p->at, "choose another name",
                      "no variant can be called `base`: that is the scenario itself");
        else if (has_control(p->key))
            diags_add(r->diags, DIAG_ERROR, p->at, "choose another name",
                      "the name of a variant may not hold line ends");
        else if (need_map(r, p)) array_push(r->arena, &r->s->variants, p);
    }
    for (int i = 0; i < r->s->variants.n; i++) check_variant(r, r->s->variants.at[i]);
}

/* ---- the whole file ---- */

/* The file's name without folders and ending. */
static const char *title_of(struct arena *arena, const struct node *root, const char *path)
{
    const struct node *title = node_get(root, "title");
    if (title && title->kind == NODE_SCALAR && title->text[0]) return title->text;
    const char *slash = strrchr(path, '/'), *name = slash ? slash + 1 : path,
               *end = strrchr(name, '.');
    return arena_text(arena, name, end && end > name ? (size_t)(end - name) : strlen(name));
}

static const struct scenario *read_outer(struct arena *arena, struct diags *diags,
                                         const struct catalogue *catalogue, const char *path,
                                         const struct node *root)
{
    int errors = diags_errors(diags);
    if (!root || !format_check(arena, diags, root, "a scenario")) return NULL;
    struct scenario *s = ARENA_NEW(arena, struct scenario);
    struct reading_file r = {arena, diags, s};
    s->path = arena_text(arena, path, strlen(path));
    s->title = title_of(arena, root, path);
    s->root = trade_names_read(arena, root);
    s->catalogue = catalogue;
    check_top(&r);
    bool usable = check_parts(&r);
    list_variants(&r);
    s->wrong = diags_errors(diags) > errors;
    return usable ? s : NULL;
}

const struct scenario *scenario_read(struct arena *arena, struct diags *diags,
                                     const struct catalogue *catalogue, const char *path)
{
    return read_outer(arena, diags, catalogue, path, doc_read(arena, diags, path));
}

const struct scenario *scenario_parse(struct arena *arena, struct diags *diags,
                                      const struct catalogue *catalogue, const char *name,
                                      const char *text)
{
    return read_outer(arena, diags, catalogue, name,
                      doc_parse(arena, diags, name, text, strlen(text)));
}

const struct scenario *scenario_bare(struct arena *arena, const struct catalogue *catalogue,
                                     const char *reference)
{
    struct scenario *s = ARENA_NEW(arena, struct scenario);
    struct node *root = ARENA_NEW(arena, struct node), *parts = ARENA_NEW(arena, struct node),
                *point = ARENA_NEW(arena, struct node);
    *parts = (struct node){.kind = NODE_MAP, .text = ""};
    *point = (struct node){.kind = NODE_SCALAR, .text = reference};
    *root = (struct node){.kind = NODE_MAP, .text = "", .n = 2};
    root->pairs = ARENA_ARRAY(arena, struct pair, root->n);
    root->pairs[0] = (struct pair){.key = "reference", .value = point};
    root->pairs[1] = (struct pair){.key = "parts", .value = parts};
    *s = (struct scenario){.path = "", .title = "", .root = root, .catalogue = catalogue};
    return s;
}

const char *scenario_point(struct arena *arena, const struct scenario *s, const char *name)
{
    suggest_words names = {0};
    trade_names_gather(arena, node_get(s->root, "parts"), &names);
    suggest_keys(arena, &names, node_get(s->root, "parts"));
    return trade_names_point(&names, name);
}

const char *scenario_title(const struct scenario *s)
{
    return s->title;
}

int scenario_repair(const struct scenario *s, const char *key, const char **texts, int most)
{
    const struct node *repair = node_get(s->root, "repair");
    const struct node *node = repair ? node_get(repair, key) : NULL;
    int n = 0;
    if (!node) return 0;
    if (node->kind == NODE_SCALAR && node->text[0]) texts[n++] = node->text;
    for (int i = 0; node->kind == NODE_LIST && i < node->n && n < most; i++)
        texts[n++] = node->items[i]->text;
    return n;
}

const char *scenario_path(const struct scenario *s)
{
    return s->path;
}

int scenario_variants(const struct scenario *s)
{
    return s->variants.n;
}

const char *scenario_variant(const struct scenario *s, int i)
{
    return s->variants.at[i]->key;
}

const char *scenario_value(struct arena *arena, const struct scenario *s, const char *variant,
                           const char *path)
{
    struct diags *quiet = diags_new(arena);
    const struct pair *base = NULL;
    if (!plan_variant(arena, quiet, s, variant, &base)) return NULL;
    struct draft start = plan_make(arena, quiet, s, base).start;
    size_t n = strcspn(path, ".");
    const char *part = arena_text(arena, path, n);
    const struct node *node = strcmp(part, "mains") == 0 ? start.mains
                              : strcmp(part, "run") == 0 ? start.run
                                                         : node_get(start.parts, part);
    while (path[n]) {
        path += n + 1;
        n = strcspn(path, ".");
        node = node_get(node, arena_text(arena, path, n));
    }
    return node && node->kind == NODE_SCALAR ? node->text : NULL;
}
