# SPDX-License-Identifier: GPL-3.0-or-later
# What is too large, what ends too early or too late, and what lies in the folder already.
. "$(dirname "$0")/expect.sh"
cp "$here/small.yaml" .
cases=$source/tests/cases

# Every set that once was trouble is answered by an exit code of its own making.
for case in "$cases"/*.yaml; do
  for command in check switch-on; do
    options="--quiet --out cases"
    [ "$command" = check ] && options=--quiet
    [ "$command" = switch-on ] && options="$options --no-plots --for 0.1s"
    what="$command $case"
    timeout 600 "$program" "$command" "$case" $options >"$work/said/out" 2>"$work/said/err" </dev/null
    code=$?
    case $code in
    0) ;;
    3 | 4) grep -q -e '^error: ' -e ': error: ' -e '^warning: ' "$work/said/err" || complain "$what: no word" ;;
    *) complain "$what: exit code $code" && cat "$work/said/err" ;;
    esac
  done
done

# Twelve thousand parts, or a title of a megabyte, are no set.
{
  echo "format: 1"
  echo "reference: neutral"
  echo "mains: {voltage: 117 V, frequency: 60 Hz}"
  echo "parts:"
  seq 1 12000 | sed 's/.*/  R&: {is: resistor, across: [line, neutral], resistance: 500 kohm}/'
} >many.yaml
run 3 check many.yaml
err_has "many.yaml:4:1: error: there are 12000 parts; at most 1000 are read"
sed '1002,$d' many.yaml >most.yaml
run 0 check most.yaml --quiet
{
  sed -n 1,2p many.yaml
  printf 'title: '
  head -c 1000000 /dev/zero | tr '\0' x
  echo
  sed -n 3,5p many.yaml
} >title.yaml
run 3 check title.yaml
err_has "title.yaml:3:8: error: this text has 1000000 bytes; at most 4000 are read"

# What a spreadsheet would compute comes as text into every table.
run 0 compare "$cases/formula-names.yaml" --quiet --no-plots --for 0.1s --out formula
run 0 switch-on "$cases/formula-names.yaml" --quiet --no-plots --for 0.1s --out formula/one
for table in formula/figures.csv formula/one/trace.csv; do
  tr -d '"' <"$table" | tr ',' '\n' | grep -q '^[=+@]' && complain "a formula in $table"
  grep -q "'=cmd\|'+cmd" "$table" || complain "no such name in $table"
done

# One folder is of one run: what an earlier one left goes when figures come, but not what is mine.
echo mine >mine
all() {
  command=$1
  shift
  run 0 "$command" small.yaml "$@" --quiet --out one
  mkdir -p one/plots
  cp mine one/mine.csv
  cp mine one/plots/mine.svg
}
all switch-on --for 0.1s
exists one/trace.csv one/heat.csv one/plots/turn-on.gp
all compare --for 0.1s
missing one/trace.csv one/heat.csv one/restart.csv one/plots/turn-on.gp one/plots/turn-on.svg
exists one/plots/point-B+.gp one/mine.csv one/plots/mine.svg
all try R2.resistance=2kohm,3kohm --for 0.1s
missing one/plots/point-B+.gp one/plots/point-B+.svg
exists one/try.csv one/plots/volts.gp one/mine.csv one/plots/mine.svg
all switch-on --for 0.1s --no-plots
missing one/try.csv one/plots/volts.gp one/plots/volts.svg
[ "$(ls one/plots)" = mine.svg ] || complain "other pictures are left"
run 0 reform --value 20uF --rated 450V --quiet --out one
exists one/figures.csv one/plots/reform.gp
run 0 reform --value 20uF --rated 450V --quiet --no-plots --out one
missing one/plots/reform.gp one/plots/reform.svg

# A gnuplot that says it has drawn, and has not.
mkdir bin
fake() {
  printf '#!/bin/sh\n%s\n' "$1" >bin/gnuplot
  chmod +x bin/gnuplot
}
fake 'exit 0'
what="gnuplot without pictures"
(PATH="$PWD/bin" "$program" switch-on small.yaml --for 0.1s --out fake) \
  >"$work/said/out" 2>"$work/said/err" || complain "$what: exit code $?"
