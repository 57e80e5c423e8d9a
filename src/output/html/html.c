/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is open lies on a stack of closing tags; a list or a table, which ends by itself, is its
 * top. */
#include "html.h"

#include <assert.h>
#include <string.h>

#include "array.h"
#include "html_style.h"

enum open { NOTHING, LIST, TABLE, CODE };
enum { WORD = 12 }; /* letters */

struct html {
    struct writer *w;
    enum open open;          /* at the top: ends when something else begins */
    bool section;            /* one is open below all blocks */
    ARRAY(const char *) end; /* of the blocks */
    const char *heading;     /* the last one */
    const struct html_column *columns;
    int n, ids;
};

struct writer *html_writer(struct html *h)
{
    return h->w;
}

/* ---- text ---- */

/* Bytes of the code between backquotes that begins here; 0: none. */
static size_t code_bytes(const char *text)
{
    const char *end = *text == '`' ? strchr(text + 1, '`') : NULL;
    return end && end > text + 1 ? (size_t)(end - text - 1) : 0;
}

static void put_char(struct html *h, char c)
{
    const char *out = c == '&'      ? "&amp;"
                      : c == '<'    ? "&lt;"
                      : c == '>'    ? "&gt;"
                      : c == '"'    ? "&quot;"
                      : c == '\''   ? "&#39;"
                      : c == '\x1f' ? "&nbsp;"
                                    : NULL;
    if (c == '\x7f' || ((unsigned char)c < ' ' && c != '\n')) c = '?';
    if (out) writer_text(h->w, out);
    else writer_bytes(h->w, &c, 1);
}

static void put_chars(struct html *h, const char *text, size_t bytes)
{
    for (size_t i = 0; i < bytes; i++) put_char(h, text[i]);
}

void html_text(struct html *h, const char *text)
{
    for (size_t code; *text; text += code ? code + 2 : 1) {
        code = code_bytes(text);
        if (!code) {
            put_char(h, strncmp(text, " %", 2) == 0 ? '\x1f' : *text);
            continue;
        }
        writer_text(h->w, "<code>");
        put_chars(h, text + 1, code);
        writer_text(h->w, "</code>");
    }
}

/* In an attribute or a title: no tags. */
static void put_plain(struct html *h, const char *text)
{
    put_chars(h, text, strlen(text));
}

static void put_element(struct html *h, const char *begin, const char *text, const char *end)
{
    writer_text(h->w, begin);
    html_text(h, text);
    writer_text(h->w, end);
}

/* ---- what is open ---- */

static void close_top(struct html *h)
{
    if (h->open == LIST) writer_text(h->w, "</ul>\n");
    if (h->open == TABLE) writer_text(h->w, "</tbody></table></div>\n");
    if (h->open == CODE) writer_text(h->w, "</code></pre>\n");
    h->open = NOTHING;
}

static void open_block(struct html *h, const char *begin, const char *end)
{
    close_top(h);
    writer_text(h->w, begin);
    array_push(writer_arena(h->w), &h->end, end);
}

void html_block_end(struct html *h)
{
    assert(h->end.n > 0);
    close_top(h);
    writer_text(h->w, h->end.at[--h->end.n]);
}

static void close_all(struct html *h)
{
    close_top(h);
    while (h->end.n > 0) html_block_end(h);
    if (h->section) writer_text(h->w, "</section>\n");
    h->section = false;
}

/* ---- the page ---- */

struct html *html_begin(struct writer *w, const char *name, const struct html_options *options)
{
    struct html *h = ARENA_NEW(writer_arena(w), struct html);
    h->w = w;
    writer_file(w, name);
    writer_format(w, "<!DOCTYPE html>\n<html lang=\"en\" class=\"%s%s\">\n<head>\n",
                  options->black_and_white ? "bw " : "", options->compact ? "compact" : "full");
    writer_text(w, "<meta charset=\"utf-8\">\n"
                   "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
                   "<meta http-equiv=\"Content-Security-Policy\" "
                   "content=\"default-src 'none'; style-src 'unsafe-inline'\">\n<title>");
    put_plain(h, options->title);
    writer_text(w, "</title>\n<style>\n");
    writer_text(w, html_style);
    writer_text(w, html_style_print);
    writer_text(w, html_style_paper);
    writer_text(w, "</style>\n</head>\n<body>\n<main>\n");
    writer_text(h->w, "<h1>");
    put_plain(h, options->title);
    writer_text(h->w, "</h1>\n");
    return h;
}

struct html *html_part(struct writer *w)
{
    struct html *h = ARENA_NEW(writer_arena(w), struct html);
    h->w = w;
    return h;
}

