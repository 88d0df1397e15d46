"""Where the files that are not Python lie: beside the package in a checkout, inside it when installed from a wheel."""

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent
_SHARE = _PACKAGE / "_share"
_ROOT = _SHARE if _SHARE.is_dir() else _PACKAGE.parent

STATIC: Path = _ROOT / "static"
PROCEDURES: Path = _ROOT / "procedures"
