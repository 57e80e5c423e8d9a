/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The calls that write plain text write the same as HTML: what becomes of lines of cells, bullets
 * and headings. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "columns.h"
#include "folder.h"
#include "page_html.h"

static struct arena *arena;
static struct writer *writer;
static struct html *html;
static struct page page;

static int begin(void **state)
{
    (void)state;
    arena = arena_new();
    folder_make();
    writer = writer_begin(arena, folder_path(""));
    html = html_begin(writer, "page.html", &(struct html_options){.title = "t"});
    page = page_html_on(html, arena, false);
    return arena ? 0 : -1;
}

static int end(void **state)
{
    (void)state;
    arena_free(arena);
    folder_remove();
    return 0;
}

static void wrote(const char *text)
{
    html_end(html);
    assert_int_equal(writer_commit(writer), STATUS_OK);
    const char *all = folder_get("page.html");
    if (!strstr(all, text)) print_error("%s\nlacks\n%s\n", strstr(all, "<main>"), text);
    assert_non_null(strstr(all, text));
}

static void line(const char *mark, const char *name, const char *value, const char *rest)
{
    page_line(&page, arena_printf(arena, "%s %s %s  %s", mark, page_cell(&page, name, 10),
                                  page_cell(&page, value, -9), rest));
}

static void cells_are_rows(void **state)
{
    (void)state;
    page_heading(&page, "Margins");
    page_heads(&page);
    line(" ", "part", "", "when");
    page_heads(&page);
    line(" ", "", "value", "");
    line("!", "a very long name that is not cut", "1\x1fV", "");
    line(" ", "C2", "2 V", "________");
    page_say(&page, "  ", "below %s", "it");
    wrote("<h2 id=\"p1\">Margins</h2>\n"
          "<div class=\"scroll\" role=\"group\" aria-labelledby=\"p2\" tabindex=\"0\"><table>\n"
          "<caption id=\"p2\" class=\"unseen\">Margins</caption>\n"
          "<thead><tr><th scope=\"col\">part</th><th scope=\"col\" class=\"r\">value</th>"
          "<th scope=\"col\">when</th></tr></thead>\n<tbody>\n"
          "<tr class=\"over\"><th scope=\"row\">! a very long name that is not cut</th>"
          "<td class=\"r\">1&nbsp;V</td><td></td></tr>\n"
          "<tr><th scope=\"row\">C2</th><td class=\"r\">2 V</td>"
          "<td class=\"blank\"><span class=\"unseen\">to fill in</span></td></tr>\n"
          "</tbody></table></div>\n<p>below it</p>\n");
}

static void bullets_are_lists(void **state)
{
    (void)state;
    page_say(&page, "  * ", "one");
    page_say(&page, "  C1: ", "two");
    page_say(&page, "      ", "more of it");
    page_say(&page, "!! ", "stop");
    page_gap(&page);
    page_line(&page, "        a: {b: c}");
    page_line(&page, "          d");
    page_path(&page, "All:", "x/y.csv");
    wrote("<ul>\n<li>one</li>\n<li><strong>C1:</strong> two</li>\n</ul>\n"
          "<p class=\"note\">more of it</p>\n<p class=\"warn\">stop</p>\n"
          "<pre tabindex=\"0\"><code>a: {b: c}\n  d\n</code></pre>\n"
          "</main>"); /* who includes it knows the files */
}

/* What a command writes with --html: no head, a class where one was asked for. */
static void a_part_has_no_head(void **state)
{
    (void)state;
    FILE *to = tmpfile();
    assert_non_null(to);
    struct html *part = html_part(writer_stream(arena, to));
    page_style_set((struct page_style){.html = part});
    struct page on = page_on(stdout, arena);
    page_title(&on, "the set", "a variant");
    page_say(&on, "", "a < b");
    page_heading_of(&on, "cautions", "Cautions");
    page_say(&on, "  * ", "one");
    html_part_end(part);
    page_style_set((struct page_style){0});
    char text[256] = "";
    rewind(to);
    assert_true(fread(text, 1, sizeof text - 1, to) > 0);
    fclose(to);
    assert_string_equal(text, "<p>a &lt; b</p>\n"
                              "<section class=\"cautions\" aria-labelledby=\"p1\">\n"
                              "<h2 id=\"p1\">Cautions</h2>\n"
                              "<ul>\n<li>one</li>\n</ul>\n</section>\n");
}

static const char *cell(void *context, int row, int column)
{
    (void)context;
    if (column < 0) return row ? "second" : "first";
    return arena_printf(arena, "%s!%s", page_cell(&page, "1", -4), page_cell(&page, "+2%", -6));
}

static void columns_are_one_table(void **state)
{
    (void)state;
    static const char *const heads[] = {"base", "other"};
    columns_write(&page, &(struct columns){.label = 10,
                                           .first = 5,
                                           .width = 5,
                                           .n = 2,
                                           .rows = 2,
                                           .repeat = true,
                                           .corner = "",
                                           .heads = heads,
                                           .cell = cell});
    wrote("<thead><tr><td></td><th scope=\"col\" class=\"r\">base</th>"
          "<th scope=\"col\" class=\"r\">other</th></tr></thead>\n<tbody>\n"
          "<tr><th scope=\"row\">first</th><td class=\"r\">1 ! +2%</td>"
          "<td class=\"r\">1 ! +2%</td></tr>\n");
}

/* A prefix with cells is a row whose last cell is the paragraph. */
static void cells_before_a_paragraph(void **state)
{
    (void)state;
    page_say(&page, arena_printf(arena, "  %s", page_cell(&page, "C1", 8)), "keep it");
    page_say(&page, arena_printf(arena, "  %s", page_cell(&page, "C2", 8)), "replace it");
    wrote("<tbody>\n<tr><th scope=\"row\">C1</th><td>keep it</td></tr>\n"
          "<tr><th scope=\"row\">C2</th><td>replace it</td></tr>\n</tbody>");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(cells_are_rows, begin, end),
        cmocka_unit_test_setup_teardown(bullets_are_lists, begin, end),
        cmocka_unit_test_setup_teardown(a_part_has_no_head, begin, end),
        cmocka_unit_test_setup_teardown(columns_are_one_table, begin, end),
        cmocka_unit_test_setup_teardown(cells_before_a_paragraph, begin, end),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
