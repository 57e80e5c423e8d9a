@# SPDX-License-Identifier: GPL-3.0-or-later
@# Template of volts as bands, a row each, with the ratings there. How blanks work stands in
@# turn-on.gp.
@#
@# Blanks: TITLE and SECOND; ALONG (title of the axis); LEFT, RIGHT, BOTTOM; ROWS with ROW: height,
@# least, 5 %, half, 95 %, most, as typed; NAMES with NAME and AT: what a row is, and its height;
@# LIMITS with AT, LEVEL, LABEL, RISE, ALIGN and SHIFT of the label; BAND_KEY, EXTREMES_KEY, HALF_KEY,
@# TYPED_KEY, LIMIT_KEY.
@include style.gp@

set datafile separator whitespace
set datafile missing '?'
$bands << EOD
@for ROWS@
@ROW@
@end@
EOD
$limits << EOD
@for LIMITS@
@AT@ @LEVEL@
@end@
EOD

set title titles
set xlabel @ALONG@
set xrange [@LEFT@:@RIGHT@]
set yrange [@BOTTOM@:0.75]
unset ytics
@for NAMES@
set label @NAME@ at graph 0.01, first @AT@+0.42 left front
@end@
set key outside below center horizontal height 1
set style fill solid 1 border
set pointsize 2
@for LIMITS@
set label @LABEL@ at first @LEVEL@, first @AT@+@RISE@ offset @SHIFT@,0 @ALIGN@ front
@end@

plot \
  $bands using 2:1:($6-$2):(0) with vectors nohead lc rgb 'black' lw 2 title @EXTREMES_KEY@, \
  $bands using 4:1:3:5:($1-0.18):($1+0.18) with boxxyerror ls 31 title @BAND_KEY@, \
  $bands using 4:($1-0.18):(0):(0.36) with vectors nohead ls 1 lw 7 title @HALF_KEY@, \
  $bands using 7:1 with points lc rgb 'black' pt 7 title @TYPED_KEY@, \
  $limits using 2:($1-0.3):(0):(0.6) with vectors nohead ls 20 title @LIMIT_KEY@
