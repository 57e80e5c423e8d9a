@# SPDX-License-Identifier: GPL-3.0-or-later
@# Template of the picture of heat: temperatures with their limits above, watts of the hottest parts
@# below, on one time axis. How blanks work stands in turn-on.gp.
@#
@# Blanks: WATTS and BODIES with VALUE (of the columns of ../heat.csv), NAME and STYLE; WATTS_LOW,
@# WATTS_HIGH, BODIES_LOW, BODIES_HIGH of the axes; those of time-axis.gp and lines.gp; EVENTS with
@# TIME [s] and LABEL; RIGHT: where the panels end; PANELS: screen height where the panels meet, 0.90 when there are no
@# temperatures.
@include style.gp@

record = '../heat.csv'
set key at screen @RIGHT@+0.015, screen 0.90 left top vertical Left reverse samplen 1.5
set multiplot title titles
@include time-axis.gp@
set xlabel ''
if (squeeze != 1) { unset xtics }
set lmargin at screen 0.14
set rmargin at screen @RIGHT@

@for PANEL@
set tmargin at screen 0.90
set bmargin at screen 0.54
set format x ''
set ylabel 'temperature [°C]'
set yrange [@BODIES_LOW@:@BODIES_HIGH@]
@end@
@for EVENTS@
set arrow from first along(@TIME@), graph 0 to first along(@TIME@), graph 1 nohead ls 21
@end@
@include lines.gp@
@for PANEL@
plot \
@end@
@for BODIES@
  record skip 1 using (along($1)):(@VALUE@) with lines ls @STYLE@ title @NAME@, \
@end@
@for PANEL@
  1/0 notitle
@end@

unset arrow
unset label
unset object
@include time-axis.gp@
@for EVENTS@
set arrow from first along(@TIME@), graph 0 to first along(@TIME@), graph 1 nohead ls 21
set label @LABEL@ at first along(@TIME@), graph 0.03 rotate by 90 left offset -1.1,0 front
@end@
set tmargin at screen @PANELS@
set key at screen @RIGHT@+0.015, screen @PANELS@ left top vertical Left reverse samplen 1.5
set bmargin at screen 0.135
set format x '%g'
set ylabel 'heat, mean of a cycle [W]'
set logscale y
set yrange [@WATTS_LOW@:@WATTS_HIGH@]
plot \
@for WATTS@
  record skip 1 using (along($1)):(@VALUE@) with lines ls @STYLE@ title @NAME@, \
@end@
  1/0 notitle
unset multiplot
