/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What stands at a place of the command line is told by the word that help shows for it: SCENARIO,
 * DIR, VARIANT ... So a new command or option is completed as soon as it is in its table. */
#include "complete.h"

#include <string.h>

#include "scenario_keys.h"
#include "suggest.h"

struct completion {
    struct job *job;
    const char *begun;    /* the last word */
    const char *fixed;    /* what of it stays as it is, before what is completed */
    const char *scenario; /* path; NULL: none is named */
    const struct command *command;
    const char *else_here; /* the first line of the answer */
    suggest_words found;
};

static void offer(struct completion *c, const char *word)
{
    const char *whole = arena_printf(c->job->arena, "%s%s", c->fixed, word);
    if (strncmp(whole, c->begun, strlen(c->begun)) != 0 || suggest_has(&c->found, whole)) return;
    array_push(c->job->arena, &c->found, whole);
}

/* ---- of a scenario ---- */

/* The file as it is, right or wrong; NULL: none. */
static const struct node *tree(struct completion *c)
{
    if (!c->scenario) return NULL;
    return doc_read(c->job->arena, diags_new(c->job->arena), c->scenario);
}

static void offer_keys_of(struct completion *c, const struct node *map)
{
    for (int i = 0; map && map->kind == NODE_MAP && i < map->n; i++) offer(c, map->pairs[i].key);
}

static void offer_points(struct completion *c)
{
    struct arena *arena = c->job->arena;
    struct diags *quiet = diags_new(arena);
    const struct scenario *s = c->scenario && job_catalogue(c->job)
                                   ? scenario_read(arena, quiet, c->job->catalogue, c->scenario)
                                   : NULL;
    const struct setup *setup = s ? scenario_setup(arena, quiet, s, NULL) : NULL;
    const struct circuit *circuit = setup ? setup->stages.at[0].circuit : NULL;
    for (int i = 0; circuit && i < circuit->points.n; i++)
        if (!strstr(circuit->points.at[i], ": "))
            offer(c, circuit->points.at[i]); /* no inner ones */
}

/* ---- of the catalogue ---- */

static void offer_models(struct completion *c, const struct part_kind *kind)
{
    if (!job_catalogue(c->job)) return;
    for (int i = 0; kind && kind->own_types && kind->own_types[i]; i++)
        offer(c, kind->own_types[i]);
    for (int i = 0; i < catalogue_count(c->job->catalogue); i++) {
        const struct model *m = catalogue_at(c->job->catalogue, i);
        if (!kind || part_kind_has_model(kind, m)) offer(c, m->name);
    }
}

static void offer_forms(struct completion *c)
{
    suggest_words forms = command_new_forms(c->job);
    for (int i = 0; i < forms.n; i++) offer(c, forms.at[i]);
}

/* ---- PART.KEY and PART.KEY=VALUE,VALUE ---- */

/* What follows the part's name and a point: its keys by their table. */
static const struct key *keys_of(const struct node *parts, const char *part,
                                 const struct part_kind **kind)
{
    const struct node *is = node_get(node_get(parts, part), "is");
    *kind = is && is->kind == NODE_SCALAR ? kind_find(is->text) : NULL;
    if (strcmp(part, "mains") == 0) return mains_keys;
    if (strcmp(part, "run") == 0) return run_keys;
    return *kind ? (*kind)->keys : NULL;
}

static void offer_values(struct completion *c, const struct part_kind *kind, const struct key *key,
                         const char *name, const char *values)
{
    const char *comma = strrchr(values, ',');
    size_t n = strlen(c->begun) - strlen(comma ? comma + 1 : values);
    c->fixed = arena_text(c->job->arena, c->begun, n);
    if (kind && strcmp(name, "type") == 0) offer_models(c, kind);
    for (int i = 0; key && key_word(c->job->arena, key, i); i++)
        offer(c, key_word(c->job->arena, key, i));
}

static void offer_part_keys(struct completion *c, bool values)
{
    struct arena *arena = c->job->arena;
    const struct node *root = tree(c), *parts = node_get(root, "parts");
    const char *point = strchr(c->begun, '.'), *equals = strchr(c->begun, '=');
    const struct part_kind *kind;
    c->else_here = "open";
    if (!point) {
        for (int i = 0; parts && parts->kind == NODE_MAP && i < parts->n; i++)
            offer(c, arena_printf(arena, "%s.", parts->pairs[i].key));
        offer(c, "mains.");
        return;
    }
    const char *part = arena_text(arena, c->begun, (size_t)(point - c->begun));
    const struct key *keys = keys_of(parts, part, &kind);
    if (values && equals && equals > point) {
        const char *name = arena_text(arena, point + 1, (size_t)(equals - point - 1));
        offer_values(c, kind, key_find(keys, name), name, equals + 1);
        return;
    }
    c->fixed = arena_text(arena, c->begun, (size_t)(point + 1 - c->begun));
    const char *tail = values ? "=" : "";
    if (!values) c->else_here = "none";
    if (kind) offer(c, arena_printf(arena, "type%s", tail));
    for (const struct key *k = keys; k && k->name; k++)
        offer(c, arena_printf(arena, "%s%s", k->name, tail));
}

/* ---- places ---- */

