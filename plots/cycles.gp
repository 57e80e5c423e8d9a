@# SPDX-License-Identifier: GPL-3.0-or-later
@# Template of the pictures of single cycles: plate volts, currents and the first capacitor's
@# volts above one another on one time axis. How blanks work stands in turn-on.gp.
@#
@# Blanks: FILE, FROM [s], SPAN [ms], ALONG (title of the time axis), SKIP (lines of it passed
@# over) and LAST (of those behind them that are read, the first being 0), AMPERES (scale of
@# currents), AMPERES_TITLE, PLATES (title of the upper panel); VOLTS, CURRENTS and CAPACITOR with VALUE (of its columns), NAME and STYLE, RIGHT: where the panels end, and of each panel's axis LIST_LOW, LIST_HIGH, LIST_STEP.
@include style.gp@

trace = @FILE@
# of its rows only those drawn are read, once for each curve; all: rows = 'skip 1'
rows = 'skip @SKIP@ every ::0::@LAST@'
ms(t) = (t - @FROM@) * 1e3
set xrange [0:@SPAN@]
set key outside right top vertical
set multiplot layout 3,1 title titles
set lmargin at screen 0.14
set rmargin at screen @RIGHT@

set tmargin at screen 0.90
set bmargin at screen 0.66
set format x ''
set ylabel @PLATES@
set yrange [@VOLTS_LOW@:@VOLTS_HIGH@]
set ytics @VOLTS_STEP@
plot \
@for VOLTS@
  trace @@rows using (ms($1)):(@VALUE@) with lines ls @STYLE@ title @NAME@, \
@end@
  1/0 notitle

set tmargin at screen 0.62
set bmargin at screen 0.39
set ylabel @AMPERES_TITLE@
set yrange [@CURRENTS_LOW@:@CURRENTS_HIGH@]
set ytics @CURRENTS_STEP@
plot \
@for CURRENTS@
  trace @@rows using (ms($1)):(@AMPERES@*@VALUE@) with lines ls @STYLE@ title @NAME@, \
@end@
  1/0 notitle

set tmargin at screen 0.35
set bmargin at screen 0.135
set format x '%g'
set xlabel @ALONG@
set ylabel 'capacitor [V]'
set yrange [@CAPACITOR_LOW@:@CAPACITOR_HIGH@]
set ytics @CAPACITOR_STEP@
plot \
@for CAPACITOR@
  trace @@rows using (ms($1)):(@VALUE@) with lines ls @STYLE@ title @NAME@, \
@end@
  1/0 notitle
unset multiplot
