# shellcheck shell=bash
# Python: the virtual environment in .venv and the locked packages in it. Sourced by demo/run and tests/run,
# which stand at the top of the checkout by then.

# What WeasyPrint loads to make PDFs, and one typeface for it.
# shellcheck disable=SC2034 # used where this file is sourced
pdf_packages="libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0 fonts-dejavu-core"

# Prints a Python that is new enough.
find_python() {
  local name
  for name in python3 python3.14 python3.13 python3.12 python3.11; do
    if "$name" -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null; then
      command -v "$name"
      return
    fi
  done
  fail "Walkaround needs Python 3.11 or newer; please install it, then start again."
}

# Prints the package that brings venv to a Python, if it lacks it.
venv_package() {
  "$1" -c 'import ensurepip, venv' 2>/dev/null && return
  "$1" -c 'import sys; print("python%d.%d-venv" % sys.version_info[:2])'
}

environment_works() { .venv/bin/python -c 'import pip, sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null; }

make_environment() {
  if environment_works; then return; fi
  say "Making the virtual environment .venv"
  "$1" -m venv --clear .venv
}

# Installs one lock file and Walkaround itself, unless exactly that is there already.
install_locked() {
  local lock=$1 stamp
  stamp=.venv/installed-$(cat "$lock" pyproject.toml | sha256sum | cut -c1-16)
  if [ -e "$stamp" ]; then return; fi
  say "Installing $(grep -c '^[a-z].*==' "$lock") Python packages from $lock (a minute or so)"
  .venv/bin/python -m pip install --quiet --disable-pip-version-check --require-hashes -r "$lock"
  # Its own build tool is in the lock, so nothing is fetched that the lock does not name.
  .venv/bin/python -m pip install --quiet --disable-pip-version-check --no-deps --no-build-isolation --editable .
  touch "$stamp"
}
