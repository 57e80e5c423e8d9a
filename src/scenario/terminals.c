/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The drawing as it was written: every key that names points, wherever it stands in a part. Parts
 * that are not fitted count too, since pulling a tube makes no mistake of the wiring around its
 * socket. Points are joined into islands by the parts between them (union of sets); an island that
 * holds no end of the mains, a source or a winding is fed by nothing. */
#include <string.h>

#include "mains.h"
#include "scenario_impl.h"
#include "tongue.h"

static const char *const point_keys[] = {"across", "plates", "cathode", "cathodes", NULL};

/* ---- collecting ---- */

struct walk {
    struct arena *arena;
    struct terminals *all;
    const struct part_kind *kind; /* NULL: not known */
    const struct node *mains;     /* NULL: none */
    struct terminal like;         /* what the next terminals have in common */
};

static void add_terminal(struct walk *w, const char *point, struct place at)
{
    struct terminal t = w->like;
    t.point = point;
    t.at = at;
    array_push(w->arena, &w->all->list, t);
    if (!terminals_use(w->all, point)) array_push(w->arena, &w->all->points, point);
}

static void add_points(struct walk *w, const struct node *names)
{
    if (names->kind == NODE_SCALAR && names->text[0]) add_terminal(w, names->text, names->at);
    for (int i = 0; names->kind == NODE_LIST && i < names->n; i++)
        if (names->items[i]->kind == NODE_SCALAR && names->items[i]->text[0])
            add_terminal(w, names->items[i]->text, names->items[i]->at);
}

static bool names_points(const struct walk *w, const char *key, int depth)
{
    if (suggest_in(key, point_keys)) return true;
    for (const struct key *k = w->kind && depth == 0 ? w->kind->keys : NULL; k && k->name; k++)
        if (strcmp(k->name, key) == 0) return k->use & KEY_POINTS;
    return false;
}

static void walk_map(struct walk *w, const struct node *map, int depth);

/* Each winding is a coil of its own, and feeds what hangs on it. */
static void walk_windings(struct walk *w, const struct node *windings, int depth)
{
    for (int i = 0; windings->kind == NODE_MAP && i < windings->n; i++) {
        const struct pair *p = &windings->pairs[i];
        w->like.group = w->all->groups++;
        w->like.winding = p->key;
        w->like.feeds = true;
        if (p->value->kind == NODE_MAP) walk_map(w, p->value, depth + 1);
    }
}

/* What is nested in a part is a coil of its own too; a primary lies across the mains when it does
 * not say where. */
static void walk_nested(struct walk *w, const struct pair *p, int depth)
{
    const struct terminal outer = w->like;
    const char *points[2];
    struct place at[2];
    w->like.group = w->all->groups++;
    if (depth == 0 && strcmp(p->key, "windings") == 0) {
        walk_windings(w, p->value, depth + 1);
    } else if (p->value->kind == NODE_MAP) {
        walk_map(w, p->value, depth + 1);
        mains_points(w->mains ? w->mains : p->value, points, at);
        bool silent = depth == 0 && strcmp(p->key, "primary") == 0 && !node_get(p->value, "across");
        for (int i = 0; silent && i < 2; i++) add_terminal(w, points[i], p->at);
    }
    w->like = outer;
}

static void walk_map(struct walk *w, const struct node *map, int depth)
{
    for (int i = 0; i < map->n; i++) {
        const struct pair *p = &map->pairs[i];
        if (!names_points(w, p->key, depth)) {
            walk_nested(w, p, depth);
            continue;
        }
        struct terminal outer = w->like;
        w->like.rectifier = strcmp(p->key, "across") != 0 && suggest_in(p->key, point_keys);
        w->like.watched = depth == 0 && w->kind && w->kind->watches;
        add_points(w, p->value);
        w->like = outer;
    }
}

static void walk_mains(struct walk *w, const struct node *map)
{
    const char *points[2];
    struct place at[2];
    mains_points(map, points, at);
    w->like = (struct terminal){.part = "mains", .group = w->all->groups++, .feeds = true};
    for (int i = 0; i < 2; i++) add_terminal(w, points[i], at[i]);
    if (terminals_use(w->all, "earth")) add_terminal(w, "earth", map->at);
}

static const struct part_kind *kind_of(const struct node *map)
{
    const struct node *is = node_get(map, "is");
    return is && is->kind == NODE_SCALAR ? kind_find(is->text) : NULL;
}

