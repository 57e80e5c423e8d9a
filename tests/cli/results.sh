# SPDX-License-Identifier: GPL-3.0-or-later
# What switch-on leaves behind: files, exit codes, and old results that stay whole.
. "$(dirname "$0")/expect.sh"
cp "$here/small.yaml" .

# The default folder, and the form of the files.
run 0 switch-on small.yaml --quiet --no-plots
silent
exists presolder-out/small/figures.csv presolder-out/small/trace.csv
missing presolder-out/small/plots
head -n 1 presolder-out/small/figures.csv >"$work/said/out"
out <<'END'
variant,subject,measure,value,unit,limit,limit_source,verdict,time_s
END
head -c 6 presolder-out/small/trace.csv >"$work/said/out"
printf 't [s],' | out
grep -q '^base,B+,settled-voltage,1[0-9.]*,V,' presolder-out/small/figures.csv ||
  complain "no settled voltage of B+"
[ "$(find presolder-out -name '.partial*' | wc -l)" -eq 0 ] || complain "partial files are left"

# The same digits again, and whatever the terminal is told.
before=$(sums presolder-out)
run 0 switch-on small.yaml --no-plots
quiet_err
out_has "Small supply on the line (invented)"
out_has "presolder-out/small/figures.csv"
[ "$before" = "$(sums presolder-out)" ] || complain "other digits at the second run"

run 0 switch-on small.yaml --quiet --no-plots --out elsewhere/deep --for 100ms \
  --variant "too small a rating"
silent
exists elsewhere/deep/figures.csv
grep -q '^too small a rating,C1,settled-voltage,.*,100,scenario,over,' elsewhere/deep/figures.csv ||
  complain "the rating is not judged"
tail -n 1 elsewhere/deep/trace.csv | grep -q '^0\.1,' || complain "the run is not 0.1 s long"

# --strict
run 0 switch-on small.yaml --quiet --no-plots --strict
silent
run 1 switch-on small.yaml --quiet --no-plots --strict --variant "too small a rating" --out strict
silent
exists strict/figures.csv

# Without gnuplot: the scripts are there, and how to get the pictures is told.
what="without gnuplot"
(PATH='' "$program" switch-on small.yaml --out dry) >"$work/said/out" 2>"$work/said/err" ||
  complain "$what: exit code $?"
err <<'END'
note: no pictures, since gnuplot is not installed. To get them:
  apt install gnuplot-nox
then in the folder dry/plots:
  gnuplot turn-on.gp
and so for every script there.
END
exists dry/plots/turn-on.gp
missing dry/plots/turn-on.svg dry/plots/turn-on.png

