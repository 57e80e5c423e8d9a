/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A page of HTML: what is escaped, what ends by itself, and SVGs whose ids do not meet. How it looks
 * and whether it is valid is asked of a browser, in tests/browser. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "folder.h"
#include "html.h"

static struct arena *arena;

static int open_folder(void **state)
{
    (void)state;
    arena = arena_new();
    folder_make();
    return arena ? 0 : -1;
}

static int close_folder(void **state)
{
    (void)state;
    arena_free(arena);
    folder_remove();
    return 0;
}

static struct html *begin(struct writer **w, const char *title)
{
    *w = writer_begin(arena, folder_path(""));
    return html_begin(*w, "page.html", &(struct html_options){.title = title});
}

static const char *end(struct writer *w, struct html *h)
{
    html_end(h);
    assert_int_equal(writer_commit(w), STATUS_OK);
    return folder_get("page.html");
}

/* How often. */
static int count(const char *text, const char *what)
{
    int n = 0;
    for (; (text = strstr(text, what)); text += strlen(what)) n++;
    return n;
}

static void escapes_everywhere(void **state)
{
    (void)state;
    struct writer *w;
    struct html *h = begin(&w, "<script>\"&'\x01");
    html_section(h, "a<b");
    html_paragraph(h, HTML_PLAIN, "8\x1fuF </p> `presolder check` ` alone");
    html_item(h, "<i>", "c<d");
    html_table(h, "e<f", (const struct html_column[]){{"<h>", false}, {"<k>", true}}, 2);
    html_row(h, HTML_PLAIN, (const char *const[]){"<r>", "<s>"});
    html_figure(h, false);
    assert_true(html_svg(h, "<svg></svg>", 11, "\"><l>"));
    html_figure_end(h, "<m>");
    const char *page = end(w, h);
    assert_non_null(strstr(page, "<title>&lt;script&gt;&quot;&amp;&#39;?</title>"));
    assert_non_null(strstr(page, "8&nbsp;uF &lt;/p&gt; <code>presolder check</code> ` alone"));
    assert_non_null(strstr(page, "aria-label=\"&quot;&gt;&lt;l&gt;\""));
    const char *const raw[] = {"<script", "a<b", "<i>", "c<d", "e<f",
                               "<h>",     "<k>", "<r>", "<s>", "<m>"};
    for (size_t i = 0; i < sizeof raw / sizeof raw[0]; i++) assert_null(strstr(page, raw[i]));
}

/* Of every tag that is opened as many are closed, in whatever order things follow each other. */
static void ends_what_is_open(void **state)
{
    (void)state;
    static const char *const tags[] = {"section", "ul",  "li",      "table", "tbody", "tr",
                                       "figure",  "div", "details", "main",  "html",  "p"};
    static const struct html_column columns[] = {{"point", false}, {"volts", true}};
    struct writer *w;
    struct html *h = begin(&w, "t");
    html_item(h, NULL, "before any section");
    html_section(h, "one");
    html_item(h, NULL, "x");
    html_item(h, "y", "z");
    html_table(h, "c", columns, 2);
    html_row(h, HTML_WARN, (const char *const[]){"B+", NULL});
    html_item(h, NULL, "behind a table");
    html_card(h);
    html_fold(h, "open me");
    html_table(h, "d", columns, 2);
    html_section(h, "two");
    html_wide(h);
    html_paragraph(h, HTML_WARN, "p");
    html_block_end(h);
    html_figure(h, false);
    html_figure_end(h, "q");
    html_page_break(h);
    const char *page = end(w, h);
    for (size_t i = 0; i < sizeof tags / sizeof tags[0]; i++) {
        char opens[16], blanks[16], closes[16];
        snprintf(opens, sizeof opens, "<%s>", tags[i]);
        snprintf(blanks, sizeof blanks, "<%s ", tags[i]);
        snprintf(closes, sizeof closes, "</%s>", tags[i]);
        assert_int_equal(count(page, opens) + count(page, blanks), count(page, closes));
        assert_true(count(page, closes) > 0);
    }
    assert_int_equal(count(page, "<ul>"), 3); /* neighbours are one list */
    assert_non_null(strstr(page, "<td class=\"blank\">"));
    assert_non_null(strstr(page, "<th scope=\"row\">! B+</th>"));
}

static void makes_ids_unique(void **state)
{
    (void)state;
    static const char svg[] =
        "<?xml version=\"1.0\"?>\n<svg width=\"8\" height=\"6\" viewBox=\"0 0 8 6\">\n"
        "<title>Gnuplot</title>\n<desc>by</desc>\n<g id=\"a\"><title>kept</title></g>"
        "<use xlink:href='#a'/><rect clip-path=\"url(#a)\" grid=\"a\"/></svg>\n";
    struct writer *w;
    struct html *h = begin(&w, "t");
    html_figure(h, true);
    assert_true(html_svg(h, svg, sizeof svg - 1, "one"));
    html_figure_end(h, "f");
    html_figure(h, false);
    assert_true(html_svg(h, svg, sizeof svg - 1, "two"));
    html_figure_end(h, "f");
    assert_false(html_svg(h, "no picture", 10, "three"));
    assert_false(html_svg(h, "<svg>cut", 8, "three"));
    const char *page = end(w, h);
    assert_null(strstr(page, "<?xml"));
    assert_null(strstr(page, "Gnuplot"));
    assert_null(strstr(page, "three"));
    assert_int_equal(count(page, "<title>kept</title>"), 2);
    assert_int_equal(count(page, "viewBox=\"0 0 8 6\""), 2);
    const char *first = strstr(page, "<g id=\""), *second = strstr(first + 1, "<g id=\"");
    size_t n = strcspn(first + 7, "\"");
    assert_int_not_equal(strncmp(first + 7, second + 7, n + 1), 0);
    char use[40], url[40];
    snprintf(use, sizeof use, "'#%.*s'", (int)n, first + 7);
    snprintf(url, sizeof url, "url(#%.*s)", (int)n, first + 7);
    assert_int_equal(count(page, use), 1);
    assert_int_equal(count(page, url), 1);
    assert_int_equal(count(page, "grid=\"a\""), 2);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(escapes_everywhere, open_folder, close_folder),
        cmocka_unit_test_setup_teardown(ends_what_is_open, open_folder, close_folder),
        cmocka_unit_test_setup_teardown(makes_ids_unique, open_folder, close_folder),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
