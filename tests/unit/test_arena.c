/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Memory that is given back all at once, and the arrays that grow in it. */
#include <setjmp.h>
#include <signal.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cmocka.h>

#include "arena.h"
#include "array.h"
#include "numbers.h"

static void test_blocks_are_zero_aligned_and_apart(void **state)
{
    (void)state;
    struct arena *arena = arena_new();
    assert_non_null(arena);
    unsigned char *last = NULL;
    size_t total = 0, last_size = 0;
    for (size_t size = 0; size < 3000; size += 7) {
        unsigned char *block = arena_alloc(arena, size);
        assert_non_null(block);
        assert_true(block != last);
        assert_int_equal((uintptr_t)block % _Alignof(max_align_t), 0);
        for (size_t i = 0; i < size; i++) assert_int_equal(block[i], 0);
        for (size_t i = 0; i < last_size; i++) assert_int_equal(last[i], 0xA5);
        memset(block, 0xA5, size);
        last = block;
        last_size = size;
        total += size;
    }
    assert_true(arena_used(arena) >= total);
    assert_true(arena_used(arena) <= total + 1);
    arena_free(arena);
}

static void test_one_block_larger_than_any_chunk(void **state)
{
    (void)state;
    struct arena *arena = arena_new();
    size_t size = 5 * 1024 * 1024;
    char *small = arena_alloc(arena, 1), *large = arena_alloc(arena, size);
    *small = 1;
    assert_int_equal(large[0] + large[size - 1], 0);
    memset(large, 2, size);
    assert_int_equal(*small, 1);
    assert_int_equal(*(char *)arena_alloc(arena, 1), 0);
    arena_free(arena);
    arena_free(NULL);
}

static void test_texts(void **state)
{
    (void)state;
    struct arena *arena = arena_new();
    assert_string_equal(arena_text(arena, "first filter", 5), "first");
    assert_string_equal(arena_text(arena, "", 0), "");
    assert_string_equal(arena_printf(arena, "%s.%d", "V6", 2), "V6.2");
    char *longer = arena_printf(arena, "%40000d|", 7);
    assert_int_equal(strlen(longer), 40001);
    assert_string_equal(longer + 39998, " 7|");
    int *n = ARENA_NEW(arena, int), *many = ARENA_ARRAY(arena, int, 3);
    assert_int_equal(*n + many[0] + many[1] + many[2], 0);
    arena_free(arena);
}

/* Whether a request of `bytes` jumps. */
static int jumps(struct arena *arena, size_t bytes)
{
    jmp_buf exhausted;
    int value = setjmp(exhausted);
    if (value == 0) {
        arena_on_exhausted(arena, &exhausted);
        arena_alloc(arena, bytes);
    }
    arena_on_exhausted(arena, NULL);
    return value;
}

static void test_huge_requests_jump(void **state)
{
    (void)state;
    struct arena *arena = arena_new();
    static const size_t sizes[] = {SIZE_MAX, SIZE_MAX - 15, SIZE_MAX - 100, SIZE_MAX / 2 + 1};
    for (int i = 0; i < 4; i++) {
        assert_int_equal(jumps(arena, sizes[i]), 1);
        assert_int_equal(jumps(arena, 100), 0);
    }
    assert_int_equal(arena_used(arena), 400);
    jmp_buf exhausted;
    volatile int jumped = setjmp(exhausted);
    if (!jumped) {
        arena_on_exhausted(arena, &exhausted);
        arena_text(arena, "x", SIZE_MAX);
    }
    assert_int_equal(jumped, 1);
    arena_free(arena);
}

static int given_back;

static void count_back(void *what)
{
    given_back += *(int *)what;
}

/* Exhaustion of a scratch arena jumps to its owner's place, also from one of its own; what it holds
 * goes with arena_clear, or with the owner. */
static void test_scratch(void **state)
{
    (void)state;
    struct arena *arena = arena_new();
    arena_limit(arena, 1000);
    struct arena *scratch = arena_scratch(arena), *deeper = arena_scratch(scratch);
    int one = 1, ten = 10;
    given_back = 0;
    for (int k = 0; k < 2; k++) {
        jmp_buf exhausted;
        volatile int jumped = setjmp(exhausted);
        if (!jumped) {
            arena_on_exhausted(arena, &exhausted);
            arena_alloc(k ? deeper : scratch, 2000);
        }
        assert_int_equal(jumped, 1);
    }
    arena_alloc(scratch, 100);
    arena_at_free(scratch, count_back, &one);
    arena_clear(scratch);
    assert_int_equal(given_back, 1);
    assert_int_equal(arena_used(scratch), 0);
    arena_at_free(arena_scratch(arena), count_back, &ten);
    arena_free(arena);
    assert_int_equal(given_back, 11);
}

