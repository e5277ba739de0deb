"""Every hostile world in its short version: what is claimed holds, or is refused."""

import pytest
from scipy.stats import fisher_exact

from golfstats.calc.trust.table import kept_rows
from tests.worlds.court import all_worlds, play_world

# Large clubs take most of the time; the small ones tell the same in a run that somebody waits for.
LARGE = "40 x 20"
WORLDS = [
    pytest.param(
        subject,
        world,
        id=f"{subject}: {world.name}, {world.size}",
        marks=[pytest.mark.slow] if world.size == LARGE else [],
    )
    for subject, worlds in all_worlds().items()
    for world in worlds
]


@pytest.fixture(scope="module")
def kept():
    """The long table that the service shows, by claim and world."""
    return {(row.subject, row.claim, row.world, row.size): row for row in kept_rows()}


@pytest.mark.parametrize(("subject", "world"), WORLDS)
def test_what_is_claimed_holds(subject, world, kept):
    """And what the service shows of itself is what is found today, within what chance does to so few tries."""
    rows = play_world(subject, world, world.tries[0])
    assert rows
    failing = {row.claim: row.failings for row in rows if row.failings}
    assert {claim: why for claim, why in failing.items() if claim not in world.known_to_fail} == {}
    for row in rows:
        told = kept.get((subject, row.claim, row.world, row.size), row)  # one that was not played long yet
        for share in ("coverage", "false_alarms", "found", "refused"):
            assert alike(row, told, share), (row.claim, share, getattr(row, share), getattr(told, share))


def test_the_kept_table_knows_no_other_worlds(kept):
    """A world that was taken away, or has another name now, leaves the table as well."""
    worlds = {(subject, one.name, one.size) for subject, worlds in all_worlds().items() for one in worlds}
    assert {(subject, world, size) for subject, _, world, size in kept} <= worlds


def alike(row, told, share):
    """Fisher's exact test of two shares."""
    counts = []
    for one in (row, told):
        value = getattr(one, share)
        if value is None:
            return True
        tries = round(one.tries * (1 - one.refused)) if share == "coverage" else one.tries
        counts.append([round(value * tries), tries - round(value * tries)])
    return fisher_exact(counts).pvalue > 1e-4
