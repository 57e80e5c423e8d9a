/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Points and the ways between them, asked from the parts. What is in series with the plug ends on
 * inner points: the last of them is the plug's own line. */
#include <string.h>

#include "schematic_impl.h"

/* ---- points ---- */

static const char *alias(const struct space *s, const char *name)
{
    const struct stage *stage = &s->setup->stages.at[0];
    if (stage->mains_switch < 0) return name;
    const struct element *e = &stage->circuit->elements.at[stage->mains_switch];
    if (strcmp(name, stage->circuit->points.at[e->from]) == 0) return s->set->line[0];
    return strcmp(name, "earth") == 0 ? s->set->line[1] : name;
}

static int find_net(const struct space *s, const char *name)
{
    for (int i = 0; i < s->nets.n; i++)
        if (strcmp(s->nets.at[i].name, name) == 0) return i;
    return -1;
}

static int net_of(struct space *s, const char *point)
{
    const char *name = alias(s, point);
    int found = find_net(s, name), at = circuit_find_point(s->set->circuit, name);
    if (found >= 0) return found;
    array_push(
        s->arena, &s->nets,
        (struct net){.name = name, .inner = at >= 0 && s->set->circuit->inner.at[at], .trunk = -1});
    return s->nets.n - 1;
}

/* ---- ways ---- */

static const struct {
    unsigned role;
    enum schematic_shape shape;
} shapes[] = {
    {ROLE_TUBE, SHAPE_TUBE},
    {ROLE_RECTIFIER, SHAPE_DIODE},
    {ROLE_ELECTROLYTIC, SHAPE_ELECTROLYTIC},
    {ROLE_CAPACITOR, SHAPE_CAPACITOR},
    {ROLE_COIL, SHAPE_COIL},
    {ROLE_RESISTOR, SHAPE_RESISTOR},
    {ROLE_LOAD, SHAPE_LOAD},
    {ROLE_HEATER, SHAPE_HEATER},
    {ROLE_LAMP, SHAPE_LAMP},
    {ROLE_SOURCE, SHAPE_BATTERY},
    {ROLE_SWITCH, SHAPE_SWITCH},
    {ROLE_FUSE, SHAPE_FUSE},
    {ROLE_LIMITER, SHAPE_LIMITER},
};

static enum schematic_shape shape_of(const struct part *part)
{
    for (size_t i = 0; i < sizeof shapes / sizeof shapes[0]; i++)
        if (part_is(part, shapes[i].role)) return shapes[i].shape;
    return SHAPE_LOAD;
}

static void add_way(struct space *s, const struct part *part, const char *title,
                    enum schematic_shape shape, const char *a, const char *b)
{
    struct way w = {.part = part, .title = title, .shape = shape};
    w.net[0] = net_of(s, a);
    w.net[1] = net_of(s, b);
    array_push(s->arena, &s->ways, w);
    for (int i = 0; i < 2; i++) array_push(s->arena, &s->nets.at[w.net[i]].ways, s->ways.n - 1);
}

static void add_duo(struct space *s, const struct part *part, const struct part_way way[2])
{
    struct duo d = {.part = part};
    for (int i = 0; i < 2; i++) d.plate[i] = net_of(s, way[i].point[0]);
    d.cathode = net_of(s, way[0].point[1]);
    array_push(s->arena, &s->duos, d);
    for (int i = 0; i < 2; i++) array_push(s->arena, &s->nets.at[d.plate[i]].duos, s->duos.n - 1);
}

/* Sections with a cathode of their own, and diodes, stand for themselves. */
static void add_ways(struct space *s, const struct part *part)
{
    struct part_way way[2];
    bool two = part_way(s->set, part, 0, &way[0]) && part_way(s->set, part, 1, &way[1]);
    if (two && part_is(part, ROLE_TUBE) && strcmp(way[0].point[1], way[1].point[1]) == 0 &&
        strcmp(way[0].point[0], way[1].point[0]) != 0) {
        add_duo(s, part, way);
        return;
    }
    struct part_way w;
    for (int k = 0; part_way(s->set, part, k, &w); k++) {
        if (w.points < 2) continue;
        const char *title = two ? arena_printf(s->arena, "%s.%d", part->name, k + 1) : part->name;
        add_way(s, part, title, shape_of(part), w.point[0], w.point[w.points - 1]);
    }
}

