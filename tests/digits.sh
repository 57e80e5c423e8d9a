#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# digits.sh ONE OTHER WORK: both programs, of other compilers and optimisation, must say and write the
# same to the last byte: switch-on of every shipped scenario, and every command of a small set, the one
# with --jobs 1 and the other with --jobs 7. A command not named below is run as `COMMAND SCENARIO`.
set -u
cd "$(dirname "$0")/.." || exit 1
one=$1
other=$2
work=$3
small=tests/cli/small.yaml
failed=0
rm -rf "$work"
mkdir -p "$work/one" "$work/two"

# differ NAME ARGUMENTS...: runs both and compares what they say and the folders they write. Run times
# and the folders' names are no digits.
differ() {
  name=$1
  shift
  for side in one two; do
    program=$one
    jobs="--jobs 1"
    [ $side = one ] || program=$other jobs="--jobs 7"
    case $options in *--jobs*) ;; *) jobs= ;; esac
    out=
    case $options in *--out*) out="--out $work/$side/$name" ;; esac
    plots=
    case $options in *--no-plots*) plots=--no-plots ;; esac
    # lists of words
    # shellcheck disable=SC2086
    "$program" "$@" $jobs $out $plots </dev/null >"$work/$side/$name.said" 2>"$work/$side/$name.err"
    code=$?
    echo "exit code $code" >>"$work/$side/$name.said"
    sed -i "s|$work/$side|OUT|g; / runs* in .* jobs* busy /d" "$work/$side/$name.said"
    if [ $code -ge 2 ]; then
      echo "FAILED: presolder $*: exit code $code" && cat "$work/$side/$name.err"
      failed=1
    fi
  done
  if cmp "$work/one/$name.said" "$work/two/$name.said" &&
    { [ ! -d "$work/one/$name" ] || diff -rq "$work/one/$name" "$work/two/$name"; }; then
    return
  fi
  echo "FAILED: other digits: presolder $*"
  failed=1
}

options="--out --no-plots"
for scenario in scenarios/*.yaml; do
  differ "$(basename "$scenario" .yaml)" switch-on "$scenario" --for 1s --quiet
done
differ field-coil-12 switch-on scenarios/field-coil.yaml --for 12s

commands=$("$one" --help | sed -n '/^commands:/,/^$/s/^  \([a-z-]*\) .*/\1/p')
count=0
for command in $commands; do
  options=$("$one" "$command" --help | sed -n '/^options:/,/^$/s/^  \(--[a-z-]*\).*/\1/p')
  case $command in
  new) differ new new ;;
  parts) differ parts parts rectifier ;;
  schema) differ schema schema ;;
  compare) differ compare compare $small --for 0.3s ;;
  try) differ try try $small R2.resistance=1kohm,2kohm,3kohm ;;
  find-value)
    differ find-value find-value $small --change R2.resistance \
      --so-that "B+ settled-voltage = 140 V"
    ;;
  tolerances) differ tolerances tolerances $small --samples 60 ;;
  diagnose) differ diagnose diagnose $small --reading "B+ DC = 137 V" --reading "B+ AC = 9.4 V" ;;
  reform) differ reform reform --value 20uF --rated 450V ;;
  *) differ "$command" "$command" $small ;;
  esac
  count=$((count + 1))
done
[ $count -gt 10 ] || { echo "FAILED: only $count commands are listed" && failed=1; }
[ $failed -eq 0 ] && echo "same digits: all scenarios, $count commands"
exit $failed
