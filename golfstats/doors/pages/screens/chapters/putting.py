"""The chapter about putting: how putts are holed, why they are missed, what a first putt comes to."""

from __future__ import annotations

from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from golfstats.doors.pages.pictures import intervals, putting
from golfstats.doors.pages.screens.chapters.base import Block, Cell, Chapter, PlayerChapter, Table
from golfstats.doors.pages.screens.chapters.game import figures_table
from golfstats.doors.pages.screens.chapters.words import trust_in
from golfstats.ground.words import a_golfer, counted, percent_words, with_marks
from players.figures.answers.putting import MadePutts, Putting
from players.figures.operations import PUTTING
from players.pictures import subjects

CURVE_WORDS = noop(
    "Dots with bars are the share holed, the line is what one's spread of line and pace gives, dashed is {golfer}."
)

FIRST_PUTT_WORDS = noop(
    "How many putts it takes from each distance, and how often three or more; all {putts} together tell each line."
)


class PuttingChapter(PlayerChapter):
    question = noop("How are putts holed, and why are they missed?")

    def chapter(self) -> Chapter:
        (answer,) = PUTTING(self.asker, [self.player], self.query)
        unit = answer.make_curve[0].distance_unit if answer.make_curve else "ft"
        curve = putting.make_curve(subjects.make_curve(answer))
        made = Table(
            gettext("Putts holed by distance"),
            (
                gettext("From, {unit}").format(unit=gettext(unit)),
                gettext("Holed"),
                gettext("{name} of these").format(name=answer.benchmark.name),
                gettext("Putts"),
            ),
            [
                [
                    Cell(_range(one)),
                    self.cell(one),
                    Cell("–" if one.benchmark is None else percent_words(one.benchmark)),
                    Cell(str(one.n)),
                ]
                for one in answer.make_curve
            ],
        )
        return Chapter(
            _putting_words(answer),
            [
                Block(
                    gettext("Holed by distance"),
                    (gettext(CURVE_WORDS).format(golfer=a_golfer(answer.benchmark.name)),),
                    curve,
                    table=made,
                    figures=("putting.made.*",),
                ),
                _reads(self, answer),
                Block(
                    gettext("What a first putt comes to"),
                    (
                        gettext(FIRST_PUTT_WORDS).format(
                            putts=counted(answer.first_putts[0].expected_putts.n, "putt")
                        ),
                    )
                    if answer.first_putts
                    else (),
                    table=_first_putts(self, answer),
                    figures=("putting.first", "putting.three"),
                ),
                Block(
                    gettext("Line and pace"),
                    table=_spreads(self, answer),
                    folded=False,
                    words=(answer.spreads.words,),
                    figures=("putting.direction", "putting.length"),
                ),
                Block(
                    gettext("Habits"),
                    table=figures_table(self, gettext("Habits on the green"), answer.habits),
                    figures=[one.key for one in answer.habits],
                ),
            ],
            trust_in(answer.benchmark),
        )


def _range(one: MadePutts) -> str:
    return (
        gettext("{nearest} and more").format(nearest=f"{one.nearest:g}")
        if one.farthest is None
        else f"{one.nearest:g}–{one.farthest:g}"
    )


def _putting_words(answer: Putting) -> str:
    reads = answer.under_reading.breaking_misses
    sentences = [
        gettext("Putts start off line by {words}").format(words=answer.spreads.direction.words)
        if answer.spreads.direction.enough
        else ""
    ]
    sentences.append(reads.words.rstrip("."))
    return ". ".join(one for one in sentences if one) + "."


def _reads(page: PlayerChapter, answer: Putting) -> Block:
    sides = subjects.missed_putts(answer)
    picture = intervals.drawn(subjects.low_side(answer))
    slopes = answer.below_against_above_the_hole
    rows = [
        [Cell(name), Cell(str(one.low)), Cell(str(one.high)), page.cell(one.share_low)] for name, one in sides
    ]
    return Block(
        gettext("Is enough break played?"),
        (sides[0][1].words, slopes.words),
        picture,
        table=Table(
            gettext("Misses by side"),
            (
                gettext("Which putts"),
                gettext("Low"),
                gettext("High"),
                gettext("Share low, directions evened out"),
            ),
            rows,
        ),
        figures=("putting.low",),
    )


def _first_putts(page: PlayerChapter, answer: Putting) -> Table:
    rows = [
        [
            Cell(f"{one.distance:g} {one.distance_unit}"),
            page.cell(one.expected_putts, sample=False),
            page.cell(one.three_putts_or_more, sample=False),
            Cell(with_marks(f"{one.benchmark.expected_putts:.2f}")),
        ]
        for one in answer.first_putts
    ]
    return Table(
        gettext("First putts"),
        (
            gettext("From"),
            gettext("Putts"),
            gettext("Three or more"),
            gettext("{name}: putts").format(name=answer.benchmark.name),
        ),
        rows,
    )


def _spreads(page: PlayerChapter, answer: Putting) -> Table:
    spreads = answer.spreads
    return Table(
        gettext("Spread of line and pace"),
        ("", gettext("Own"), answer.benchmark.name),
        [
            [
                Cell(gettext("Starting line")),
                page.cell(spreads.direction),
                Cell(with_marks(f"{spreads.benchmark.direction:.1f}°")),
            ],
            [
                Cell(gettext("Length")),
                page.cell(spreads.distance),
                Cell(percent_words(spreads.benchmark.distance / 100)),
            ],
        ],
    )