grep -q '^Pictures' "$work/said/out" && complain "$what: named"
err_has "note: gnuplot did not draw turn-on.gp"

# One that hangs ends with the program, and so does what it started; a run that was whole is kept.
fake 'sleep 1234 & echo $$ >'"$PWD"'/drawing; sleep 1234'
for signal in INT TERM HUP; do
  what="gnuplot hangs, $signal"
  rm -f drawing
  env --default-signal=INT,HUP PATH="$PWD/bin:$PATH" "$program" switch-on small.yaml --for 0.1s --out hung \
    >"$work/said/out" 2>"$work/said/err" </dev/null &
  for i in $(seq 600); do [ -s drawing ] && break || sleep 0.1; done
  kill -s $signal $!
  wait $!
  [ $? -eq 6 ] || complain "$what: exit code $?"
  kill -0 "$(cat drawing)" 2>/dev/null && complain "$what: it is still there"
  [ "$(find hung -name '.partial*' | wc -l)" -eq 0 ] || complain "$what: partial files are left"
  exists hung/figures.csv
done

# Twice at once while a study writes its figures: nothing is left of it.
interrupted "INT TERM" 20000 try small.yaml R2.resistance=1kohm..9kohm/900 --quiet --no-plots \
  --cold --for 100h --out studied
missing studied/figures.csv
[ "$(find . -name '.partial*' | wc -l)" -eq 0 ] || complain "$what: partial files are left"

# Equations that cannot be solved name parts and points, and say what to do.
unsolved() {
  {
    printf 'format: 1\nreference: neutral\nrun: {for: 10 ms}\nparts:\n'
    cat
  } >unsolved.yaml
  run 4 switch-on unsolved.yaml --quiet --no-plots --out unsolved
  err_has "$1"
}
unsolved 'contradictory sources: B1, B2; give one of them some resistance' <<'END'
  B1: {is: battery, across: [a, neutral], voltage: 100 V, resistance: 0 ohm}
  B2: {is: battery, across: [a, neutral], voltage: 90 V, resistance: 0 ohm}
  R1: {is: resistor, across: [a, neutral], resistance: 50 ohm}
END
unsolved 'some currents and potentials: C2; nothing joins them to the rest of the set, or their values are' <<'END'
  B1: {is: battery, across: [line, neutral], voltage: 100 V, resistance: 1 kohm}
  C0: {is: capacitor, across: [line, b], value: 10000000 uF, rated: 450 V, series resistance: 0 ohm, leakage: none}
  C1: {is: capacitor, across: [b, c], value: 0.001 pF, rated: 450 V, series resistance: 0 ohm, leakage: none}
  C2: {is: capacitor, across: [c, line], value: 0.001 pF, rated: 450 V, series resistance: 0 ohm, leakage: none}
  R2: {is: resistor, across: [b, neutral], resistance: 1 kohm}
  R3: {is: resistor, across: [c, neutral], resistance: 1 kohm}
END

# A stray inductance that is given by other currents, drowned by what its transformer loses.
sed -e 's/^    core loss: .*/    core loss: 65536 W/' -e 's/resistance: 0\.12 ohm/resistance: 6613.08 ohm/' \
  -e 's/rated: 6\.3 V 1\.5 A/rated: 54.9616 V 1.5 A/' "$source/scenarios/vibrator.yaml" >lossy.yaml
run 4 switch-on lossy.yaml --for 0.1s --quiet --no-plots --out lossy
err_has "the equations contradict one another: T1; "
missing lossy

# A working folder that is no more.
mkdir gone
(cd gone && rmdir ../gone && "$program" switch-on ../box/small.yaml --quiet) >"$work/said/out" \
  2>"$work/said/err"
[ $? -eq 3 ] || complain "without a working folder: exit code"
err_has "there is no such file"
done_
