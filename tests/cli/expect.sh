# SPDX-License-Identifier: GPL-3.0-or-later
# What the tests of the command line share; read with `.` by every one of them.
#
# Called as: sh TEST.sh PROGRAM SOURCE-FOLDER CMAKE INTERRUPTS. Every test works in a folder of its own.
set -u
program=$1
source=$2
cmake=$3
interrupts=$4
here=$source/tests/cli
unset PRESOLDER_DATA
LC_ALL=C
export LC_ALL
work=$(mktemp -d) || exit 1
trap 'chmod -R u+w "$work"; rm -rf "$work"' EXIT
cd "$work" || exit 1
mkdir "$work/box" "$work/said"
cd "$work/box" || exit 1
failures=0

complain() {
  printf 'FAILED: %s\n' "$*"
  failures=$((failures + 1))
}

# run CODE ARGUMENTS...: runs the program, keeps what it says, compares its exit code.
run() {
  wanted=$1
  shift
  what="presolder $*"
  "$program" "$@" >"$work/said/out" 2>"$work/said/err" </dev/null
  code=$?
  [ "$code" -eq "$wanted" ] && return
  complain "$what: exit code $code, not $wanted; it said:"
  cat "$work/said/out" "$work/said/err"
}

# interrupt SIGNALS STEP ARGUMENTS...: runs it interrupted in that step of the integrator, in step 0 never; leaves
# the number of steps in $steps. (A test in the background would ignore SIGINT; a sanitizer wishes to be loaded first.)
interrupt() {
  signals=$1 step=$2
  shift 2
  what="$signals in step $step: presolder $*"
  rm -f "$work/said/steps"
  env --default-signal=INT,TERM INTERRUPT_BY="$signals" INTERRUPT_AT="$step" INTERRUPT_TOLD="$work/said/steps" \
    ASAN_OPTIONS=verify_asan_link_order=0 LD_PRELOAD="$interrupts" "$program" "$@" \
    >"$work/said/out" 2>"$work/said/err" </dev/null
  code=$?
  steps=0
  [ -s "$work/said/steps" ] && read -r steps <"$work/said/steps"
}

# The same, and it must have been: exit code 6.
interrupted() {
  interrupt "$@"
  [ "$code" -eq 6 ] && return
  complain "$what: exit code $code, not 6; it said:"
  cat "$work/said/out" "$work/said/err"
}

# out, err: what the last run said must be exactly the text on standard input.
same() {
  # PRESOLDER_REWRITE=1: an expected text that is a file of its own becomes what was said.
  case ${PRESOLDER_REWRITE:+$(readlink "/proc/$$/fd/0")} in
  *.txt) cp "$1" "$(readlink "/proc/$$/fd/0")" ;;
  esac
  cat >"$work/said/wanted"
  cmp -s "$work/said/wanted" "$1" && return
  complain "$what: not as wanted (-) but (+):"
  diff -u "$work/said/wanted" "$1" | sed 1,2d
}
out() { same "$work/said/out"; }
err() { same "$work/said/err"; }
silent() {
  [ -s "$work/said/out" ] && complain "$what: it said something:" && cat "$work/said/out"
  [ -s "$work/said/err" ] && complain "$what: it complained:" && cat "$work/said/err"
}
quiet_err() { [ -s "$work/said/err" ] && complain "$what: it complained:" && cat "$work/said/err"; }

# err_has, out_has TEXT
has() { grep -qF -e "$2" "$1" || { complain "$what: lacks: $2" && cat "$1"; }; }
out_has() { has "$work/said/out" "$1"; }
err_has() { has "$work/said/err" "$1"; }

# exists, missing FILE...
exists() { for f; do [ -e "$f" ] || complain "$what: $f is missing"; done; }
missing() { for f; do [ ! -e "$f" ] || complain "$what: $f is there"; done; }

# The sums of all files of a folder, hidden ones too: equal sums, equal folder.
sums() { find "$1" -type f -exec cksum {} + | sort; }

done_() {
  [ "$failures" -eq 0 ] && exit 0
  echo "$failures failed"
  exit 1
}
