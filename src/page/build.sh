#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Makes build/page/presolder.html, the whole program in one page, on a fresh Debian 12: installs
# emscripten, fetches the sources of GSL and libyaml, and builds. Safe to run again; what is there
# already is not made again.
set -eu
cd "$(dirname "$0")/../.."
. scenarios/packages.sh
build=$PWD/build/page

install_packages cmake make emscripten nodejs npm xz-utils
mkdir -p "$build/sources"

# Sources come by a list of their own: nothing of the system's is changed.
fetch() {
  [ ! -f "$build/sources/$1.version" ] || return 0
  lists=$build/apt
  mkdir -p "$lists/lists/partial"
  echo 'deb-src http://deb.debian.org/debian bookworm main' >"$lists/sources.list"
  for step in update "source --download-only $1"; do
    # $step is a list of words
    # shellcheck disable=SC2086
    (cd "$lists" && apt-get -q -o Dir::Etc::sourcelist="$lists/sources.list" \
      -o Dir::Etc::sourceparts=/dev/null -o Dir::State::lists="$lists/lists" $step)
  done
  mkdir -p "$lists/$1"
  tar -xf "$lists/$1"_*.orig.tar.gz -C "$lists/$1" --strip-components=1
  rm -rf "$build/sources/$1"
  mv "$lists/$1" "$build/sources/$1"
  (cd "$lists" && ls "$1"_*.dsc) | sed 's/.*_//; s/\.dsc$//' >"$build/sources/$1.version"
}
fetch gsl
fetch libyaml
dpkg-query -W -f '${source:Version}\n' emscripten >"$build/sources/emscripten.version" 2>/dev/null ||
  emcc --version | sed -n '1s/.*) //p' >"$build/sources/emscripten.version"

cmake -S . -B "$build" -DCMAKE_TOOLCHAIN_FILE="$PWD/src/page/toolchain.cmake"
cmake --build "$build" --target page -j "$(nproc)"
