/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Tables of faults read, and laid over a scenario. */
#include "fault.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "tongue.h"

static const char condition_key[] = "condition";

const struct part_fault *fault_find(const struct part_kind *kind, const char *name)
{
    for (const struct part_fault *f = kind->faults; f && f->name; f++)
        if (strcmp(f->name, name) == 0) return f;
    return NULL;
}

const char *fault_says(const struct part_fault *fault)
{
    return tongue_says((struct tongue){fault->says, fault->says_uk});
}

bool fault_can(const struct set *set, const struct part *part, const struct part_fault *fault)
{
    return !fault->can || fault->can(set, part);
}

static const char *severity_text(struct arena *arena, const struct part *part,
                                 const struct fault_severity *s, double severity)
{
    char text[64];
    if (isnan(severity)) severity = s->usual;
    if (s->of) severity *= s->of(part);
    quantity_text(severity, s->of ? s->of_unit : s->unit, 12, text, sizeof text);
    return arena_printf(arena, "%s%s", text, s->tail ? s->tail(arena, part) : "");
}

int fault_lay(struct arena *arena, const struct set *set, const struct part *part,
              const struct part_fault *fault, double severity,
              struct fault_change changes[FAULT_CHANGES])
{
    int n = 0;
    if (!fault->keyed) changes[n++] = (struct fault_change){condition_key, fault->name};
    if (fault->severity.key)
        changes[n++] = (struct fault_change){
            fault->severity.key, severity_text(arena, part, &fault->severity, severity)};
    for (int i = 0; i < FAULT_KEYS && fault->keys[i].key; i++) {
        const struct fault_key *k = &fault->keys[i];
        changes[n++] = (struct fault_change){k->key, k->word ? k->word : k->word_of(set, part)};
    }
    return n;
}

static int copy(const struct part *part, const char *key, int n,
                struct fault_change changes[FAULT_CHANGES])
{
    const struct node *node = part_node(part, key);
    if (!node || node->kind != NODE_SCALAR) return n;
    changes[n] = (struct fault_change){key, node->text};
    return n + 1;
}

int fault_copy(const struct part *part, const struct part_fault *fault,
               struct fault_change changes[FAULT_CHANGES])
{
    int n = fault->keyed ? 0 : copy(part, condition_key, 0, changes);
    if (fault->severity.key) n = copy(part, fault->severity.key, n, changes);
    for (int i = 0; i < FAULT_KEYS && fault->keys[i].key; i++)
        n = copy(part, fault->keys[i].key, n, changes);
    return n;
}

double fault_severity(struct set *set, const struct part *part, double least, const char *basis,
                      enum known_by known_by)
{
    const struct part_fault *fault = fault_find(part->kind, part_condition(part));
    assert(fault && fault->severity.key);
    const struct fault_severity *s = &fault->severity;
    double value = s->usual;
    if (part_value(set, part, s->key, s->unit, least, &value) || part_node(part, s->key))
        return value;
    set_assume(set, (struct assumption){.part = part->name,
                                        .key = s->key,
                                        .value = value,
                                        .low = s->low,
                                        .high = s->high,
                                        .unit = s->unit,
                                        .basis = basis,
                                        .known_by = known_by,
                                        .guess = true});
    return value;
}
