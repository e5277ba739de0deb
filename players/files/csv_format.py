"""The columns of our CSV files (RFC 4180), which are written by the export and understood by the import."""

from __future__ import annotations

from players.rounds.fields import SHOT_FIELDS, Kind

ROUND_TEXT = (
    "player",
    "course",
    "tee",
    "section",
    "format",
    "reason_for_missing_holes",
    "ball",
    "weather",
    "greens_found",
    "note",
)
ROUND_COLUMNS = (
    "player",
    "course",
    "tee",
    "played_on",
    "start_time",
    "section",
    "format",
    "counting",
    "competition",
    "reason_for_missing_holes",
    "ball",
    "weather",
    "temperature_c",
    "wind_mph",
    "greens_found",
    "tags",
    "note",
)
"""Of a round, in both kinds of file. ``tags`` are separated by spaces."""

HOLES_COLUMNS = ("score", "putts", "penalties", "fairway_hit", "green_in_regulation")
"""Of each hole in a file of scores, numbered: ``score_1`` to ``score_18`` and so on."""
PICKED_UP = "picked_up"
"""In a file of scores the numbers of the holes where the ball was picked up, separated by spaces;
in a file of shots a yes or no beside each shot of such a hole."""

SHOT_COLUMNS = {one.in_file: one.name for one in SHOT_FIELDS}
"""Of a shot, each with the field that it holds."""
LISTS = {"tags", *(one.in_file for one in SHOT_FIELDS if one.kind is Kind.TAGS)}
"""Columns whose cells are words with spaces between."""
HOLE_NUMBER = "hole"
OF_HOLE = {"hole_score": "score", PICKED_UP: "picked_up"}
"""Of a hole in a file of shots, each with the field that it holds: they stand beside each shot of the hole."""
WITHOUT_SHOTS = {f"hole_{column}": column for column in HOLES_COLUMNS if column != "score"}
"""Likewise, on the line of a hole of which the shots are not known."""

_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
"""A cell that begins so is a formula to a spreadsheet; the wide signs are to some that are set up for East Asia."""


def safe_text(text: str) -> str:
    """The text as a cell that no spreadsheet takes for a formula: with an apostrophe in front.

    A text that has such apostrophes already gets one more, so that :func:`plain_text` gives it back.
    """
    return f"'{text}" if text.lstrip("'").startswith(_FORMULA) else text


def plain_text(cell: str) -> str:
    """The inverse of :func:`safe_text`."""
    return cell[1:] if cell.startswith("'") and cell.lstrip("'").startswith(_FORMULA) else cell


def numbered(column: str, hole: int) -> str:
    return f"{column}_{hole}"
