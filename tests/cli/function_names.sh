# SPDX-License-Identifier: GPL-3.0-or-later
# A public function begins with the subject of the file that declares or defines it: the file's
# name or its first words, one or many of them (`curve_` in curves.h, `buy_` in buy_sizes.c).
. "$(dirname "$0")/expect.sh"
cd "$source/src" || exit 1

# FILE FUNCTION for each that begins in column 0 of the files read from standard input.
functions() {
  xargs awk '
    /^(static|typedef|extern)/ && !/^static inline/ { next }
    match($0, /^([a-z][A-Za-z0-9_ *]*[ *])?[a-z][a-z0-9_]*\(/) {
      name = substr($0, 1, RLENGTH - 1); sub(/.*[ *]/, "", name); print FILENAME, name }'
}
find . -name '*.h' ! -name numbers.h | functions >"$work/declared" # numbers.h: sq, larger, clamp
find . -name '*.c' | functions >"$work/defined"
[ "$(grep -c . "$work/declared")" -ge 400 ] || complain "few functions were found: mend this test"
grep -q ' wave_step$' "$work/declared" || complain "wave_step was not found: mend this test"

awk 'function bears(name, file, one) {
       sub(/.*\//, "", file); sub(/(_impl)?\.[ch]$/, "", file)
       for (; file != ""; sub(/_?[^_]*$/, "", file)) {
         one = file; sub(/s$/, "", one)
         if (name ~ "^(" one "s?)(_|$)") return 1 }
       return 0 }
     FNR == NR { source[$2] = $1; next }
     !bears($2, $1) && !bears($2, source[$2]) { print $2 " in " $1 ", " source[$2] }' \
  "$work/defined" "$work/declared" >"$work/strange"
[ ! -s "$work/strange" ] || complain "do not bear their file's name: $(cat "$work/strange")"
done_
