/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The catalogue as it was read: kinds in the order in which they first occur, models in the order
 * of their files. */
#include <string.h>

#include "bounds.h"
#include "command.h"
#include "fault.h"
#include "page.h"
#include "scenario_keys.h"
#include "suggest.h"
#include "words_help.h"
#include "words_parts.h"

enum { LINE_VALUES = 4, NAME_COLUMNS = 26, LINE_COLUMNS = 80 };

/* What tells models of one kind apart at a glance, most telling first. */
static const char *const telling[] = {"value",
                                      "rated",
                                      "range",
                                      "make",
                                      "heater",
                                      "heating",
                                      "drop",
                                      "current",
                                      "threshold",
                                      "slope",
                                      "average current",
                                      "inverse voltage",
                                      "inductance",
                                      "resistance",
                                      "cold resistance",
                                      "hot resistance",
                                      "power",
                                      "i2t",
                                      "primary voltage",
                                      "high voltage open circuit",
                                      "ripple rating",
                                      "power factor",
                                      NULL};

/* ---- values as text ---- */

static const char *node_text(struct job *job, const struct node *node)
{
    const char *text = "";
    if (node->kind == NODE_SCALAR) return node->text;
    for (int i = 0; i < node->n; i++) {
        const struct node *item = node->kind == NODE_MAP ? node->pairs[i].value : node->items[i];
        const char *key = node->kind == NODE_MAP ? node->pairs[i].key : "";
        text = arena_printf(job->arena, "%s%s%s%s%s", text, i ? ", " : "", key, *key ? ": " : "",
                            node_text(job, item));
    }
    return arena_printf(job->arena, node->kind == NODE_MAP ? "{%s}" : "[%s]", text);
}

static void show_line(struct job *job, const struct model *m)
{
    const char *line = "";
    int shown = 0;
    for (int i = 0; telling[i] && shown < LINE_VALUES; i++) {
        const struct node *value = node_get(m->values, telling[i]);
        if (!value) continue;
        const char *longer = arena_printf(job->arena, "%s%s%s %s", line, *line ? ", " : "",
                                          telling[i], node_text(job, value));
        if (strlen(longer) + NAME_COLUMNS + 3 > LINE_COLUMNS) continue;
        line = longer;
        shown++;
    }
    fprintf(job->out, "  %-*s %s\n", NAME_COLUMNS, m->name, line);
}

/* ---- lists ---- */

static void show_key_list(struct job *job, const struct key *keys)
{
    struct page page = {.to = job->out, .arena = job->arena};
    for (const struct key *k = keys; k->name; k++)
        page_hang(&page, "    ", 6,
                  arena_printf(job->arena, "%s: %s%s", k->name, k->takes,
                               k->use & KEY_NEEDED ? words_parts_needed : ""));
}

/* What the keys inside a key take. */
static void show_inner(struct job *job, const struct key_inner *inner)
{
    struct page page = {.to = job->out, .arena = job->arena};
    for (; inner && inner->key; inner++) {
        page_say(&page, "  ", inner->named ? words_parts_inner_named : words_parts_inner,
                 inner->key);
        show_key_list(job, inner->keys);
    }
}

static void show_bounds(struct job *job)
{
    struct page page = {.to = job->out, .arena = job->arena};
    const char *text = "";
    char low[40], high[40];
    for (int unit = UNIT_NUMBER; unit <= UNIT_JOULE_PER_KELVIN; unit++) {
        double least, most;
        bounds_of(unit, &least, &most);
        text = arena_printf(job->arena, "%s%s", text,
                            arena_printf(job->arena, words_parts_bound, *text ? ", " : "",
                                         quantity_kind(unit),
                                         quantity_text(least, unit, 3, low, sizeof low),
                                         quantity_text(most, unit, 3, high, sizeof high)));
    }
    page_line(&page, words_parts_bounds);
    page_hang(&page, "    ", 2, text);
}

/* An example, each of its lines further in. */
static void show_example(struct job *job, const struct part_kind *kind)
{
    struct page page = {.to = job->out, .arena = job->arena};
    if (!kind->example) return;
    page_line(&page, words_parts_example);
    for (const char *s = kind->example; *s;) {
        size_t n = strcspn(s, "\n");
        page_line(&page, arena_printf(job->arena, "    %.*s", (int)n, s));
        s += n + (s[n] == '\n');
    }
}

