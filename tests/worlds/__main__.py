"""Plays the hostile worlds and prints one table; see :mod:`tests.worlds.court`."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from tests.worlds.court import all_worlds, as_text, play_world, read_csv, write_csv


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.worlds", description=__doc__)
    parser.add_argument("--long", action="store_true", help="enough tries to tell coverage to a few points")
    parser.add_argument("--only", default="", help="files or worlds whose name contains this")
    parser.add_argument("--tries", type=int, help="so many tries of every world")
    parser.add_argument("--csv", type=Path, help="write the table as data")
    parser.add_argument(
        "--resume", action="store_true", help="play only what the file lacks, or has of fewer tries"
    )
    asked = parser.parse_args()
    rows = read_csv(asked.csv) if asked.resume and asked.csv.exists() else []
    tried = {(row.subject, row.world, row.size): row.tries for row in rows}
    for subject, worlds in all_worlds().items():
        for world in worlds:
            tries, key = asked.tries or world.tries[asked.long], (subject, world.name, world.size)
            if tried.get(key, 0) >= tries:
                continue
            if asked.only in f"{subject} {world.name} {world.size}":
                rows = [row for row in rows if (row.subject, row.world, row.size) != key]
                rows += play_world(subject, world, tries)
                sys.stderr.write(f"{subject}: {world.name}, {world.size}\n")
                # After every world, so that a long evening cut short has not been for nothing.
                if asked.csv:
                    with asked.csv.open("w", encoding="utf-8") as file:
                        write_csv(rows, file)
    sys.stdout.write(f"{as_text(rows)}\n")
    return 1 if any(row.failings for row in rows) else 0


if __name__ == "__main__":
    sys.exit(main())
