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
@# Blanks here: UPRIGHT (title of the axis), BOTTOM and TOP [V], KEY_COLUMNS of names; those of time-axis.gp and lines.gp;
@# ENVELOPE with ROW: time [s] and for every point lowest, mean, highest [V]; POINTS with NAME,
@# STYLE, BAND and the columns LOW, MEAN, HIGH; EVENTS with TIME [s] and LABEL.
@include style.gp@

set datafile separator whitespace
$envelope << EOD
@for ENVELOPE@
@ROW@
@end@
EOD

set title titles
set ylabel @UPRIGHT@
@include time-axis.gp@
set yrange [@BOTTOM@:@TOP@]
set key outside below center horizontal maxcols @KEY_COLUMNS@ height 1
@for EVENTS@
set arrow from first along(@TIME@), graph 0 to first along(@TIME@), graph 1 nohead ls 21
set label @LABEL@ at first along(@TIME@), graph 0.03 rotate by 90 left offset -1.1,0 front
@end@
@include lines.gp@

plot \
@for POINTS@
  $envelope using (along($1)):@LOW@:@HIGH@ with filledcurves ls @BAND@ notitle, \
@end@
@for POINTS@
  $envelope using (along($1)):@MEAN@ with lines ls @STYLE@ title @NAME@, \
@end@
  1/0 notitle
