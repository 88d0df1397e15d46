#!/usr/bin/env bash
# Install the Debian packages that are missing for `run` or for `test`; says nothing when there is nothing to do.
#   .ci/system.sh run|test|engines
set -euo pipefail

PATH="$PATH:/usr/sbin:/sbin" # ldconfig lies there, and Debian leaves both out of a user's PATH
libraries=$(ldconfig -p)
missing=()

library() { [[ $libraries == *"$1"* ]] || missing+=("$2"); }
command_() { command -v "$1" >/dev/null || missing+=("$2"); }

. "$(dirname "$0")/python.sh"
command_ "$python" python3
"$python" -c 'import ensurepip, venv' 2>/dev/null || missing+=(python3-venv)
library libzbar.so.0 libzbar0                     # pyzbar
library libpango-1.0.so.0 libpango-1.0-0          # WeasyPrint: text
library libpangoft2-1.0.so.0 libpangoft2-1.0-0    # WeasyPrint: fonts
library libharfbuzz-subset.so.0 libharfbuzz-subset0 # WeasyPrint: small PDF files
library libfontconfig.so.1 libfontconfig1         # WeasyPrint: finding fonts

if [[ ${1:-run} == test ]]; then
  command_ chromium chromium
  command_ pdftoppm poppler-utils
  command_ certutil libnss3-tools                 # a browser that trusts the shop's authority
  [[ -n $(ls -d /usr/lib/postgresql/*/bin/initdb 2>/dev/null) ]] || missing+=(postgresql) # the tests start their own
  [[ -x /usr/sbin/pgbouncer ]] || missing+=(pgbouncer)                                          # and a pooler before it
fi

if [[ ${1:-run} == engines ]]; then
  command_ firefox-esr firefox-esr
  command_ WebKitWebDriver webkit2gtk-driver
  command_ xvfb-run xvfb
  command_ xauth xauth                            # xvfb-run
  command_ dbus-run-session dbus-daemon           # WebKitGTK
fi

((${#missing[@]})) || exit 0
if ! command -v apt-get >/dev/null; then
  echo "These are missing, and this is no Debian system to install them on: ${missing[*]}" >&2
  exit 1
fi
as_root=()
if ((EUID != 0)); then
  as_root=(sudo)
  command -v sudo >/dev/null || { echo "As root, run: apt-get install ${missing[*]}" >&2 && exit 1; }
fi
echo "Installing ${missing[*]}"
"${as_root[@]}" apt-get -qq update
"${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get -qq install --no-install-recommends -y "${missing[@]}" >/dev/null
