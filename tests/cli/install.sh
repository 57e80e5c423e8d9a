# SPDX-License-Identifier: GPL-3.0-or-later
# Two builds in different folders are the same bytes, and so are their Debian packages. Installed, moved, and with its source gone, the
# program finds its catalogue, forms and templates; README, licence, examples, pages are there.
. "$(dirname "$0")/expect.sh"

# build NAME: a copy of the source of its own, built and installed into $work/NAME/installed.
build() {
  copy=$work/$1/source
  mkdir -p "$copy"
  for part in CMakeLists.txt README.md DEVELOPERS.md src models scenarios plots; do
    cp -R "$source/$part" "$copy"
  done
  {
    "$cmake" -S "$copy" -B "$work/$1/build" -DCMAKE_INSTALL_PREFIX=/nowhere -DPRESOLDER_TESTS=OFF \
      -DCMAKE_BUILD_TYPE=Debug && "$cmake" --build "$work/$1/build" -j 2 &&
      "$cmake" --install "$work/$1/build" --prefix "$work/$1/installed"
  } >"$work/said/build" 2>&1 || { complain "cannot install:" && tail -n 20 "$work/said/build"; }
}
build first
build "another/and deeper"
prefix=$work/first/installed
what="two builds"
cmp "$prefix/bin/presolder" "$work/another/and deeper/installed/bin/presolder" ||
  complain "differ by their folder"
grep -q "$work" "$prefix/bin/presolder" && complain "the folder of the build is in the program"
diff -r "$prefix/share" "$work/another/and deeper/installed/share" || complain "the rest differs"
if command -v dpkg-shlibdeps >/dev/null; then
  for name in first "another/and deeper"; do
    (cd "$work/$name/build" && cpack -B "$work/$name/packed") >"$work/said/out" 2>&1 || {
      complain "$name: no package:" && cat "$work/said/out"
    }
    sleep 1 # the second is of another time
  done
  cmp "$work"/first/packed/*.deb "$work/another/and deeper/packed"/*.deb ||
    complain "their packages differ"
fi
rm -rf "$work/first/source" "$work/first/build" "$work/another"
mv "$prefix" "$work/moved"
prefix=$work/moved

what="the installed tree"
program=$prefix/bin/presolder
doc=$prefix/share/doc/presolder
exists "$prefix/share/presolder/models/rectifiers.yaml" "$doc/COPYING" "$doc/examples/field-coil.yaml" \
  "$prefix/share/man/man1/presolder-switch-on.1" "$prefix/share/man/man5/presolder-scenario.5" \
  "$prefix/share/bash-completion/completions/presolder" "$prefix/share/zsh/site-functions/_presolder"
for picture in $(sed -n 's/.*](\([^)]*\.png\)).*/\1/p' "$doc/README.md"); do exists "$doc/$picture"; done
find "$prefix" -name '*.sh' | grep . && complain "scripts of the source are installed"
run 0 parts 5Y3-GT
quiet_err
out_has "drop: 50 V at 125 mA"
run 0 new empty
run 0 switch-on empty.yaml --quiet --for 50ms
quiet_err
exists presolder-out/empty/figures.csv presolder-out/empty/plots/turn-on.gp
run 0 check "$doc/examples/field-coil.yaml"
run 0 --version
out_has "commit unknown"

# Its own models come before those of another place.
mkdir -p elsewhere/bin
cp "$program" elsewhere/bin
ln -s "$prefix/share/presolder" elsewhere/bin/presolder-data
mkdir -p elsewhere/share/presolder/models
program=$work/box/elsewhere/bin/presolder
run 3 parts 5Y3-GT
rm -r elsewhere/share
run 0 parts 5Y3-GT
program=$prefix/bin/presolder

# Taken away, it says what is missing.
mv "$prefix/share/presolder" "$prefix/elsewhere"
run 3 parts
out </dev/null
err <<'END_ERR'
error: the catalogue of parts was not found
  hint: set PRESOLDER_DATA to the folder that holds `models`, or install again
END_ERR
PRESOLDER_DATA=$prefix/elsewhere
export PRESOLDER_DATA
run 0 parts 5Y3-GT
quiet_err
done_
