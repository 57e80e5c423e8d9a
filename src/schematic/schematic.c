/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "schematic_impl.h"

#include "utf8.h"

/* Inner points have no call-out: where a strip ends on one, a letter shows where it goes on. */
static void add_letters(const struct space *s)
{
    char letter = 'A';
    for (int i = 0; i < s->out->ends.n && letter <= 'Z'; i++) {
        struct schematic_net *net = &s->out->nets.at[s->out->ends.at[i].net];
        if (s->out->ends.at[i].net != s->reference && net->number == 0 && !net->letter)
            net->letter = letter++;
    }
}

const struct schematic *schematic_make(struct arena *arena, const struct setup *setup,
                                       const struct part *const *over, int n, double width)
{
    struct space s = {.arena = arena,
                      .setup = setup,
                      .set = setup->stages.at[0].set,
                      .over = over,
                      .overs = n,
                      .out = ARENA_NEW(arena, struct schematic)};
    schematic_graph(&s);
    if (s.ways.n == 0) return s.out;
    schematic_skeleton(&s);
    schematic_insert(&s);
    schematic_insert_calls(&s);
    schematic_space(&s, width);
    schematic_fold(arena, s.out);
    add_letters(&s);
    return s.out;
}

/* Widths of Helvetica in thousandths of the size (Adobe's font metrics, from memory), by ranges; a
 * tenth more, for what stands in for it. */
double schematic_text_width(const char *text)
{
    static const char narrow[] = "ijl.,:;'|! ftI()[]/-", wide[] = "mwMWGOQ@%";
    double sum = 0;
    for (const char *c = text; *c; c++) {
        if (!utf8_begins(*c)) continue;
        unsigned char u = (unsigned char)*c;
        double w = u >= 0xE3 ? 1000 : u >= 0x80 ? 760 : u >= 'A' && u <= 'Z' ? 690 : 540;
        for (const char *p = narrow; *p; p++)
            if (*p == *c) w = 300;
        for (const char *p = wide; *p; p++)
            if (*p == *c) w = 840;
        sum += w;
    }
    return 1.08 * sum / 1000 * SCHEMATIC_FONT;
}
