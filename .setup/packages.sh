# shellcheck shell=bash
# Debian packages: installs those that are missing, as root or through sudo. Sourced by demo/run and tests/run.

install_log=$(mktemp)
trap 'rm -f "$install_log"' EXIT

say() { printf '%s\n' "-- $*"; }
fail() { printf '%s\n' "$*" >&2; exit 1; }

# Prints those of its arguments that are not installed.
missing_packages() {
  local package
  for package in "$@"; do
    dpkg-query -W -f='${Status}' "$package" 2>/dev/null | grep -q '^install ok installed$' || echo "$package"
  done
}

# Prints how to become root: nothing for root itself; fails where that is not possible.
as_root() {
  if [ "$(id -u)" = 0 ]; then return; fi
  command -v sudo >/dev/null || return 1
  if sudo -n true 2>/dev/null || [ -t 0 ]; then echo sudo; else return 1; fi
}

install_packages() {
  if [ $# = 0 ]; then return; fi
  local root
  command -v apt-get >/dev/null || fail "This is neither Debian nor Ubuntu: please install what these packages hold, then start again: $*."
  root=$(as_root) || fail "Please ask the administrator of this machine to run: apt-get install $*"
  say "Installing from Debian or Ubuntu: $*"
  $root env DEBIAN_FRONTEND=noninteractive apt-get -qq -o DPkg::Lock::Timeout=300 update \
    || say "Not every source of packages answered; going on with what is known"
  $root env DEBIAN_FRONTEND=noninteractive apt-get -qq -y -o DPkg::Lock::Timeout=300 \
    -o Dpkg::Use-Pty=0 install --no-install-recommends "$@" >"$install_log" 2>&1 </dev/null \
    || { tail -n 20 "$install_log" >&2; fail "The packages could not be installed; the lines above say why."; }
}
