/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Numbering of the unknowns, and the store of reductions: a run visits two to a few dozen patterns,
 * so a list is enough. */
#include "network.h"

#include <assert.h>

#include "assemble.h"

const struct network *network_new(struct arena *arena, const struct circuit *circuit)
{
    struct network *n = ARENA_NEW(arena, struct network);
    const int count = circuit->elements.n;
    int *y = ARENA_ARRAY(arena, int, count), *gates = ARENA_ARRAY(arena, int, circuit->gates);
    double *stored = ARENA_ARRAY(arena, double, count);
    assert(circuit->gates <= 64);
    int m = 0;
    for (int pass = 0; pass < 2; pass++) {
        for (int k = 0; k < count; k++) {
            const struct element *e = &circuit->elements.at[k];
            if (e->kind != (pass == 0 ? ELEMENT_CAPACITOR : ELEMENT_INDUCTOR)) continue;
            stored[m] = e->value;
            y[m++] = k;
        }
        if (pass == 0) n->capacitors = m;
    }
    n->inductors = m - n->capacitors;
    for (int k = 0; k < count; k++)
        if (circuit->elements.at[k].gate >= 0) gates[circuit->elements.at[k].gate] = k;
    n->circuit = circuit;
    n->y_element = y;
    n->gate_element = gates;
    n->stored_by = stored;
    n->inputs = circuit->waveforms.n + 1;
    return n;
}

struct unreduced network_unreduced(struct arena *arena, const struct network *network,
                                   pattern_t pattern)
{
    struct assembly m = assemble(arena, network, pattern, 1.0);
    struct unreduced u = {.n = m.n,
                          .ny = m.ny,
                          .nu = m.nu,
                          .np = m.np,
                          .points = m.points,
                          .g = m.g,
                          .b = m.b,
                          .p = m.p};
    u.e = ARENA_ARRAY(arena, double, (size_t)m.n *(size_t)m.n);
    for (int i = 0; i < m.ny; i++) u.e[(size_t)i * (size_t)m.n + (size_t)i] = m.e[i];
    return u;
}

bool network_wants_end(const struct network_asked *asked, double multiplications)
{
    return asked && asked->wants_end && asked->wants_end(asked->context, multiplications);
}
