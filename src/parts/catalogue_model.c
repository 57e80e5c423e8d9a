/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A value reads `60 V at 125 mA [rca-1937, memory]`: what stands before the last bracket is the
 * value, inside it are the tags. What the value means is left to the kind that uses it. */
#include "catalogue_impl.h"

#include <string.h>

#include "part.h"
#include "suggest.h"

struct slip {
    struct arena *arena;
    struct diags *diags;
    const struct node *tags;
    bool found;
};

static void complain(struct slip *s, struct place at, const char *hint, const char *message)
{
    diags_add(s->diags, DIAG_ERROR, at, hint, "%s", message);
    s->found = true;
}

static const struct node *scalar(struct slip *s, struct place at, const char *text)
{
    struct node *node = ARENA_NEW(s->arena, struct node);
    *node = (struct node){.kind = NODE_SCALAR, .at = at, .text = text};
    return node;
}

/* ---- sources ---- */

static const char *tag_text(struct slip *s, struct place at, const char *tag)
{
    const struct node *text = node_get(s->tags, tag);
    if (text) return text->kind == NODE_SCALAR ? text->text : "";
    suggest_words words = {0};
    suggest_keys(s->arena, &words, s->tags);
    complain(
        s, at, suggest(s->arena, tag, &words),
        arena_printf(s->arena, "the source `%s` is not in the list `sources:` of this file", tag));
    return "";
}

/* The texts of `tag1, tag2`, joined by semicolons. */
static const char *tags_text(struct slip *s, struct place at, const char *tags, size_t n)
{
    const char *joined = NULL, *end = tags + n;
    while (tags < end) {
        while (tags < end && (*tags == ' ' || *tags == ',')) tags++;
        const char *stop = tags;
        while (stop < end && *stop != ',') stop++;
        const char *next = stop;
        while (stop > tags && stop[-1] == ' ') stop--;
        if (stop > tags) {
            const char *text = tag_text(s, at, arena_text(s->arena, tags, (size_t)(stop - tags)));
            joined = joined ? arena_printf(s->arena, "%s; %s", joined, text) : text;
        }
        tags = next;
    }
    return joined ? joined : "";
}

static const char *last_bracket(const char *text, size_t n)
{
    if (n == 0 || text[n - 1] != ']') return NULL;
    const char *open = text + n;
    while (open > text && *open != '[') open--;
    return *open == '[' ? open : NULL;
}

/* Cuts `[tags]` off: the value in front, the text of its sources in *source. */
static const char *cut_sources(struct slip *s, const struct pair *p, bool needed,
                               const char **source)
{
    const char *text = p->value->text, *open = last_bracket(text, strlen(text));
    *source = "";
    if (open) *source = tags_text(s, p->value->at, open + 1, strlen(open) - 2);
    if (needed && !(open && (*source)[0]) && !s->found)
        complain(s, p->value->at,
                 "end the value with a tag of the list `sources:`, as in `450 V [maker-1938]`",
                 arena_printf(s->arena, "the value of `%s` has no source", p->key));
    const char *end = open ? open : text + strlen(text);
    while (end > text && end[-1] == ' ') end--;
    return arena_text(s->arena, text, (size_t)(end - text));
}

