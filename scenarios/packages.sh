# SPDX-License-Identifier: GPL-3.0-or-later
# Read with `.` by demo.sh and tests/run.sh: install_packages NAME... installs the Debian packages
# that are missing (a command of that name from elsewhere will do) and says which; with sudo only when
# somebody else than root calls it.
install_packages() {
  if ! command -v dpkg-query >/dev/null; then
    echo "This is no Debian: what is needed is called there: $*"
    return 0
  fi
  lacking=
  for package; do
    command -v "$package" >/dev/null ||
      dpkg-query -W -f '${Status}\n' "$package" 2>/dev/null | grep -q '^install ok installed$' ||
      lacking="$lacking $package"
  done
  [ -n "$lacking" ] || return 0
  echo "Installing:$lacking"
  root=
  [ "$(id -u)" -eq 0 ] || root=sudo
  # $root and $lacking are lists of words
  # shellcheck disable=SC2086
  $root apt-get update -q </dev/null &&
    $root env DEBIAN_FRONTEND=noninteractive \
      apt-get install -q -y --no-install-recommends $lacking </dev/null
}
