#!/usr/bin/env bash
# Everything that is checked without running the app. All of it runs, then the failures are named together.
set -uo pipefail
cd "$(dirname "$0")/.."
PATH="$PWD/.venv/bin:$PWD/static/node_modules/.bin:$PATH"
failed=()

check() { # NAME COMMAND...
  local name=$1 output
  shift
  if output=$("$@" 2>&1); then
    echo "ok      $name"
  else
    printf '%s\n' "$output"
    echo "FAILED  $name"
    failed+=("$name")
  fi
}

# It waits for the network, while the others work.
audit=$(mktemp) && trap 'rm -f "$audit"' EXIT
python .ci/audit.py >"$audit" 2>&1 &
auditing=$!

check "Python format" ruff format --check --quiet .
check "Python lint" ruff check --quiet .
check "Python types" mypy
check "import law" lint-imports --no-cache --no-logo
check "Jinja templates" djlint --lint --quiet webapp
check "Mustache templates" djlint --lint --quiet --profile handlebars --extension mustache static/pages
check "JavaScript and CSS" env -C static biome ci --error-on-warnings --colors=off .
check "procedures and translations" baybook lint --translations
check "made from the library" python .ci/library.py --check

if wait "$auditing"; then echo "ok      known vulnerabilities"; else
  echo "FAILED  known vulnerabilities"
  failed+=("known vulnerabilities")
fi
sed 's/^/        /' "$audit"

if ((${#failed[@]})); then
  echo "make check found something in: $(IFS=,; echo "${failed[*]}")" >&2
  exit 1
fi