static bool heats(const struct space *s, const char *winding)
{
    for (int i = 0; i < s->set->parts.n; i++) {
        const struct part *part = s->set->parts.at[i];
        for (int k = 0; k < part->heater_count; k++)
            if (part->heaters[k].winding && strcmp(part->heaters[k].winding, winding) == 0)
                return true;
    }
    return false;
}

static void add_transformer(struct space *s, const struct part *part)
{
    static const char letters[] = "xyzuvwabcdefghijklmnopqrst";
    struct transformer_of t = {.part = part};
    struct part_way way;
    int used = 0;
    for (int i = 0; i < s->transformers.n; i++)
        for (int k = 0; k < s->transformers.at[i].windings.n; k++)
            used += s->transformers.at[i].windings.at[k].letter != 0;
    if (!part_primary(s->set, part, &way)) part_way(s->set, part, 0, &way);
    t.slides = part->kind->line_output && !part->kind->isolates;
    for (int i = 0; i < 2; i++) t.net[i] = net_of(s, way.point[i]);
    for (int k = part->kind->line_output; part_way(s->set, part, k, &way); k++) {
        struct winding_of w = {.way = way, .nets = way.points};
        for (int i = 0; i < way.points; i++) w.net[i] = net_of(s, way.point[i]);
        if (way.name && heats(s, way.name)) w.letter = letters[used++ % (int)(sizeof letters - 1)];
        array_push(s->arena, &t.windings, w);
    }
    array_push(s->arena, &s->transformers, t);
    array_push(s->arena, &s->nets.at[t.net[0]].transformers, s->transformers.n - 1);
    array_push(s->arena, &s->nets.at[t.net[1]].transformers, s->transformers.n - 1);
}

static void add_mains(struct space *s)
{
    const struct stage *stage = &s->setup->stages.at[0];
    s->source = s->hot = s->cold = -1;
    if (stage->mains_source < 0) return;
    const char *first = s->set->line[0], *back = s->set->line[1];
    struct part_way way;
    for (int i = 0; i < s->set->parts.n; i++)
        if (part_way(s->set, s->set->parts.at[i], 0, &way) && way.points &&
            strcmp(way.point[0], "mains: outlet") == 0)
            first = way.point[0];
        else if (way.points && strcmp(way.point[1], "mains: return") == 0) back = way.point[1];
    const struct element *e = &stage->circuit->elements.at[stage->mains_source];
    bool square = stage->circuit->waveforms.at[e->group].kind == WAVEFORM_SQUARE;
    add_way(s, NULL, "mains", square ? SHAPE_SQUARE : SHAPE_SINE, first, back);
    s->source = s->ways.n - 1;
    s->hot = s->ways.at[s->source].net[0];
    s->cold = s->ways.at[s->source].net[1];
}

void schematic_graph(struct space *s)
{
    add_mains(s);
    for (int i = 0; i < s->set->parts.n; i++) {
        const struct part *part = s->set->parts.at[i];
        if (part_is(part, ROLE_TRANSFORMER) || part->kind->line_output) add_transformer(s, part);
        else add_ways(s, part);
    }
    s->reference =
        s->set->circuit->reference ? find_net(s, alias(s, s->set->circuit->reference)) : -1;
    if (s->reference < 0) s->reference = s->cold >= 0 ? s->cold : 0;
}

int schematic_graph_other(const struct way *w, int net)
{
    return w->net[0] == net ? w->net[1] : w->net[0];
}

/* ---- letters beside the symbols ---- */

int schematic_graph_letters(const struct space *s, const struct part *part, char *letters, int most)
{
    int n = 0;
    for (int i = 0; i < s->transformers.n; i++)
        for (int k = 0; k < s->transformers.at[i].windings.n; k++) {
            const struct winding_of *w = &s->transformers.at[i].windings.at[k];
            bool heated = false;
            for (int h = 0; h < part->heater_count; h++)
                heated |= part->heaters[h].winding && w->letter &&
                          strcmp(part->heaters[h].winding, w->way.name) == 0;
            if (heated && n < most) letters[n++] = w->letter;
        }
    return n;
}

