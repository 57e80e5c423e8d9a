@# SPDX-License-Identifier: GPL-3.0-or-later
@# Template of what was read beside what the leading causes let expect. How blanks work stands in
@# turn-on.gp.
@#
@# Blanks: TITLE and SECOND; ALONG (title of the axis), RIGHT; BOTTOM; READ (key of what was read);
@# ROWS with ROW: height, what was read, then what each cause lets expect, in per cent of what the
@# sound set reads, `?` where there is nothing; NAMES with NAME and AT: the reading of a row; COLUMNS
@# with NAME, STYLE, COLUMN and RISE over the row's middle.
@include style.gp@

set datafile separator whitespace
set datafile missing '?'
$rows << EOD
@for ROWS@
@ROW@
@end@
EOD

# in the middle of the sheet and not of the axes: names take room beside them
set label titles at screen 0.5, screen 0.965 center
set tmargin strlen(second) ? 5 : 3.5
set xlabel @ALONG@
set xrange [0:@RIGHT@]
set yrange [@BOTTOM@:0.6]
set ytics ()
@for NAMES@
set ytics add (@NAME@ @AT@)
@end@
set key at screen 0.5, screen 0.02 center bottom vertical maxcols 1 width 1 height 1
set bmargin 10
set arrow from 100, graph 0 to 100, graph 1 nohead ls 21
set pointsize 1.6

plot \
@for COLUMNS@
  $rows using @COLUMN@:($1+@RISE@) with points ls @STYLE@ ps 1.8 title @NAME@, \
@end@
  $rows using 2:($1-0.4):(0):(0.8) with vectors nohead lc rgb 'black' lw 5 dt 1 title @READ@
