# SPDX-License-Identifier: GPL-3.0-or-later
# Nothing above `parts` knows a kind of part by its name or its table, and nothing above `scenario`
# reads a part's keys again: parts answer for themselves (part.h, fault.h), and measures (measure.h).
. "$(dirname "$0")/expect.sh"
cd "$source/src" || exit 1

# never PATTERN FOLDER...: the pattern is in `parts`, or it would find nothing anywhere, and in no
# file of the folders.
never() {
  pattern=$1
  shift
  grep -rqE "$pattern" parts || complain "nothing matches $pattern any more: mend this test"
  grep -rnE "$pattern" "$@" && complain "a kind is known outside of parts: $pattern"
}

above="run judge schematic study output cli"
never '(&|\b)kind_[a-z_]+\b *[,;)=]' scenario $above
never '"kinds\.h"' scenario $above
never 'strcmp\([^;]*kind->name' scenario $above
never '\b(part_node|part_value|part_word|part_phrase|part_names?)\(' judge study output cli
never 'part->(map|own)\b' $above
grep -rnE 'node_get\([^;]*->(map|own)\b' judge study output cli &&
  complain "a part's keys are read again"

# The names as in `is:`, of the tables of the kinds.
names=$(sed -n 's/^    \.name = "\(.*\)",$/\1/p' parts/*.c)
[ "$(printf '%s\n' "$names" | grep -c .)" -ge 14 ] || complain "the names of the kinds: $names"
printf '%s\n' "$names" >"$work/names"
while read -r name; do
  grep -rnE "strcmp\([^;]*\"$name\"" scenario $above && complain "the kind \`$name\` by its name"
done <"$work/names"

# A measure is known to its row and to what computes it; what else asks of it is a field of the row.
set -- $(grep -rlw MEASURE_RIPPLE_RMS .)
[ $# -le 2 ] || complain "one measure in many files: $*"
done_