/* `value now: 10 % to 50 % of its value, usually 25 %` */
static void show_severity(const struct page *page, const struct fault_severity *s)
{
    char low[40], high[40], usual[40];
    page_hang(page, "          ", 2,
              arena_printf(page->arena, words_parts_severity, s->key,
                           quantity_text(s->low, s->unit, 3, low, sizeof low),
                           quantity_text(s->high, s->unit, 3, high, sizeof high),
                           s->of_what ? words_parts_of : "", s->of_what ? s->of_what : "",
                           quantity_text(s->usual, s->unit, 3, usual, sizeof usual)));
}

static void show_faults(struct job *job, const struct part_kind *kind)
{
    struct page page = {.to = job->out, .arena = job->arena};
    if (!kind->faults) return;
    page_line(&page, words_parts_faults);
    for (const struct part_fault *f = kind->faults; f->name; f++) {
        page_hang(&page, "    ", 6,
                  arena_printf(job->arena, "%s%s: %s", f->name,
                               f->dangerous ? words_parts_dangerous : "", fault_says(f)));
        if (f->severity.key) show_severity(&page, &f->severity);
    }
}

/* What stands beside the parts in a scenario. */
static const struct section {
    const char *name, *says;
    const struct key *keys; /* NULL: `says` has it all */
} sections[] = {
    {"mains", words_parts_mains, mains_keys}, {"through", words_parts_through, through_keys},
    {"run", words_parts_run, run_keys},       {"variants", words_parts_variants, NULL},
    {"words", words_parts_words, NULL},       {"chart", words_parts_chart, NULL},
    {"measured", words_parts_measured, NULL}};

static const struct section *section_find(const char *name)
{
    for (size_t i = 0; i < sizeof sections / sizeof sections[0]; i++)
        if (strcmp(sections[i].name, name) == 0) return &sections[i];
    return NULL;
}

static void show_section(struct job *job, const struct section *section)
{
    struct page page = {.to = job->out, .arena = job->arena};
    fprintf(job->out, "%s: %s", section->name, section->says);
    if (section->keys) {
        page_line(&page, words_parts_keys);
        show_key_list(job, section->keys);
        show_bounds(job);
    }
}

static void show_about(struct job *job, const struct part_kind *kind)
{
    struct page page = {.to = job->out, .arena = job->arena};
    show_example(job, kind);
    page_line(&page, words_parts_keys);
    show_key_list(job, kind->keys);
    show_inner(job, kind->inner);
    page_line(&page, words_parts_common);
    show_key_list(job, part_common_keys);
    show_bounds(job);
    show_faults(job, kind);
}

static void show_kind(struct job *job, const char *kind, bool keys)
{
    const struct part_kind *known = kind_find(kind);
    fprintf(job->out, "%s: %s\n", kind, known ? known->says : words_parts_tube);
    if (keys && known) show_about(job, known);
    for (int i = 0; i < catalogue_count(job->catalogue); i++) {
        const struct model *m = catalogue_at(job->catalogue, i);
        if (strcmp(m->kind, kind) != 0) continue;
        if (keys) fputs(words_parts_models, job->out);
        keys = false;
        show_line(job, m);
    }
}

static bool first_of_kind(const struct job *job, int i)
{
    for (int k = 0; k < i; k++)
        if (strcmp(catalogue_at(job->catalogue, k)->kind, catalogue_at(job->catalogue, i)->kind) ==
            0)
            return false;
    return true;
}

static void show_all(struct job *job)
{
    for (int i = 0; i < catalogue_count(job->catalogue); i++) {
        if (!first_of_kind(job, i)) continue;
        if (i > 0) fputc('\n', job->out);
        show_kind(job, catalogue_at(job->catalogue, i)->kind, false);
    }
    struct page page = {.to = job->out, .arena = job->arena};
    const char *names = "";
    for (int i = 0; kinds_all[i]; i++)
        names = arena_printf(job->arena, "%s%s%s", names, i ? ", " : "", kinds_all[i]->name);
    fputc('\n', job->out);
    page_say(&page, "", words_parts_more, names);
}

/* ---- sources ---- */

/* A value that a model has from another one counts there. */
static bool own_value(const struct job *job, int i, const struct node *value)
{
    for (int k = 0; k < i; k++) {
        const struct model *m = catalogue_at(job->catalogue, k);
        for (int j = 0; j < m->values->n; j++)
            if (m->values->pairs[j].value == value) return false;
    }
    return true;
}

static const char *file_name(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash ? slash + 1 : path;
}

