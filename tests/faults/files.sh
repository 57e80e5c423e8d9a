# SPDX-License-Identifier: GPL-3.0-or-later
# Every write, rename, fsync, open and making of a folder fails, one after the other: exit code 5, the
# true reason, and the folder holds what it held before. A program that is killed at any of them
# leaves a folder that the next run puts in order: the results in it are of one run, always.
. "$(dirname "$0")/../cli/expect.sh"
faults=$5
small=$here/small.yaml

# The folder of an earlier run, with pictures though there may be no gnuplot.
"$program" switch-on "$small" --for 0.05s --quiet --no-plots --out old >/dev/null 2>&1
mkdir -p old/plots
for name in turn-on last-cycles; do
  echo script >"old/plots/$name.gp"
  echo picture >"old/plots/$name.svg"
done
echo mine >old/notes.txt
echo mine >old/plots/mine.svg
(cd old && sums .) >old.sums

# faulty CALL N COMMAND...: the N-th call fails with $errno, or kills.
errno=28
flags=
faulty() {
  call=$1
  at=$2
  shift 2
  what="$call $at of presolder $*"
  rm -f told
  env $flags FAULT_CALL="$call" FAULT_AT="$at" FAULT_ERRNO="$errno" FAULT_TOLD=told \
    LD_PRELOAD="$faults" "$program" "$@" >"$work/said/out" 2>"$work/said/err" </dev/null
  code=$?
  n=0
  [ -s told ] && read -r n _ <told
}
again() {
  rm -rf out
  cp -r old out
}
whole() {
  (cd out && sums .) >out.sums
  cmp -s old.sums out.sums && return
  complain "$what: the folder is not as it was:"
  diff old.sums out.sums
}

again
faulty write 0 switch-on "$small" --quiet --for 0.1s --out out
[ "$code" -eq 0 ] || complain "exit code $code"
(cd out && sums .) >new.sums
grep -q 'notes.txt$' new.sums && grep -q 'plots/mine.svg$' new.sums || complain "my files are gone"

for fault in write:28 rename:13 fsync:5 open:30 mkdir:30; do
  call=${fault%:*}
  errno=${fault#*:}
  case $errno in
  28) reason="No space left on device" ;;
  13) reason="Permission denied" ;;
  5) reason="Input/output error" ;;
  *) reason="Read-only file system" ;;
  esac
  again
  faulty "$call" 0 switch-on "$small" --quiet --for 0.1s --out out
  all=$n
  [ "$all" -gt 2 ] || complain "only $all calls of $call"
  [ "$call" = rename ] || all=$((all < 8 ? all : 8))
  for at in $(seq 1 "$all"); do
    again
    faulty "$call" "$at" switch-on "$small" --quiet --for 0.1s --out out
    if [ "$code" -eq 0 ]; then # mkdir: the folder was there
      [ "$call" = mkdir ] || complain "$what: exit code 0"
      continue
    fi
    [ "$code" -eq 5 ] || { complain "$what: exit code $code" && cat "$work/said/err"; }
    err_has ": $reason"
    [ "$(grep -c '^error: ' "$work/said/err")" -eq 1 ] || complain "$what: not one sentence"
    whole
  done
done

# No rename works any more, not even the way back: what is aside is kept, and the next run begins by
# bringing it back.
again
flags=FAULT_ALL=1
errno=5
faulty rename 9 switch-on "$small" --quiet --for 0.1s --out out
err_has "; the earlier results are in "
flags=
faulty write 1 switch-on "$small" --quiet --for 0.1s --out out
whole

# Killed while files move: another run, which fails, leaves the earlier results or the new ones.
again
faulty rename 0 switch-on "$small" --quiet --for 0.1s --out out
all=$n
errno=28
for at in $(seq 1 "$all"); do
  again
  flags=FAULT_KILL=1
  faulty rename "$at" switch-on "$small" --quiet --for 0.1s --out out
  [ "$code" -eq 137 ] || complain "$what: exit code $code"
  flags=
  faulty write 1 switch-on "$small" --quiet --for 0.1s --out out
  [ "$code" -eq 5 ] || complain "$what: exit code $code"
  (cd out && sums .) >out.sums
  cmp -s old.sums out.sums || cmp -s new.sums out.sums ||
    { complain "$what: after the kill: of no one run:" && diff new.sums out.sums; }
done

# Killed while they are written: what it left goes with the next run, and so does a folder that
# was made for it.
rm -rf out
flags=FAULT_KILL=1
faulty write 2 switch-on "$small" --quiet --for 0.1s --out out
[ "$(find out -name '.partial-*' | wc -l)" -eq 1 ] || complain "$what: nothing is left"
flags=
run 0 switch-on "$small" --quiet --no-plots --for 0.1s --out out
[ "$(find out -name '.*' | wc -l)" -eq 0 ] || { complain "$what:" && find out; }
# A run that is still on is left alone: this shell's number stands for it.
mkdir "out/.partial-$$-0"
run 0 switch-on "$small" --quiet --no-plots --for 0.1s --out out
exists "out/.partial-$$-0"

# Every other command that leaves files: its first, a middle and its last write, and its last rename.
each() {
  rm -rf out
  faulty write 0 "$@" --out out
  [ "$code" -eq 0 ] || { complain "$what: exit code $code" && cat "$work/said/err"; }
  all=$n
  for at in 1 $(((all + 1) / 2)) "$all"; do
    rm -rf out
    faulty write "$at" "$@" --out out
    [ "$code" -eq 5 ] || { complain "$what of $all: exit code $code" && cat "$work/said/err"; }
    err_has ": No space left on device"
    missing out
  done
  rm -rf out
  faulty rename 0 "$@" --out out
  all=$n
  rm -rf out
  faulty rename "$all" "$@" --out out
  [ "$code" -eq 5 ] || { complain "$what of $all: exit code $code" && cat "$work/said/err"; }
  missing out
}
each compare "$small" --for 0.1s --jobs 2 --no-plots
each try "$small" R2.resistance=2kohm,3kohm --for 0.1s --jobs 2 --no-plots
each find-value "$small" --change R2.resistance --so-that "B+ settled-voltage = 140 V"
each tolerances "$small" --samples 8 --jobs 2 --no-plots
each diagnose "$small" --reading "B+ settled-voltage = 70 V" --jobs 2 --no-plots
each schematic "$small"
each report "$small" --for 0.1s --no-plots
each exercise "$small" --pupils 1 --jobs 2
each bench-sheet "$small" --jobs 2
each buy-list "$small" --for 0.1s
each discharge "$small"
each fuse "$small"
each hot-chassis "$small"
each reform --value 20uF --rated 450V --no-plots

# A file that `new` cannot write is not begun.
errno=28
faulty write 1 new field-coil set.yaml
[ "$code" -eq 5 ] || complain "$what: exit code $code"
err_has "set.yaml: No space left on device"
missing set.yaml
done_
