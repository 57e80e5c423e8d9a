# SPDX-License-Identifier: GPL-3.0-or-later
# Needs: command -v mandoc
# Manual pages: one of every command, with all its options, without a fault in its markup.
. "$(dirname "$0")/expect.sh"

run 0 manual .
silent
# Pages refer to others that are not installed here: style, not a warning.
mandoc -Tlint -W warning ./*.1 ./*.5 2>&1 | grep -v 'missing date' >"$work/said/lint"
[ -s "$work/said/lint" ] && complain "markup:" && cat "$work/said/lint"

page() { mandoc -Tascii -Owidth=200 "$1" | sed 's/.\x08//g' >"$work/said/page"; }
page_has() { has "$work/said/page" "$1"; }

run 0 --help
sed -n '/^commands:/,/^$/s/^  \([a-z-]*\) .*/\1/p' "$work/said/out" >"$work/commands"
page presolder.1
while read -r command; do page_has "presolder-$command(1)"; done <"$work/commands"
page_has "Discharge"
page_has "interrupted"
while read -r command; do
  run 0 "$command" --help
  sed -n '/^options:/,/^$/s/^  \(--[a-z-]*\).*/\1/p' "$work/said/out" >"$work/options"
  sed -n 's/^example:$//;/^  presolder /p' "$work/said/out" | sed 's/^ *//' >"$work/example"
  page "presolder-$command.1"
  while read -r option; do page_has "$option"; done <"$work/options"
  page_has "$(cat "$work/example")"
done <"$work/commands"

# Every key and fault of every kind.
page presolder-scenario.5
for kind in capacitor rectifier "power transformer" load; do
  run 0 parts "$kind"
  sed -n '/^  keys:/,/^  [a-z]*:/s/^    \([a-z][a-z0-9 -]*\): .*/\1/p' "$work/said/out" >"$work/keys"
  [ -s "$work/keys" ] || complain "no keys of $kind"
  while read -r key; do page_has "$key"; done <"$work/keys"
done
page_has "closes at"
page_has "based on"

run 2 manual
run 5 manual there-is-no-such-folder
err_has "there-is-no-such-folder/presolder.1"
done_
