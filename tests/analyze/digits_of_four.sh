#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# digits_of_four.sh SOURCE WORK: gcc and clang, each with -O0 and -O2, make the program in WORK; all four,
# and the first again with the other number of jobs, must give the same digits (tests/digits.sh).
set -eu
cd "$1"
work=$2
for compiler in gcc clang; do
  for level in 2 0; do
    build=$work/$compiler$level
    cmake -S . -B "$build" -DCMAKE_C_COMPILER=$compiler -DCMAKE_BUILD_TYPE=Debug \
      -DCMAKE_C_FLAGS_DEBUG="-O$level -g" -DPRESOLDER_TESTS=OFF >/dev/null
    cmake --build "$build" -j "$(nproc)" -t presolder >/dev/null
  done
done
exec sh tests/digits.sh "$work/digits" "$work/gcc2/presolder" "$work/gcc2/presolder" \
  "$work/gcc0/presolder" "$work/clang2/presolder" "$work/clang0/presolder"
