/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_KINDS_FIXTURE_H
#define PRESOLDER_KINDS_FIXTURE_H

/* A set of parts from the text of their keys, with what the tests ask of it. The line is 120 V 60
 * Hz behind 0.3 ohm, the room 25 deg C. All sets are invented. */

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "near.h"
#include "part.h"

static struct arena *arena;
static struct diags *diags;
static const struct catalogue *catalogue;
static struct arena *catalogue_arena;

static inline int read_catalogue(void **state)
{
    (void)state;
    catalogue_arena = arena_new();
    struct diags *own = diags_new(catalogue_arena);
    catalogue = catalogue_read(catalogue_arena, own, SOURCE_DIR "/models");
    diags_print(own, stderr);
    return catalogue && diags_errors(own) == 0 ? 0 : -1;
}

static inline int drop_catalogue(void **state)
{
    (void)state;
    arena_free(catalogue_arena);
    return 0;
}

static inline int set_up(void **state)
{
    (void)state;
    arena = arena_new();
    diags = diags_new(arena);
    return 0;
}

static inline int tear_down(void **state)
{
    (void)state;
    arena_free(arena);
    return 0;
}

static inline void make_part(struct set *set, const struct pair *p)
{
    struct part *part = ARENA_NEW(arena, struct part);
    const struct node *is = node_get(p->value, "is"), *type = node_get(p->value, "type");
    assert_non_null(is);
    *part = (struct part){
        .name = p->key, .at = p->at, .map = p->value, .own = p->value, .fitted = true};
    part->kind = kind_find(is->text);
    assert_non_null(part->kind);
    part->model = type ? catalogue_find(set->catalogue, type->text) : NULL;
    if (part->model) part->map = node_overlay(arena, part->model->values, part->own);
    part_check(set, part);
    array_push(arena, &set->parts, part);
}

/* Reads, links and stamps all parts; what is wrong stands in `diags`. */
static inline struct set *build(const char *text)
{
    diags = diags_new(arena);
    struct set *set = ARENA_NEW(arena, struct set);
    set->arena = arena;
    set->diags = diags;
    set->catalogue = catalogue;
    set->circuit = circuit_new(arena);
    set->ambient = 298.15;
    set->line_volts = set->plug_volts = 120;
    set->frequency = 60;
    set->mains_resistance = 0.3;
    set->line[0] = "line";
    set->line[1] = "neutral";
    const struct node *root = doc_parse(arena, diags, "t", text, strlen(text));
    assert_non_null(root);
    for (int i = 0; i < root->n; i++) make_part(set, &root->pairs[i]);
    for (int i = 0; i < set->parts.n; i++) set->parts.at[i]->kind->read(set, set->parts.at[i]);
    if (diags_errors(diags) > 0) return set;
    for (int i = 0; i < set->parts.n; i++)
        if (set->parts.at[i]->kind->link) set->parts.at[i]->kind->link(set, set->parts.at[i]);
    if (diags_errors(diags) > 0) return set;
    for (int order = 0; order < 100; order++)
        for (int i = 0; i < set->parts.n; i++)
            if (set->parts.at[i]->kind->order == order)
                set->parts.at[i]->kind->stamp(set, set->parts.at[i]);
    return set;
}

/* The same for a text that must be right. */
static inline struct set *good(const char *text)
{
    struct set *set = build(text);
    if (diags_errors(diags) > 0) {
        diags_print(diags, stderr);
        fail_msg("the set has errors");
    }
    return set;
}

/* The text is wrong, and one message holds `words`. */
static inline void bad(const char *text, const char *words)
{
    build(text);
    for (int i = 0; i < diags_count(diags); i++)
        if (diags_at(diags, i)->severity == DIAG_ERROR &&
            strstr(diags_at(diags, i)->message, words))
            return;
    diags_print(diags, stderr);
    fail_msg("no message holds `%s`", words);
}

static inline const struct element *element(const struct set *set, const char *part,
                                            const char *role)
{
    for (int i = 0; i < set->circuit->elements.n; i++) {
        const struct element *e = &set->circuit->elements.at[i];
        if (strcmp(e->part, part) == 0 && strcmp(e->role, role) == 0) return e;
    }
    return NULL;
}

static inline double value_of(const struct set *set, const char *part, const char *role)
{
    const struct element *e = element(set, part, role);
    if (!e) fail_msg("%s has no element `%s`", part, role);
    return e->value;
}

static inline int elements_of(const struct set *set, const char *part)
{
    int n = 0;
    for (int i = 0; i < set->circuit->elements.n; i++)
        n += strcmp(set->circuit->elements.at[i].part, part) == 0;
    return n;
}

static inline const struct rating *rating(const struct set *set, const char *subject,
                                          enum measure measure, bool at_least)
{
    for (int i = 0; i < set->ratings.n; i++) {
        const struct rating *r = &set->ratings.at[i];
        if (strcmp(r->subject, subject) == 0 && r->measure == measure && r->at_least == at_least)
            return r;
    }
    return NULL;
}

static inline double limit_of(const struct set *set, const char *subject, enum measure measure)
{
    const struct rating *r = rating(set, subject, measure, false);
    if (!r) r = rating(set, subject, measure, true);
    if (!r) fail_msg("%s has no rating of %s", subject, measure_table[measure].name);
    assert_true(r->source[0] && r->harm != HARM_NONE);
    return r->limit;
}

static inline double fixed(const struct set *set, const char *subject, enum measure measure)
{
    for (int i = 0; i < set->fixed.n; i++)
        if (strcmp(set->fixed.at[i].subject, subject) == 0 && set->fixed.at[i].measure == measure)
            return set->fixed.at[i].value;
    return (double)NAN;
}

static inline const struct assumption *assumed(const struct set *set, const char *part,
                                               const char *key)
{
    for (int i = 0; i < set->assumptions.n; i++) {
        const struct assumption *a = &set->assumptions.at[i];
        if (strcmp(a->part, part) == 0 && strcmp(a->key, key) == 0) return a;
    }
    return NULL;
}

static inline const struct probe *probe_of(const struct set *set, const char *subject,
                                           enum probe_kind kind)
{
    for (int i = 0; i < set->circuit->probes.n; i++) {
        const struct probe *p = &set->circuit->probes.at[i];
        if (strcmp(p->subject, subject) == 0 && p->kind == kind) return p;
    }
    return NULL;
}

#endif
