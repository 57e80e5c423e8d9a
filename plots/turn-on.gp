@# SPDX-License-Identifier: GPL-3.0-or-later
@# Template of the overview: every direct voltage from switch-on to the end, with its ripple as a
@# band, and the ratings of the capacitors.
@#
@# A template is copied line by line into the folder of a result.
@#   @NAME@           stands for a value
@#   @@               stands for one @
@#   @for LIST@       a line of its own: the lines up to its @end@ once for every row of the list
@#   @include FILE@   a line of its own: another template of this folder
@#   @# words         a remark that is not copied, like these
@# Texts come as strings in quotes of their own; nothing in them is a command.
@#
@# Blanks here: UPRIGHT (title of the axis), END [s], BOTTOM and TOP [V]; LINES with LEVEL
@# [V], LABEL, LINE (its style), RISE, SIDE and ALIGN of the label; ENVELOPE with ROW: time [s]
@# and for every point lowest, mean, highest [V]; POINTS with NAME, STYLE, BAND and the columns
@# LOW, MEAN, HIGH; EVENTS with TIME [s] and LABEL.
@include style.gp@

set datafile separator whitespace
$envelope << EOD
@for ENVELOPE@
@ROW@
@end@
EOD

set title titles
set xlabel 'time after switch-on [s]'
set ylabel @UPRIGHT@
set xrange [0:@END@]
set yrange [@BOTTOM@:@TOP@]
set key outside below center horizontal height 1
@for EVENTS@
set arrow from first @TIME@, graph 0 to first @TIME@, graph 1 nohead ls 21
set label @LABEL@ at first @TIME@, graph 0.03 rotate by 90 left offset -1.1,0 front
@end@
@for LINES@
set arrow from graph 0, first @LEVEL@ to graph 1, first @LEVEL@ nohead ls @LINE@
set label @LABEL@ at graph @SIDE@, first @LEVEL@ offset 0,@RISE@ @ALIGN@ front
@end@

plot \
@for POINTS@
  $envelope using 1:@LOW@:@HIGH@ with filledcurves ls @BAND@ notitle, \
@end@
@for POINTS@
  $envelope using 1:@MEAN@ with lines ls @STYLE@ title @NAME@, \
@end@
  1/0 notitle
