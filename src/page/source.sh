#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# What the licences ask for: lays the source of the page, with the notices of what else is in it, into
# OUT/source.tar.xz, the same bytes for the same source, and where each source comes from into
# OUT/places.json. The tests are no part of it. usage: source.sh ROOT BUILD OUT
set -eu
root=$1
build=$2
out=$3

built() { sed -n "s/.*version_$1\\[\\] = \"\\(.*\\)\".*/\\1/p" "$build/version_built.c"; }
version() { cat "$build/sources/$1.version" 2>/dev/null || echo unknown; }

rm -rf "$out"
tree=$out/presolder
mkdir -p "$tree/plots" "$tree/licences"
for name in CMakeLists.txt README.md DEVELOPERS.md models scenarios src; do
  cp -R "$root/$name" "$tree/"
done
cp "$root"/plots/*.gp "$tree/plots/"
case $(built commit) in
*dirty | '') ;; # no commit that could be looked up
*) echo "$(built commit) $(built date)" >"$tree/src/package/commit.txt" ;;
esac
cp "$build/sources/libyaml/License" "$tree/licences/libyaml"
cp /usr/share/emscripten/system/lib/libc/musl/COPYRIGHT "$tree/licences/musl"
cp /usr/share/doc/emscripten/copyright "$tree/licences/emscripten"
tar -C "$out" --sort=name --mtime=@0 --owner=0 --group=0 --numeric-owner --mode=u=rwX,go=rX \
  --format=ustar -cf - presolder | xz -9e >"$out/source.tar.xz"
rm -r "$tree"
printf '{"commit":"%s","date":"%s","gsl":"%s","libyaml":"%s","emscripten":"%s"}\n' \
  "$(built commit)" "$(built date)" "$(version gsl)" "$(version libyaml)" "$(version emscripten)" \
  >"$out/places.json"
