@# SPDX-License-Identifier: GPL-3.0-or-later
@# The beginning of every picture. How blanks, @for and @include work stands in turn-on.gp.
@#
@# Blanks: TITLE, SECOND line of it or empty, NAME of the picture without ending, FORMAT 'svg' or
@# 'png', BLACK_AND_WHITE 1 or 0.
@# Line styles: 1 to 16 curves, 31 to 46 the bands behind them, 20 lines of limits, 21 lines of what is
@# worth knowing, 22 where the scale of time changes, 23 a curve that others are compared with.
# Run it where it stands: gnuplot @NAME@.gp
# It reads ../trace.csv where it draws single cycles and writes its picture beside itself.
picture = @NAME@
title = @TITLE@
second = @SECOND@
titles = strlen(second) ? title . "\n" . second : title
format = @FORMAT@
black_and_white = @BLACK_AND_WHITE@

set encoding utf8
if (format eq 'png' && strstrt(GPVAL_TERMINALS, 'pngcairo')) {
  set terminal pngcairo size 1280,960 font 'Sans,21' background rgb 'white'
} else {
  if (format eq 'png') {
    set terminal png size 1280,960 font 'Sans,21'
  } else {
    set terminal svg size 1280,960 font 'Sans,26' background rgb 'white'
  }
}
set termoption noenhanced
set output picture . '.' . format
set datafile separator ','

if (black_and_white) {
  set style line 1 lc rgb 'black' lw 3 dt 1 pt 7 ps 1.3
  set style line 2 lc rgb 'black' lw 3 dt (16,8) pt 6 ps 1.3
  set style line 3 lc rgb 'black' lw 3 dt (3,6) pt 5 ps 1.3
  set style line 4 lc rgb 'black' lw 3 dt (16,6,3,6) pt 4 ps 1.3
  set style line 5 lc rgb 'gray50' lw 5 dt 1 pt 9 ps 1.3
  set style line 6 lc rgb 'gray50' lw 5 dt (12,8) pt 8 ps 1.3
  set style line 7 lc rgb 'gray50' lw 5 dt (3,6) pt 11 ps 1.3
  set style line 8 lc rgb 'black' lw 1.5 dt 1 pt 10 ps 1.3
  set style line 9 lc rgb 'black' lw 1.5 dt (16,8) pt 7 ps 1.3
  set style line 10 lc rgb 'black' lw 1.5 dt (3,6) pt 6 ps 1.3
  set style line 11 lc rgb 'black' lw 1.5 dt (16,6,3,6) pt 5 ps 1.3
  set style line 12 lc rgb 'gray50' lw 5 dt (16,6,3,6) pt 4 ps 1.3
  set style line 13 lc rgb 'gray50' lw 2 dt 1 pt 9 ps 1.3
  set style line 14 lc rgb 'gray50' lw 2 dt (12,8) pt 8 ps 1.3
  set style line 15 lc rgb 'gray50' lw 2 dt (3,6) pt 11 ps 1.3
  set style line 16 lc rgb 'gray50' lw 2 dt (16,6,3,6) pt 10 ps 1.3
  do for [k=31:46] { set style line k lc rgb 'gray80' lw 1 dt 1 }
  set style line 20 lc rgb 'black' lw 4 dt (30,6,3,6,3,6)
  set style line 21 lc rgb 'black' lw 1.5 dt (4,4)
  set style line 22 lc rgb 'gray50' lw 1.5 dt 1
  set style line 23 lc rgb 'gray60' lw 9 dt 1
} else {
  # colours that people with colour-blindness can tell apart (Okabe and Ito, 2008, and a grey), and dashes
  # and weights that a grey print keeps apart
  set style line 1 lc rgb '#0072B2' lw 3 dt 1 pt 7 ps 1.3
  set style line 2 lc rgb '#D55E00' lw 3 dt (16,8) pt 6 ps 1.3
  set style line 3 lc rgb '#009E73' lw 3.5 dt (3,6) pt 5 ps 1.3
  set style line 4 lc rgb '#CC79A7' lw 3 dt (16,6,3,6) pt 4 ps 1.3
  set style line 5 lc rgb '#56B4E9' lw 5 dt 1 pt 9 ps 1.3
  set style line 6 lc rgb '#000000' lw 2 dt 1 pt 8 ps 1.3
  set style line 7 lc rgb '#E69F00' lw 5 dt (12,8) pt 11 ps 1.3
  set style line 8 lc rgb '#808080' lw 5 dt (3,6) pt 10 ps 1.3
  set style line 9 lc rgb '#0072B2' lw 1.5 dt 1 pt 7 ps 1.3
  set style line 10 lc rgb '#D55E00' lw 1.5 dt (16,8) pt 6 ps 1.3
  set style line 11 lc rgb '#009E73' lw 1.5 dt (3,6) pt 5 ps 1.3
  set style line 12 lc rgb '#CC79A7' lw 5 dt (16,6,3,6) pt 4 ps 1.3
  set style line 13 lc rgb '#56B4E9' lw 2 dt (12,8) pt 9 ps 1.3
  set style line 14 lc rgb '#000000' lw 2 dt (3,6) pt 8 ps 1.3
  set style line 15 lc rgb '#E69F00' lw 2 dt (16,6,3,6) pt 11 ps 1.3
  set style line 16 lc rgb '#808080' lw 2 dt (6,6) pt 10 ps 1.3
  set style line 31 lc rgb '#A6CFE6'
  set style line 32 lc rgb '#F0C4A2'
  set style line 33 lc rgb '#A3DACB'
  set style line 34 lc rgb '#EBCFDF'
  set style line 35 lc rgb '#CBE6F7'
  set style line 36 lc rgb '#C0C0C0'
  set style line 37 lc rgb '#F6DFA8'
  set style line 38 lc rgb '#DCDCDC'
  set style line 39 lc rgb '#A6CFE6'
  set style line 40 lc rgb '#F0C4A2'
  set style line 41 lc rgb '#A3DACB'
  set style line 42 lc rgb '#EBCFDF'
  set style line 43 lc rgb '#CBE6F7'
  set style line 44 lc rgb '#C0C0C0'
  set style line 45 lc rgb '#F6DFA8'
  set style line 46 lc rgb '#DCDCDC'
  set style line 20 lc rgb '#B00020' lw 3 dt (24,6,4,6)
  set style line 21 lc rgb 'gray30' lw 2 dt (4,4)
  set style line 22 lc rgb 'gray50' lw 1.5 dt 1
  set style line 23 lc rgb '#0072B2' lw 9
}
set grid lc rgb 'gray70' lw 1 dt (2,4)
set border 3 lw 2
set tics nomirror
