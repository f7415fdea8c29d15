# shellcheck shell=bash
# The programs that tests drive: Chromium, PostgreSQL, a PDF renderer. Sourced by tests/run,
# after .setup/packages.sh.
# shellcheck disable=SC2154 # install_log

has_postgresql() { command -v initdb >/dev/null || ls /usr/lib/postgresql/*/bin/initdb >/dev/null 2>&1; }
is_ubuntu() { grep -qs '^ID=ubuntu$' /etc/os-release; }

# Prints the packages that bring what is missing.
program_packages() {
  missing_packages libatomic1 # the program that Playwright talks through cannot start without it
  command -v pdftoppm >/dev/null || echo poppler-utils
  has_postgresql || echo postgresql
  # Ubuntu's package of that name only points to a snap, which servers and containers cannot run.
  command -v chromium >/dev/null || is_ubuntu || echo chromium
}

install_browser_on_ubuntu() {
  if command -v chromium >/dev/null || ! is_ubuntu || [ -e .venv/installed-browser ]; then return; fi
  local root
  root=$(as_root) || fail "Please ask the administrator of this machine to run: $PWD/.venv/bin/python -m playwright install-deps chromium"
  say "Installing Chromium through Playwright"
  { $root .venv/bin/python -m playwright install-deps chromium \
    && .venv/bin/python -m playwright install chromium; } >"$install_log" 2>&1 </dev/null \
    || { tail -n 20 "$install_log" >&2; fail "Chromium could not be installed; the lines above say why. Any chromium on the PATH will do as well."; }
  touch .venv/installed-browser
}
