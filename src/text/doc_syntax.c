/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The parser's complaints are recognised by their wording (libyaml 0.2); each of them has one row
 * with our words. What a beginner meets most, tabs and forgotten blanks behind a colon, is found by
 * looking at the lines themselves. */
#include "doc_impl.h"

#include <stdio.h>
#include <string.h>

#include "utf8.h"

struct place doc_place(const struct doc_source *source, yaml_mark_t mark)
{
    return (struct place){source->file, (int)mark.line + 1, (int)mark.column + 1};
}

/* The byte a mark points at, and where its line begins. */
static const char *byte_at(const struct doc_source *source, yaml_mark_t mark)
{
    return source->text + utf8_bytes(source->text, mark.index);
}

static const char *line_at(const struct doc_source *source, yaml_mark_t mark)
{
    return source->text + utf8_bytes(source->text, mark.index - mark.column);
}

static void complain(const struct doc_source *source, struct place at, const char *hint,
                     const char *message)
{
    diags_add(source->diags, DIAG_ERROR, at, hint, "%s", message);
}

/* ---- told by the lines ---- */

static bool complain_tab(const struct doc_source *source, const yaml_parser_t *parser)
{
    const char *line = line_at(source, parser->problem_mark);
    size_t blanks = strspn(line, " ");
    bool indents = line[blanks] == '\t';
    if (!indents && !strstr(parser->problem, "found a tab")) return false;
    struct place at = doc_place(source, parser->problem_mark);
    if (indents) at.column = (int)blanks + 1;
    complain(source, at, "indent with blanks, two for each level", "a tab is used for indenting");
    return true;
}

static const char missing_key[] = "this line has no `key: value`";
static const char missing_key_hint[] = "write `key: value` with a blank behind the colon";

static const char missing_before_colon[] = "the key before the `:` is missing";

static bool holds_colon(const char *line, size_t n)
{
    for (size_t i = 0; i < n; i++)
        if (line[i] == ':' && (i + 1 == n || strchr(" \t\r", line[i + 1]))) return true;
    return false;
}

/* `value:8 uF` runs on into the next line, and the parser stumbles only at that line's colon. Steps
 * back over empty lines and comments; true when a line without a `key: value` was found and
 * reported. */
static bool complain_line_before(const struct doc_source *source, yaml_mark_t mark)
{
    const char *line = line_at(source, mark);
    /* To the parser more than \n breaks a line, so there may be fewer than it counts. */
    for (int number = (int)mark.line; number > 0 && line > source->text; number--) {
        const char *end = line - 1;
        for (line = end; line > source->text && line[-1] != '\n';) line--;
        size_t blanks = strspn(line, " "), n = (size_t)(end - line);
        if (blanks >= n || line[blanks] == '#' || line[blanks] == '\r') continue;
        if (holds_colon(line, n) || line[blanks] == '-') return false;
        complain(source, (struct place){source->file, number, (int)blanks + 1}, missing_key_hint,
                 missing_key);
        return true;
    }
    return false;
}

static void complain_colon(const struct doc_source *source, const yaml_parser_t *parser)
{
    yaml_mark_t mark = parser->problem_mark;
    const char *line = line_at(source, mark), *colon = byte_at(source, mark);
    struct place at = doc_place(source, mark);
    if (holds_colon(line, (size_t)(colon - line)))
        complain(source, at,
                 "put a text that holds `: ` in quotes, or inner keys in braces or on lines of "
                 "their own",
                 "this line holds a second `: `");
    else if (!complain_line_before(source, mark))
        complain(source, at,
                 "keys of one map begin in the same column, those inside a map further right",
                 "no key can begin here");
}

/* A line at the wrong indentation, one that begins with its colon, or something behind the end of a
 * value. */
static void complain_line(const struct doc_source *source, const yaml_parser_t *parser)
{
    yaml_mark_t mark = parser->problem_mark;
    struct place at = doc_place(source, mark);
    if (strspn(line_at(source, mark), " ") < mark.column)
        complain(source, at,
                 "quotes, braces and brackets come in pairs; an apostrophe inside single quotes "
                 "is written twice",
                 "something is left over in this line");
    else if (*byte_at(source, mark) == ':')
        complain(source, at, missing_key_hint, missing_before_colon);
    else if (!complain_line_before(source, mark))
        complain(source, at,
                 "lines of one map begin in the same column, and so do the items of one list",
                 "this line does not fit the map it is in");
}

static void complain_character(const struct doc_source *source, const yaml_parser_t *parser)
{
    const char *s = byte_at(source, parser->problem_mark);
    if (*s == '`') {
        complain(source, doc_place(source, parser->problem_mark), "put the text in quotes",
                 "no text can begin with a backtick");
        return;
    }
    diags_add(source->diags, DIAG_ERROR, doc_place(source, parser->problem_mark),
              "put the text in quotes", "no text can begin with `%.*s`", (int)utf8_bytes(s, 1), s);
}

