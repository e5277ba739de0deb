"""``python -m tests.benchmarks [--json FILE] [--only NAME] [--shots N]``: the table of what everything costs.

Processor time of this process and of the database's processes beside a floor written by hand, in the same run.
"""

from __future__ import annotations

import argparse
import cProfile
import json
import os
import pstats
import sys
from pathlib import Path

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "golfstats.settings")
os.environ.setdefault("THROTTLE", "1000000/min")
os.environ.setdefault("GRAPHQL_CLUB_SECONDS", "100000")


def main() -> int:
    asked = _asked()
    django.setup()
    from tests.benchmarks import databases
    from tests.benchmarks.bulk import BULK
    from tests.benchmarks.kernels import KERNELS
    from tests.benchmarks.pages import PAGES
    from tests.benchmarks.plans import PLANS
    from tests.benchmarks.rows import ROWS
    from tests.benchmarks.service import SERVICE

    chosen = {**ROWS, **SERVICE, **BULK, **KERNELS, **PLANS, **PAGES}
    if asked.only:
        chosen = {
            name: run
            for name, run in chosen.items()
            if name == asked.only or asked.only.startswith(f"{name}_")
        }
    if set(chosen) - set(KERNELS) - set(PLANS) - set(PAGES):
        databases.make(lambda text: sys.stderr.write(f"{text}\n"), tenfold="post_round" in chosen)
    profile = cProfile.Profile() if asked.profile else None
    found = []
    for name, run in chosen.items():
        if profile:
            profile.enable()
        arguments = [asked.shots] if name in KERNELS else [asked.only] if name == "get" else []
        for row in run(*arguments):
            found.append(row)
            sys.stdout.write(f"{_line(row.row())}\n")
            sys.stdout.flush()
        if profile:
            profile.disable()
    if profile:
        pstats.Stats(profile).sort_stats("cumulative").print_stats(60)
    if asked.json:
        Path(asked.json).write_text(
            json.dumps([row.row() for row in found], indent=1) + "\n", encoding="utf-8"
        )
    return 0 if all(row.ok for row in found) else 1


def _asked() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks", description=__doc__)
    parser.add_argument("--json", help="write the rows to this file")
    parser.add_argument("--only", default="", help="a row's name, or the beginning of several such as get")
    parser.add_argument("--shots", type=int, default=1_000_000, help="of the kernels")
    parser.add_argument("--profile", action="store_true", help="tell where the time goes")
    return parser.parse_args()


def _line(row: dict[str, object]) -> str:
    growth = f"  growth {row['growth']} (≤ {row['growth_target']})" if "growth" in row else ""
    more = {
        key: value
        for key, value in row.items()
        if key.endswith(("_mb", "bytes", "first_s", "held", "fits", "errors"))
    }
    return (
        f"{row['name']:<24} {row['ours_s']:>10} s  floor {row['floor_s']:>10} s  "
        f"ratio {row['ratio']:>8} ({row['target']}){growth}  {'ok' if row['ok'] else 'NOT MET'}  {more or ''}"
    )


if __name__ == "__main__":
    sys.exit(main())
