/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A block holds the least and the greatest mean of `size` neighbouring periods, the same size for
 * all blocks and channels. When the table is full, neighbours are merged in pairs and the size
 * doubles, so that any length of run fits. The last block may still be filling. Blocks lie channel
 * by channel within one row of the table. */
#include "means.h"

#include <assert.h>

#include "numbers.h"

struct block {
    double least, greatest; /* of the means in the block */
};

struct means {
    struct block *block; /* [MEANS_BLOCKS * channels] */
    int channels;
    int size;    /* periods in a full block */
    int blocks;  /* in use, the last perhaps partly filled */
    int periods; /* taken in */
};

struct means *means_new(struct arena *arena, int channels)
{
    struct means *m = ARENA_NEW(arena, struct means);
    *m = (struct means){.channels = channels, .size = 1};
    m->block = ARENA_ARRAY(arena, struct block, MEANS_BLOCKS * channels);
    return m;
}

static void merge_pairs(struct means *m)
{
    for (int i = 0; i < m->blocks / 2; i++) {
        struct block *into = m->block + i * m->channels;
        const struct block *a = m->block + 2 * i * m->channels, *b = a + m->channels;
        for (int c = 0; c < m->channels; c++)
            into[c] = (struct block){smaller(a[c].least, b[c].least),
                                     larger(a[c].greatest, b[c].greatest)};
    }
    m->blocks /= 2;
    m->size *= 2;
}

void means_push(struct means *m, const double *mean)
{
    if (m->blocks == MEANS_BLOCKS && m->periods == m->blocks * m->size) merge_pairs(m);
    int fresh = m->periods == m->blocks * m->size;
    if (fresh) m->blocks++;
    struct block *last = m->block + (m->blocks - 1) * m->channels;
    for (int c = 0; c < m->channels; c++) {
        if (fresh) last[c] = (struct block){mean[c], mean[c]};
        last[c].least = smaller(last[c].least, mean[c]);
        last[c].greatest = larger(last[c].greatest, mean[c]);
    }
    m->periods++;
}

int means_last_outside(const struct means *m, int channel, double low, double high)
{
    assert(channel >= 0 && channel < m->channels);
    for (int i = m->blocks; i > 0; i--) {
        const struct block *b = m->block + (i - 1) * m->channels + channel;
        if (b->least < low || b->greatest > high)
            return i * m->size < m->periods ? i * m->size : m->periods;
    }
    return 0;
}
