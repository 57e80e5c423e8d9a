/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Nodes are built from the parser's events by descending into maps and lists, at most DEPTH_MOST
 * levels. What is merely forbidden (aliases, tags, keys given twice) is reported and passed over,
 * so that all of it is told at once; a syntax error ends the reading. The parser is given back by
 * the arena too, should memory run out on the way. */
#include "doc.h"

#include <errno.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "array.h"
#include "doc_impl.h"
#include "file.h"

enum { DEPTH_MOST = 64 }; /* levels of nesting; a scenario uses 7 */

struct reader {
    struct arena *arena;
    struct doc_source source;
    yaml_parser_t parser;
    yaml_event_t event; /* the one being looked at */
    bool open;          /* parser and event are to be given back */
};

static void release(void *what)
{
    struct reader *r = what;
    if (!r->open) return;
    yaml_event_delete(&r->event);
    yaml_parser_delete(&r->parser);
    r->open = false;
}

/* Moves on to the next event; false after a syntax error, which is reported. */
static bool advance(struct reader *r)
{
    yaml_event_delete(&r->event);
    if (yaml_parser_parse(&r->parser, &r->event)) return true;
    if (!r->parser.problem) arena_exhausted(r->arena);
    doc_complain_syntax(&r->source, &r->parser);
    return false;
}

static void complain(struct reader *r, const char *hint, const char *message)
{
    diags_add(r->source.diags, DIAG_ERROR, doc_place(&r->source, r->event.start_mark), hint, "%s",
              message);
}

static struct node *new_node(struct reader *r, enum node_kind kind)
{
    struct node *node = ARENA_NEW(r->arena, struct node);
    *node =
        (struct node){.kind = kind, .at = doc_place(&r->source, r->event.start_mark), .text = ""};
    return node;
}

static const char in_quotes[] = "put the text in quotes";

static void refuse_labels(struct reader *r, const yaml_char_t *anchor, const yaml_char_t *tag)
{
    if (anchor) complain(r, in_quotes, "anchors (`&`) are not used here");
    if (tag) complain(r, in_quotes, "tags (`!`) are not used here");
}

/* Control characters come in by escapes only (`"\0"`): the text itself was checked. */
static bool holds_control(const yaml_char_t *text, size_t n)
{
    for (size_t i = 0; i < n; i++)
        if ((text[i] < 0x20 && text[i] != '\t' && text[i] != '\n') || text[i] == 0x7F) return true;
    return false;
}

static void complain_long(struct reader *r, size_t bytes, int most)
{
    const char *message =
        arena_printf(r->arena, "this text has %zu bytes; at most %d are read", bytes, most);
    complain(r, "make it shorter; a comment (`# ...`) may be as long as you like", message);
}

static struct node *read_scalar(struct reader *r)
{
    struct node *node = new_node(r, NODE_SCALAR);
    refuse_labels(r, r->event.data.scalar.anchor, r->event.data.scalar.tag);
    const yaml_char_t *text = r->event.data.scalar.value;
    size_t n = r->event.data.scalar.length;
    if (n > DOC_TEXT_BYTES) complain_long(r, n, DOC_TEXT_BYTES);
    else if (holds_control(text, n))
        complain(r, "take it out", "this text holds a control character");
    else node->text = arena_text(r->arena, (const char *)text, n);
    return node;
}

static const struct node *read_node(struct reader *r, int depth);

static const struct node *read_list(struct reader *r, int depth)
{
    struct node *list = new_node(r, NODE_LIST);
    ARRAY(const struct node *) items = {0};
    refuse_labels(r, r->event.data.sequence_start.anchor, r->event.data.sequence_start.tag);
    for (;;) {
        if (!advance(r)) return NULL;
        if (r->event.type == YAML_SEQUENCE_END_EVENT) break;
        const struct node *item = read_node(r, depth + 1);
        if (!item) return NULL;
        array_push(r->arena, &items, item);
    }
    list->n = items.n;
    list->items = items.at;
    return list;
}

/* Reads the key the event stands at. False after an error that ends the reading; so does a key that
 * is no text. */