/* `8 uF` as it is printed: with the signs for micro and ohm. */
static const char *printed(struct arena *arena, const char *text)
{
    static const char *const signs[][2] = {
        {" uF", " \xC2\xB5"
                "F"},
        {" mfd", " \xC2\xB5"
                 "F"},
        {"kohm", "k\xCE\xA9"},
        {"Mohm", "M\xCE\xA9"},
        {"ohm", "\xCE\xA9"},
    };
    for (size_t i = 0; i < sizeof signs / sizeof signs[0]; i++) {
        const char *at = strstr(text, signs[i][0]);
        if (at)
            return arena_printf(arena, "%.*s%s%s", (int)(at - text), text, signs[i][1],
                                printed(arena, at + strlen(signs[i][0])));
    }
    return text;
}

static void add_line(struct lines *l, const char *text, enum schematic_style style)
{
    if (l->n == LINES) return;
    l->text[l->n] = text;
    l->style[l->n++] = style;
    double width = schematic_text_width(text) * (style == LABEL_NAME ? 1.08 : 1);
    if (width > l->width) l->width = width;
}

/* A long value goes on two lines: at its comma, else before `at`. */
static void add_value(const struct space *s, struct lines *l, const char *text)
{
    text = printed(s->arena, text);
    const char *cut = strstr(text, ", ");
    cut = cut ? cut + 1 : strstr(text, " at ");
    if (cut && strlen(text) > 11) {
        add_line(l, arena_text(s->arena, text, (size_t)(cut - text)), LABEL_VALUE);
        text = cut + 1;
    }
    add_line(l, text, LABEL_VALUE);
}

static const char *last_condition(const struct space *s, const struct part *part)
{
    const char *condition = NULL;
    for (int i = 0; i < s->setup->stages.n; i++) {
        const struct part *then = set_find(s->setup->stages.at[i].set, part->name);
        if (then && part_condition(then)) condition = part_condition(then);
    }
    return condition && strcmp(condition, "good") != 0 ? condition : NULL;
}

struct lines schematic_graph_lines(const struct space *s, const struct part *part,
                                   const char *title)
{
    struct lines l = {.n = 0};
    const char *shown[3], *condition = last_condition(s, part);
    bool over = false;
    for (int i = 0; i < s->overs; i++) over |= strcmp(s->over[i]->name, part->name) == 0;
    add_line(&l, over ? arena_printf(s->arena, "\xE2\x96\xB2 %s", title) : title, LABEL_NAME);
    int n = part_shown(s->arena, part, shown, 3);
    for (int i = 0; i < n; i++) add_value(s, &l, shown[i]);
    if (condition) add_line(&l, condition, LABEL_STATE);
    return l;
}

static const char *volts(const struct space *s, double value)
{
    char text[40];
    return arena_printf(s->arena, "%s", quantity_text(value, UNIT_VOLT, 3, text, sizeof text));
}

struct lines schematic_graph_winding_lines(const struct space *s, const struct winding_of *w)
{
    struct lines l = {.n = 0};
    if (!w->way.name) return l;
    add_line(&l, w->way.name, LABEL_VALUE);
    const char *value = volts(s, w->way.volts[0]);
    if (w->way.volts[1] > 0)
        value = arena_printf(s->arena,
                             "%.*s\xE2\x80\x93"
                             "0\xE2\x80\x93%s",
                             (int)strcspn(value, " "), value, volts(s, w->way.volts[1]));
    add_line(&l, value, LABEL_VALUE);
    return l;
}

struct lines schematic_graph_mains_lines(const struct space *s)
{
    const struct stage *stage = &s->setup->stages.at[0];
    const struct element *e = &stage->circuit->elements.at[stage->mains_source];
    const struct waveform *w = &stage->circuit->waveforms.at[e->group];
    struct lines l = {.n = 0};
    add_line(&l, w->kind == WAVEFORM_SQUARE ? "vibrator" : "mains", LABEL_NAME);
    add_line(&l, volts(s, w->kind == WAVEFORM_SQUARE ? w->peak : s->set->line_volts), LABEL_VALUE);
    add_line(&l, arena_printf(s->arena, "%g Hz", w->frequency), LABEL_VALUE);
    return l;
}
