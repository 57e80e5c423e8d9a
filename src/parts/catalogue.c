/* SPDX-License-Identifier: GPL-3.0-or-later */
/* First every file is read and its entries are listed as they stand; then each is made a model: its
 * values are cut from their source tags and laid over those of the entry it is the same as, which
 * is made first. An entry being made that is met again closes a circle. */
#include "catalogue.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>

#include "array.h"
#include "catalogue_impl.h"
#include "file.h"
#include "format.h"
#include "hint.h"
#include "suggest.h"

enum progress { RAW, BEING_MADE, MADE };

struct entry {
    const char *name;
    struct place at;
    const struct node *map;  /* as it stands in the file */
    const struct node *tags; /* `sources:` of its file */
    enum progress progress;
    struct model *model; /* NULL when it is wrong */
};

/* Names by kind, for hints; made while reading, so that looking up changes nothing. */
struct shelf {
    const char *kind;
    suggest_words names;
};

struct catalogue {
    struct arena *arena;
    struct diags *diags;
    ARRAY(struct entry) entries;
    ARRAY(const struct model *) models;
    suggest_words names;
    ARRAY(struct shelf) shelves;
};

/* ---- files ---- */

static void read_sources(struct catalogue *c, const struct node *tags)
{
    for (int i = 0; i < tags->n; i++) {
        const struct pair *tag = &tags->pairs[i];
        if (tag->value->kind == NODE_SCALAR && tag->value->text[0]) continue;
        diags_add(c->diags, DIAG_ERROR, tag->at, "write where the figures come from, in one text",
                  "the source `%s` has no text", tag->key);
    }
}

static const struct entry *find_entry(const struct catalogue *c, const char *name)
{
    for (int i = 0; i < c->entries.n; i++)
        if (strcmp(c->entries.at[i].name, name) == 0) return &c->entries.at[i];
    return NULL;
}

static void read_entries(struct catalogue *c, const struct node *models, const struct node *tags)
{
    for (int i = 0; i < models->n; i++) {
        const struct pair *p = &models->pairs[i];
        const struct entry *same = find_entry(c, p->key);
        if (same)
            diags_add(c->diags, DIAG_ERROR, p->at, "a name belongs to one model",
                      "the model `%s` is already in %s, line %d", p->key, same->at.file,
                      same->at.line);
        else if (p->value->kind != NODE_MAP)
            diags_add(c->diags, DIAG_ERROR, p->at, "write its keys below it, one a line",
                      "the model `%s` needs keys", p->key);
        else
            array_push(c->arena, &c->entries,
                       (struct entry){p->key, p->at, p->value, tags, RAW, NULL});
    }
}

static void check_top_keys(struct catalogue *c, const struct node *root)
{
    static const char *const known[] = {"format", "sources", "models", NULL};
    suggest_words words = {0};
    suggest_list(c->arena, &words, known);
    for (int i = 0; i < root->n; i++) {
        const struct pair *p = &root->pairs[i];
        if (suggest_in(p->key, known)) continue;
        diags_add(c->diags, DIAG_ERROR, p->at, suggest(c->arena, p->key, &words),
                  "unknown key `%s`", p->key);
    }
}

static void read_file(struct catalogue *c, const char *path)
{
    const struct node *root = doc_read(c->arena, c->diags, path);
    if (!root || !format_check(c->arena, c->diags, root, "a list of models")) return;
    check_top_keys(c, root);
    const struct node *tags = node_get(root, "sources"), *models = node_get(root, "models");
    if (tags && tags->kind == NODE_MAP) read_sources(c, tags);
    else
        diags_add(c->diags, DIAG_ERROR, tags ? tags->at : root->at,
                  "write `sources:` and below it `TAG: text`", "the list of sources is missing");
    if (models && models->kind == NODE_MAP) read_entries(c, models, tags);
    else
        diags_add(c->diags, DIAG_ERROR, models ? models->at : root->at,
                  "write `models:` and below it `NAME:`", "the models are missing");
}

static bool is_yaml(const char *name)
{
    size_t n = strlen(name);
    return name[0] != '.' && n > 5 && strcmp(name + n - 5, ".yaml") == 0;
}

static bool read_folder(struct catalogue *c, const char *folder)
{
    struct file_names names;
    int files = 0;
    struct place at = {arena_text(c->arena, folder, strlen(folder)), 0, 0};
    int error = file_list(c->arena, folder, &names);
    if (error == ENOMEM) arena_exhausted(c->arena);
    if (error) {
        diags_add(c->diags, DIAG_ERROR, at, NULL,
                  error == ENOENT ? "there is no such folder of models"
                                  : "this folder of models cannot be read");
        return false;
    }
    for (int i = 0; i < names.n; i++) {
        if (!is_yaml(names.at[i])) continue;
        read_file(c, arena_printf(c->arena, "%s/%s", folder, names.at[i]));
        files++;
    }
    if (files == 0)
        diags_add(c->diags, DIAG_ERROR, at, "models are in files that end with .yaml",
                  "this folder holds no models");
    return true;
}

