#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# digits.sh WORK PROGRAM...: all programs, of other compilers and optimisation, must say and write the
# same to the last byte: switch-on of every shipped scenario, and every command of a small set, the first,
# third ... with --jobs 1 and the others with --jobs 7. A command not named below is run as
# `COMMAND SCENARIO`.
set -u
cd "$(dirname "$0")/.." || exit 1
work=$1
shift
programs=$*
one=$1
small=tests/cli/small.yaml
failed=0
rm -rf "$work"

# differ NAME ARGUMENTS...: runs all and compares what they say and the folders they write. Run times
# and the folders' names are no digits.
differ() {
  name=$1
  shift
  side=0
  same=1
  for program in $programs; do
    side=$((side + 1))
    here=$work/$side
    mkdir -p "$here"
    jobs=
    case $options in *--jobs*) jobs="--jobs $((side % 2 ? 1 : 7))" ;; esac
    out=
    case $options in *--out*) out="--out $here/$name" ;; esac
    plots=
    case $options in *--no-plots*) plots=--no-plots ;; esac
    # lists of words
    # shellcheck disable=SC2086
    "$program" "$@" $jobs $out $plots </dev/null >"$here/$name.said" 2>"$here/$name.err"
    code=$?
    echo "exit code $code" >>"$here/$name.said"
    sed -i "s|$here|OUT|g; / runs* in .* jobs* busy /d" "$here/$name.said"
    if [ $code -ge 2 ]; then
      echo "FAILED: presolder $*: exit code $code" && cat "$here/$name.err"
      failed=1
    fi
    [ $side -gt 1 ] || continue
    cmp "$work/1/$name.said" "$here/$name.said" || same=0
    [ ! -d "$work/1/$name" ] || diff -rq "$work/1/$name" "$here/$name" || same=0
  done
  [ $same -eq 0 ] || return
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
[ $failed -eq 0 ] && echo "same digits: $# programs, all scenarios, $count commands"
exit $failed
