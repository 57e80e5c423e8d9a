/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "exercise_plot.h"

#include "words_exercise.h"

const char *exercise_plot_sheet(struct arena *arena, int number)
{
    return arena_printf(arena, "sheet-%02d", number);
}

const char *exercise_plot_show(enum exercise_show show)
{
    return show == SHOW_SILICON ? "show-silicon" : "show-old";
}

struct drawing {
    struct writer *w;
    struct diags *diags;
    struct arena *arena;
    const struct exercise *e;
    const struct plot_options *options;
    plot_list names;
};

static void draw(struct drawing *d, const struct turn_on *const *runs, const char *const *names,
                 int n, int read, const char *name)
{
    const struct comparison c = {.columns = n, .turn_ons = runs, .names = names};
    const char *point = d->e->r.q.reads.at[read].what.subject;
    if (overlay_write_point(d->w, d->diags, d->arena, &c, d->options, point, name))
        array_push(d->arena, &d->names, name);
}

plot_list exercise_plot_write(struct writer *w, struct diags *diags, struct arena *arena,
                              const struct exercise *e, const struct plot_options *options)
{
    static const char *const before[] = {words_exercise_before_name, words_exercise_after_name};
    static const char *const silicon[] = {words_exercise_before_name,
                                          words_exercise_show_with_silicon};
    static const char *const old[] = {words_exercise_before_name, words_exercise_show_with_old,
                                      words_exercise_show_with_new};
    struct drawing d = {w, diags, arena, e, options, {0}};
    for (int i = 1; i <= EXERCISE_PUPILS; i++) writer_retire_plot(w, exercise_plot_sheet(arena, i));
    writer_retire_plot(w, exercise_plot_show(SHOW_SILICON));
    writer_retire_plot(w, exercise_plot_show(SHOW_OLD));
    for (int i = 0; i < e->pupils; i++) {
        const struct turn_on *runs[] = {e->sound, e->sheets[i].run};
        draw(&d, runs, before, 2, exercise_best_seen(e, &e->sheets[i]),
             exercise_plot_sheet(arena, e->sheets[i].number));
    }
    if (e->show[SHOW_SILICON].run) {
        const struct turn_on *runs[] = {e->sound, e->show[SHOW_SILICON].run};
        draw(&d, runs, silicon, 2, exercise_show_seen(e, SHOW_SILICON),
             exercise_plot_show(SHOW_SILICON));
    }
    if (e->show[SHOW_BRIDGED].run) {
        const struct turn_on *runs[] = {e->sound, e->show[SHOW_OLD].run, e->show[SHOW_BRIDGED].run};
        draw(&d, runs, old, 3, exercise_show_seen(e, SHOW_OLD), exercise_plot_show(SHOW_OLD));
    }
    return d.names;
}
