#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# package.sh BUILD WORK: makes the Debian package of a build for /usr and installs it: into a folder, and
# where root and the network allow into a Debian of its own with nothing but the essential packages.
set -u
mkdir -p "$2" || exit 1
build=$(cd "$1" && pwd)
work=$(cd "$2" && pwd)
cd "$(dirname "$0")/.." || exit 1
failed=0
fail() {
  echo "FAILED: $*"
  failed=1
}

version=$(sed -n 's/^project(presolder VERSION \([0-9.]*\).*/\1/p' CMakeLists.txt)
deb=$work/presolder_${version}_$(dpkg --print-architecture).deb
rm -rf "${work:?}"/*
(cd "$build" && cpack -B "$work") >"$work/log" 2>&1 || { cat "$work/log" && exit 1; }
[ -f "$deb" ] || { ls "$work" && fail "$deb was not made" && exit 1; }
for needs in libc6 libgsl27 libyaml-0-2; do
  dpkg-deb -f "$deb" Depends | grep -q "$needs" || fail "the package does not depend on $needs"
done
if command -v lintian >/dev/null; then
  root=
  [ "$(id -u)" -ne 0 ] || root=--allow-root
  # $root is one word or none
  # shellcheck disable=SC2086
  lintian $root --fail-on error "$deb" || fail lintian
fi

# use COMMAND...: COMMAND runs a program in the installed tree.
use() {
  "$@" presolder --version | grep -q "^presolder $version\$" || fail "--version"
  "$@" presolder check /usr/share/doc/presolder/examples/field-coil.yaml --quiet 2>"$work/log" || { cat "$work/log" && fail check; }
  "$@" presolder switch-on /usr/share/doc/presolder/examples/back-bias.yaml --for 0.1s --quiet \
    --out /tmp/out || fail switch-on
}

in_folder() {
  program=$1
  shift
  for word; do
    case $word in
    /usr/*) set -- "$@" "$work/tree$word" ;;
    /tmp/*) set -- "$@" "$work$word" ;;
    *) set -- "$@" "$word" ;;
    esac
    shift
  done
  "$work/tree/usr/bin/$program" "$@" </dev/null
}
dpkg-deb -x "$deb" "$work/tree" || fail "cannot be unpacked"
use in_folder
gzip -t "$work"/tree/usr/share/man/man*/*.gz || fail "manual pages"
echo "$(basename "$deb"): $(du -k "$deb" | cut -f 1) kB, works in a folder"

# A root of its own, without what this machine has besides.
if [ "$(id -u)" -eq 0 ] && command -v mmdebstrap >/dev/null; then
  fresh=$work/root
  if mmdebstrap -q --variant=minbase --mode=root --skip=cleanup/apt \
    "$(. /etc/os-release && echo "$VERSION_CODENAME")" "$fresh" >"$work/log" 2>&1; then
    cp "$deb" "$fresh/root"
    if chroot "$fresh" env DEBIAN_FRONTEND=noninteractive apt-get install -q -y \
      --no-install-recommends "/root/$(basename "$deb")" >"$work/log" 2>&1 </dev/null; then
      use chroot "$fresh"
      echo "works in a fresh root"
    else
      cat "$work/log"
      fail "cannot be installed"
    fi
  else
    echo "not tried in a fresh root: $(tail -n 1 "$work/log")"
  fi
  rm -rf "$fresh"
fi
exit $failed