void html_part_end(struct html *h)
{
    close_all(h);
    writer_pause(h->w);
}

void html_end(struct html *h)
{
    close_all(h);
    writer_text(h->w, "</main>\n</body>\n</html>\n");
}

void html_section(struct html *h, const char *heading)
{
    html_section_of(h, NULL, heading);
}

void html_section_of(struct html *h, const char *class, const char *heading)
{
    close_all(h);
    h->section = true;
    h->heading = heading;
    h->ids++;
    writer_text(h->w, "<section");
    if (class) writer_format(h->w, " class=\"%s\"", class);
    writer_format(h->w, " aria-labelledby=\"p%d\">\n<h2 id=\"p%d\">", h->ids, h->ids);
    put_element(h, "", heading, "</h2>\n");
}

void html_subheading(struct html *h, const char *heading)
{
    close_top(h);
    h->heading = heading;
    put_element(h, "<h3>", heading, "</h3>\n");
}

void html_paragraph(struct html *h, enum html_style style, const char *text)
{
    static const char *const begin[] = {
        [HTML_PLAIN] = "<p>",
        [HTML_LEAD] = "<p class=\"lead\">",
        [HTML_WARN] = "<p class=\"warn\">",
        [HTML_NOTE] = "<p class=\"note\">",
    };
    close_top(h);
    put_element(h, begin[style], text, "</p>\n");
}

void html_item(struct html *h, const char *name, const char *text)
{
    if (h->open != LIST) {
        close_top(h);
        writer_text(h->w, "<ul>\n");
    }
    h->open = LIST;
    writer_text(h->w, "<li>");
    if (name) put_element(h, "<strong>", name, "</strong> ");
    put_element(h, "", text, "</li>\n");
}

void html_code(struct html *h, const char *line)
{
    if (h->open != CODE) {
        close_top(h);
        writer_text(h->w, "<pre tabindex=\"0\"><code>");
    }
    h->open = CODE;
    put_plain(h, line);
    writer_text(h->w, "\n");
}

/* ---- tables ---- */

static const char *class_of(const struct html_column *column)
{
    return column->number ? " class=\"r\"" : "";
}

static void put_heads(struct html *h)
{
    writer_text(h->w, "<thead><tr>");
    for (int i = 0; i < h->n; i++) {
        const char *head = h->columns[i].head;
        if (!head || !*head) {
            writer_format(h->w, "<td%s></td>", class_of(&h->columns[i]));
            continue;
        }
        writer_format(h->w, "<th scope=\"col\"%s>", class_of(&h->columns[i]));
        put_element(h, "", head, "</th>");
    }
    writer_text(h->w, "</tr></thead>\n");
}

void html_table(struct html *h, const char *caption, const struct html_column *columns, int n)
{
    close_top(h);
    struct html_column *own = ARENA_ARRAY(writer_arena(h->w), struct html_column, n);
    for (int i = 0; i < n; i++) own[i] = columns[i];
    h->open = TABLE;
    h->columns = own;
    h->n = n;
    h->ids++;
    bool repeats = h->heading && strcmp(h->heading, caption) == 0, heads = false;
    writer_format(h->w,
                  "<div class=\"scroll\" role=\"group\" aria-labelledby=\"p%d\" tabindex=\"0\">"
                  "<table>\n<caption id=\"p%d\"%s>",
                  h->ids, h->ids, repeats ? " class=\"unseen\"" : "");
    put_element(h, "", caption, "</caption>\n");
    for (int i = 0; i < n; i++) heads |= columns[i].head && *columns[i].head;
    if (heads) put_heads(h);
    writer_text(h->w, "<tbody>\n");
}

/* One short word: not broken at its hyphen. */
static const char *class_of_cell(const struct html_column *column, const char *text)
{
    bool word = *text && !strpbrk(text, " \x1f") && strlen(text) <= WORD;
    return word && !column->number ? " class=\"w\"" : class_of(column);
}

void html_row(struct html *h, enum html_style style, const char *const *cells)
{
    assert(h->open == TABLE);
    bool warn = style == HTML_WARN;
    writer_format(h->w, "<tr%s>", warn ? " class=\"over\"" : "");
    for (int i = 0; i < h->n; i++) {
        const struct html_column *column = &h->columns[i];
        if (!cells[i]) {
            writer_text(h->w, "<td class=\"blank\"><span class=\"unseen\">to fill in</span></td>");
            continue;
        }
        bool head = i == 0 && *cells[i];
        writer_format(h->w, head ? "<th scope=\"row\"%s>" : "<td%s>",
                      head ? class_of(column) : class_of_cell(column, cells[i]));
        if (i == 0 && warn) writer_text(h->w, "! ");
        put_element(h, "", cells[i], head ? "</th>" : "</td>");
    }
    writer_text(h->w, "</tr>\n");
}

