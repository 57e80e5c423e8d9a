@# SPDX-License-Identifier: GPL-3.0-or-later
@# Template of re-forming currents against time. How blanks work stands in turn-on.gp.
@#
@# Blanks: TITLE; LIMIT: milliamperes of a good part; ROWS with ROW: minutes and the milliamperes;
@# COLUMNS with NAME, STYLE and COLUMN.
@include style.gp@

set datafile separator whitespace
$courses << EOD
@for ROWS@
@ROW@
@end@
EOD

set title @TITLE@
set xlabel 'minutes'
set ylabel 'milliamperes in series'
set logscale xy
set key outside below center horizontal height 1
set pointsize 1.6
set arrow from graph 0, first @LIMIT@ to graph 1, first @LIMIT@ nohead ls 20
set label 'limit of a good part' at graph 0.99, first @LIMIT@ offset 0,0.6 right front

plot \
@for COLUMNS@
  $courses using 1:@COLUMN@ with linespoints ls @STYLE@ title @NAME@, \
@end@
  1/0 notitle