/* Adds the values of model i to the counts by grade. */
static void count_sources(const struct job *job, int i, int counts[SOURCE_GRADES + 1])
{
    const struct model *m = catalogue_at(job->catalogue, i);
    for (int j = 0; j < m->values->n; j++) {
        const struct pair *p = &m->values->pairs[j];
        const struct node *source = node_get(m->sources, p->key);
        if (source && source->text[0] && own_value(job, i, p->value))
            counts[catalogue_grade(source->text)]++;
    }
}

static void show_counts(struct job *job, const char *name, const int counts[])
{
    fprintf(job->out, words_parts_grades, name, counts[SOURCE_READ], counts[SOURCE_SECOND_HAND],
            counts[SOURCE_DERIVED], counts[SOURCE_MEMORY]);
}

static void show_sources(struct job *job)
{
    struct page page = {.to = job->out, .arena = job->arena};
    int all[SOURCE_GRADES + 1] = {0}, sum = 0, n = catalogue_count(job->catalogue);
    fputs(words_parts_sources, job->out);
    for (int i = 0; i < n;) {
        const char *path = catalogue_at(job->catalogue, i)->at.file;
        int counts[SOURCE_GRADES + 1] = {0};
        for (; i < n && strcmp(catalogue_at(job->catalogue, i)->at.file, path) == 0; i++)
            count_sources(job, i, counts);
        for (int g = 0; g <= SOURCE_GRADES; g++) all[g] += counts[g];
        show_counts(job, file_name(path), counts);
    }
    show_counts(job, "all", all);
    for (int g = 0; g <= SOURCE_GRADES; g++) sum += all[g];
    page_say(&page, "", words_parts_sources_note, 100.0 * all[SOURCE_MEMORY] / (sum ? sum : 1));
}

/* ---- one model ---- */

static void show_model(struct job *job, const struct model *m)
{
    struct page page = {.to = job->out, .arena = job->arena};
    const char *before = "";
    fprintf(job->out, "%s\n  is: %s\n", m->name, m->kind);
    for (int i = 0; i < m->values->n; i++) {
        const struct pair *p = &m->values->pairs[i];
        const struct node *source = node_get(m->sources, p->key);
        page_hang(&page, "  ", 2,
                  arena_printf(job->arena, "%s: %s", p->key, node_text(job, p->value)));
        const char *from = source ? node_text(job, source) : "";
        if (*from)
            page_say(&page, "      ", "%s", strcmp(from, before) == 0 ? words_parts_same : from);
        if (*from) before = from;
    }
}

static enum status not_found(struct job *job, const char *name)
{
    suggest_words words = {0};
    for (int i = 0; i < catalogue_count(job->catalogue); i++) {
        const struct model *m = catalogue_at(job->catalogue, i);
        array_push(job->arena, &words, m->name);
        if (first_of_kind(job, i)) array_push(job->arena, &words, m->kind);
    }
    for (int i = 0; kinds_all[i]; i++) array_push(job->arena, &words, kinds_all[i]->name);
    for (size_t i = 0; i < sizeof sections / sizeof sections[0]; i++)
        array_push(job->arena, &words, sections[i].name);
    const char *near = suggest_nearest(job->arena, name, &words);
    job_error(job, near ? near : words_parts_lists, words_parts_unknown, name);
    return STATUS_USAGE;
}

static enum status run(struct job *job)
{
    if (!job_catalogue(job)) return STATUS_SCENARIO;
    if (job->options->sources) {
        show_sources(job);
        return STATUS_OK;
    }
    if (job->options->arguments == 0) {
        show_all(job);
        return STATUS_OK;
    }
    const char *name = job->options->argument[0];
    const struct section *section = section_find(name);
    if (section) {
        show_section(job, section);
        return STATUS_OK;
    }
    const struct model *m = catalogue_find(job->catalogue, name);
    if (m) {
        show_model(job, m);
        return STATUS_OK;
    }
    bool kind = kind_find(name) != NULL;
    for (int i = 0; i < catalogue_count(job->catalogue) && !kind; i++)
        kind = strcmp(catalogue_at(job->catalogue, i)->kind, name) == 0;
    if (!kind) return not_found(job, name);
    show_kind(job, name, true);
    return STATUS_OK;
}

const struct command command_parts = {
    .name = "parts",
    .takes = "[NAME]",
    .says = words_help_parts_says,
    .tells = words_help_parts,
    .example = "presolder parts 5Y3-GT",
    .least = 0,
    .most = 1,
    .bit = FOR_PARTS,
    .run = run,
};
