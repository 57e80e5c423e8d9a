/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From a text to a result that balances. */
#include "why.h"
#include "written.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

struct written written_run(const char *text)
{
    struct written w = {.arena = arena_new()};
    struct diags *diags = diags_new(w.arena);
    const char *whole = arena_printf(w.arena, "format: 1\nreference: '0'\n%s", text);
    const struct scenario *s = scenario_parse(w.arena, diags, NULL, "t.yaml", whole);
    w.setup = s ? scenario_setup(w.arena, diags, s, NULL) : NULL;
    if (!w.setup) {
        diags_print(diags, stderr);
        fail_msg("the text is wrong");
    }
    struct run_options o = run_defaults();
    o.angle = 0;
    w.r = run_simulate(w.arena, w.setup, &o);
    const struct statistics *st = &w.r->statistics;
    if (w.r->status != STATUS_OK) fail_msg("run failed: %s", why(w.r));
    if (st->audit_failed)
        fail_msg("audit: energy %.3g, charge %.3g at %s", st->energy_residual, st->charge_residual,
                 st->charge_point);
    return w;
}

void written_free(struct written *w)
{
    arena_free(w->arena);
}

const struct part *written_part(const struct written *w, const char *name)
{
    const struct part *part = set_find(w->setup->stages.at[0].set, name);
    if (!part) fail_msg("no part %s", name);
    return part;
}
