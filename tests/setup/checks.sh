# shellcheck shell=bash
# The checks themselves, each with a line that says what runs. Sourced by tests/run.

failed=""

# Runs one check and remembers it if it fails, so that one run names everything that is wrong.
check() {
  local name=$1
  shift
  say "$name"
  "$@" || failed="$failed, $name"
}

check_style() {
  check "ruff: style" .venv/bin/ruff check --quiet .
  check "ruff: layout" .venv/bin/ruff format --check --quiet .
  check "mypy: types" .venv/bin/mypy
  check "shell: syntax" bash -n .ci/run demo/run tests/run .setup/decoder .setup/*.sh tests/setup/*.sh
}

# Files are named one by one: what `node --test` makes of a folder differs between its versions.
check_scripts() {
  local files
  files=$(find tests/js -name '*.test.js' 2>/dev/null | sort)
  if [ -z "$files" ]; then return; fi
  if ! node --eval 'process.exit(parseInt(process.versions.node) < 20 ? 1 : 0)' 2>/dev/null; then
    say "node: left out, for Node 20 or newer is not on this machine"
    return
  fi
  # shellcheck disable=SC2086 # a list of names
  check "node: scripts" node --test --test-reporter=dot $files
}

check_python() { check "pytest" .venv/bin/python -m pytest --no-skipping "$@"; }

# Ends with the status of everything that ran.
sum_up() { if [ -n "$failed" ]; then fail "Not passed: ${failed#, }"; fi; }
