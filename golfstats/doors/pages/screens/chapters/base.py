"""What every chapter has: the question, the answer in words, pictures, and tables whose figures lead to their shots."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import ClassVar
from urllib.parse import urlencode, urlsplit
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.utils.html import conditional_escape, format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from golfstats.doors.pages.base import ClubPage
from golfstats.doors.pages.languages import translated
from golfstats.doors.pages.pictures.frame import NOTHING
from golfstats.doors.pages.shown import ShownFigure, told
from golfstats.ground import inputs
from players.golf.answers import Figure
from players.golf.benchmarks import benchmark_choices
from players.golf.questions import WindowQuery
from players.people.models import Player

WINDOWS = (
    (10, noop("last 10 rounds")),
    (20, noop("last 20 rounds")),
    (50, noop("last 50 rounds")),
    (1000, noop("all rounds")),
)
ANY_HANDICAP = "handicap:<h>"
"""Stands in the list of benchmarks for those of every handicap."""
HANDICAPS = (0, 5, 10, 15, 20, 25, 30, 36)


@dataclass(frozen=True)
class Cell:
    """What stands in a table: words, or a figure, perhaps with a way to what is behind it."""

    words: str = ""
    figure: ShownFigure | None = None
    drawing: SafeString = NOTHING
    address: str = ""
    beneath: str = ""
    """Small words that belong to a link: beneath it where there is little room."""

    def written(self) -> SafeString:
        """What stands between the tags of its place in the table."""
        if self.figure is not None:
            return self._figure(self.figure)
        if not self.address:
            return conditional_escape(self.words)
        link = format_html('<a href="{}">{}</a>', self.address, self.words)
        beneath = self.beneath and format_html(' <span class="n keep beneath">{}</span>', self.beneath)
        return SafeString(link + beneath)

    def _figure(self, figure: ShownFigure) -> SafeString:
        sample = figure.sample and format_html('<span class="n">{}</span>', figure.sample)
        return SafeString(f"{self._value(figure)} {sample}{self.drawing}")

    def _value(self, figure: ShownFigure) -> SafeString:
        if not figure.enough:
            return format_html('<span class="too-few">{}</span>', gettext("too few"))
        if not self.address:
            return format_html(
                '<span class="value">{}</span> <span class="interval-words">{}</span>',
                figure.value,
                figure.interval,
            )
        return format_html(
            '<a href="{}" class="value">{}<span class="unseen">: {}</span></a> '
            '<span class="interval-words">{}</span>',
            self.address,
            figure.value,
            gettext("what is behind it"),
            figure.interval,
        )


MOST_ON_A_PHONE = 4
"""Columns that find room side by side on a phone."""


@dataclass(frozen=True)
class Table:
    caption: str
    columns: Sequence[str]
    rows: Sequence[Sequence[Cell]]
    stacked: bool = False
    """On a phone the sentence of each row stands beneath its short cells."""

    @property
    def folds(self) -> bool:
        """Too wide for a phone: there each row is a small page of its own, each cell beneath its column's name."""
        return not self.stacked and len(self.columns) > MOST_ON_A_PHONE

    def body(self) -> SafeString:
        """Its rows. Written by a template, they took half the time of a page of trends with its thousand cells."""
        opened = ['<td class="text">'] * len(self.columns)
        if self.folds:
            opened = [format_html('<td class="text" data-head="{}">', column) for column in self.columns]
        return SafeString("".join(_row(row, opened[1:]) for row in self.rows))


def _row(cells: Sequence[Cell], opened: Sequence[str]) -> str:
    head, *others = (cell.written() for cell in cells)
    behind = "".join(f"{tag}{one}</td>" for tag, one in zip(opened, others, strict=True))
    return f'<tr><th scope="row">{head}</th>{behind}</tr>'


@dataclass(frozen=True)
class Block:
    """A part of a chapter: what it shows, in words first."""

    heading: str
    words: Sequence[str] = ()
    picture: SafeString = NOTHING
    caption: str = ""
    table: Table | None = None
    figures: Sequence[str] = ()
    """Keys of the figures that it shows: what they mean can be unfolded."""
    folded: bool = True
    """The table lies beneath the picture and is opened by who wants the numbers; without a picture it is open."""


