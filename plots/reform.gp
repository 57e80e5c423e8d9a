@# SPDX-License-Identifier: GPL-3.0-or-later
@# Template of re-forming: current through the part and voltage on it against time. A current says
@# little without the voltage at which it flows. How blanks work stands in turn-on.gp.
@#
@# Blanks: TITLE; LIMIT: milliamperes of a good part; SUPPLY [V]; ROWS with ROW: minutes, then
@# milliamperes and voltage of each course; COLUMNS with NAME, STYLE and the columns AMPERES, VOLTS.
@include style.gp@

set datafile separator whitespace
$courses << EOD
@for ROWS@
@ROW@
@end@
EOD

set multiplot title @TITLE@
set lmargin at screen 0.14
set rmargin at screen 0.74
set logscale x
set key at screen 0.755, screen 0.90 left top vertical Left reverse samplen 1.5 title 'in series' left

set tmargin at screen 0.90
set bmargin at screen 0.50
set format x ''
set ylabel 'current [mA]'
set logscale y
set arrow from graph 0, first @LIMIT@ to graph 1, first @LIMIT@ nohead ls 20
set label 'good below this' at graph 0.99, first @LIMIT@ offset 0,0.6 right front
plot \
@for COLUMNS@
  $courses using 1:@AMPERES@ with linespoints ls @STYLE@ title @NAME@, \
@end@
  1/0 notitle

unset arrow
unset label
unset key
set tmargin at screen 0.46
set bmargin at screen 0.13
set format x '%g'
set xlabel 'minutes'
set ylabel 'voltage on the part [V]'
unset logscale y
set yrange [0:1.08*@SUPPLY@]
set arrow from graph 0, first @SUPPLY@ to graph 1, first @SUPPLY@ nohead ls 21
set label 'supply' at graph 1.01, first @SUPPLY@ left front
plot \
@for COLUMNS@
  $courses using 1:@VOLTS@ with linespoints ls @STYLE@ notitle, \
@end@
  1/0 notitle
unset multiplot
