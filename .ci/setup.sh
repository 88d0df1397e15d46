#!/usr/bin/env bash
# Make .venv, static/vendor and static/app. Each part leaves a stamp named by the hash of what it was made
# from, so that a second run only compares hashes, and a changed lock file installs again.
#   .ci/setup.sh run|test
set -euo pipefail
cd "$(dirname "$0")/.."

mkdir -p build
exec 9>build/setup.lock && flock 9 # two terminals, one set-up at a time
.ci/system.sh "${1:-run}"

. .ci/python.sh # gives `python` and new_enough
stamps=.venv/stamps

fresh() { [[ -e $stamps/$1-$(cat "${@:2}" | sha256sum | cut -c1-16) ]]; }
stamp() { rm -f "$stamps/$1"-* && touch "$stamps/$1-$(cat "${@:2}" | sha256sum | cut -c1-16)"; }
pip() { .venv/bin/python -m pip -qq --disable-pip-version-check "$@"; }

# A copied or moved checkout brings commands that still start the old place's Python.
if ! .venv/bin/python -c '' 2>/dev/null || ! grep -qF "$PWD/.venv" .venv/pyvenv.cfg; then
  if ! new_enough "$python"; then
    echo "Baybook needs Python 3.11 or newer, and $python is $("$python" -V). PYTHON=/path/to/python3.12 make setup" >&2
    exit 1
  fi
  rm -rf .venv
  "$python" -m venv .venv
fi
mkdir -p "$stamps"

if ! fresh python requirements-dev.lock; then
  echo "Installing the Python packages"
  pip install --require-hashes -r requirements-dev.lock
  stamp python requirements-dev.lock
fi
if ! fresh project pyproject.toml; then
  pip install --no-deps --no-build-isolation --editable .
  stamp project pyproject.toml
fi
if [[ ! -d static/vendor || ! -d static/node_modules ]] || ! fresh vendor static/package-lock.json .ci/vendor.py; then
  echo "Installing the JavaScript packages"
  command -v npm >/dev/null || pip install --require-hashes -r requirements-node.lock
  .venv/bin/python .ci/vendor.py
  stamp vendor static/package-lock.json .ci/vendor.py
fi
.venv/bin/python .ci/app.py # quick when no source has changed
