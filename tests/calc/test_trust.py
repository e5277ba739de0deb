"""The kept table of claims and worlds, read and told."""

import io
from dataclasses import fields, replace
from pathlib import Path

import pytest

from golfstats.calc.trust import table
from golfstats.calc.trust.table import Row, claims, kept_rows, read_rows
from tests.worlds.court import write_csv

ROW = Row(
    subject="putting_reads",
    claim="too little break is played",
    world="nobody reads wrongly",
    attacks="low misses are under-reading",
    size="1 x 20",
    tries=100,
    bias=0.124,
    coverage=0.9,
    false_alarms=0.04,
    found=None,
    refused=0.2,
    most_false_alarms=0.1,
    seconds=0.5,
    made_on="2026-11-26",
)


def test_a_row_survives_the_file():
    file = io.StringIO()
    write_csv([ROW], file)
    assert read_rows(file.getvalue().splitlines()) == [ROW]


def test_the_kept_table_fits_its_columns():
    rows = kept_rows()
    assert len(rows) > 50
    for row in rows:
        shares = (row.coverage, row.false_alarms, row.found, row.refused)
        assert all(share is None or 0 <= share <= 1 for share in shares)
        assert row.tries > 0
    header, *_ = Path(table.__file__).with_name("worlds.csv").read_text(encoding="utf-8").splitlines()
    assert header.split(",") == [field.name for field in fields(Row)]
    keys = [(row.subject, row.claim, row.world, row.size) for row in rows]
    assert len(keys) == len(set(keys))


def test_words_say_what_was_counted():
    assert ROW.words == (
        "its 90% interval held the truth in 72 of 80 tries; on average 0.12 too high; "
        "claimed what is not so in 4 of 100 tries"
    )
    assert replace(ROW, refused=1.0, coverage=None, bias=None).words.startswith(
        "the service said that it cannot tell in 100 of 100 tries"
    )


@pytest.mark.parametrize(
    ("row", "failings"),
    [
        (ROW, []),
        (replace(ROW, coverage=0.6), ["covers 0.60 of 80"]),
        (replace(ROW, false_alarms=0.3), ["false alarms 0.30 of 100"]),
        (replace(ROW, coverage=0.6, refused=0.98), []),  # two tries tell nothing
    ],
)
def test_a_row_fails_only_beyond_chance(row, failings):
    assert row.failings == failings


def test_claims_are_told_with_the_worlds_in_which_they_fail():
    told = {(claim.subject, claim.claim): claim for claim in claims()}
    assert told
    for claim in told.values():
        assert claim.words.startswith("Tried in ")
        for row in claim.failing:
            assert row.world in claim.words