@dataclass(frozen=True)
class Trust:
    """Where the numbers come from and what has to be known before trusting them; told once a page."""

    words: Sequence[str]


@dataclass(frozen=True)
class Chapter:
    answer: str
    """In a sentence or two."""
    blocks: Sequence[Block]
    trust: Trust = field(default_factory=lambda: Trust(()))


CHAPTERS = (
    ("player-page", noop("In short")),
    ("player-parts", noop("Parts")),
    ("player-long-game", noop("Long game")),
    ("player-approach", noop("Approach")),
    ("player-short-game", noop("Around the green")),
    ("player-putting", noop("Putting")),
    ("player-misses", noop("Misses")),
    ("player-greens", noop("Greens or me")),
    ("player-trends", noop("Trends")),
    ("player-priorities", noop("What to work on")),
    ("player-goals", noop("Goals and practice")),
    ("player-trials", noop("Trials")),
    ("player-rounds", noop("Rounds")),
    ("player-index", noop("Index")),
)


def window_query(request: HttpRequest) -> WindowQuery:
    """Benchmark and window that the address asks for; a 422 problem where it asks for something else."""
    known = {"benchmark", "last", "from", "to", "unit"}
    return inputs.checked(
        WindowQuery, {name: value for name, value in request.GET.items() if value and name in known}
    )


def benchmark_options(chosen: str) -> list[tuple[str, str]]:
    """Keys and names for a choice; the one in use is among them whatever it is."""
    options = []
    for choice in benchmark_choices():
        if choice.key == ANY_HANDICAP:
            options += [
                (f"handicap:{h}", gettext("Golfer of handicap {h} (estimate)").format(h=h)) for h in HANDICAPS
            ]
        else:
            options.append((choice.key, gettext(choice.name)))
    if chosen not in dict(options):
        options.append((chosen, chosen))
    return options


class PlayerChapter(ClubPage):
    """Subclasses name the question and give the chapter."""

    question: ClassVar[str] = ""
    chapter_template: ClassVar[str] = "chapter"
    chosen_window: ClassVar[bool] = True
    """The reader may choose rounds and the golfer compared with."""
    player: Player
    query: WindowQuery

    def chapter(self) -> Chapter:
        raise NotImplementedError

    def extra(self) -> dict[str, object]:
        """What a template of its own shows beside."""
        return {}

    def get(self, request: HttpRequest, player_id: UUID) -> HttpResponse:
        self.player = self.visible_player(player_id)
        self.query = window_query(request)
        return self.tell()

    def tell(self, template: str = "") -> HttpResponse:
        chosen = self.query.benchmark or self.club.benchmark
        context = {
            "player": self.player,
            "own": self.player.member_id == self.member.id,
            "question": gettext(self.question),
            "chapter": self.chapter(),
            "chapters": self._chapters(),
            "benchmarks": benchmark_options(chosen) if self.chosen_window else (),
            "chosen": chosen,
            "windows": translated(WINDOWS) if self.chosen_window else (),
            "last": self.query.window().last,
        }
        return self.page(template or self.chapter_template, context | self.extra())

    def _chapters(self) -> list[tuple[str, str]]:
        """Every chapter with the same rounds and the same golfer."""
        asked = {name: self.request.GET[name] for name in ("benchmark", "last") if self.request.GET.get(name)}
        ending = f"?{urlencode(asked)}" if asked else ""
        return [(gettext(words), self.address(name, self.player.id) + ending) for name, words in CHAPTERS]

    def behind(self, figure: Figure) -> str:
        """The page of the shots behind a figure; nothing where the figure has none."""
        if not figure.shots:
            return ""
        return f"{self.address('player-shots', self.player.id)}?{urlsplit(figure.shots).query}"

    def cell(
        self, figure: Figure, *, signed: bool = False, drawing: SafeString = NOTHING, sample: bool = True
    ) -> Cell:
        """``sample``: with its number of shots, which a table of one sample says once instead."""
        shown = told(figure, signed=signed)
        if shown.enough and not sample:
            shown = replace(shown, sample="")
        return Cell(figure=shown, drawing=drawing, address=self.behind(figure))
