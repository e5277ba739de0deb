"""Takes each wall and each fix away once and says which tests notice: ``python -m tests.walls [walls] [fixes]``.

Walls between clubs (``without.py``) are taken down one after the other, each time on a database of its own, with all
tests about clubs. Each of the other fixes (``fixes.py``) is taken away for the one test that holds it. Everything is
tried with nothing taken away first, so that what fails afterwards fails for want of it. The run ends with an error
if something can go without a test that fails.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections import Counter
from collections.abc import Iterable, Sequence

from tests.walls.fixes import FIXES
from tests.walls.taking_away import Fix
from tests.walls.without_fixes import fixes_of_tests

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


def failing(
    tests: Iterable[str], *options: str, words: str = "FAILED|ERROR", **environment: str
) -> tuple[list[str], str]:
    """Tests that fail, and the last line of the report. ``words``: of what counts as failing."""
    command = [sys.executable, "-m", "pytest", "-q", "-n", "0", "--tb=no", *options, *tests]
    done = subprocess.run(command, env=os.environ | environment, capture_output=True, text=True, check=False)
    if done.returncode not in RAN:
        sys.exit(done.stdout + done.stderr)
    lines = done.stdout.splitlines()
    failed = [line.split(" ", 1)[1].split(" - ")[0] for line in lines if re.match(rf"({words}) ", line)]
    return failed, lines[-1]


def without_walls() -> int:
    wrong = 0
    for wall in WALLS:
        failed, last = failing(TESTS, "--create-db", "-p", "tests.walls.without", WITHOUT_WALL=wall)
        tell(f"without {wall or 'none of the walls'}: {last}")
        for test, times in Counter(map(without_case, failed)).items():
            tell(f"    {times:4d} × {test}")
        wrong += bool(failed) is (wall == "")
    return wrong


def without_fixes() -> int:
    by_test = fixes_of_tests()
    tests = sorted(by_test)
    failed, last = failing(tests, "--reuse-db")
    tell(f"with all fixes: {last}")
    noticed: dict[str, int] = {}
    for number in range(max(map(len, by_test.values()))):
        holders = [test for test in tests if len(by_test[test]) > number]
        plugin = ["--reuse-db", "-p", "tests.walls.without_fixes"]
        gone, _ = failing(holders, *plugin, words="FAILED", WITHOUT_FIXES=str(number))
        noticed |= {
            by_test[test][number].name: sum(test in {one, without_case(one)} for one in gone)
            for test in holders
        }
    tell_table(FIXES, noticed)
    return len(failed) + sum(not times for times in noticed.values())


def tell_table(fixes: Sequence[Fix], noticed: dict[str, int]) -> None:
    widest = max(len(fix.name) for fix in fixes)
    for fix in fixes:
        times = noticed[fix.name]
        tell(f"{fix.name:{widest}}  {f'{times} × {fix.test}' if times else 'NOBODY NOTICES'}")


def without_case(test: str) -> str:
    return test.partition("[")[0]


def tell(line: str) -> None:
    print(line, flush=True)  # noqa: T201 - a command that is read by people


PARTS = {"walls": without_walls, "fixes": without_fixes}


def main() -> int:
    return sum(PARTS[name]() for name in sys.argv[1:] or PARTS)


if __name__ == "__main__":
    sys.exit(min(main(), 1))
