#!/usr/bin/env bash
# The offline job in the two other engines: what that takes is installed, then the tests run under a display of their own.
set -euo pipefail
cd "$(dirname "$0")/.."

.ci/system.sh engines
stamp=.venv/stamps/engines-$(sha256sum requirements-engines.lock | cut -c1-16)
if [[ ! -e $stamp ]]; then
  .venv/bin/python -m pip -qq --disable-pip-version-check install --require-hashes -r requirements-engines.lock
  rm -f .venv/stamps/engines-* && touch "$stamp"
fi
ENGINES=1 xvfb-run --auto-servernum dbus-run-session -- .venv/bin/pytest tests/engines "$@"
