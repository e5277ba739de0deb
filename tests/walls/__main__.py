"""Takes each wall between clubs away once and says which tests notice: ``python -m tests.walls``.

Each time on a database of its own. First with all walls, so that what fails afterwards fails for want of one. The
run ends with an error if a wall can go without a test that fails.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections import Counter

TESTS = (
    "tests/clubs/test_scope.py",
    "tests/postgres/test_catalogue.py",
    "tests/postgres/test_every_table.py",
    "tests/graphql/test_walls.py",
    "tests/api/test_attack.py",
    "tests/api/test_pages.py",
)
WALLS = ("", "managers", "policies", "composite keys")
RAN = {0, 1}
"""What pytest ends with when it has run: 1 if tests failed."""


def without(wall: str) -> tuple[list[str], str]:
    """Tests that fail, and the last line of the report."""
    command = [sys.executable, "-m", "pytest", "-q", "-n", "0", "--create-db", "--tb=no"]
    plugin = ["-p", "tests.walls.without"]
    environment = os.environ | {"WITHOUT_WALL": wall}
    done = subprocess.run(
        [*command, *plugin, *TESTS], env=environment, capture_output=True, text=True, check=False
    )
    if done.returncode not in RAN:
        sys.exit(done.stdout + done.stderr)
    lines = done.stdout.splitlines()
    failed = [line.split(maxsplit=2)[1] for line in lines if re.match(r"(FAILED|ERROR) ", line)]
    return failed, lines[-1]


def main() -> int:
    wrong = 0
    for wall in WALLS:
        failed, last = without(wall)
        print(f"without {wall or 'none of them'}: {last}", flush=True)  # noqa: T201 - a command that is read by people
        for test, times in Counter(one.partition("[")[0] for one in failed).items():
            print(f"    {times:4d} × {test}", flush=True)  # noqa: T201 - a command that is read by people
        wrong += bool(failed) is (wall == "")
    return wrong


if __name__ == "__main__":
    sys.exit(main())
