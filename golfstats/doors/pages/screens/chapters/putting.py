"""The chapter about putting: how putts are holed, why they are missed, what a first putt comes to."""

from __future__ import annotations

from golfstats.doors.pages.pictures import intervals, putting
from golfstats.doors.pages.screens.chapters.base import Block, Cell, Chapter, PlayerChapter, Table
from golfstats.doors.pages.screens.chapters.game import figures_table
from golfstats.doors.pages.screens.chapters.words import trust_in
from golfstats.ground.words import a_golfer
from players.figures.answers.putting import MadePutts, Putting
from players.figures.answers.putting import putting as putting_answer
from players.pictures import subjects

CURVE_WORDS = (
    "Dots with bars are the share holed, the line is what one's spread of line and pace gives, dashed is"
)


class PuttingChapter(PlayerChapter):
    question = "How are putts holed, and why are they missed?"

    def chapter(self) -> Chapter:
        (answer,) = putting_answer(self.asker, [self.player], self.query)
        unit = answer.make_curve[0].distance_unit if answer.make_curve else "ft"
        curve = putting.make_curve(subjects.make_curve(answer))
        made = Table(
            "Putts holed by distance",
            (f"From, {unit}", "Holed", f"{answer.benchmark.name} of these", "Putts"),
            [
                [
                    Cell(_range(one)),
                    self.cell(one),
                    Cell("–" if one.benchmark is None else f"{one.benchmark:.0%}"),
                    Cell(str(one.n)),
                ]
                for one in answer.make_curve
            ],
        )
        return Chapter(
            _putting_words(answer),
            [
                Block(
                    "Holed by distance",
                    (f"{CURVE_WORDS} {a_golfer(answer.benchmark.name)}.",),
                    curve,
                    table=made,
                ),
                _reads(self, answer),
                Block("What a first putt comes to", table=_first_putts(self, answer)),
                Block(
                    "Line and pace", table=_spreads(self, answer), folded=False, words=(answer.spreads.words,)
                ),
                Block("Habits", table=figures_table(self, "Habits on the green", answer.habits)),
            ],
            trust_in(answer.benchmark),
        )


def _range(one: MadePutts) -> str:
    return f"{one.nearest:g} and more" if one.farthest is None else f"{one.nearest:g}–{one.farthest:g}"


def _putting_words(answer: Putting) -> str:
    reads = answer.under_reading.breaking_misses
    said = [
        f"Putts start off line by {answer.spreads.direction.words}" if answer.spreads.direction.enough else ""
    ]
    said.append(reads.words.rstrip("."))
    return ". ".join(one for one in said if one) + "."


def _reads(page: PlayerChapter, answer: Putting) -> Block:
    sides = subjects.missed_putts(answer)
    picture = intervals.drawn(subjects.low_side(answer))
    slopes = answer.below_against_above_the_hole
    rows = [
        [Cell(name), Cell(str(one.low)), Cell(str(one.high)), page.cell(one.share_low)] for name, one in sides
    ]
    return Block(
        "Is enough break played?",
        (sides[0][1].words, slopes.words),
        picture,
        table=Table(
            "Misses by side", ("Which putts", "Low", "High", "Share low, directions evened out"), rows
        ),
    )


def _first_putts(page: PlayerChapter, answer: Putting) -> Table:
    rows = [
        [
            Cell(f"{one.distance:g} {one.distance_unit}"),
            page.cell(one.expected_putts),
            page.cell(one.three_putts_or_more),
            Cell(f"{one.benchmark.expected_putts:.2f}"),
        ]
        for one in answer.first_putts
    ]
    return Table("First putts", ("From", "Putts", "Three or more", f"{answer.benchmark.name}: putts"), rows)


def _spreads(page: PlayerChapter, answer: Putting) -> Table:
    spreads = answer.spreads
    return Table(
        "Spread of line and pace",
        ("", "Own", answer.benchmark.name),
        [
            [
                Cell("Starting line"),
                page.cell(spreads.direction),
                Cell(f"{spreads.benchmark.direction:.1f}°"),
            ],
            [Cell("Length"), page.cell(spreads.distance), Cell(f"{spreads.benchmark.distance:.0f}%")],
        ],
    )
