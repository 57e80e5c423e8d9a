@# SPDX-License-Identifier: GPL-3.0-or-later
@# Template of a comparison: the mean volts of one point in several runs from switch-on on, and the
@# ratings of the capacitors there. How blanks work stands in turn-on.gp.
@#
@# Blanks: UPRIGHT (title of the axis), END [s], BOTTOM and TOP [V]; LINES with LEVEL [V],
@# LABEL, LINE (its style), RISE, SIDE and ALIGN of the label; ROWS with ROW: time [s] and the
@# volts of each run; COLUMNS with NAME, STYLE and COLUMN of each run.
@include style.gp@

set datafile separator whitespace
set datafile missing '?'
$runs << EOD
@for ROWS@
@ROW@
@end@
EOD

set title titles
set xlabel 'time after switch-on [s]'
set ylabel @UPRIGHT@
set xrange [0:@END@]
set yrange [@BOTTOM@:@TOP@]
set key outside below center horizontal height 1
@for LINES@
set arrow from graph 0, first @LEVEL@ to graph 1, first @LEVEL@ nohead ls @LINE@
set label @LABEL@ at graph @SIDE@, first @LEVEL@ offset 0,@RISE@ @ALIGN@ front
@end@

plot \
@for COLUMNS@
  $runs using 1:@COLUMN@ with lines ls @STYLE@ title @NAME@, \
@end@
  1/0 notitle
