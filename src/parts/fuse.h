/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_FUSE_H
#define PRESOLDER_FUSE_H

#include "fuse_law.h"
#include "part.h"

/* What is known of a part of the kind `fuse`. */
struct fuse_told {
    struct fuse_rating rating;
    struct fuse_law law;
    const char *standard;
    bool slow;
    double carries; /* times rated: never opens it, by its standard */
};
struct fuse_told fuse_told(const struct part *part);

#endif
