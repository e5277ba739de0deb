"""From a text in the notation to the fields of a round, with every fault and its place."""

from __future__ import annotations

import re
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any

from golfstats.calc.clubs import USUAL_NAMES, is_usual, one_name
from golfstats.ground.faults import Fault
from golfstats.sentences import Sentence
from players.rounds.input import Remark
from players.rounds.notation.forgiving import (
    clock_of,
    day_of,
    measure_of,
    plain_line,
    unescaped,
    word_in_header,
    yes_or_no,
)
from players.rounds.notation.grammar import (
    FREE_TEXT,
    HEADERS,
    LIE_LETTERS,
    NUMBER_DETAILS,
    PENALTY_LETTERS,
    SAID,
    word_of,
)

_LETTERS = "".join(LIE_LETTERS)
_NUMBER = r"-?\d+(?:\.\d+|,\d{1,2})?"
_HEADER = re.compile(r"\s*([A-Za-z]+)\s*:\s*(.*?)\s*$")
_HOLE_NUMBER = re.compile(r"\s*(\d{1,2})(?:[.):,]?(?=\s|$)|[.):,](?=[A-Za-z=]))", re.ASCII)
_TOKEN = re.compile(
    rf"(?:[{_LETTERS}]\s+(?=\d))?"  # a lie and its distance with a blank between
    r"(?:[^\s(,;]|(?<=\d),(?=\d))+"  # a comma inside a number is a decimal one
    r"(?:\s*\([^)]*\)?)?(?:\s*\+\s?(?=\d))?[^\s(,;]*",
    re.IGNORECASE,
)
_SHOT = re.compile(
    rf"(?P<lie>[{_LETTERS}])\s*(?P<distance>{_NUMBER})\s*(?:\((?P<details>[^)]*)\))?"
    rf"\s*(?:\+\s?(?P<strokes>\d)(?P<kind>{'|'.join(PENALTY_LETTERS)}))?$",
    re.IGNORECASE,
)
_SCORE = re.compile(r"=(\d{1,2})(?:/(\d{1,2}))?$")
_PICKED_UP = re.compile(r"x(\d{1,2})?$", re.IGNORECASE)
_HOLE_FACT = re.compile(r"(fw|gir)([+-])$", re.IGNORECASE)
_PENALTIES = re.compile(r"pen(\d{1,2})$", re.IGNORECASE)
_CLUB = re.compile(r"[A-Za-z0-9][A-Za-z0-9.+° -]*$")


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
        self.remarks: list[Remark] = []

    def fault(self, line: _Line, column: int, code: str, detail: str, hole: int | None = None) -> None:
        pointer = f"/line/{line.number}"
        self.faults.append(Fault(pointer, code, detail, hole=hole, line=line.number, column=column + 1))

    def read(self, line: _Line) -> None:
        if not line.text.strip() or line.text.lstrip().startswith("#"):
            return
        plain = plain_line(line.text)
        hole_number = _HOLE_NUMBER.match(plain)
        if hole_number:
            _HoleReader(self, line, plain, int(hole_number[1])).read(hole_number.end())
            return
        header = _HEADER.match(line.text)
        if header and header[1].lower() in HEADERS:
            self._read_header(line, header)
            return
        known = ", ".join(HEADERS)
        self.fault(
            line, 0, "unknown_line", Sentence("neither a hole's number nor one of: {known}", known=known)
        )

    def _read_header(self, line: _Line, header: re.Match[str]) -> None:
        name, value = header[1].lower(), header[2]
        field = HEADERS[name]
        if field in self.round:
            self.fault(line, header.start(1), "header_twice", Sentence("{name} is given twice", name=name))
            return
        meant: Any = _value_of(field, value)
        if meant is None:
            code, detail = _UNCLEAR[field]
            self.fault(line, header.start(2), code, Sentence("{name} {detail}", name=name, detail=detail))
            return
        self.round[field] = meant


_UNCLEAR = dict.fromkeys(("counting", "competition"), ("not_yes_or_no", Sentence("is yes or no"))) | {
    "played_on": (
        "day_unclear",
        Sentence("is a day, such as 2026-06-14; with the year last, where no other is possible"),
    )
}


def _value_of(field: str, value: str) -> Any:
    """What a header says; nothing where it is unclear. What is merely wrong is left for the checks to refuse."""
    if field in FREE_TEXT:
        return unescaped(value)
    if field in {"counting", "competition"}:
        return yes_or_no(value)
    if field == "played_on":
        return day_of(value)
    if field == "start_time":
        return clock_of(value)
    if field == "tags":
        return [tag.lstrip("#") for tag in value.replace(",", " ").split()]
    return measure_of(value) if field in {"temperature_c", "wind_mph"} else word_in_header(value)


