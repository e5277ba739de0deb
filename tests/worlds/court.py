"""The court: hostile worlds that try what the service claims, and one table of how it did.

A world makes golf by rules of its own, knows the truth that it hid, asks the service's mathematics, and hands
back what was said beside what is so. It is written apart from the simulator and draws from no model that the
mathematics fits, so that a claim cannot be right for the wrong reason.

A file of worlds is any module of this package with a ``WORLDS`` sequence:

    def play(rng: np.random.Generator) -> dict[str, Told]:
        golf, truth = ...               # invented here
        figure = the_mathematics(golf)
        return {"cost on the day": Told.of(figure, truth=truth, claimed=figure.low > 0)}

    WORLDS = [World("season of 8%, no effect", "the season passes for coring", "40 x 20", play)]

One world may answer several claims at once: the keys of what ``play`` returns become rows of the table.

    python -m tests.worlds                       the short table, as continuous integration runs it
    python -m tests.worlds --long --csv FILE     the long one, kept as data
    python -m tests.worlds --only greens --tries 5

What a row says, over its tries:

- ``bias``: mean of value less truth, over the tries in which a number was given;
- ``coverage``: share of those whose 90% interval holds the truth;
- ``false alarms``: share of all tries that claimed what is not so, where nothing is so (``is_so=False``);
- ``found``: share of all tries that claimed what is so, where it is so (power, which has no limit to keep);
- ``refused``: share of tries in which no number was given, and the service said why.

A row holds when it covers at least 85% (or was refused nearly always) and raises at most the false alarms that
its world allows, each within what chance does to so many tries.
"""

from __future__ import annotations

import csv
import math
import time
import zlib
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import astuple, dataclass, fields
from datetime import UTC, datetime
from importlib import import_module
from pathlib import Path
from pkgutil import iter_modules
from typing import TextIO

import numpy as np

from golfstats.calc.figure import Figure
from golfstats.calc.trust.table import Row, read_rows

MOST_FALSE_ALARMS = 0.10
"""Trials and level shifts promise 0.05: give those worlds ``most_false_alarms=0.05``."""
SHORT_TRIES, LONG_TRIES = 6, 100


@dataclass(frozen=True)
class Told:
    """What was said in one try, beside what is so."""

    truth: float = math.nan
    """NaN where only the claim is judged."""
    value: float | None = None
    low: float | None = None
    high: float | None = None
    """``None``: no number was given."""
    claimed: bool | None = None
    """Whether the claim was made ("it costs strokes", "has become better"); ``None`` where none can be."""
    is_so: bool = True
    """Whether that claim is true in this world."""

    @classmethod
    def of(cls, figure: Figure, truth: float, claimed: bool | None = None, is_so: bool = True) -> Told:
        """From a figure; one that says "too few" counts as refused."""
        return cls(truth, figure.value, figure.low, figure.high, claimed, is_so)


@dataclass(frozen=True)
class World:
    """One way in which golf may be, played by one size of club."""

    name: str
    attacks: str
    """The claim that this world tries to make false, in words."""
    size: str
    """Players x rounds each, or what else says how much golf there is."""
    play: Callable[[np.random.Generator], Mapping[str, Told]]
    """One try: what was told, by the figure or claim that it is about."""
    most_false_alarms: float = MOST_FALSE_ALARMS
    tries: tuple[int, int] = (SHORT_TRIES, LONG_TRIES)
    """Tries of the short and of the long table."""
    known_to_fail: tuple[str, ...] = ()
    """Claims that do not hold here, as is known and shown by the service; to mend them is open."""


def all_worlds() -> dict[str, list[World]]:
    """Every world by the file it is in, in order of name."""
    package = Path(__file__).parent
    found = {}
    for module in sorted(one.name for one in iter_modules([str(package)])):
        if module not in ("__main__", "court") and not module.startswith("test_"):
            worlds = getattr(import_module(f"tests.worlds.{module}"), "WORLDS", None)
            if worlds is not None:
                found[module] = list(worlds)
    return found


def play_world(subject: str, world: World, tries: int, first: int = 0) -> list[Row]:
    """The rows of one world. The same tries always draw the same golf, whatever else is played."""
    told: dict[str, list[Told]] = defaultdict(list)
    begun = time.perf_counter()
    for number in range(first, first + tries):
        seed = zlib.crc32(f"{subject}/{world.name}/{world.size}".encode())
        for claim, one in world.play(np.random.default_rng([seed, number])).items():
            told[claim].append(one)
    seconds = (time.perf_counter() - begun) / max(tries, 1)
    return [_row(subject, claim, world, some, seconds) for claim, some in told.items()]


def _row(subject: str, claim: str, world: World, told: Sequence[Told], seconds: float) -> Row:
    numbers = [
        (one.value - one.truth, one.low <= one.truth <= one.high)
        for one in told
        if one.value is not None
        and one.low is not None
        and one.high is not None
        and not math.isnan(one.truth)
    ]
    judged = [one for one in told if not math.isnan(one.truth)]
    alarms = [one.claimed for one in told if one.claimed is not None and not one.is_so]
    finds = [one.claimed for one in told if one.claimed is not None and one.is_so]
    return Row(
        subject=subject,
        claim=claim,
        world=world.name,
        attacks=world.attacks,
        size=world.size,
        tries=len(told),
        bias=_mean([error for error, _ in numbers]),
        coverage=_mean([held for _, held in numbers]),
        false_alarms=_mean(alarms),
        found=_mean(finds),
        refused=(len(judged) - len(numbers)) / max(len(told), 1),
        most_false_alarms=world.most_false_alarms,
        seconds=seconds,
        made_on=datetime.now(UTC).date().isoformat(),
    )


def _mean(values: Sequence[float]) -> float | None:
    return float(np.mean(values)) if len(values) else None


def as_text(rows: Iterable[Row]) -> str:
    """The table for a terminal."""
    lines = [("claim", "world", "size", "tries", "bias", "cover", "false", "found", "refused", "s", "")]
    lines += [
        (
            row.claim,
            row.world,
            row.size,
            str(row.tries),
            _number(row.bias, "+.2f"),
            _number(row.coverage, ".2f"),
            _number(row.false_alarms, ".2f"),
            _number(row.found, ".2f"),
            f"{row.refused:.2f}",
            f"{row.seconds:.2f}",
            "; ".join(row.failings),
        )
        for row in rows
    ]
    widths = [max(len(line[column]) for line in lines) for column in range(len(lines[0]))]
    return "\n".join(
        "  ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)).rstrip()
        for line in lines
    )


def _number(value: float | None, form: str) -> str:
    return "-" if value is None else format(value, form)


def write_csv(rows: Iterable[Row], file: TextIO) -> None:
    """The table as data: one line a row, shares to three places, empty where there is nothing to tell."""
    writer = csv.writer(file, lineterminator="\n")
    writer.writerow([field.name for field in fields(Row)])
    for row in rows:
        cells = astuple(row)
        writer.writerow(
            ["" if cell is None else round(cell, 3) if isinstance(cell, float) else cell for cell in cells]
        )


def read_csv(file: Path) -> list[Row]:
    """What :func:`write_csv` wrote."""
    with file.open(encoding="utf-8", newline="") as lines:
        return read_rows(lines)