static void offer_sets(struct completion *c, const struct node *measured)
{
    for (int i = 0; measured && measured->kind == NODE_LIST && i < measured->n; i++) {
        const struct node *name = node_get(measured->items[i], "name");
        if (name && name->kind == NODE_SCALAR) offer(c, name->text);
    }
}

/* By the word that help shows, without brackets and points. */
static void offer_place(struct completion *c, const char *takes)
{
    const struct node *root;
    if (strcmp(takes, "SCENARIO") == 0 || strcmp(takes, "FILE") == 0) c->else_here = "files";
    else if (strcmp(takes, "DIR") == 0) c->else_here = "folders";
    else if (strcmp(takes, "KIND") == 0) offer_forms(c);
    else if (strcmp(takes, "TIME|owner") == 0) offer(c, "owner");
    else if (strcmp(takes, "PART.KEY") == 0) offer_part_keys(c, false);
    else if (strcmp(takes, "KEY=LIST") == 0) offer_part_keys(c, true);
    else if (strcmp(takes, "POINT") == 0) offer_points(c);
    else if (strcmp(takes, "NAME") == 0) {
        for (int i = 0; kinds_all[i]; i++) offer(c, kinds_all[i]->name);
        offer_models(c, NULL);
    } else if ((root = tree(c)) && strcmp(takes, "VARIANT") == 0) {
        offer(c, "base");
        offer_keys_of(c, node_get(root, "variants"));
    } else if (root && strcmp(takes, "SET") == 0) offer_sets(c, node_get(root, "measured"));
    else if (root && strcmp(takes, "PART") == 0) offer_keys_of(c, node_get(root, "parts"));
    else if (root && (strcmp(takes, "WISH") == 0 || strcmp(takes, "READING") == 0)) {
        offer_points(c);
        offer_keys_of(c, node_get(root, "parts"));
        c->else_here = "open";
    }
}

/* The words of `svg|png`. */
static void offer_choice(struct completion *c, const char *takes)
{
    for (const char *s = takes; *s;) {
        size_t n = strcspn(s, "|");
        offer(c, arena_text(c->job->arena, s, n));
        s += n + (s[n] == '|');
    }
}

static void offer_value(struct completion *c, const struct option *o)
{
    if (o->kind == OPTION_CHOICE) offer_choice(c, o->takes);
    else if (o->kind != OPTION_FLAG) offer_place(c, o->takes);
}

static void offer_options(struct completion *c)
{
    for (const struct option *o = options_all; o->name; o++) {
        bool general = strcmp(o->name, "--help") == 0 || strcmp(o->name, "--version") == 0;
        if (c->command ? o->commands & c->command->bit : general) offer(c, o->name);
    }
}

/* The word of `SCENARIO KEY=LIST`, `[KIND [FILE]]`, `SCENARIO...` at that place; behind the last
 * stands the last again. */
static void offer_argument(struct completion *c, int place)
{
    char last[40] = "";
    const char *s = c->command->takes;
    if (place >= c->command->most) return;
    for (int i = 0; i <= place && *s; i++) {
        s += strspn(s, " []");
        size_t n = strcspn(s, " []"), word = n;
        while (word > 0 && s[word - 1] == '.') word--;
        if (word > 0 && word < sizeof last) {
            memcpy(last, s, word);
            last[word] = '\0';
        }
        s += n;
    }
    offer_place(c, last);
}

/* ---- the line ---- */

static const struct option *option_of(const char *word, size_t n)
{
    for (const struct option *o = options_all; o->name; o++)
        if (strlen(o->name) == n && strncmp(o->name, word, n) == 0) return o;
    return NULL;
}

static void look_at(struct completion *c, int argc, char *const *argv)
{
    const struct option *waits = NULL; /* for its value */
    int place = 0;
    for (int i = 0; i + 1 < argc; i++) {
        const char *word = argv[i];
        if (waits) waits = NULL;
        else if (word[0] == '-') {
            waits = option_of(word, strlen(word));
            if (waits && waits->kind == OPTION_FLAG) waits = NULL;
        } else if (!c->command) {
            for (int k = 0; commands_all[k] && !c->command; k++)
                if (strcmp(commands_all[k]->name, word) == 0) c->command = commands_all[k];
            if (!c->command) return;
        } else if (place++ == 0) c->scenario = word;
    }
    const char *equals = strchr(c->begun, '=');
    const struct option *here =
        c->begun[0] == '-' && equals ? option_of(c->begun, (size_t)(equals - c->begun)) : NULL;
    if (here) {
        c->fixed = arena_text(c->job->arena, c->begun, (size_t)(equals + 1 - c->begun));
        offer_value(c, here);
    } else if (waits) offer_value(c, waits);
    else if (c->begun[0] == '-') offer_options(c);
    else if (c->command) offer_argument(c, place);
    else
        for (int k = 0; commands_all[k]; k++) offer(c, commands_all[k]->name);
}

enum status complete_run(struct job *job, int argc, char *const *argv)
{
    struct completion c = {
        .job = job, .begun = argc > 0 ? argv[argc - 1] : "", .fixed = "", .else_here = "none"};
    struct diags *told = job->diags;
    job->diags = diags_new(job->arena); /* whatever is wrong is no matter of this line */
    look_at(&c, argc, argv);
    job->diags = told;
    fprintf(job->out, "%s\n", c.else_here);
    for (int i = 0; i < c.found.n; i++) fprintf(job->out, "%s\n", c.found.at[i]);
    return STATUS_OK;
}