# With gnuplot: pictures, and the scripts draw the same by hand.
if command -v gnuplot >/dev/null; then
  run 0 switch-on small.yaml --out drawn
  quiet_err
  out_has "Pictures: drawn/plots/*.svg"
  exists drawn/plots/turn-on.svg
  before=$(sums drawn/plots)
  for script in drawn/plots/*.gp; do
    (cd drawn/plots && LC_ALL=C.UTF-8 gnuplot -d "$(basename "$script")") \
      >"$work/said/out" 2>"$work/said/err" || complain "gnuplot $script"
    quiet_err
  done
  [ "$before" = "$(sums drawn/plots)" ] || complain "other pictures by hand"
  echo mine >drawn/plots/mine.svg
  run 0 switch-on small.yaml --out drawn --quiet --format png --black-and-white
  silent
  exists drawn/plots/turn-on.png drawn/plots/mine.svg
  missing drawn/plots/turn-on.svg
  grep -q '^black_and_white = 1$' drawn/plots/turn-on.gp || complain "not in black and white"
fi

# A gnuplot that fails is told, and what it should have drawn can be drawn by hand.
mkdir bin
printf '#!/bin/sh\nexit 3\n' >bin/gnuplot
chmod +x bin/gnuplot
what="failing gnuplot"
(PATH="$PWD/bin" "$program" switch-on small.yaml --out broken) \
  >"$work/said/out" 2>"$work/said/err" || complain "$what: exit code $?"
err <<'END'
note: gnuplot did not draw turn-on.gp; to see why: cd 'broken/plots', then gnuplot turn-on.gp
END
exists broken/plots/turn-on.gp broken/figures.csv

# A folder that cannot be made. (Root may write anywhere, but not below a file.)
echo "a file" >file
run 5 switch-on small.yaml --out file/results
out </dev/null
err <<'END'
error: file: Not a directory
  hint: name another folder with --out
END

# A file that cannot be replaced: nothing is.
run 0 switch-on small.yaml --quiet --no-plots --out whole
rm whole/trace.csv
mkdir whole/trace.csv
before=$(sums whole)
run 5 switch-on small.yaml --quiet --no-plots --out whole --for 50ms
err <<'END'
error: whole/trace.csv: Is a directory
END
[ "$before" = "$(sums whole)" ] || complain "files changed although not all could be written"

# The terminal's disk is full.
if [ -c /dev/full ]; then
  what="full disk"
  "$program" switch-on small.yaml --no-plots --out full >/dev/full 2>"$work/said/err"
  [ $? -eq 5 ] || complain "$what: exit code"
  err <<'END'
error: standard output: No space left on device
END
fi

# Out of memory, where a limit leaves enough to start at all (a sanitizer does not start).
what="out of memory"
for kilobytes in 8000 9000 10000 11000; do
  (ulimit -v $kilobytes && exec "$program" --version) >/dev/null 2>&1 || continue
  (ulimit -v $kilobytes && exec "$program" switch-on small.yaml --no-plots --quiet --out starved) \
    >"$work/said/out" 2>"$work/said/err"
  [ $? -eq 4 ] || complain "$what: exit code"
  out </dev/null
  err <<'END'
error: out of memory
END
  missing starved
  break
done

# Cycles are leapt over in a long run, and said to be; not when every one is asked for.
run 0 switch-on small.yaml --full --no-plots --for 10min --out long
quiet_err
out_has "of the cycles were skipped to save time, none off by more than "
grep -q '^base,set,cycles-leapt,[23][0-9]*,,' long/figures.csv || complain "not told in the figures"
tail -n 1 long/trace.csv | grep -q '^600,' || complain "the run is not 10 minutes long"
run 0 switch-on small.yaml --full --no-plots --for 61s --every-cycle --out long
quiet_err
grep -qE 'were skipped|cycles-leapt' "$work/said/out" long/figures.csv && complain "cycles were leapt over"

# Interrupted once: what there is by then is written and marked. Both files whole, the same instant everywhere.
for signal in INT TERM; do
  interrupted $signal 20000 switch-on small.yaml --for 100h --no-plots --every-cycle --out part
  quiet_err
  head -n 1 "$work/said/out" |
    grep -q '^INTERRUPTED at [0-9.]* s of 3.6e+05 s: figures are of that part$' ||
    complain "$what: not told first"
  at=$(sed -n 's/^base,set,interrupted-at,\([0-9.]*\),s,.*/\1/p' part/figures.csv)
  [ -n "$at" ] || complain "$what: no row interrupted-at"
  tail -n 1 part/trace.csv | grep -q "^$at," || complain "$what: the trace does not end at $at"
  grep -q '^base,B+,settled-voltage,1[0-9.]*,V,' part/figures.csv || complain "$what: no B+"
  [ "$(find part -name '.partial*' | wc -l)" -eq 0 ] || complain "$what: partial files are left"
done

# Scripts but no pictures, and how to get them.
interrupted INT 20000 switch-on small.yaml --for 100h --every-cycle --out undrawn
err <<'END'
note: an interrupted run is not drawn. In the folder undrawn/plots:
  gnuplot turn-on.gp
and so for every script there.
END
exists undrawn/plots/turn-on.gp
missing undrawn/plots/turn-on.svg
grep -q 'INTERRUPTED: Small supply' undrawn/plots/turn-on.gp || complain "$what: not in the title"

# Two signals: nothing is written, old results stay as they were.
before=$(sums presolder-out)
for folder in presolder-out/small never; do
  interrupted "INT TERM" 20000 switch-on small.yaml --for 100h --every-cycle --no-plots --out "$folder"
  silent
  [ "$(find . -name '.partial*' | wc -l)" -eq 0 ] || complain "$what: partial files are left"
done
missing never/figures.csv
[ "$before" = "$(sums presolder-out)" ] || complain "old results did not stay whole"
done_
