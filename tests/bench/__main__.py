"""make bench: every measurement of this folder, one after another, into bench.json.

A measurement is a module with `run() -> dict`. `python -m tests.bench taps` runs only those named.
"""

import json
import os
import pkgutil
import platform
import sys
from datetime import UTC, datetime
from importlib import import_module
from pathlib import Path
from typing import Any

REPORT = Path("bench.json")


def machine() -> dict[str, Any]:
    """What the figures were measured on: they mean little without it."""
    cpu = next((line for line in Path("/proc/cpuinfo").read_text().splitlines() if line.startswith("model name")), "")
    return {
        "processor": cpu.partition(":")[2].strip() or platform.machine(),
        "cores": os.cpu_count(),
        "memory_gib": round(os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES") / 2**30, 1),
        "system": platform.platform(),
        "python": platform.python_version(),
        "load_before": round(os.getloadavg()[0], 2),
        "at": datetime.now(UTC).isoformat(timespec="seconds"),
    }


def main(wanted: list[str]) -> None:
    report: dict[str, Any] = json.loads(REPORT.read_text()) if wanted and REPORT.exists() else {}
    report["machine"] = machine()
    for name in wanted or sorted(one.name for one in pkgutil.iter_modules([str(Path(__file__).parent)])):
        measured = getattr(import_module(f"{__package__}.{name}"), "run", None)
        if measured is None:
            continue
        print(f"{name} …", file=sys.stderr, flush=True)
        report[name] = measured()
        print(json.dumps(report[name], indent=2), flush=True)
        REPORT.write_text(json.dumps(report, indent=2) + "\n")


if __name__ == "__main__":
    main(sys.argv[1:])