struct terminals terminals_of(struct arena *arena, const struct draft *draft)
{
    struct terminals all = {0};
    struct walk w = {.arena = arena, .all = &all, .mains = draft->mains};
    for (int i = 0; i < draft->parts->n; i++) {
        const struct pair *p = &draft->parts->pairs[i];
        w.kind = kind_of(p->value);
        w.like = (struct terminal){
            .part = p->key, .group = all.groups++, .feeds = w.kind && w.kind->roles & ROLE_SOURCE};
        walk_map(&w, p->value, 0);
    }
    if (draft->mains) walk_mains(&w, draft->mains);
    return all;
}

bool terminals_use(const struct terminals *terminals, const char *point)
{
    for (int i = 0; i < terminals->points.n; i++)
        if (strcmp(terminals->points.at[i], point) == 0) return true;
    return false;
}

/* ---- names ---- */

static bool first_of_point(const struct terminals *all, int i)
{
    for (int k = 0; k < i; k++)
        if (strcmp(all->list.at[k].point, all->list.at[i].point) == 0) return false;
    return true;
}

static void check_name(struct diags *diags, const struct draft *draft, const struct terminal *t)
{
    const char *fault = part_name_fault(t->point);
    if (fault)
        diags_add(diags, DIAG_ERROR, t->at, "names may not hold . , = or line ends",
                  "the name of the point `%s` %s", t->point, fault);
    else if (node_get(draft->parts, t->point))
        diags_add(diags, DIAG_ERROR, t->at, "give the point another name",
                  "`%s` is a part, so no point can have this name", t->point);
    else if (strcmp(t->point, "mains") == 0 || strcmp(t->point, "set") == 0)
        diags_add(diags, DIAG_ERROR, t->at, "choose another name", "no point can be called `%s`",
                  t->point);
}

/* ---- both ends on one point ---- */

static void check_ends(struct diags *diags, const struct terminals *all, int i)
{
    const struct terminal *t = &all->list.at[i];
    if (t->rectifier) return;
    for (int k = 0; k < i; k++) {
        const struct terminal *other = &all->list.at[k];
        if (other->group != t->group || strcmp(other->point, t->point) != 0) continue;
        bool coil = t->winding != NULL;
        diags_add(diags, DIAG_ERROR, t->at, "a part lies between two different points",
                  coil ? "both ends of the winding `%s` are on the point `%s`"
                       : "both ends of %s are on the point `%s`",
                  coil ? t->winding : t->part, t->point);
    }
}

static const struct node *item(const struct node *list, int i)
{
    if (!list) return NULL;
    if (list->kind == NODE_SCALAR) return list;
    return list->kind == NODE_LIST && i < list->n ? list->items[i] : NULL;
}

/* A plate may lie on the other plate's cathode (a doubler), but not on its own. */
static void check_rectifier(struct diags *diags, const struct pair *part)
{
    const struct node *plates = node_get(part->value, "plates"),
                      *cathodes = node_get(part->value, "cathodes");
    if (!cathodes) cathodes = node_get(part->value, "cathode");
    int n = plates && plates->kind == NODE_LIST ? plates->n : plates != NULL;
    for (int i = 0; i < n; i++) {
        const struct node *plate = item(plates, i), *cathode = item(cathodes, i);
        if (cathodes && cathodes->kind == NODE_LIST && cathodes->n == 1)
            cathode = cathodes->items[0];
        if (!plate || !cathode || plate->kind != NODE_SCALAR || cathode->kind != NODE_SCALAR)
            continue;
        if (plate->text[0] && strcmp(plate->text, cathode->text) == 0)
            diags_add(diags, DIAG_ERROR, cathode->at, "a part lies between two different points",
                      US_UK("plate and cathode of %s are both on the point `%s`",
                            "anode and cathode of %s are both on the point `%s`"),
                      part->key, plate->text);
    }
}

/* ---- points used once ---- */

/* The name of a winding that feeds heaters without naming its ends: `heated by: NAME` uses both. */
static bool heats(const struct draft *draft, const char *winding)
{
    for (int i = 0; i < draft->parts->n; i++) {
        const struct node *by = node_get(draft->parts->pairs[i].value, "heated by");
        if (by && by->kind == NODE_SCALAR && strcmp(by->text, winding) == 0) return true;
    }
    return false;
}

static int uses(const struct draft *draft, const struct terminals *all, const char *point)
{
    int n = 0;
    for (int i = 0; i < all->list.n; i++) {
        const struct terminal *t = &all->list.at[i];
        if (strcmp(t->point, point) != 0) continue;
        n += t->winding && heats(draft, t->winding) ? 2 : 1;
    }
    return n;
}