/* ---- entries to models ---- */

static const struct model *make(struct catalogue *c, struct entry *e);

static struct entry *find_base(struct catalogue *c, const struct node *same)
{
    suggest_words words = {0};
    for (int i = 0; same->kind == NODE_SCALAR && i < c->entries.n; i++) {
        if (strcmp(c->entries.at[i].name, same->text) == 0) return &c->entries.at[i];
        array_push(c->arena, &words, c->entries.at[i].name);
    }
    diags_add(c->diags, DIAG_ERROR, same->at, suggest_nearest(c->arena, same->text, &words),
              "there is no model `%s` to be the same as", same->text);
    return NULL;
}

/* False when it names a base that cannot be used. */
static bool inherit(struct catalogue *c, const struct entry *e, struct model *m)
{
    const struct node *same = node_get(e->map, "same as");
    if (!same) return true;
    struct entry *other = find_base(c, same);
    if (!other) return false;
    if (other->progress == BEING_MADE) {
        diags_add(c->diags, DIAG_ERROR, same->at, "one of them must have values of its own",
                  "`%s` is the same as `%s`, which leads back to it", e->name, other->name);
        return false;
    }
    const struct model *base = make(c, other);
    if (!base) return false;
    if (m->kind && strcmp(m->kind, base->kind) != 0) {
        diags_add(c->diags, DIAG_ERROR, same->at, NULL, "`%s` is a %s, but `%s` is a %s", e->name,
                  m->kind, base->name, base->kind);
        return false;
    }
    m->kind = base->kind;
    m->values = node_overlay(c->arena, base->values, m->values);
    m->sources = node_overlay(c->arena, base->sources, m->sources);
    return true;
}

static const struct model *make(struct catalogue *c, struct entry *e)
{
    if (e->progress == MADE) return e->model;
    e->progress = BEING_MADE;
    struct model *m = ARENA_NEW(c->arena, struct model);
    m->name = e->name;
    m->at = e->at;
    bool good = catalogue_model_read(c->arena, c->diags, e->map, e->tags, m) && inherit(c, e, m);
    e->progress = MADE;
    if (!good) return NULL;
    if (!m->kind) {
        diags_add(c->diags, DIAG_ERROR, e->at,
                  "write `is: rectifier`, or whatever it is, or `same as: OTHER`",
                  "the model `%s` does not say what it is", e->name);
        return NULL;
    }
    catalogue_model_check(c->arena, c->diags, e->map, m);
    return e->model = m;
}

static struct shelf *find_shelf(const struct catalogue *c, const char *kind)
{
    for (int i = 0; i < c->shelves.n; i++)
        if (strcmp(c->shelves.at[i].kind, kind) == 0) return &c->shelves.at[i];
    return NULL;
}

static void add_model(struct catalogue *c, const struct model *m)
{
    array_push(c->arena, &c->models, m);
    array_push(c->arena, &c->names, m->name);
    struct shelf *shelf = find_shelf(c, m->kind);
    if (!shelf) {
        array_push(c->arena, &c->shelves, (struct shelf){m->kind, {0}});
        shelf = &c->shelves.at[c->shelves.n - 1];
    }
    array_push(c->arena, &shelf->names, m->name);
}

struct catalogue *catalogue_read(struct arena *arena, struct diags *diags, const char *folder)
{
    struct catalogue *c = ARENA_NEW(arena, struct catalogue);
    c->arena = arena;
    c->diags = diags;
    if (!read_folder(c, folder)) return NULL;
    for (int i = 0; i < c->entries.n; i++) {
        const struct model *m = make(c, &c->entries.at[i]);
        if (m) add_model(c, m);
    }
    return c;
}

/* ---- looking up ---- */

int catalogue_count(const struct catalogue *c)
{
    return c ? c->models.n : 0;
}

const struct model *catalogue_at(const struct catalogue *c, int i)
{
    return c->models.at[i];
}

static char letter(const char **s)
{
    while (**s == ' ' || **s == '-') ++*s;
    char c = **s;
    if (c) ++*s;
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

static bool same_but_for_blanks(const char *a, const char *b)
{
    for (;;) {
        char x = letter(&a), y = letter(&b);
        if (x != y) return false;
        if (x == 0) return true;
    }
}

const struct model *catalogue_find(const struct catalogue *c, const char *name)
{
    for (int i = 0; i < catalogue_count(c); i++)
        if (strcmp(c->models.at[i]->name, name) == 0) return c->models.at[i];
    for (int i = 0; i < catalogue_count(c); i++)
        if (same_but_for_blanks(c->models.at[i]->name, name)) return c->models.at[i];
    return NULL;
}

const char *catalogue_nearest(const struct catalogue *c, const char *name, const char *kind)
{
    if (!c) return NULL;
    const struct shelf *shelf = kind ? find_shelf(c, kind) : NULL;
    if (kind && !shelf) return NULL;
    const suggest_words *names = kind ? &shelf->names : &c->names;
    return hint_nearest(name, names->at, names->n);
}