enum source_grade catalogue_grade(const char *source)
{
    static const struct {
        const char *words;
        enum source_grade grade;
    } rows[] = {{"from memory", SOURCE_MEMORY},
                {"derived", SOURCE_DERIVED},
                {"typical", SOURCE_DERIVED},
                {"second hand", SOURCE_SECOND_HAND},
                {", read", SOURCE_READ}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        if (strstr(source, rows[i].words)) return rows[i].grade;
    return SOURCE_GRADES;
}

/* ---- values ---- */

static void push(struct node *map, struct pair pair)
{
    map->pairs[map->n++] = pair;
}

static struct node *empty_map(struct arena *arena, const struct node *like)
{
    struct node *map = ARENA_NEW(arena, struct node);
    *map = (struct node){.kind = NODE_MAP, .at = like->at, .text = ""};
    map->pairs = ARENA_ARRAY(arena, struct pair, like->n);
    return map;
}

static void read_value(struct slip *all, const struct pair *p, struct node *values,
                       struct node *sources)
{
    static const char *const no_source[] = {"law", "note", NULL};
    struct slip s = {all->arena, all->diags, all->tags, false};
    const char *source = "", *text = p->value->text;
    bool note = strcmp(p->key, "note") == 0;
    if (!note) text = cut_sources(&s, p, !suggest_in(p->key, no_source), &source);
    if (!text[0])
        complain(&s, p->value->at, NULL, arena_printf(s.arena, "`%s` has no value", p->key));
    push(values, (struct pair){p->key, p->at, scalar(&s, p->value->at, text)});
    push(sources, (struct pair){p->key, p->at, scalar(&s, p->value->at, source)});
    all->found |= s.found;
}

bool catalogue_model_read(struct arena *arena, struct diags *diags, const struct node *map,
                          const struct node *tags, struct model *model)
{
    struct slip s = {arena, diags, tags, false};
    struct node *values = empty_map(arena, map), *sources = empty_map(arena, map);
    for (int i = 0; i < map->n; i++) {
        const struct pair *p = &map->pairs[i];
        if (p->value->kind != NODE_SCALAR)
            complain(&s, p->at,
                     "several values are one text: `50 ohm at 350 V, 140 ohm at 500 V [tag]`",
                     arena_printf(arena, "`%s` of a model takes one text", p->key));
        else if (strcmp(p->key, "is") == 0) model->kind = p->value->text;
        else if (strcmp(p->key, "same as") != 0) read_value(&s, p, values, sources);
    }
    model->values = values;
    model->sources = sources;
    return !s.found;
}

/* ---- keys ---- */

/* What a model may be besides the kinds of parts: tubes, which a load's `lineup` names. */
static const char *const other_kinds[] = {"tube", NULL};
static const char *const tube_keys[] = {"heater",
                                        "heating",
                                        "current",
                                        "bias",
                                        "amplification factor",
                                        "screen current",
                                        "plate dissipation",
                                        "screen dissipation",
                                        "rating system",
                                        NULL};

static void check_kind(struct arena *arena, struct diags *diags, const struct node *map,
                       const char *kind)
{
    const struct pair *is = node_pair(map, "is");
    suggest_words words = {0};
    for (int i = 0; kinds_all[i]; i++) array_push(arena, &words, kinds_all[i]->name);
    suggest_list(arena, &words, other_kinds);
    if (is)
        diags_add(diags, DIAG_ERROR, is->value->at, suggest(arena, kind, &words),
                  "there is no kind of part called `%s`", kind);
}

/* A key that is nearly one of the kind's is a slip; others are for the reader of the catalogue. */
void catalogue_model_check(struct arena *arena, struct diags *diags, const struct node *map,
                           const struct model *model)
{
    static const char *const every[] = {"is", "same as", "law", "note", "type", NULL};
    const struct part_kind *kind = kind_find(model->kind);
    suggest_words words = {0};
    if (!kind && !suggest_in(model->kind, other_kinds)) {
        check_kind(arena, diags, map, model->kind);
        return;
    }
    suggest_list(arena, &words, every);
    if (strcmp(model->kind, "tube") == 0) suggest_list(arena, &words, tube_keys);
    for (int k = 0; kind && kind->keys[k].name; k++) array_push(arena, &words, kind->keys[k].name);
    for (int i = 0; i < map->n; i++) {
        const struct pair *p = &map->pairs[i];
        bool known = false;
        for (int k = 0; k < words.n && !known; k++) known = strcmp(words.at[k], p->key) == 0;
        const char *hint = known ? NULL : suggest_nearest(arena, p->key, &words);
        if (hint)
            diags_add(diags, DIAG_ERROR, p->at, hint, "a %s has no key `%s`", model->kind, p->key);
    }
}
