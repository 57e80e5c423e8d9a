@# SPDX-License-Identifier: GPL-3.0-or-later
@# Levels across a panel with their labels, each on blank ground so that nothing strikes it through.
@#
@# Blanks: LINES with LEVEL (on the upright axis), LABEL, LINE (its style), AT (share of the width) and
@# HEIGHT of the label's middle, FROM, TO, LOW, HIGH of the blank ground.
@for LINES@
set arrow from graph 0, first @LEVEL@ to graph 1, first @LEVEL@ nohead ls @LINE@ front
set object rectangle from graph @FROM@, first @LOW@ to graph @TO@, first @HIGH@ front fillcolor rgb 'white' fillstyle solid noborder
set label @LABEL@ at graph @AT@, first @HEIGHT@ center front
@end@
