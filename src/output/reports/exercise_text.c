/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "exercise_pages.h"
#include "page.h"
#include "words_exercise.h"

enum { NUMBER = 5 };

void exercise_text_write(FILE *to, const struct exercise_pages *p, const char *folder)
{
    struct page page = page_on(to, p->arena);
    const struct exercise *e = p->e;
    page_title(&page, e->setup->title, NULL);
    page_say(&page, "", words_exercise_made, e->pupils, e->pupils == 1 ? "" : "s", e->level,
             e->seed, p->series);
    page_heading(&page, words_exercise_all);
    for (int i = 0; i < e->pupils; i++) {
        const struct exercise_sheet *sheet = &e->sheets[i];
        const char *head =
            arena_printf(p->arena, "%s  ",
                         page_cell(&page, arena_printf(p->arena, "%d", sheet->number), -NUMBER));
        page_say(&page, head, "%s", exercise_pages_fault(p, sheet));
    }
    page_gap(&page);
    page_path(&page, words_exercise_files_pupils, arena_printf(p->arena, "%s/pupils.html", folder));
    page_path(&page, words_exercise_files_key, arena_printf(p->arena, "%s/key.html", folder));
    page_path(&page, words_exercise_files_show,
              arena_printf(p->arena, "%s/demonstration.html", folder));
}
