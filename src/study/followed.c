/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "followed.h"

#include "islands.h"

static bool is_followed(const struct circuit *c, int point)
{
    for (int i = 0; i < c->probes.n; i++)
        if (c->probes.at[i].kind == PROBE_VOLTAGE && c->probes.at[i].flags & PROBE_POINT &&
            c->probes.at[i].from == point)
            return true;
    return false;
}

static const struct circuit *follow(struct arena *arena, const struct circuit *circuit)
{
    struct circuit *c = ARENA_NEW(arena, struct circuit);
    int reference = circuit_find_point(circuit, circuit->reference);
    const int *islands = islands_of(arena, circuit, true);
    *c = *circuit;
    c->probes.at = NULL;
    c->probes.n = c->probes.room = 0;
    for (int i = 0; i < circuit->probes.n; i++)
        array_push(arena, &c->probes, circuit->probes.at[i]);
    for (int i = 0; i < c->points.n && reference >= 0; i++)
        if (!c->inner.at[i] && i != reference && islands[i] == islands[reference] &&
            !is_followed(circuit, i))
            array_push(arena, &c->probes,
                       (struct probe){.kind = PROBE_VOLTAGE,
                                      .flags = PROBE_POINT | PROBE_DRAWN,
                                      .subject = c->points.at[i],
                                      .from = i,
                                      .to = -1});
    return c;
}

const struct setup *followed_everywhere(struct arena *arena, const struct setup *setup)
{
    struct setup *s = ARENA_NEW(arena, struct setup);
    *s = *setup;
    s->stages.at = NULL;
    s->stages.n = s->stages.room = 0;
    for (int i = 0; i < setup->stages.n; i++) {
        struct stage stage = setup->stages.at[i];
        stage.circuit = follow(arena, stage.circuit);
        array_push(arena, &s->stages, stage);
    }
    return s;
}
