"""One Node process that answers for static/core, kept alive for all tests here."""

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

HERE = Path(__file__).parent
WHERE = os.pathsep.join([os.environ.get("PATH", os.defpath), str(Path(sys.executable).parent)])


class Mirror:
    """Asks static/core; a refusal comes back as `BaybookError.as_dict` has it."""

    def __init__(self, process: subprocess.Popen[str]) -> None:
        self._process = process

    def ask(self, do: str, given: Any) -> dict[str, Any]:
        assert self._process.stdin
        assert self._process.stdout
        self._process.stdin.write(json.dumps({"do": do, "in": given}, allow_nan=False) + "\n")
        self._process.stdin.flush()
        line = self._process.stdout.readline()
        assert line, f"node ended with {self._process.wait()}"
        answer: dict[str, Any] = json.loads(line)
        assert "broken" not in answer, answer["broken"]
        return answer

    def out(self, do: str, given: Any) -> Any:
        """The answer to a question that is not refused."""
        answer = self.ask(do, given)
        assert "out" in answer, answer
        return answer["out"]


@pytest.fixture(scope="session")
def mirror() -> Iterator[Mirror]:
    node = shutil.which("node", path=WHERE)
    assert node, "node is missing: `make setup` brings it"
    command = [node, str(HERE / "run.mjs")]
    with subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, encoding="utf-8"
    ) as process:
        yield Mirror(process)
        assert process.stdin
        process.stdin.close()
