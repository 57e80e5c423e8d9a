# SPDX-License-Identifier: GPL-3.0-or-later
# Memory runs out, at every single allocation of `check` and at some of every other command: exit
# code 4, one sentence, no file, nothing that was not given back.
. "$(dirname "$0")/../cli/expect.sh"
faults=$5
small=$here/small.yaml

# starved N COMMAND...: the N-th allocation fails; 0: none. Their number is in $n afterwards.
starved() {
  at=$1
  shift
  what="allocation $at of presolder $*"
  rm -f told
  FAULT_CALL=alloc FAULT_AT=$at FAULT_TOLD=told LD_PRELOAD=$faults "$program" "$@" \
    >"$work/said/out" 2>"$work/said/err" </dev/null
  code=$?
  n=0
  left=-1
  [ -s told ] && read -r n left <told
  [ "$left" -ge 0 ] || { complain "$what: exit code $code, by no exit" && cat "$work/said/err"; }
}

what="check"
FAULT_EACH=each LD_PRELOAD=$faults "$program" check "$small" >"$work/said/out" 2>"$work/said/err"
# The last one is the buffer of standard output, which libc does without.
sed '$d' each | grep -v ' exit 4 left 0: error: out of memory|$' >other
[ -s other ] && complain "an allocation of check" && head other
[ "$(wc -l <each)" -gt 1000 ] || complain "only $(wc -l <each) allocations were tried"

# some TIMES COMMAND ARGUMENTS...: allocations spread over what comes after the catalogue.
starved 0 parts 5Y3-GT
catalogue=$n
some() {
  times=$1
  shift
  starved 0 "$@"
  [ "$code" -eq 0 ] || { complain "$what: exit code $code" && cat "$work/said/err"; }
  all=$n
  kept=$left # the buffer of standard output, and what threads keep
  rm -rf out
  grep -v ' runs* in ' "$work/said/out" >whole
  for k in $(seq 1 "$times"); do
    starved $((catalogue + (all - catalogue) * k / times - (k % 3))) "$@"
    [ "$left" -le "$kept" ] || complain "$what: $left blocks of memory are left"
    if [ "$code" -eq 0 ]; then # libc does without some
      { grep -v ' runs* in ' "$work/said/out" | cmp -s whole -; } || complain "$what: said otherwise"
      rm -rf out
      continue
    fi
    [ "$code" -eq 4 ] || complain "$what: exit code $code"
    [ "$(grep -c '^error: .*out of memory$' "$work/said/err")" -eq 1 ] &&
      [ "$(grep -c . "$work/said/err")" -le 2 ] ||
      { complain "$what: it said:" && cat "$work/said/err"; }
    [ -e out ] && complain "$what: it left" && find out && rm -rf out
  done
}
some 12 switch-on "$small" --for 0.1s --no-plots --out out
some 20 compare "$small" --for 0.1s --jobs 2 --no-plots --out out
some 20 try "$small" R2.resistance=2kohm,3kohm --for 0.1s --jobs 2 --no-plots --out out
some 20 find-value "$small" --change R2.resistance --so-that "B+ settled-voltage = 140 V" --out out
some 12 discharge "$small" --out out
some 12 reform --value 20uF --rated 450V --no-plots --out out
some 12 hot-chassis "$small" --out out
some 12 fuse "$small" --out out
some 12 buy-list "$small" --for 0.1s --out out
printf 'kind,value,rating\nresistor,30 ohm,10 W\n' >drawer.csv
some 8 buy-list "$small" --for 0.1s --stock drawer.csv --out out
some 12 report "$small" --for 0.1s --no-plots --out out
some 6 report "$small" --for owner --for 0.1s --out out
some 4 bench-sheet "$small" --jobs 2 --out out
some 16 exercise "$small" --pupils 1 --jobs 2 --out out
some 16 exercise "$small" --pupils 1 --level 3 --jobs 2 --out out
some 4 tolerances "$small" --samples 8 --jobs 2 --no-plots --out out
some 4 diagnose "$small" --reading "B+ settled-voltage = 70 V" --jobs 2 --no-plots --out out
some 12 schematic "$small" --out out
some 6 parts
some 6 schema
catalogue=0
some 6 new
done_
