@# SPDX-License-Identifier: GPL-3.0-or-later
@# Template of shares of a variance as bars, a group of them for each figure. How blanks work stands
@# in turn-on.gp.
@#
@# Blanks: TITLE and SECOND; ALONG (title of the axis); BOTTOM; ROWS with ROW: height, share and its
@# standard error in per cent; NAMES with NAME and AT: what a bar is, and its height; HEADS with HEAD
@# and AT: the figure of the bars below.
@include style.gp@

set datafile separator whitespace
$bars << EOD
@for ROWS@
@ROW@
@end@
EOD

# in the middle of the sheet and not of the axes: names take room beside them
set label titles at screen 0.5, screen 0.965 center
set tmargin strlen(second) ? 5 : 3.5
set xlabel @ALONG@
set xrange [0:100]
set yrange [@BOTTOM@:0.9]
set ytics ()
@for NAMES@
set ytics add (@NAME@ @AT@)
@end@
@for HEADS@
set label @HEAD@ at graph 0.01, first @AT@ left front
@end@
set style fill solid 1 border
unset key

plot \
  $bars using 2:1:(0):2:($1-0.36):($1+0.36) with boxxyerror ls 31, \
  $bars using 2:1:3 with xerrorbars ls 1 pt 0