static void check_use(struct arena *arena, struct diags *diags, const struct draft *draft,
                      const struct terminals *all, int i)
{
    const struct terminal *t = &all->list.at[i];
    if (uses(draft, all, t->point) > 1) return;
    suggest_words words = {0};
    for (int k = 0; k < all->points.n; k++)
        if (strcmp(all->points.at[k], t->point) != 0) array_push(arena, &words, all->points.at[k]);
    const char *hint = suggest_nearest(arena, t->point, &words);
    if (!hint) hint = "current needs a return path: join another part to it, or correct the name";
    diags_add(diags, DIAG_ERROR, t->at, hint, "the point `%s` is used only once, by %s", t->point,
              t->part);
}

/* ---- islands ---- */

struct islands {
    const struct terminals *all;
    int *parent; /* of each point, then of each group */
};

static int find(const struct islands *s, int i)
{
    while (s->parent[i] != i) i = s->parent[i] = s->parent[s->parent[i]];
    return i;
}

static int point_index(const struct terminals *all, const char *point)
{
    int i = 0;
    while (strcmp(all->points.at[i], point) != 0) i++;
    return i;
}

static struct islands islands_of(struct arena *arena, const struct terminals *all)
{
    int n = all->points.n + all->groups;
    struct islands s = {all, ARENA_ARRAY(arena, int, n)};
    for (int i = 0; i < n; i++) s.parent[i] = i;
    for (int i = 0; i < all->list.n; i++) {
        const struct terminal *t = &all->list.at[i];
        s.parent[find(&s, point_index(all, t->point))] = find(&s, all->points.n + t->group);
    }
    return s;
}

/* Names of the parts of an island, the first half dozen; each once. */
static const char *island_parts(struct arena *arena, const struct islands *s, int island,
                                int *count)
{
    const char *names = "", *last = "";
    *count = 0;
    for (int i = 0; i < s->all->list.n; i++) {
        const struct terminal *t = &s->all->list.at[i];
        if (find(s, s->all->points.n + t->group) != island || strcmp(t->part, last) == 0) continue;
        last = t->part;
        if (++*count <= 6)
            names = arena_printf(arena, "%s%s%s", names, *count > 1 ? ", " : "", t->part);
    }
    return *count > 6 ? arena_printf(arena, "%s and %d more", names, *count - 6) : names;
}

static void check_island(struct arena *arena, struct diags *diags, const struct islands *s,
                         int island, const struct terminal *first)
{
    int count;
    for (int i = 0; i < s->all->list.n; i++) {
        const struct terminal *t = &s->all->list.at[i];
        if (t->feeds && find(s, s->all->points.n + t->group) == island) return;
    }
    const char *names = island_parts(arena, s, island, &count);
    diags_add(diags, DIAG_ERROR, first->at,
              "join them to the rest of the set by a point they share with it",
              "%s %s joined to nothing that feeds %s: no mains, winding or battery", names,
              count > 1 ? "are" : "is", count > 1 ? "them" : "it");
}

static void check_islands(struct arena *arena, struct diags *diags, const struct terminals *all)
{
    struct islands s = islands_of(arena, all);
    bool *seen = ARENA_ARRAY(arena, bool, all->points.n + all->groups);
    for (int i = 0; i < all->list.n; i++) {
        int island = find(&s, all->points.n + all->list.at[i].group);
        if (!seen[island]) check_island(arena, diags, &s, island, &all->list.at[i]);
        seen[island] = true;
    }
}

/* ---- all of them ---- */

static bool anything_feeds(const struct terminals *all)
{
    for (int i = 0; i < all->list.n; i++)
        if (all->list.at[i].feeds && !all->list.at[i].winding) return true;
    return false;
}

void terminals_check(struct arena *arena, struct diags *diags, const struct draft *draft,
                     const struct terminals *terminals)
{
    for (int i = 0; i < terminals->list.n; i++) {
        check_ends(diags, terminals, i);
        if (!first_of_point(terminals, i)) continue;
        check_name(diags, draft, &terminals->list.at[i]);
        check_use(arena, diags, draft, terminals, i);
    }
    for (int i = 0; i < draft->parts->n; i++) check_rectifier(diags, &draft->parts->pairs[i]);
    if (anything_feeds(terminals)) check_islands(arena, diags, terminals);
    else
        diags_add(diags, DIAG_ERROR, draft->parts->at,
                  "write `mains: {voltage: 117 V}`, or put a battery in",
                  "nothing feeds the set: `mains` is missing, and there is no battery");
}
