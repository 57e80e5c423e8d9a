/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A chain of chunks, the newest first; each block is cut from the newest chunk, or from a new one
 * when it does not fit. Chunks come zeroed and are never reused, so every block is zero. Under the
 * address sanitizer every block is a chunk of its own, so that writing past a block is found. */
#include "arena.h"

#include <assert.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#ifdef __has_feature
#if __has_feature(address_sanitizer)
#define BLOCKS_APART
#endif
#endif
#ifdef __SANITIZE_ADDRESS__
#define BLOCKS_APART
#endif

#ifdef BLOCKS_APART
enum { CHUNK_FIRST = 0, CHUNK_LARGEST = 0 };
#else
enum { CHUNK_FIRST = 16 * 1024, CHUNK_LARGEST = 1024 * 1024 }; /* [bytes]; doubling in between */
#endif

struct chunk {
    struct chunk *older;
    size_t used, room; /* [bytes] of block memory */
    max_align_t blocks[];
};

struct last_call {
    struct last_call *older;
    void (*give_back)(void *);
    void *what;
};

struct arena {
    struct chunk *newest;
    struct last_call *calls; /* the latest first */
    size_t next_room;        /* of the next chunk [bytes] */
    size_t used, limit;      /* [bytes]; limit 0 = none */
    jmp_buf *exhausted;
    struct arena *owner; /* of a scratch arena; NULL: it is nobody's */
};

struct arena *arena_new(void)
{
    struct arena *arena = calloc(1, sizeof *arena);
    if (arena) arena->next_room = CHUNK_FIRST;
    return arena;
}

void arena_clear(struct arena *arena)
{
    for (struct last_call *c = arena->calls; c; c = c->older) c->give_back(c->what);
    while (arena->newest) {
        struct chunk *older = arena->newest->older;
        free(arena->newest);
        arena->newest = older;
    }
    arena->calls = NULL;
    arena->next_room = CHUNK_FIRST;
    arena->used = 0;
}

void arena_free(struct arena *arena)
{
    if (!arena) return;
    arena_clear(arena);
    free(arena);
}

jmp_buf *arena_on_exhausted(struct arena *arena, jmp_buf *where)
{
    if (arena->owner) arena = arena->owner;
    jmp_buf *before = arena->exhausted;
    arena->exhausted = where;
    return before;
}

size_t arena_used(const struct arena *arena)
{
    return arena->used;
}

void arena_limit(struct arena *arena, size_t bytes)
{
    arena->limit = bytes;
}

void arena_exhausted(const struct arena *arena)
{
    if (arena->owner) arena = arena->owner;
    assert(arena->exhausted && "memory ran out and nobody said where to go");
    longjmp(*arena->exhausted, 1);
}

static size_t aligned(size_t bytes)
{
    const size_t unit = sizeof(max_align_t);
    return (bytes + unit - 1) / unit * unit;
}

/* A chunk with room for one block of `bytes` at least becomes the newest. */
static void add_chunk(struct arena *arena, size_t bytes)
{
    size_t room = bytes > arena->next_room ? bytes : arena->next_room;
    struct chunk *chunk = NULL;
    if (room <= SIZE_MAX / 2) chunk = calloc(1, sizeof *chunk + room);
    if (!chunk) arena_exhausted(arena);
    chunk->room = room;
    chunk->older = arena->newest;
    arena->newest = chunk;
    if (arena->next_room <= CHUNK_LARGEST / 2) arena->next_room *= 2;
}

void *arena_alloc(struct arena *arena, size_t bytes)
{
    if (bytes == 0) bytes = 1;
    if (arena->limit && (bytes > arena->limit || arena->used > arena->limit - bytes))
        arena_exhausted(arena);
    const struct chunk *newest = arena->newest;
    if (!newest || newest->room < bytes || aligned(newest->used) > newest->room - bytes)
        add_chunk(arena, bytes);
    struct chunk *chunk = arena->newest;
    size_t start = aligned(chunk->used);
    chunk->used = start + bytes;
    arena->used += bytes;
    return (char *)chunk->blocks + start;
}

char *arena_text(struct arena *arena, const char *text, size_t n)
{
    if (n == SIZE_MAX) arena_exhausted(arena);
    char *copy = arena_alloc(arena, n + 1);
    if (n > 0) memcpy(copy, text, n);
    return copy;
}

char *arena_printf(struct arena *arena, const char *format, ...)
{
    va_list args, again;
    va_start(args, format);
    va_copy(again, args);
    int n = vsnprintf(NULL, 0, format, args);
    va_end(args);
    assert(n >= 0);
    char *text = arena_alloc(arena, (size_t)n + 1);
    vsnprintf(text, (size_t)n + 1, format, again);
    va_end(again);
    return text;
}

void arena_at_free(struct arena *arena, void (*give_back)(void *), void *what)
{
    struct last_call *call = ARENA_NEW(arena, struct last_call);
    *call = (struct last_call){arena->calls, give_back, what};
    arena->calls = call;
}

static void free_scratch(void *arena)
{
    arena_free(arena);
}

struct arena *arena_scratch(struct arena *owner)
{
    struct arena *arena = arena_new();
    if (!arena) arena_exhausted(owner);
    arena->owner = owner->owner ? owner->owner : owner;
    if (owner->limit) arena->limit = owner->limit > owner->used ? owner->limit - owner->used : 1;
    arena_at_free(owner, free_scratch, arena);
    return arena;
}
