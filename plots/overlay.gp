@# SPDX-License-Identifier: GPL-3.0-or-later
@# Template of a comparison: one point in several runs from switch-on on, its mean as a line and from
@# least to most as a band, and the ratings of the capacitors there. How blanks work stands in
@# turn-on.gp.
@#
@# Blanks: UPRIGHT (title of the axis), BOTTOM and TOP [V], KEY_COLUMNS of names; those of time-axis.gp and lines.gp; ROWS
@# with ROW: time [s] and lowest, mean, highest [V] of each run; COLUMNS with NAME, STYLE, EDGE (style
@# of least and most), BAND and the columns LOW, MEAN, HIGH of each run.
@include style.gp@

set datafile separator whitespace
set datafile missing '?'
$runs << EOD
@for ROWS@
@ROW@
@end@
EOD

set title titles
set ylabel @UPRIGHT@
@include time-axis.gp@
set yrange [@BOTTOM@:@TOP@]
set key outside below center horizontal maxcols @KEY_COLUMNS@ height 1
@include lines.gp@

# bands lie over one another: what is under them shines through, and their edges are drawn
edge(low, high, v) = high - low > 0.02 * (@TOP@ - @BOTTOM@) ? v : NaN
bands = 'transparent solid 0.4 noborder'
plot \
@for COLUMNS@
  $runs using (along($1)):@LOW@:@HIGH@ with filledcurves ls @BAND@ fillstyle @@bands notitle, \
@end@
@for COLUMNS@
  $runs using (along($1)):(edge($@LOW@, $@HIGH@, $@LOW@)) with lines ls @EDGE@ lw 1.5 notitle, \
  $runs using (along($1)):(edge($@LOW@, $@HIGH@, $@HIGH@)) with lines ls @EDGE@ lw 1.5 notitle, \
@end@
@for COLUMNS@
  $runs using (along($1)):@MEAN@ with lines ls @STYLE@ title @NAME@, \
@end@
  1/0 notitle
