@# SPDX-License-Identifier: GPL-3.0-or-later
@# Template of figures against a value that was tried, with the lines of ratings. How blanks work
@# stands in turn-on.gp.
@#
@# Blanks: ALONG and UPRIGHT (titles of the axes), LOGARITHMIC 1 or 0,
@# LEFT, RIGHT, BOTTOM and TOP, KEY_COLUMNS of names; OWN_TICS 1 or 0, NAMES with
@# NAME and AT: marks at the values; those of lines.gp; ROWS with ROW: the value and the
@# figures; COLUMNS with NAME, STYLE and COLUMN; WITH lines or linespoints.
@include style.gp@

set datafile separator whitespace
set datafile missing '?'
$runs << EOD
@for ROWS@
@ROW@
@end@
EOD

set title titles
set xlabel @ALONG@
set ylabel @UPRIGHT@
if (@LOGARITHMIC@) { set logscale x }
set xrange [@LEFT@:@RIGHT@]
set yrange [@BOTTOM@:@TOP@]
set key outside below center horizontal maxcols @KEY_COLUMNS@ height 1
if (@OWN_TICS@) { set xtics () }
@for NAMES@
set xtics add (@NAME@ @AT@)
@end@
@include lines.gp@

plot \
@for COLUMNS@
  $runs using 1:@COLUMN@ with @WITH@ ls @STYLE@ title @NAME@, \
@end@
  1/0 notitle
