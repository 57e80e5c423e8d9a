@# SPDX-License-Identifier: GPL-3.0-or-later
@# Template of the rectifiers' inverse voltage: cathode minus plate over the last cycles, the
@# highest of the whole run, the rating, and the rule of thumb. How blanks work stands in turn-
@# on.gp.
@#
@# Blanks: FROM [s], SPAN [ms], ALONG and UPRIGHT (titles of the axes), BOTTOM and TOP [V], SKIP
@# and LAST as in cycles.gp; INVERSE with VALUE (of the columns of ../trace.csv), NAME and STYLE;
@# those of lines.gp.
@include style.gp@

trace = '../trace.csv'
# of its rows only those drawn are read, once for each curve; all: rows = 'skip 1'
rows = 'skip @SKIP@ every ::0::@LAST@'
ms(t) = (t - @FROM@) * 1e3
set title titles
set xlabel @ALONG@
set ylabel @UPRIGHT@
set xrange [0:@SPAN@]
set yrange [@BOTTOM@:@TOP@]
set key outside below center horizontal height 1
@include lines.gp@

plot \
@for INVERSE@
  trace @@rows using (ms($1)):(@VALUE@) with lines ls @STYLE@ title @NAME@, \
@end@
  1/0 notitle