static void complain_value(const struct doc_source *source, const yaml_parser_t *parser)
{
    struct place at = doc_place(source, parser->problem_mark);
    if (*byte_at(source, parser->problem_mark) == ':')
        complain(source, at, missing_key_hint, missing_before_colon);
    else complain(source, at, "fill it in or take the sign out", "a value is missing here");
}

static const struct {
    const char *problem; /* part of the parser's text */
    void (*complain)(const struct doc_source *source, const yaml_parser_t *parser);
} looks[] = {
    {"mapping values are not allowed", complain_colon},
    {"cannot start any token", complain_character},
    {"did not find expected key", complain_line},
    {"did not find expected node content", complain_value},
};

/* ---- told by the parser ---- */

/* `at_start`: the message stands where the thing began (the parser's context), not where it went
 * wrong. */
struct wording {
    const char *problem, *context; /* parts of the parser's texts; NULL = any */
    bool at_start;
    const char *message, *hint;
};

static const struct wording wordings[] = {
    {"could not find expected ':'", NULL, true, missing_key, missing_key_hint},
    {"found unexpected", "quoted scalar", true, "the quote that begins here is never closed",
     "add the closing quote; an apostrophe inside single quotes is written twice"},
    {"did not find expected '-' indicator", NULL, false, "this line does not fit the list it is in",
     "each item of a list begins with `- ` in the same column"},
    {"did not find expected <document start>", NULL, false,
     "this line does not belong to what is above it",
     "the keys of one map begin in the same column; one file holds one document"},
    {"block sequence entries are not allowed", NULL, false, "a list cannot begin here",
     "begin it on a new line below its key, or write it in brackets: [a, b]"},
    {"mapping keys are not allowed", NULL, false, "no key can begin with `? `",
     "put the text in quotes"},
    {"found unexpected ':'", NULL, false, "a colon is in an unexpected place",
     "put the text in quotes"},
    {NULL, "quoted scalar", false, "this sign behind `\\` means nothing",
     "use single quotes to keep a backslash as it is"},
    {NULL, "anchor", false, "anchors (`&`) are not used here", "put the text in quotes"},
    {NULL, "alias", false, "aliases (`*`) are not used here", "put the text in quotes"},
    {NULL, "directive", false, "directives (`%`) are not used here", "take the line out"},
    {"directive", NULL, false, "directives (`%`) are not used here", "take the line out"},
    {"incompatible YAML document", NULL, false, "directives (`%`) are not used here",
     "take the line out"},
    {NULL, "tag", false, "tags (`!`) are not used here", "put the text in quotes"},
    {"tag", NULL, false, "tags (`!`) are not used here", "put the text in quotes"},
    {NULL, "block scalar", false, "only a comment may follow `|` or `>`",
     "begin the text on the next line"},
};

static bool holds(const char *text, const char *part)
{
    return !part || (text && strstr(text, part));
}

/* A brace or bracket left open: at the end of the file the opening one is shown, elsewhere the
 * place of the trouble. */
static bool complain_open(const struct doc_source *source, const yaml_parser_t *parser)
{
    bool map = holds(parser->problem, "',' or '}'");
    if (!map && !holds(parser->problem, "',' or ']'")) return false;
    char open = map ? '{' : '[', close = map ? '}' : ']';
    if (!*byte_at(source, parser->problem_mark)) {
        char hint[64];
        snprintf(hint, sizeof hint, "add the closing `%c`", close);
        diags_add(source->diags, DIAG_ERROR, doc_place(source, parser->context_mark), hint,
                  "the `%c` that begins here is never closed", open);
        return true;
    }
    char hint[96];
    snprintf(hint, sizeof hint, "the `%c` is in line %d, column %d", open,
             (int)parser->context_mark.line + 1, (int)parser->context_mark.column + 1);
    diags_add(source->diags, DIAG_ERROR, doc_place(source, parser->problem_mark), hint,
              "a `,` or the closing `%c` is missing before this", close);
    return true;
}

void doc_complain_syntax(const struct doc_source *source, const yaml_parser_t *parser)
{
    if (complain_tab(source, parser) || complain_open(source, parser)) return;
    for (size_t i = 0; i < sizeof looks / sizeof looks[0]; i++) {
        if (!strstr(parser->problem, looks[i].problem)) continue;
        looks[i].complain(source, parser);
        return;
    }
    for (size_t i = 0; i < sizeof wordings / sizeof wordings[0]; i++) {
        const struct wording *w = &wordings[i];
        if (!holds(parser->problem, w->problem) || !holds(parser->context, w->context)) continue;
        complain(source,
                 doc_place(source, w->at_start ? parser->context_mark : parser->problem_mark),
                 w->hint, w->message);
        return;
    }
    diags_add(source->diags, DIAG_ERROR, doc_place(source, parser->problem_mark), NULL,
              "this cannot be read (%s)", parser->problem);
}