class _HoleReader:
    """Reads the line of one hole."""

    def __init__(self, reader: _Reader, line: _Line, plain: str, number: int) -> None:
        self._reader, self._line, self._plain = reader, line, plain
        self._number = number
        self._hole: dict[str, Any] = {"number": number, "shots": []}

    def read(self, start: int) -> None:
        for token in _TOKEN.finditer(self._plain, start):
            self._read_token(token[0].rstrip(".:!"), token.start())
        if len(self._hole) == 2 and not self._hole["shots"]:
            self._fault(
                start,
                "hole_empty",
                Sentence("hole {number} has neither shots nor a score", number=self._number),
            )
        self._reader.round["holes"].append(self._hole)

    def _fault(self, column: int, code: str, detail: str) -> None:
        self._reader.fault(self._line, column, code, detail, self._number)

    def _say(self, about: dict[str, Any], field: str, value: Any, shot: int | None = None) -> None:
        """Note a value; if another was said before, the later one counts and a remark tells of it."""
        if field in about and about[field] != value:
            first, then = _value_words(field, about[field]), _value_words(field, value)
            self._reader.remarks.append(Remark(field, first, then, self._number, shot))
        about[field] = value

    def _read_token(self, text: str, start: int) -> None:
        hole = self._hole
        if not text:
            return
        if shot := _SHOT.match(text):
            self._read_shot(shot, start)
        elif score := _SCORE.match(text):
            self._say(hole, "score", int(score[1]))
            if score[2] is not None:
                self._say(hole, "putts", int(score[2]))
        elif picked_up := _PICKED_UP.match(text):
            hole["picked_up"] = True
            if picked_up[1] is not None:
                self._say(hole, "score", int(picked_up[1]))
        elif fact := _HOLE_FACT.match(text):
            name = "fairway_hit" if fact[1].lower() == "fw" else "green_in_regulation"
            self._say(hole, name, fact[2] == "+")
        elif penalties := _PENALTIES.match(text):
            self._say(hole, "penalties", int(penalties[1]))
        elif text[0].upper() not in LIE_LETTERS and text[0].isalpha():
            letters = " ".join(f"{letter} {lie}" for letter, lie in LIE_LETTERS.items())
            self._fault(
                start,
                "unknown_lie",
                Sentence("{text} is no lie; the lies are {letters}", text=repr(text[0]), letters=letters),
            )
        else:
            self._fault(
                start, "not_a_shot", Sentence("cannot read {text} as a shot or a score", text=repr(text))
            )

    def _read_shot(self, written: re.Match[str], offset: int) -> None:
        shot: dict[str, Any] = {
            "lie": LIE_LETTERS[written["lie"].upper()],
            "distance": _number(written["distance"]),
        }
        if written["strokes"]:
            shot["penalty_strokes"] = int(written["strokes"])
            shot["penalty_kind"] = PENALTY_LETTERS[written["kind"].lower()]
        self._hole["shots"].append(shot)
        if written["details"] is None:
            return
        column = offset + written.start("details")
        for detail in written["details"].split(","):
            self._read_detail(shot, detail, column)
            column += len(detail) + 1

    def _read_detail(self, shot: dict[str, Any], text: str, column: int) -> None:
        detail = text.strip()
        # Tags are the player's own words, taken as they were typed.
        typed = self._line.text[column : column + len(text)].strip()
        if not detail or self._say_detail(shot, detail, typed):
            return
        parts, unknown = _parts_of(detail)
        if not unknown:  # "7i left", without the comma
            for part in parts:
                self._say_detail(shot, part, part)
        elif _CLUB.match(detail) and "club" not in shot and not parts:
            shot["club"] = detail
        else:
            meant = get_close_matches(word_of(detail), [*SAID, *USUAL_NAMES], 1)
            hint = Sentence("; did you mean {word}?", word=meant[0]) if meant else ""
            self._fault(
                column,
                "unknown_detail",
                Sentence("cannot read the detail {detail}{hint}", detail=repr(detail), hint=hint),
            )

    def _say_detail(self, shot: dict[str, Any], detail: str, typed: str) -> bool:
        """Note a detail that is a word, a number, a tag or a club that everybody knows; False if it is none."""
        number = len(self._hole["shots"])
        name, separator, value = (part.strip() for part in detail.partition("="))
        key = name.lower()
        if separator and key in NUMBER_DETAILS and re.fullmatch(_NUMBER, value):
            self._say(shot, NUMBER_DETAILS[key], _number(value), number)
        elif separator and key == "club" and _CLUB.match(value):
            self._say(shot, "club", value, number)
        elif typed.startswith("#"):
            shot.setdefault("tags", []).append(typed[1:])
        elif word_of(detail) in SAID:
            self._say(shot, *SAID[word_of(detail)], number)
        elif _is_known(detail):
            self._say(shot, "club", detail, number)
        else:
            return False
        return True


def _parts_of(detail: str) -> tuple[list[str], list[str]]:
    """Details written with blanks between: those that are known, from the first on, and the words that are left."""
    parts: list[str] = []
    words = detail.split()
    while words:
        prefixes = (" ".join(words[:count]) for count in range(len(words), 0, -1))
        known = next((part for part in prefixes if _is_known(part)), None)
        if known is None:
            break
        parts.append(known)
        del words[: known.count(" ") + 1]
    return parts, words


def _is_known(part: str) -> bool:
    return word_of(part) in SAID or bool(_CLUB.match(part) and is_usual(one_name(part)))


def _number(written: str) -> float:
    return float(written.replace(",", "."))


def _value_words(field: str, value: Any) -> str:
    """A value as a remark tells it."""
    if isinstance(value, bool):
        return f"{field.replace('_', ' ')} {'yes' if value else 'no'}"
    return f"{value:g}" if isinstance(value, float) else str(value).replace("_", " ")


def read(text: str) -> dict[str, Any]:
    """The round that a text describes, as the fields of :class:`~players.rounds.input.RoundInput`.

    Raises :class:`NotationError` with every fault. The values themselves are not yet validated.
    """
    return read_with_remarks(text)[0]


def read_with_remarks(text: str) -> tuple[dict[str, Any], list[Remark]]:
    """As :func:`read`, with what was said twice."""
    reader = _Reader()
    for number, line in enumerate(text.splitlines(), start=1):
        reader.read(_Line(number, line))
    if reader.faults:
        raise NotationError(reader.faults)
    return reader.round, reader.remarks
