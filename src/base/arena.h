/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_ARENA_H
#define PRESOLDER_ARENA_H

#include <setjmp.h>
#include <stddef.h>

/* Memory that is given back all at once. Everything read from files and every run lives in one. */
struct arena;

/* A new, empty arena; NULL when there is no memory. Free it with arena_free. */
struct arena *arena_new(void);

/* Gives back all memory of the arena and the arena itself. NULL is accepted. */
void arena_free(struct arena *arena);

/* A new arena for passing work beside `owner`'s: where memory runs out it goes where the owner's
 * goes, it may hand out what is left of the owner's limit, and the owner's arena_free frees it at
 * the latest, so none but arena_clear is needed before. */
struct arena *arena_scratch(struct arena *owner);

/* Gives back all that was allocated in the arena, which is then as new. */
void arena_clear(struct arena *arena);

/* Where to go (longjmp, value 1) when memory runs out: set once by whoever owns the arena; NULL
 * takes it back. Returns what was set before. A scratch arena goes where its owner goes. Without
 * it, running out is the programmer's mistake and asserts. So no caller of arena_alloc has to test
 * for NULL. */
jmp_buf *arena_on_exhausted(struct arena *arena, jmp_buf *where);

/* Goes there: for who has found by other means that memory ran out. */
_Noreturn void arena_exhausted(const struct arena *arena);

/* `bytes` of zeroed memory, aligned for any type; never NULL. bytes = 0 gives a valid unique
 * address. */
void *arena_alloc(struct arena *arena, size_t bytes);

/* A copy of the first `n` bytes of `text` with a final 0. */
char *arena_text(struct arena *arena, const char *text, size_t n);

/* A text made by printf rules; no format may depend on the locale. */
char *arena_printf(struct arena *arena, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* Bytes handed out so far (without the arena's own overhead). */
size_t arena_used(const struct arena *arena);

/* The most it may hand out in all [bytes]; 0 = no limit, as at first. Beyond it the arena counts as
 * exhausted. */
void arena_limit(struct arena *arena, size_t bytes);

/* Has arena_free call give_back(what) before it gives back the memory, the latest first. For things
 * of other libraries that live as long as the arena or that a jump on exhaustion would leave
 * behind. */
void arena_at_free(struct arena *arena, void (*give_back)(void *), void *what);

#define ARENA_NEW(arena, T) ((T *)arena_alloc((arena), sizeof(T)))
#define ARENA_ARRAY(arena, T, n) ((T *)arena_alloc((arena), (size_t)(n) * sizeof(T)))

#endif
