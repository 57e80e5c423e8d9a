/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Any bytes as a document: read, laid over itself, its complaints printed. */
#include "fuzz.h"

#include "doc.h"

static FILE *nowhere;

int LLVMFuzzerInitialize(int *argc, char ***argv)
{
    (void)argc, (void)argv;
    nowhere = fopen("/dev/null", "w");
    return 0;
}

static void once(struct arena *arena, const char *text, size_t bytes)
{
    struct diags *diags = diags_new(arena);
    const struct node *root = doc_parse(arena, diags, "fuzzed", text, bytes);
    if (!root && diags_errors(diags) == 0) abort(); /* refused without a word */
    node_overlay(arena, root, root);
    node_get(root, "parts");
    diags_print(diags, nowhere);
}

int LLVMFuzzerTestOneInput(const unsigned char *data, size_t bytes)
{
    fuzz_once(once, data, bytes);
    return 0;
}
