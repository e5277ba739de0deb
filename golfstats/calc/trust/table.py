"""The table of claim and world: bias, coverage, false alarms and refusals, as ``python -m tests.worlds`` found them.

A world makes golf by rules that the mathematics does not assume, knows the truth that it hid, and asks. The rows are
made by the tests' court (``tests/worlds``) and kept in ``worlds.csv``, each with the day on which it was tried; a test
plays the short version again and fails where it no longer agrees.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from importlib import resources

from scipy.stats import binom

from golfstats.sentences import Sentence, counted, joined

LEAST_COVERAGE = 0.85
"""Of intervals said to hold 90%."""
BY_CHANCE = 0.005
"""A row is only said to fail where a world that just keeps its limit misses it by so much no more often than this."""
MOSTLY = 0.5
"""From this share of refusals on, a world is told as one in which the service says that it cannot tell."""


@dataclass(frozen=True)
class Row:
    """One claim in one world; shares are 0 … 1, and ``None`` where there was nothing to share."""

    subject: str
    """The file of worlds it comes from."""
    claim: str
    world: str
    attacks: str
    """What the world tries to make false, in words."""
    size: str
    """Players x rounds each, or what else says how much golf there is."""
    tries: int
    bias: float | None
    """Mean of value less truth, over the tries in which a number was given."""
    coverage: float | None
    """Share of those whose 90% interval holds the truth."""
    false_alarms: float | None
    """Share of all tries that claimed what is not so, where nothing is so."""
    found: float | None
    """Share of all tries that claimed what is so, where it is so."""
    refused: float
    """Share of tries in which no number was given, and the service said why."""
    most_false_alarms: float
    """What this world allows."""
    seconds: float
    """A try."""
    made_on: str
    """Day on which it was tried (ISO)."""

    @cached_property
    def failings(self) -> list[str]:
        """What this row does not keep, in words; empty where it holds.

        Kept, because a table is told again and again, and SciPy's distributions take their time.
        """
        return list(_failings(self))

    @cached_property
    def words(self) -> str:
        """``its 90% interval held the truth in 96 of 100 tries, on average 0.12 too high; refused in 4``."""
        parts = []
        given = round(self.tries * (1 - self.refused))
        if self.refused >= MOSTLY:
            parts.append(
                Sentence(
                    "the service said that it cannot tell in {n} of {tries} tries",
                    n=self.tries - given,
                    tries=self.tries,
                )
            )
        if self.coverage is not None and given:
            parts.append(
                Sentence(
                    "its 90% interval held the truth in {n} of {tries} tries",
                    n=round(self.coverage * given),
                    tries=given,
                )
            )
        if self.bias is not None and given:
            bias = f"{abs(self.bias):.2f}"
            parts.append(
                Sentence("on average {bias} too high", bias=bias)
                if self.bias > 0
                else Sentence("on average {bias} too low", bias=bias)
            )
        if self.false_alarms is not None:
            parts.append(
                Sentence(
                    "claimed what is not so in {n} of {tries} tries",
                    n=round(self.false_alarms * self.tries),
                    tries=self.tries,
                )
            )
        if self.found is not None:
            parts.append(
                Sentence(
                    "found what is so in {n} of {tries} tries",
                    n=round(self.found * self.tries),
                    tries=self.tries,
                )
            )
        return joined("; ", parts)


def _failings(row: Row) -> Iterator[str]:
    if row.coverage is not None:
        given = round(row.tries * (1 - row.refused))
        if binom.cdf(round(row.coverage * given), given, LEAST_COVERAGE) < BY_CHANCE:
            yield f"covers {row.coverage:.2f} of {given}"
    if row.false_alarms is not None:
        alarms = round(row.false_alarms * row.tries)
        if binom.sf(alarms - 1, row.tries, row.most_false_alarms) < BY_CHANCE:
            yield f"false alarms {row.false_alarms:.2f} of {row.tries}"


@dataclass(frozen=True)
class Claim:
    """What is claimed, over all worlds in which it was tried."""

    subject: str
    claim: str
    rows: Sequence[Row]

    @cached_property
    def failing(self) -> list[Row]:
        return [row for row in self.rows if row.failings]

    @cached_property
    def words(self) -> str:
        """One sentence or two: in how many worlds it was tried, the worst of each share, and where it fails."""
        tried = len(self.rows)
        sentences = [Sentence("Tried in {worlds}.", worlds=counted(tried, "world"))]
        coverage = [row.coverage for row in self.rows if row.coverage is not None]
        alarms = [row.false_alarms for row in self.rows if row.false_alarms is not None]
        refused = max(row.refused for row in self.rows)
        if coverage:
            sentences.append(
                Sentence("Its 90% interval held the truth in {share} of tries.", share=_span(coverage))
            )
        if alarms:
            sentences.append(Sentence("False alarms in {share}.", share=_span(alarms)))
        if refused > 0:
            sentences.append(
                Sentence(
                    "At most {share} of tries were refused as too little to tell.", share=f"{refused:.0%}"
                )
            )
        if self.failing:
            names = sorted({row.world for row in self.failing})
            sentences.append(Sentence("Do not trust it where: {worlds}.", worlds="; ".join(names)))
        return joined(" ", sentences)


def _span(shares: Sequence[float]) -> str:
    low, high = f"{min(shares):.0%}", f"{max(shares):.0%}"
    return low if low == high else Sentence("{low} to {high}", low=low, high=high)


def read_rows(lines: Iterable[str]) -> list[Row]:
    """Rows as :func:`tests.worlds.court.write_csv` writes them."""
    return [_row(cells) for cells in csv.DictReader(lines)]


def _row(cells: Mapping[str, str]) -> Row:
    def maybe(name: str) -> float | None:
        return float(cells[name]) if cells[name] else None

    return Row(
        subject=cells["subject"],
        claim=cells["claim"],
        world=cells["world"],
        attacks=cells["attacks"],
        size=cells["size"],
        tries=int(cells["tries"]),
        bias=maybe("bias"),
        coverage=maybe("coverage"),
        false_alarms=maybe("false_alarms"),
        found=maybe("found"),
        refused=float(cells["refused"]),
        most_false_alarms=float(cells["most_false_alarms"]),
        seconds=float(cells["seconds"]),
        made_on=cells["made_on"],
    )


@lru_cache(maxsize=1)
def kept_rows() -> tuple[Row, ...]:
    """The table that is kept in the repository."""
    text = resources.files(__package__).joinpath("worlds.csv").read_text(encoding="utf-8")
    return tuple(read_rows(text.splitlines()))


@lru_cache(maxsize=1)
def claims() -> tuple[Claim, ...]:
    """The kept table by claim, in its order."""
    rows_of: dict[tuple[str, str], list[Row]] = {}
    for row in kept_rows():
        rows_of.setdefault((row.subject, row.claim), []).append(row)
    return tuple(Claim(subject, claim, rows) for (subject, claim), rows in rows_of.items())
