#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# analyze.sh SOURCE: what cppcheck and gcc's analyser say of the program; silent when nothing.
set -u
cd "$1" || exit 1
failed=0
folders=$(find src -type d | sed 's/^/-I/')
# objectIndex: takes a row of a matrix for a pointer to one number. uninitvar: does not see that
# session_settle looks at none but the rounds before.
if command -v cppcheck >/dev/null; then
  # $folders is a list of words
  # shellcheck disable=SC2086
  cppcheck -q --std=c11 --enable=warning,performance,portability --suppress=objectIndex \
    --suppress=uninitvar:src/run/switching.c --error-exitcode=1 $folders src || failed=1
else
  echo "cppcheck is not installed: apt install cppcheck"
  failed=1
fi
for file in $(find src -name '*.c'); do
  # shellcheck disable=SC2086
  gcc -std=c17 -O1 -fanalyzer -Werror -D_POSIX_C_SOURCE=200809L -DPRESOLDER_VERSION='""' -DPRESOLDER_EXAMPLES='""' \
    -DPRESOLDER_DATA_FROM_PROGRAM='""' -DPRESOLDER_INSTALLED_DATA='""' $folders -c "$file" -o /dev/null ||
    failed=1
done
exit $failed
