@# SPDX-License-Identifier: GPL-3.0-or-later
@# Levels across a panel with their labels, each on blank ground so that nothing strikes it through.
@#
@# Blanks: PIECES of the levels between labels with LEVEL (on the upright axis), LEFT and RIGHT (shares
@# of the width), LINE (its style); LINES with LABEL, AT (share of the width) and HEIGHT of its middle,
@# FROM, TO, LOW, HIGH of the blank ground.
@for PIECES@
set arrow from graph @LEFT@, first @LEVEL@ to graph @RIGHT@, first @LEVEL@ nohead ls @LINE@ front
@end@
@for LINES@
set object rectangle from graph @FROM@, first @LOW@ to graph @TO@, first @HIGH@ front fillcolor rgb 'white' fillstyle solid noborder
set label @LABEL@ at graph @AT@, first @HEIGHT@ center front
@end@
