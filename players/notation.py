"""The compact notation: a round as text that a person can type on a phone.

A round is some header lines, then one line a hole::

    course: Larkmoor
    tee: White
    date: 2026-05-02
    1 T412 F155(7i) G18 G2
    2 T165(6i,left) S12 G6
    3 =5/2
    4 T380+2sd T380 R140 G30 G3
    5 T520 F260 R40 x8

A hole line is the hole's number and its shots. A shot is a lie letter and the distance to the hole
before it (yards, feet on the green; or metres throughout), then optional details in parentheses and an
optional penalty. The last shot is holed. ``=5`` gives only a score, ``=5/2`` with the putts, ``x`` or
``x8`` a ball picked up (with the most likely score). The README has the whole grammar.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from golfstats.api.problems import Fault
from golfstats.calc import vocabulary
from players.round_input import HoleInput, RoundInput, ShotInput

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
    "tags": "tags",
    "note": "note",
}
_WORD_FIELDS: dict[str, type[vocabulary.Word]] = {
    "miss_side": vocabulary.MissSide,
    "miss_depth": vocabulary.MissDepth,
    "lie_quality": vocabulary.LieQuality,
    "swing": vocabulary.Swing,
    "wind": vocabulary.Wind,
    "slope": vocabulary.Slope,
    "putt_break": vocabulary.PuttBreak,
    "fault": vocabulary.PuttFault,
}
FIELD_OF_WORD = {word: field for field, words in _WORD_FIELDS.items() for word in words.words()}
NUMBER_DETAILS = {
    "to": "target_distance",
    "went": "travel",
    "off": "offline",
    "mph": "wind_mph",
    "up": "elevation",
}

_NUMBER = r"-?\d+(?:\.\d+)?"
_HEADER = re.compile(r"\s*([a-z]+)\s*:\s*(.*?)\s*$")
_HOLE_NUMBER = re.compile(r"\s*(\d{1,2})(?=\s|$)")
_TOKEN = re.compile(r"[^\s(]+(?:\([^)]*\)?)?[^\s(]*")
_SHOT = re.compile(
    rf"(?P<lie>[{''.join(LIE_LETTERS)}])(?P<distance>{_NUMBER})(?:\((?P<details>[^)]*)\))?"
    rf"(?:\+(?P<strokes>\d)(?P<kind>{'|'.join(PENALTY_LETTERS)}))?$"
)
_SCORE = re.compile(r"=(\d{1,2})(?:/(\d{1,2}))?$")
_PICKED_UP = re.compile(r"x(\d{1,2})?$")
_HOLE_FACT = re.compile(r"(fw|gir)([+-])$")
_PENALTIES = re.compile(r"pen(\d{1,2})$")
_CLUB = re.compile(r"[A-Za-z0-9][A-Za-z0-9.+-]*$")


class NotationError(Exception):
    """The text is not in the notation. Carries every fault, each with its line and column (from 1)."""

    def __init__(self, faults: list[Fault]) -> None:
        super().__init__("; ".join(f"line {f.line}, column {f.column}: {f.detail}" for f in faults))
        self.faults = faults


@dataclass
class _Line:
    number: int
    text: str


class _Reader:
    """Collects what a text says, and its faults, line by line."""

    def __init__(self) -> None:
        self.round: dict[str, Any] = {"holes": []}
        self.faults: list[Fault] = []

    def fault(self, line: _Line, column: int, code: str, detail: str, hole: int | None = None) -> None:
        pointer = f"/line/{line.number}"
        self.faults.append(Fault(pointer, code, detail, hole=hole, line=line.number, column=column + 1))

    def read(self, line: _Line) -> None:
        if not line.text.strip() or line.text.lstrip().startswith("#"):
            return
        hole_number = _HOLE_NUMBER.match(line.text)
        if hole_number:
            self._read_hole(line, int(hole_number[1]), hole_number.end())
            return
        header = _HEADER.match(line.text)
        if header and header[1] in HEADERS:
            self._read_header(line, header)
            return
        known = ", ".join(HEADERS)
        self.fault(line, 0, "unknown_line", f"neither a hole's number nor one of: {known}")

    def _read_header(self, line: _Line, header: re.Match[str]) -> None:
        name, value = header[1], header[2]
        field = HEADERS[name]
        if field in self.round:
            self.fault(line, header.start(1), "header_twice", f"{name} is given twice")
            return
        if field in {"counting", "competition"}:
            if value not in {"yes", "no"}:
                self.fault(line, header.start(2), "not_yes_or_no", f"{name} is yes or no")
                return
            self.round[field] = value == "yes"
        elif field == "tags":
            self.round[field] = value.split()
        elif field == "note":
            self.round[field] = value.replace("\\n", "\n")
        else:
            self.round[field] = value

    def _read_hole(self, line: _Line, number: int, start: int) -> None:
        hole: dict[str, Any] = {"number": number, "shots": []}
        for token in _TOKEN.finditer(line.text, start):
            self._read_token(line, hole, token)
        if len(hole) == 2 and not hole["shots"]:
            self.fault(line, start, "hole_empty", f"hole {number} has neither shots nor a score", number)
        self.round["holes"].append(hole)

    def _read_token(self, line: _Line, hole: dict[str, Any], token: re.Match[str]) -> None:
        text, number = token[0], hole["number"]
        if shot := _SHOT.match(text):
            self._read_shot(line, hole, shot, token.start())
        elif score := _SCORE.match(text):
            hole["score"] = int(score[1])
            if score[2] is not None:
                hole["putts"] = int(score[2])
        elif picked_up := _PICKED_UP.match(text):
            hole["picked_up"] = True
            if picked_up[1] is not None:
                hole["score"] = int(picked_up[1])
        elif fact := _HOLE_FACT.match(text):
            name = "fairway_hit" if fact[1] == "fw" else "green_in_regulation"
            hole[name] = fact[2] == "+"
        elif penalties := _PENALTIES.match(text):
            hole["penalties"] = int(penalties[1])
        elif text[0] not in LIE_LETTERS and text[0].isalpha():
            letters = " ".join(f"{letter} {lie}" for letter, lie in LIE_LETTERS.items())
            self.fault(
                line, token.start(), "unknown_lie", f"{text[0]!r} is no lie; the lies are {letters}", number
            )
        else:
            self.fault(
                line, token.start(), "not_a_shot", f"cannot read {text!r} as a shot or a score", number
            )

    def _read_shot(self, line: _Line, hole: dict[str, Any], found: re.Match[str], offset: int) -> None:
        shot: dict[str, Any] = {"lie": LIE_LETTERS[found["lie"]], "distance": float(found["distance"])}
        if found["strokes"]:
            shot["penalty_strokes"] = int(found["strokes"])
            shot["penalty_kind"] = PENALTY_LETTERS[found["kind"]]
        column = offset + (found.start("details") if found["details"] is not None else 0)
        for detail in (found["details"] or "").split(","):
            self._read_detail(line, hole["number"], shot, detail.strip(), column)
            column += len(detail) + 1
        hole["shots"].append(shot)

    def _read_detail(self, line: _Line, hole: int, shot: dict[str, Any], detail: str, column: int) -> None:
        if not detail:
            return
        name, separator, value = detail.partition("=")
        if separator and name in NUMBER_DETAILS and re.fullmatch(_NUMBER, value):
            shot[NUMBER_DETAILS[name]] = float(value)
        elif separator and name == "club" and _CLUB.match(value):
            shot["club"] = value
        elif detail.startswith("#"):
            shot.setdefault("tags", []).append(detail[1:])
        elif detail in {"short-sided", "not-short-sided"}:
            shot["short_sided"] = detail == "short-sided"
        elif detail in FIELD_OF_WORD:
            shot[FIELD_OF_WORD[detail]] = detail
        elif not separator and _CLUB.match(detail) and "club" not in shot:
            shot["club"] = detail
        else:
            self.fault(line, column, "unknown_detail", f"cannot read the detail {detail!r}", hole)


def read(text: str) -> dict[str, Any]:
    """The round that a text describes, as the fields of :class:`~players.round_input.RoundInput`.

    Raises :class:`NotationError` with every fault. The values themselves are not yet validated.
    """
    reader = _Reader()
    for number, line in enumerate(text.splitlines(), start=1):
        reader.read(_Line(number, line))
    if reader.faults:
        raise NotationError(reader.faults)
    return reader.round


def write(posted: RoundInput) -> str:
    """A round in the notation. Reading it again gives the same round."""
    return "\n".join([*_header_lines(posted), *(_hole_line(hole) for hole in posted.holes)]) + "\n"


_HEADER_WRITERS: dict[str, Callable[[Any], str]] = {
    "counting": lambda value: "yes" if value else "no",
    "competition": lambda value: "yes" if value else "no",
    "tags": " ".join,
    "note": lambda value: value.replace("\n", "\\n"),
}


def _header_lines(posted: RoundInput) -> Iterator[str]:
    for name, field in HEADERS.items():
        value = getattr(posted, field)
        if value == RoundInput.model_fields[field].get_default(call_default_factory=True):
            continue
        written = _HEADER_WRITERS.get(field, str)(value)
        yield f"{name}: {written}"


def _hole_line(hole: HoleInput) -> str:
    words = [str(hole.number), *(_shot_word(shot) for shot in hole.shots)]
    if hole.picked_up:
        words.append("x" if hole.score is None else f"x{hole.score}")
    if hole.putts is not None and hole.score is not None:
        words.append(f"={hole.score}/{hole.putts}")
    elif hole.score is not None and not hole.picked_up:
        words.append(f"={hole.score}")
    for name, fact in (("fw", hole.fairway_hit), ("gir", hole.green_in_regulation)):
        if fact is not None:
            words.append(f"{name}{'+' if fact else '-'}")
    if hole.penalties is not None:
        words.append(f"pen{hole.penalties}")
    return " ".join(words)


def _shot_word(shot: ShotInput) -> str:
    letter = next(letter for letter, lie in LIE_LETTERS.items() if lie == shot.lie)
    details = ",".join(_details(shot))
    penalty = ""
    if shot.penalty_strokes:
        kind = next(letters for letters, kind in PENALTY_LETTERS.items() if kind == shot.penalty_kind)
        penalty = f"+{shot.penalty_strokes}{kind}"
    return f"{letter}{_number(shot.distance)}{f'({details})' if details else ''}{penalty}"


def _details(shot: ShotInput) -> Iterator[str]:
    if shot.club is not None:
        ambiguous = shot.club in FIELD_OF_WORD or shot.club in {"short-sided", "not-short-sided"}
        yield f"club={shot.club}" if ambiguous else shot.club
    for field in _WORD_FIELDS:
        word = getattr(shot, field)
        if word is not None:
            yield word
    if shot.short_sided is not None:
        yield "short-sided" if shot.short_sided else "not-short-sided"
    for name, field in NUMBER_DETAILS.items():
        number = getattr(shot, field)
        if number is not None:
            yield f"{name}={_number(number)}"
    for tag in shot.tags:
        yield f"#{tag}"


def _number(value: float) -> str:
    return f"{round(value, 2) + 0.0:.2f}".rstrip("0").rstrip(".")  # the sum turns minus zero into zero
