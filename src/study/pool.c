/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Threads take the next number under one lock. Finished numbers lie in a ring as long as the
 * distance allowed between the first not taken and the last begun, so a slot is free again when it
 * is reached anew. */
#include "pool.h"

#include <setjmp.h>

#ifndef PRESOLDER_PAGE

#include <pthread.h>
#include <stdlib.h>
#include <unistd.h>

struct pool {
    pthread_mutex_t lock;
    pthread_cond_t changed;
    int n, ahead;
    int begun, taken;
    bool stop;
    bool *done; /* [ahead] piece i in done[i % ahead] */
    pool_work *work;
    void *context;
};

static bool may_begin(const struct pool *p)
{
    return p->begun - p->taken < p->ahead;
}

static void *worker(void *pool)
{
    struct pool *p = pool;
    pthread_mutex_lock(&p->lock);
    while (!p->stop && p->begun < p->n) {
        if (!may_begin(p)) {
            pthread_cond_wait(&p->changed, &p->lock);
            continue;
        }
        int i = p->begun++;
        pthread_mutex_unlock(&p->lock);
        p->work(p->context, i);
        pthread_mutex_lock(&p->lock);
        p->done[i % p->ahead] = true;
        pthread_cond_broadcast(&p->changed);
    }
    pthread_mutex_unlock(&p->lock);
    return NULL;
}

static bool take_all(struct pool *p, pool_take *take)
{
    bool wanted = true;
    pthread_mutex_lock(&p->lock);
    while (wanted && p->taken < p->n) {
        int slot = p->taken % p->ahead;
        if (!p->done[slot]) {
            pthread_cond_wait(&p->changed, &p->lock);
            continue;
        }
        int i = p->taken;
        pthread_mutex_unlock(&p->lock);
        wanted = take(p->context, i);
        pthread_mutex_lock(&p->lock);
        p->done[slot] = false;
        p->taken++;
        p->stop = !wanted;
        pthread_cond_broadcast(&p->changed);
    }
    pthread_mutex_unlock(&p->lock);
    return wanted;
}

static void stop(struct pool *p)
{
    pthread_mutex_lock(&p->lock);
    p->stop = true;
    pthread_cond_broadcast(&p->changed);
    pthread_mutex_unlock(&p->lock);
}

/* False with *exhausted when the arena's memory ran out. */
static bool take_within(struct pool *p, pool_take *take, struct arena *arena, bool *exhausted)
{
    jmp_buf here;
    if (!arena) return take_all(p, take);
    jmp_buf *before = arena_on_exhausted(arena, &here);
    bool wanted = false;
    if (setjmp(here) == 0) wanted = take_all(p, take);
    else *exhausted = true, stop(p);
    arena_on_exhausted(arena, before);
    return wanted;
}

bool pool_run_in(struct arena *arena, int n, int jobs, int ahead, pool_work *work, pool_take *take,
                 void *context)
{
    pthread_t threads[POOL_JOBS];
    bool exhausted = false;
    if (jobs > POOL_JOBS) jobs = POOL_JOBS;
    if (jobs > n) jobs = n;
    if (ahead < jobs) ahead = jobs;
    if (n <= 0) return true;
    struct pool p = {.n = n, .ahead = ahead, .work = work, .context = context};
    p.done = calloc((size_t)ahead, sizeof *p.done);
    if (!p.done && arena) arena_exhausted(arena);
    if (!p.done) return false;
    pthread_mutex_init(&p.lock, NULL);
    pthread_cond_init(&p.changed, NULL);
    int started = 0;
    while (started < jobs && pthread_create(&threads[started], NULL, worker, &p) == 0) started++;
    bool wanted = started > 0 && take_within(&p, take, arena, &exhausted);
    for (int i = 0; i < started; i++) pthread_join(threads[i], NULL);
    pthread_cond_destroy(&p.changed);
    pthread_mutex_destroy(&p.lock);
    free(p.done);
    if (exhausted) arena_exhausted(arena);
    return wanted;
}

int pool_processors(void)
{
    long n = sysconf(_SC_NPROCESSORS_ONLN);
    return n < 1 ? 1 : n > POOL_JOBS ? POOL_JOBS : (int)n;
}

#else /* a page has no threads: one piece after the other */

bool pool_run_in(struct arena *arena, int n, int jobs, int ahead, pool_work *work, pool_take *take,
                 void *context)
{
    (void)arena, (void)jobs, (void)ahead;
    bool wanted = true;
    for (int i = 0; wanted && i < n; i++) {
        work(context, i);
        wanted = take(context, i);
    }
    return wanted;
}

int pool_processors(void)
{
    return 1;
}

#endif

bool pool_run(int n, int jobs, int ahead, pool_work *work, pool_take *take, void *context)
{
    return pool_run_in(NULL, n, jobs, ahead, work, take, context);
}

void pool_within(struct arena *arena, pool_work *make, void *context, int i)
{
    jmp_buf exhausted;
    if (!arena) return;
    jmp_buf *before = arena_on_exhausted(arena, &exhausted);
    if (setjmp(exhausted) == 0) make(context, i);
    arena_on_exhausted(arena, before);
}
