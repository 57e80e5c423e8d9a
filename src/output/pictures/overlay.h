/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_OVERLAY_H
#define PRESOLDER_OVERLAY_H

#include "compare.h"
#include "plot.h"

/* Pictures of a comparison: the volts of one point in all columns against time, with the ratings of
 * the capacitors there. At most OVERLAY_CURVES columns stand in one picture; with more, the first
 * is repeated in each. */

enum { OVERLAY_CURVES = 6, OVERLAY_POINTS = 4, OVERLAY_PARTS = 8 };

typedef ARRAY(const char *) plot_list;

struct overlay_picture {
    const char *name; /* without ending */
    const char *point;
};
typedef ARRAY(struct overlay_picture) overlay_pictures;

/* Every picture's name begins so. */
#define OVERLAY_PREFIX "point-"

/* Writes the scripts `plots/point-POINT.gp`, further ones of the same point `point-POINT-2.gp` ...,
 * and returns them. Points: direct volts in the first column, in its order, at most OVERLAY_POINTS.
 * Errors of the template are in `diags`. */
overlay_pictures overlay_write(struct writer *w, struct diags *diags, struct arena *arena,
                               const struct comparison *c, const struct plot_options *options);

/* Writes one picture of a point as `plots/NAME.gp`: of the first OVERLAY_CURVES columns. Of the
 * comparison, rows are not needed. False where no column has the point, or with errors in
 * `diags`. */
bool overlay_write_point(struct writer *w, struct diags *diags, struct arena *arena,
                         const struct comparison *c, const struct plot_options *options,
                         const char *point, const char *name);

#endif
