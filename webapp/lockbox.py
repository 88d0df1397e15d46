"""Files of a copy: as they are, or each encrypted with age, and then named so."""

import os
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pyrage

from webapp.core.errors import BadInput, shown

ENDING = ".age"


def make_key(path: Path) -> str:
    """Write a new key to a file that must not be there yet. Returns its public half."""
    made = pyrage.x25519.Identity.generate()
    try:
        with os.fdopen(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600), "w") as file:
            file.write(f"{made}\n")
    except OSError as error:
        what = f"key={shown(str(path))} cannot be written: {error.strerror}; name a file that is not there yet"
        raise BadInput("backup", "key", what) from error
    return str(made.to_public())


@dataclass(frozen=True)
class Lockbox:
    """How one copy keeps its files. `key` is an age identity, None where they are kept as they are."""

    key: Any = None

    @classmethod
    def of(cls, path: Path | None) -> "Lockbox":
        """Raises BadInput (`backup`) for a file that holds no key."""
        if path is None:
            return cls()
        try:
            lines = [line for line in path.read_text().splitlines() if line and not line.startswith("#")]
            return cls(pyrage.x25519.Identity.from_str(lines[0].strip()))
        except (OSError, UnicodeDecodeError, IndexError, pyrage.IdentityError) as error:
            what = f"key={shown(str(path))} is no file with an age key; baybook backup-key FILE makes one"
            raise BadInput("backup", "key", what) from error

    def place(self, path: Path) -> Path:
        """What a file of that name is called in the copy."""
        return path.with_name(path.name + ENDING) if self.key else path

    def other_sort(self, path: Path) -> Path:
        """What it would be called in a copy of the other sort."""
        return path if self.key else path.with_name(path.name + ENDING)

    def name(self, path: Path) -> Path:
        """What a file of the copy was called."""
        return path.with_name(path.name.removesuffix(ENDING)) if self.key else path

    def copy(self, source: Path, target: Path) -> bool:
        """Put a file in, unless the very same is there; whether that was done."""
        there = self.place(target)
        if there.exists() and self._is(source, there):
            return False
        self.put(source, target)
        return True

    def _is(self, source: Path, there: Path) -> bool:
        if self.key:
            return bool(pyrage.decrypt(there.read_bytes(), [self.key]) == source.read_bytes())
        return there.read_bytes() == source.read_bytes()

    def put(self, source: Path, target: Path) -> None:
        """Put a file in, with its rights, whole or not at all."""
        recipients = [self.key.to_public()] if self.key else []
        self._write(
            source,
            self.place(target),
            lambda new: (
                pyrage.encrypt_file(str(source), str(new), recipients) if self.key else shutil.copy2(source, new)
            ),
        )

    def get(self, source: Path, target: Path) -> None:
        """Take the file of that name out. Raises BadInput (`backup`) where the key does not open it."""
        there = self.place(source)
        try:
            self._write(
                there,
                target,
                lambda new: (
                    pyrage.decrypt_file(str(there), str(new), [self.key]) if self.key else shutil.copy2(there, new)
                ),
            )
        except pyrage.DecryptError as error:
            what = f"{there} does not open with this key: it is damaged, or was encrypted with another one"
            raise BadInput("backup", "key", what) from error

    @staticmethod
    def _write(source: Path, target: Path, how: Callable[[Path], object]) -> None:
        target.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        new = target.with_name(f".{target.name}.new")
        how(new)
        shutil.copymode(source, new)
        new.replace(target)
