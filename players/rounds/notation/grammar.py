"""The words of the notation, and its grammar for the API reference."""

from __future__ import annotations

from collections.abc import Iterator

from players.rounds.fields import FLAG_FIELDS, NUMBER_FIELDS, WORD_FIELDS

LIE_LETTERS = {
    "T": "tee",
    "F": "fairway",
    "R": "rough",
    "S": "sand",
    "C": "recovery",
    "E": "fringe",
    "G": "green",
    "P": "penalty",
}
PENALTY_LETTERS = {"sd": "stroke_and_distance", "ld": "lateral_drop", "un": "unplayable", "ot": "other"}
HEADERS = {
    "player": "player",
    "course": "course",
    "tee": "tee",
    "date": "played_on",
    "time": "start_time",
    "section": "section",
    "unit": "unit",
    "format": "format",
    "counting": "counting",
    "competition": "competition",
    "missing": "reason_for_missing_holes",
    "ball": "ball",
    "weather": "weather",
    "temperature": "temperature_c",
    "wind": "wind_mph",
    "greens": "greens_found",
    "tags": "tags",
    "note": "note",
}
FREE_TEXT = frozenset(
    {"player", "course", "tee", "reason_for_missing_holes", "ball", "weather", "greens_found", "note"}
)
"""Fields whose header is taken as it stands, but for escapes."""
FIELD_OF_WORD = {word: one.name for one in WORD_FIELDS if one.words for word in one.words.words()}
NUMBER_DETAILS = {one.noted: one.name for one in NUMBER_FIELDS}
FLAG_DETAILS = {
    f"{'' if value else 'not-'}{one.name.replace('_', '-')}": (one.name, value)
    for one in FLAG_FIELDS
    for value in (True, False)
}


def word_of(detail: str) -> str:
    """A detail as it is looked up: capitals, blanks, hyphens and underscores make no difference."""
    return "_".join(detail.casefold().replace("-", " ").replace("_", " ").split())


SAID = {word_of(word): (name, word) for word, name in FIELD_OF_WORD.items()} | {
    word_of(word): found for word, found in FLAG_DETAILS.items()
}
"""Field and value of each detail that is a word."""


def _grammar_of_details() -> Iterator[str]:
    """A line for the words of each field of a shot, and one for each number."""
    for one in WORD_FIELDS:
        words = one.words.words() if one.words else []
        yield f"        | {' | '.join(words):<46}  {one.noted}"
    for one in FLAG_FIELDS:
        words = [word for word, (name, _) in FLAG_DETAILS.items() if name == one.name]
        yield f"        | {' | '.join(words):<46}  {one.noted}"
    for one in NUMBER_FIELDS:
        yield f"        | {one.noted + '=number':<46}  {one.described.rstrip('.').lower()}"


GRAMMAR = f"""\
The compact notation is header lines, then one line a hole. Empty lines and lines that begin with # say nothing.

```
round   = {{ header }} , {{ hole }}
header  = name ":" value         name: player course tee date time section unit format counting competition
                                 missing ball weather temperature wind greens tags note
                                 (counting and competition: yes or no; tags: with blanks between;
                                 greens as found: cored 7 days, slow, bumpy 4)
hole    = number {{ shot | score | picked-up | fact }}      with blanks between
shot    = lie distance [ "(" detail {{ "," detail }} ")" ] [ "+" strokes penalty ]
lie     = T tee | F fairway | R rough | S sand | C recovery | E fringe | G green | P penalty area
distance= to the hole before the shot: yards, on the green feet; or metres throughout (unit: metres)
penalty = sd stroke and distance | ld lateral drop | un unplayable | ot other
detail  = club by any of its names, such as 7i, or a word of your own (or club=name)
{chr(10).join(_grammar_of_details())}
        | #tag
score   = "=" strokes [ "/" putts ]
picked-up = "x" [ most likely score ]
fact    = fw+ | fw- | gir+ | gir- | pen number
```

The last shot of a hole is holed unless the ball was picked up. Capitals make no difference; `1.` and `1)` number a
hole; commas may stand between shots; a day may be written 14.6.2026 or 14 June 2026 where it can be no other. In a
header's text `\\n` is a new line and `\\\\` a backslash.
"""