static void test_limit(void **state)
{
    (void)state;
    struct arena *arena = arena_new();
    arena_limit(arena, 1000);
    int given = 0;
    while (!jumps(arena, 30)) given++;
    assert_int_equal(given, 33);
    assert_int_equal(jumps(arena, 10), 0);
    assert_int_equal(jumps(arena, 1), 1);
    assert_int_equal(arena_used(arena), 1000);
    arena_limit(arena, 0);
    assert_int_equal(jumps(arena, 5000), 0);
    arena_free(arena);
}

static void test_running_out_unprepared_asserts(void **state)
{
    (void)state;
    pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        struct rlimit none = {0, 0};
        setrlimit(RLIMIT_CORE, &none);
        signal(SIGABRT, SIG_DFL);
        if (!freopen("/dev/null", "w", stderr)) _exit(1);
        struct arena *arena = arena_new();
        arena_alloc(arena, SIZE_MAX);
        _exit(0);
    }
    int status = 0;
    assert_int_equal(waitpid(child, &status, 0), child);
    assert_true(WIFSIGNALED(status));
    assert_int_equal(WTERMSIG(status), SIGABRT);
}

static char order[8];

static void note(void *what)
{
    size_t n = strlen(order);
    if (n + 1 < sizeof order) order[n] = *(const char *)what;
}

static void test_at_free_runs_backwards(void **state)
{
    (void)state;
    struct arena *arena = arena_new();
    for (const char *name = "abc"; *name; name++)
        arena_at_free(arena, note, arena_text(arena, name, 1));
    assert_string_equal(order, "");
    arena_free(arena);
    assert_string_equal(order, "cba");
}

struct reading {
    double volts;
    const char *point;
};

static void test_array_grows(void **state)
{
    (void)state;
    struct arena *arena = arena_new();
    ARRAY(struct reading) readings = {0};
    ARRAY(int) numbers = {0};
    for (int i = 0; i < 1000; i++) {
        array_push(arena, &readings, (struct reading){.volts = i / 2.0, .point = "B+"});
        array_push(arena, &numbers, i * i);
    }
    assert_int_equal(readings.n, 1000);
    assert_int_equal(numbers.n, 1000);
    assert_true(readings.room >= 1000 && readings.room <= 2000);
    for (int i = 0; i < 1000; i++) {
        assert_true(readings.at[i].volts == i / 2.0);
        assert_string_equal(readings.at[i].point, "B+");
        assert_int_equal(numbers.at[i], i * i);
    }
    arena_free(arena);
}

static void test_array_leaves_old_memory(void **state)
{
    (void)state;
    struct arena *arena = arena_new();
    ARRAY(int) numbers = {0};
    array_push(arena, &numbers, 41);
    const int *first = numbers.at;
    int moves = 0;
    for (int i = 0; i < 100; i++) {
        const int *before = numbers.at;
        array_push(arena, &numbers, i);
        moves += numbers.at != before;
    }
    assert_int_equal(*first, 41);
    assert_int_equal(numbers.at[0], 41);
    assert_true(moves >= 1 && moves <= 7);
    arena_free(arena);
}

static void test_number_helpers(void **state)
{
    (void)state;
    assert_true(sq(-3) == 9);
    assert_true(larger(1, 2) == 2 && larger(2, 1) == 2);
    assert_true(smaller(1, 2) == 1 && smaller(2, 1) == 1);
    assert_true(clamp(5, 0, 1) == 1 && clamp(-5, 0, 1) == 0 && clamp(0.5, 0, 1) == 0.5);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_blocks_are_zero_aligned_and_apart),
        cmocka_unit_test(test_one_block_larger_than_any_chunk),
        cmocka_unit_test(test_texts),
        cmocka_unit_test(test_huge_requests_jump),
        cmocka_unit_test(test_scratch),
        cmocka_unit_test(test_limit),
        cmocka_unit_test(test_running_out_unprepared_asserts),
        cmocka_unit_test(test_at_free_runs_backwards),
        cmocka_unit_test(test_array_grows),
        cmocka_unit_test(test_array_leaves_old_memory),
        cmocka_unit_test(test_number_helpers),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
