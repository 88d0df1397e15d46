"""Known vulnerabilities in what the shop runs: the Python packages of requirements.lock, the JavaScript of static/.

Who knows of them has to be asked over the network. Where nobody answers that is said, and nothing fails: a check must
not hang on a network that a shop, or whoever works on a train, does not have. What is known fails.

    python .ci/audit.py
"""

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parent.parent
PATIENCE_S = 45


def main() -> int:
    told = [("Python", *python_found(_answer(*_python()))), ("JavaScript", *javascript_found(_answer(*_javascript())))]
    for what, found, note in told:
        for one in found:
            print(f"{what}: {one}")
        if note:
            print(f"{what}: {note}")
    return 1 if any(found for _what, found, _note in told) else 0


def python_found(said: Any) -> tuple[list[str], str]:
    """What pip-audit says in JSON: the vulnerabilities, and what could not be asked."""
    packages = said.get("dependencies", []) if isinstance(said, dict) else []
    found = [
        f"{one['name']} {one['version']}: {bad['id']}, mended in {', '.join(bad['fix_versions']) or 'no version yet'}"
        for one in packages
        for bad in one.get("vulns", [])
    ]
    unasked = [one["name"] for one in packages if "skip_reason" in one]
    return found, _note(len(packages), len(unasked))


def javascript_found(said: Any) -> tuple[list[str], str]:
    """The same of what npm says."""
    if not isinstance(said, dict) or "vulnerabilities" not in said:
        return [], _note(0, 0)
    found = [
        f"{name} {bad['range']}: {bad['title']}"
        for name, one in said["vulnerabilities"].items()
        for bad in one["via"]
        if isinstance(bad, dict)  # a text names another package, which has an entry of its own
    ]
    return found, ""


def _note(asked: int, unasked: int) -> str:
    if asked == unasked:
        return "not audited, since no index of known vulnerabilities answered"
    return f"{unasked} of {asked} packages not audited, since no index knows them" if unasked else ""


def _python() -> tuple[list[str], Path]:
    command = [sys.executable, "-m", "pip_audit", "--disable-pip", "--require-hashes", "--requirement"]
    return [*command, "requirements.lock", "--format", "json", "--progress-spinner", "off", "--timeout", "10"], ROOT


def _javascript() -> tuple[list[str], Path]:
    npm = shutil.which("npm") or str(ROOT / ".venv/bin/npm")
    return [
        npm,
        "audit",
        "--json",
        "--package-lock-only",
        "--fetch-retries=0",
        "--fetch-timeout=10000",
    ], ROOT / "static"


def _answer(command: list[str], folder: Path) -> Any:
    """The JSON that the command writes; None where it writes none, or nobody answers it in time."""
    try:
        done = subprocess.run(
            command, cwd=folder, capture_output=True, text=True, timeout=PATIENCE_S, check=False, env=os.environ
        )
        return json.loads(done.stdout)
    except (OSError, subprocess.TimeoutExpired, ValueError):
        return None


if __name__ == "__main__":
    sys.exit(main())
