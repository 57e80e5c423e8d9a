@# SPDX-License-Identifier: GPL-3.0-or-later
@# The time axis of a whole run: a long one has its first half minute drawn wide.
@#
@# Blanks: END, SPLIT [s]; SQUEEZE, the scale after SPLIT as a share of the scale before; ALONG; TICS
@# with AT [s] and NAME, none when the axis has one scale.
split = @SPLIT@
squeeze = @SQUEEZE@
along(t) = t <= split ? t : split + (t - split) * squeeze
set xrange [0:along(@END@)]
set xlabel @ALONG@
if (squeeze != 1) {
  set xtics ()
  set arrow from first split, graph 0 to first split, graph 1 nohead ls 22
}
@for TICS@
set xtics add (@NAME@ along(@AT@))
@end@