/* ---- blocks ---- */

void html_figure(struct html *h, bool wide)
{
    open_block(h, wide ? "<figure class=\"lengthwise\">\n" : "<figure>\n", "</figure>\n");
}

void html_figure_end(struct html *h, const char *caption)
{
    put_element(h, "<figcaption>", caption, "</figcaption>\n");
    html_block_end(h);
}

void html_wide(struct html *h)
{
    open_block(h, "<div class=\"wide\">\n", "</div>\n");
}

void html_narrow(struct html *h)
{
    open_block(h, "<div class=\"narrow\">\n", "</div>\n");
}

void html_card(struct html *h)
{
    open_block(h, "<div class=\"card\">\n", "</div>\n");
}

void html_cards(struct html *h)
{
    open_block(h, "<div class=\"cards\">\n", "</div>\n");
}

void html_lines(struct html *h, int n)
{
    close_top(h);
    for (int i = 0; i < n; i++) writer_text(h->w, "<div class=\"line\"></div>\n");
}

void html_cut(struct html *h, const char *word)
{
    close_top(h);
    put_element(h, "<p class=\"cut\">", word, "</p>\n");
}

void html_fold(struct html *h, const char *summary)
{
    open_block(h, "<details>\n", "</details>\n");
    put_element(h, "<summary>", summary, "</summary>\n");
}

void html_page_break(struct html *h)
{
    close_top(h);
    writer_text(h->w, "<div class=\"break\"></div>\n");
}

/* ---- pictures ---- */

static const char *find(const char *from, const char *end, const char *what)
{
    size_t n = strlen(what);
    for (; from + n <= end; from++)
        if (memcmp(from, what, n) == 0) return from;
    return NULL;
}

/* Where the element `tag` ends that begins before `end` and is the first; `from` where there is
 * none. */
static const char *after_element(const char *from, const char *end, const char *begin,
                                 const char *close)
{
    const char *at = from;
    while (at < end && strchr(" \n\r\t", *at)) at++;
    if (find(at, end, begin) != at) return from;
    const char *last = find(at, end, close);
    return last ? last + strlen(close) : from;
}

/* Writes an attribute's value of the root: viewBox="...". */
static void put_attribute(struct html *h, const char *from, const char *end, const char *name)
{
    const char *at = find(from, end, name);
    const char *close = at ? find(at + strlen(name) + 1, end, "\"") : NULL;
    if (!close) return;
    writer_text(h->w, " ");
    writer_bytes(h->w, at, (size_t)(close - at) + 1);
}

/* Where an id is defined or referred to, the page's own number goes before it. */
static void put_body(struct html *h, const char *from, const char *end)
{
    static const char *const marks[] = {" id=\"", " id='", "href=\"#", "href='#", "url(#"};
    for (const char *at = from; at < end;) {
        size_t n = 0;
        for (size_t k = 0; k < sizeof marks / sizeof marks[0] && !n; k++) {
            size_t bytes = strlen(marks[k]);
            if ((size_t)(end - at) >= bytes && memcmp(at, marks[k], bytes) == 0) n = bytes;
        }
        if (!n) {
            at++;
            continue;
        }
        writer_bytes(h->w, from, (size_t)(at - from) + n);
        writer_format(h->w, "g%d-", h->ids);
        from = at += n;
    }
    writer_bytes(h->w, from, (size_t)(end - from));
}

bool html_svg(struct html *h, const char *svg, size_t bytes, const char *alt)
{
    const char *end = svg + bytes, *root = find(svg, end, "<svg");
    const char *close = root ? find(root, end, ">") : NULL;
    if (!close || !find(close, end, "</svg>")) return false;
    h->ids++;
    writer_text(h->w, "<svg xmlns=\"http://www.w3.org/2000/svg\" "
                      "xmlns:xlink=\"http://www.w3.org/1999/xlink\" role=\"img\"");
    put_attribute(h, root, close, "width=\"");
    put_attribute(h, root, close, "height=\"");
    put_attribute(h, root, close, "viewBox=\"");
    writer_text(h->w, " aria-label=\"");
    put_plain(h, alt);
    writer_text(h->w, "\">");
    const char *body = after_element(close + 1, end, "<title>", "</title>");
    put_body(h, after_element(body, end, "<desc>", "</desc>"), end);
    return true;
}
