#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Makes the wrong changes of list.txt one by one in a copy of the tree, runs the tests concerned and
# tells which change no test has noticed.
#   run.sh FOLDER [WORD]   the copy and its build lie in FOLDER; only changes with WORD in their
#                          first line
# Ends with 0 when every change was noticed, with 1 when one survived, is stale or does not compile.
set -u
here=$(cd "$(dirname "$0")" && pwd)
mkdir -p "$1" && cd "$1" || exit 2
word=${2-}
jobs=$(nproc)
renice -n 19 -p $$ >/dev/null
ulimit -c 0
export CMOCKA_TEST_ABORT=1 # a test program ends at its first failure
survived=0 killed=0 stale=0 broken=0

# replaced FILE OLD NEW: the file with OLD, which must stand in it exactly once, made NEW.
replaced() {
  OLD=$2 NEW=$3 awk '
    { lines[NR] = $0
      for (rest = $0; (at = index(rest, ENVIRON["OLD"])) > 0; rest = substr(rest, at + 1)) {
        found++; line = NR; column = length($0) - length(rest) + at } }
    END {
      if (found != 1) exit 1
      for (k = 1; k <= NR; k++)
        print k != line ? lines[k] : substr(lines[k], 1, column - 1) ENVIRON["NEW"] \
          substr(lines[k], column + length(ENVIRON["OLD"])) }' "$1"
}

# build TESTS: what they need; test_NAME is a target, a test of the command line runs the program.
build() {
  targets=
  for test in $1; do
    case $test in
    test_*) targets="$targets $test" ;;
    *) targets="$targets presolder" ;;
    esac
  done
  # shellcheck disable=SC2086
  cmake --build build -j "$jobs" --target $targets >build.log 2>&1
}

# passes SECONDS TESTS: all of them do, each within so many.
passes() {
  pattern="^($(echo "$2" | sed 's/  */|/g'))\$"
  (cd build && ctest -j "$jobs" -R "$pattern" --timeout "$1" --stop-on-failure \
    --no-tests=error >../test.log 2>&1 </dev/null)
}

# limit TESTS: seconds after which one of them has noticed, since a wrong change may make a loop
# endless: ten, and five times what the slowest took without one.
limit() {
  echo "$1" | tr ' ' '\n' | awk 'NR == FNR { took[$1] = $2; next }
    took[$1] > most { most = took[$1] } END { printf "%.0f", 10 + 5 * most }' times -
}

# mutant FILE TITLE OLD NEW TESTS
mutant() {
  if ! replaced "tree/$1" "$3" "$4" >mutant; then
    stale=$((stale + 1))
    echo "STALE     $1: $2 (not found exactly once)"
    return
  fi
  cp "tree/$1" original
  cp mutant "tree/$1"
  if ! build "$5"; then
    broken=$((broken + 1))
    echo "BROKEN    $1: $2 (does not compile)"
  elif passes "$(limit "$5")" "$5"; then
    survived=$((survived + 1))
    echo "SURVIVED  $1: $2 ($5)"
  else
    killed=$((killed + 1))
    late=
    if grep -q '\*\*\*Timeout' test.log; then late=" (took too long)"; fi
    echo "killed    $1: $2$late"
  fi
  cp original "tree/$1"
}

rm -rf tree mutant original
mkdir tree
for name in CMakeLists.txt README.md DEVELOPERS.md models plots scenarios src tests; do
  cp -R "$here/../../$name" tree/ || exit 2
done
launcher=
if command -v ccache >/dev/null; then launcher=-DCMAKE_C_COMPILER_LAUNCHER=ccache; fi
cmake -S tree -B build -DCMAKE_BUILD_TYPE=Debug -DCMAKE_C_FLAGS_DEBUG=-O1 $launcher >build.log 2>&1 ||
  { cat build.log; exit 2; }
# Only what this list names, each entry as five lines.
awk -v word="$word" '
  /^#/ || /^$/ { next }
  /^[-+?] / { if (kept) print substr($0, 3); next }
  { kept = word == "" || index($0, word)
    if (kept) { print substr($0, 1, index($0, ": ") - 1); print substr($0, index($0, ": ") + 2) } }
' "$here/list.txt" >entries
all=$(awk 'NR % 5 == 0' entries | tr ' ' '\n' | sort -u | tr '\n' ' ' | sed 's/ $//')
if ! build "$all" || ! passes 900 "$all"; then
  grep -E 'error|\*\*\*' build.log test.log
  echo "The tests do not pass without a wrong change: see build.log and test.log in $PWD."
  exit 2
fi
awk '/ Passed / { print $4, $(NF - 1) }' test.log >times
while read -r file && read -r title && IFS= read -r old && IFS= read -r new && read -r tests; do
  mutant "$file" "$title" "$old" "$new" "$tests"
done <entries
echo "$killed killed, $survived survived, $stale stale, $broken broken"
[ $((survived + stale + broken)) -eq 0 ]
