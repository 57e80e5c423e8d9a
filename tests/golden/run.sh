#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Compares what the commands with long texts tell, byte by byte, with the files beside this script.
# usage: run.sh PROGRAM SOURCE_DIR    (PRESOLDER_REWRITE=1: writes the files anew)
# Each run is as short as its story allows. Results go to `out` in a temporary folder that the
# program stands in, so that the path in the text is the same everywhere.
set -u

program=$1
source=$2
golden=$source/tests/golden
PRESOLDER_DATA=$source
export PRESOLDER_DATA
work=$(mktemp -d "${TMPDIR:-/tmp}/golden.XXXXXX") || exit 2
trap 'rm -rf "$work"' EXIT
trap 'exit 2' HUP INT TERM
cd "$work" || exit 2
differ=0

# golden FILE SCENARIO TIME [VARIANT]
golden() {
    sheet "$1" switch-on "$2" --for "$3" --variant "${4:-base}" --no-plots
}

# sheet FILE COMMAND ARGUMENTS...
sheet() {
    name=$1
    file=$golden/$name.txt
    shift
    if "$program" "$@" --out out >told 2>errors; then :; else
        echo "FAILED: $name: exit code $?"
        cat errors
        differ=1
        return
    fi
    if [ "${PRESOLDER_REWRITE:-0}" = 1 ]; then
        cp told "$file" || differ=1
    elif ! cmp -s "$file" told; then
        echo "DIFFERS: $name (- kept, + now)"
        diff -u "$file" told
        differ=1
    fi
}

# hot SCENARIO: its copy in this folder that starts with warm cathodes
hot() {
    sed 's/^run:$/&\
  start: hot/' "$source/scenarios/$1.yaml" >"$1-hot.yaml"
}

here=$source/scenarios
hot back-bias

golden field-coil "$here/field-coil.yaml" 30s
sheet field-coil-full switch-on "$here/field-coil.yaml" --for 30s --no-plots --full
golden field-coil-silicon "$here/field-coil.yaml" 25s silicon
golden field-coil-open "$here/field-coil.yaml" 25s "field coil open"
golden ac-dc "$here/ac-dc.yaml" 45s
golden doubler-dried-out "$here/doubler.yaml" 30s "one capacitor dried out"
golden choke-input "$here/choke-input.yaml" 10s
golden back-bias back-bias-hot.yaml 3s
golden back-bias-wrong-negative back-bias-hot.yaml 3s "wrong negative"
golden selenium-portable-silicon "$here/selenium-portable.yaml" 2s silicon
golden first-power "$here/first-power.yaml" 40s
golden amplifier-line-fails "$here/amplifier.yaml" 33s "line fails for two seconds"
sheet discharge-doubler discharge "$here/doubler.yaml"
sheet reform-specimen reform --value 20uF --rated 450V --at 350V --no-plots
sheet hot-chassis-ac-dc hot-chassis "$here/ac-dc.yaml"
sheet buy-list-back-bias buy-list "$here/back-bias.yaml" --for 4s
sheet buy-list-selenium buy-list "$here/selenium-portable.yaml"
sheet fuse-field-coil fuse "$here/field-coil.yaml" --for 5s
sheet fuse-ac-dc fuse "$here/ac-dc.yaml" --for 5s
sheet bench-sheet-field-coil bench-sheet "$here/field-coil.yaml"
sheet bench-sheet-ac-dc bench-sheet "$here/ac-dc.yaml"
sheet bench-sheet-selenium-portable bench-sheet "$here/selenium-portable.yaml"

# Of an ordinary set one screen and a half of 24 lines; nothing wider than 80 columns.
for name in ac-dc back-bias choke-input field-coil first-power; do
    lines=$(wc -l <"$golden/$name.txt")
    [ "$lines" -le 36 ] || { echo "TOO LONG: $name has $lines lines"; differ=1; }
done
awk 'length($0) > 80 {print "TOO WIDE: " FILENAME ": " $0; wide = 1} END {exit wide}' \
    "$golden"/[a-z]*.txt || differ=1

[ $differ -eq 0 ] || echo "Once every change is meant, PRESOLDER_REWRITE=1 writes the files anew."
exit $differ
