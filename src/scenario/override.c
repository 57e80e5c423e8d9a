/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is said on the command line becomes one more variant of a copy of the scenario, so that it
 * is read, checked and complained of like any other. Its nodes carry the words of the command line
 * as their place. */
#include <string.h>

#include "scenario_impl.h"

enum { PATH_DEPTH = 8 };

struct override {
    struct arena *arena;
    struct diags *diags;
    struct place at;
};

static const struct node *scalar(struct override *o, const char *text)
{
    struct node *node = ARENA_NEW(o->arena, struct node);
    *node = (struct node){.kind = NODE_SCALAR, .at = o->at, .text = text};
    return node;
}

/* A map of one key. */
static const struct node *map_of(struct override *o, const char *key, const struct node *value)
{
    struct node *node = ARENA_NEW(o->arena, struct node);
    struct pair *pair = ARENA_NEW(o->arena, struct pair);
    *pair = (struct pair){key, o->at, value};
    *node = (struct node){.kind = NODE_MAP, .at = o->at, .text = "", .n = 1, .pairs = pair};
    return node;
}

static const struct node *value_of(struct override *o, const char *text)
{
    if (text[0] != '[' && text[0] != '{') return scalar(o, text);
    return doc_parse(o->arena, o->diags, o->at.file, text, strlen(text));
}

/* The words of `C1.value`; 0 with an error when there are fewer than `least`. */
static int split_path(struct override *o, const char *path, int least,
                      const char *words[PATH_DEPTH])
{
    int n = 0;
    bool good = true;
    for (const char *s = path; s && n < PATH_DEPTH; n++) {
        size_t bytes = strcspn(s, ".");
        words[n] = arena_text(o->arena, s, bytes);
        good &= bytes > 0;
        s = s[bytes] ? s + bytes + 1 : NULL;
    }
    if (good && n >= least) return n;
    diags_add(o->diags, DIAG_ERROR, o->at, "write it as in `C1.value=10uF` or `mains.voltage=110V`",
              "`%s` names no key of a part", path);
    return 0;
}

static bool is_there(const struct draft *start, const char *part)
{
    return strcmp(part, "mains") == 0 || strcmp(part, "run") == 0 || node_get(start->parts, part);
}

static void complain_part(struct override *o, const struct draft *start, const char *part)
{
    suggest_words words = {0};
    suggest_keys(o->arena, &words, start->parts);
    array_push(o->arena, &words, "mains");
    array_push(o->arena, &words, "run");
    diags_add(o->diags, DIAG_ERROR, o->at, suggest(o->arena, part, &words),
              "there is no part `%s` to change", part);
}

/* One assignment as a map of parts; NULL with errors. */
static const struct node *change_of(struct override *o, const struct draft *start,
                                    const struct assignment *a)
{
    const char *words[PATH_DEPTH];
    const char *file = arena_printf(o->arena, "%s=%s", a->path, a->value);
    o->at = (struct place){file, 0, 0};
    bool whole = a->value[0] == '{'; /* a part as a whole, which may be new */
    int n = split_path(o, a->path, whole ? 1 : 2, words);
    if (n == 0) return NULL;
    const char *part = words[n > 1 && plan_is_timed(words[0])]; /* of a timed change, or now */
    if (!(whole && n == 1) && !is_there(start, part)) {
        complain_part(o, start, part);
        return NULL;
    }
    const struct node *node = value_of(o, a->value);
    for (int i = n - 1; node && i >= 0; i--) node = map_of(o, words[i], node);
    return node;
}

const struct scenario *scenario_override(struct arena *arena, struct diags *diags,
                                         const struct scenario *s, const char *variant,
                                         const char *name, const struct assignment *list, int n)
{
    const struct pair *base = NULL;
    if (!plan_variant(arena, diags, s, variant, &base)) return NULL;
    struct draft start = plan_make(arena, diags_new(arena), s, base).start;
    struct override o = {arena, diags, {s->path, 0, 0}};
    const char *on = base ? base->key : "base";
    const struct node *changes = map_of(&o, "based on", scalar(&o, on));
    for (int i = 0; i < n; i++) {
        const struct node *change = change_of(&o, &start, &list[i]);
        if (!change) return NULL;
        changes = node_overlay(arena, changes, change);
    }
    struct scenario *copy = ARENA_NEW(arena, struct scenario);
    struct pair *pair = ARENA_NEW(arena, struct pair);
    *copy = *s;
    *pair = (struct pair){name, {s->path, 0, 0}, changes};
    copy->variants.at = NULL;
    copy->variants.n = copy->variants.room = 0;
    for (int i = 0; i < s->variants.n; i++) array_push(arena, &copy->variants, s->variants.at[i]);
    array_push(arena, &copy->variants, pair);
    return copy;
}

const char *scenario_value(struct arena *arena, const struct scenario *s, const char *variant,
                           const char *path)
{
    const struct pair *base = NULL;
    const char *words[PATH_DEPTH];
    struct override o = {arena, diags_new(arena), {s->path, 0, 0}};
    if (!plan_variant(arena, o.diags, s, variant, &base)) return NULL;
    struct draft start = plan_make(arena, o.diags, s, base).start;
    int n = split_path(&o, path, 2, words);
    if (n == 0) return NULL;
    const struct node *node = strcmp(words[0], "mains") == 0 ? start.mains
                              : strcmp(words[0], "run") == 0 ? start.run
                                                             : node_get(start.parts, words[0]);
    for (int i = 1; i < n; i++) node = node_get(node, words[i]);
    return node && node->kind == NODE_SCALAR ? node->text : NULL;
}