static bool read_key(struct reader *r, struct pair *pair, bool *plain)
{
    bool scalar = r->event.type == YAML_SCALAR_EVENT;
    *plain = scalar && r->event.data.scalar.style == YAML_PLAIN_SCALAR_STYLE;
    pair->at = doc_place(&r->source, r->event.start_mark);
    if (!scalar) {
        complain(r, "write `key: value`", "a key must be a plain text");
        return false;
    }
    if (r->event.data.scalar.length == 0)
        complain(r, "write `key: value` with a blank behind the colon",
                 "the key before the `:` is missing");
    if (r->event.data.scalar.length > DOC_KEY_BYTES) {
        complain_long(r, r->event.data.scalar.length, DOC_KEY_BYTES);
        return false;
    }
    pair->key = read_scalar(r)->text;
    return true;
}

/* `{value:8 uF}` is a key without value to the parser. */
static void check_blank_behind_colon(struct reader *r, const struct pair *pair)
{
    const char *colon = strchr(pair->key, ':');
    if (!colon || !colon[1] || pair->value->kind != NODE_SCALAR || pair->value->text[0]) return;
    const char *hint =
        arena_printf(r->arena, "write `%.*s: %s`", (int)(colon - pair->key), pair->key, colon + 1);
    diags_add(r->source.diags, DIAG_ERROR, pair->at, hint,
              "a blank is missing behind the colon of `%s`", pair->key);
}

static int compare_keys(const void *a, const void *b)
{
    const struct pair *x = *(const struct pair *const *)a, *y = *(const struct pair *const *)b;
    int keys = strcmp(x->key, y->key);
    return keys ? keys : (x > y) - (x < y);
}

/* By sorting, so that a file of a million keys takes no longer than it must. */
static void refuse_doubles(struct reader *r, const struct node *map)
{
    if (map->n < 2) return;
    const struct pair **sorted = ARENA_ARRAY(r->arena, const struct pair *, map->n);
    for (int i = 0; i < map->n; i++) sorted[i] = &map->pairs[i];
    qsort(sorted, (size_t)map->n, sizeof *sorted, compare_keys);
    const struct pair *first = sorted[0];
    for (int i = 1; i < map->n; i++) {
        if (strcmp(sorted[i]->key, first->key) != 0 || !first->key[0]) {
            first = sorted[i];
            continue;
        }
        char hint[64];
        snprintf(hint, sizeof hint, "the first one is in line %d, column %d", first->at.line,
                 first->at.column);
        diags_add(r->source.diags, DIAG_ERROR, sorted[i]->at, hint,
                  "the key `%s` is given twice in one map", first->key);
    }
}

typedef ARRAY(struct pair) pairs_t;

static bool read_pairs(struct reader *r, int depth, bool flow, pairs_t *pairs)
{
    for (;;) {
        struct pair pair = {0};
        bool plain;
        if (!advance(r)) return false;
        if (r->event.type == YAML_MAPPING_END_EVENT) return true;
        if (!read_key(r, &pair, &plain) || !advance(r)) return false;
        pair.value = read_node(r, depth + 1);
        if (!pair.value) return false;
        if (flow && plain) check_blank_behind_colon(r, &pair);
        array_push(r->arena, pairs, pair);
    }
}

static const struct node *read_map(struct reader *r, int depth)
{
    struct node *map = new_node(r, NODE_MAP);
    pairs_t pairs = {0};
    bool flow = r->event.data.mapping_start.style == YAML_FLOW_MAPPING_STYLE;
    refuse_labels(r, r->event.data.mapping_start.anchor, r->event.data.mapping_start.tag);
    bool whole = read_pairs(r, depth, flow, &pairs);
    map->n = pairs.n;
    map->pairs = pairs.at;
    refuse_doubles(r, map);
    return whole ? map : NULL;
}

/* The node the event stands at, with everything inside it; NULL after an error that ends the
 * reading. */
static const struct node *read_node(struct reader *r, int depth)
{
    if (depth > DEPTH_MOST) {
        complain(r, "no scenario needs that many", "too many levels of nesting");
        return NULL;
    }
    switch (r->event.type) {
    case YAML_SCALAR_EVENT: return read_scalar(r);
    case YAML_SEQUENCE_START_EVENT: return read_list(r, depth);
    case YAML_MAPPING_START_EVENT: return read_map(r, depth);
    default:
        complain(r, in_quotes, "aliases (`*`) are not used here");
        return new_node(r, NODE_SCALAR);
    }
}

static const char start_new[] = "`presolder new KIND` writes a commented scenario to fill in";

