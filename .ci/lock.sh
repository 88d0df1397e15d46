#!/usr/bin/env bash
# Write the lock files anew: for every Python from 3.11 on, with hashes, and without naming any registry host.
set -euo pipefail
cd "$(dirname "$0")/.."

[[ -x build/lock/bin/uv ]] || { python3 -m venv build/lock && build/lock/bin/pip -qq install uv; }

compile() { # OUTPUT OPTION...
  build/lock/bin/uv pip compile --quiet --upgrade --universal --python-version 3.11 --fork-strategy fewest \
    --generate-hashes --no-annotate --no-emit-index-url --custom-compile-command "make lock" -o "$@"
}

compile requirements.lock pyproject.toml --extra postgresql
compile requirements-dev.lock pyproject.toml --group dev --constraint requirements.lock
compile requirements-node.lock --group node
compile requirements-engines.lock --group engines --constraint requirements-dev.lock

npm=$(command -v npm || echo "$PWD/.venv/bin/npm")
(cd static && "$npm" install --package-lock-only --ignore-scripts --loglevel=error) # static/.npmrc keeps hosts out
