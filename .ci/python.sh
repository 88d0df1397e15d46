# Sourced by those who need `python`, which makes .venv: PYTHON where it is given; else Debian's own where it is new
# enough, since that is built with profile-guided optimisation, and one that was put together elsewhere often is not;
# else the first in the PATH.
new_enough() { "$1" -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null; }

python=${PYTHON:-python3}
if [[ -z ${PYTHON:-} ]] && new_enough /usr/bin/python3; then
  python=/usr/bin/python3
fi