/* From the start of the stream to its end: exactly one document that is not empty. */
static const struct node *read_document(struct reader *r)
{
    struct place whole = {r->source.file, 0, 0};
    if (!advance(r) || !advance(r)) return NULL;
    if (r->event.type == YAML_STREAM_END_EVENT) {
        diags_add(r->source.diags, DIAG_ERROR, whole, start_new,
                  "the file holds nothing but comments or blanks");
        return NULL;
    }
    if (!advance(r)) return NULL;
    const struct node *root = read_node(r, 1);
    if (!root || !advance(r) || !advance(r)) return NULL;
    if (r->event.type == YAML_DOCUMENT_START_EVENT) {
        complain(r, "one file holds one document: take the line out or make two files",
                 "a second document begins here");
        return NULL;
    }
    if (root->kind == NODE_SCALAR && !root->text[0]) {
        diags_add(r->source.diags, DIAG_ERROR, whole, start_new,
                  "the file holds nothing but comments or blanks");
        return NULL;
    }
    return root;
}

/* `text` lives in the arena and ends with a 0. */
static const struct node *parse(struct arena *arena, struct diags *diags, const char *name,
                                const char *text, size_t bytes)
{
    const char *file = arena_text(arena, name, strlen(name));
    if (bytes >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0) text += 3, bytes -= 3;
    diags_source(diags, file, text);
    struct reader *r = ARENA_NEW(arena, struct reader);
    r->arena = arena;
    r->source = (struct doc_source){diags, file, text, bytes};
    if (bytes == 0) {
        diags_add(diags, DIAG_ERROR, (struct place){file, 0, 0}, start_new, "the file is empty");
        return NULL;
    }
    if (!doc_check_text(&r->source)) return NULL;
    arena_at_free(arena, release, r);
    if (!yaml_parser_initialize(&r->parser)) arena_exhausted(arena);
    r->open = true;
    yaml_parser_set_encoding(&r->parser, YAML_UTF8_ENCODING);
    yaml_parser_set_input_string(&r->parser, (const unsigned char *)text, bytes);
    int errors = diags_errors(diags);
    const struct node *root = read_document(r);
    release(r);
    return diags_errors(diags) > errors ? NULL : root;
}

static void complain_file(struct diags *diags, struct arena *arena, const char *path,
                          const char *hint, const char *message)
{
    struct place at = {arena_text(arena, path, strlen(path)), 0, 0};
    diags_add(diags, DIAG_ERROR, at, hint, "%s", message);
}

static bool check_size(struct diags *diags, struct arena *arena, const char *name, uintmax_t bytes)
{
    if (bytes <= DOC_MAX_BYTES) return true;
    const char *message =
        arena_printf(arena, "the file has %ju bytes; at most %d are read", bytes, DOC_MAX_BYTES);
    complain_file(diags, arena, name, "a scenario is a page or two of text", message);
    return false;
}

const struct node *doc_parse(struct arena *arena, struct diags *diags, const char *name,
                             const char *text, size_t bytes)
{
    if (!check_size(diags, arena, name, bytes)) return NULL;
    return parse(arena, diags, name, arena_text(arena, text, bytes), bytes);
}

static const char *open_trouble(int error)
{
    switch (error) {
    case ENOENT:
    case ENOTDIR: return "there is no such file";
    case EACCES: return "this file may not be read";
    default: return "this file cannot be read";
    }
}

const struct node *doc_read(struct arena *arena, struct diags *diags, const char *path)
{
    struct stat about;
    if (stat(path, &about) != 0) {
        complain_file(diags, arena, path, NULL, open_trouble(errno));
        return NULL;
    }
    if (!S_ISREG(about.st_mode)) {
        bool folder = S_ISDIR(about.st_mode);
        complain_file(diags, arena, path,
                      folder ? "name the file inside it" : "copy it into a file first",
                      folder ? "this is a folder" : "this is no ordinary file");
        return NULL;
    }
    if (!check_size(diags, arena, path, (uintmax_t)about.st_size)) return NULL;
    size_t bytes = (size_t)about.st_size;
    char *text = arena_alloc(arena, bytes + 1);
    size_t n;
    int error = file_read(path, text, bytes + 1, &n);
    if (error || n != bytes) {
        complain_file(diags, arena, path, NULL,
                      error ? open_trouble(error) : "this file changed while it was read");
        return NULL;
    }
    text[bytes] = 0;
    return parse(arena, diags, path, text, bytes);
}
