"""Chapters about the parts of the game: where strokes go, from the tee to the hole."""

from __future__ import annotations

from collections.abc import Sequence

from django.utils.translation import gettext, pgettext
from django.utils.translation import gettext_noop as noop

from golfstats.doors.pages.pictures import intervals, target
from golfstats.doors.pages.pictures.frame import Span
from golfstats.doors.pages.screens.chapters.base import Block, Cell, Chapter, PlayerChapter, Table, Trust
from golfstats.doors.pages.screens.chapters.words import trust_in
from golfstats.doors.pages.shown import told, turned
from golfstats.ground.club_names import club_words
from golfstats.ground.words import a_golfer, counted, day_words
from players.conditions.answers.rounds import LastQuery
from players.conditions.operations import CONDITION_ADJUSTED
from players.figures.answers.figures import FiguresQuery
from players.figures.answers.long_game import ApproachBand, ChangingFigure, ClubGap, ClubLength
from players.figures.answers.misses import MissesOfTarget
from players.figures.operations import APPROACH, DISTANCES, FIGURES, MISSES, SUMMARY
from players.golf.answers import Figure, NamedFigure
from players.golf.words import ends, number_words
from players.pictures import subjects
from players.pictures.shapes import Sides
from players.pictures.subjects import PART_KINDS, PARTS, in_parts

GREENS_TRUST = noop(
    "The raw figure is never replaced. What the greens took is what they cost this club's usual member from the same "
    "distances on that day's surface; it is known only as well as the club's own putts tell it."
)


def figures_table(page: PlayerChapter, caption: str, figures: Sequence[NamedFigure]) -> Table:
    rows = [[Cell(one.name), page.cell(one, signed=one.key.startswith("gained."))] for one in figures]
    return Table(caption, (gettext("Figure"), gettext("Value, 90% interval")), rows)


class Parts(PlayerChapter):
    question = noop("Where do the strokes go?")

    def chapter(self) -> Chapter:
        (answer,) = SUMMARY(self.asker, [self.player], self.query)
        gains = in_parts(answer.strokes_gained)
        span = Span.of_intervals(gains)
        picture = intervals.drawn(subjects.parts(answer))
        rows = [
            [Cell(gettext(name)), self.cell(one, signed=True, drawing=intervals.in_a_cell(one, span, kind))]
            for name, one, kind in zip(PARTS, gains, PART_KINDS, strict=True)
        ]
        table = Table(
            gettext("Strokes gained a round"),
            (gettext("Part of the game"), gettext("Strokes, 90% interval")),
            rows,
        )
        scoring = figures_table(self, gettext("Scoring"), answer.scoring)
        blocks = [
            Block(
                gettext("Strokes gained a round"),
                (answer.window.words,),
                picture,
                table=table,
                figures=[one.key for one in gains],
            ),
            Block(gettext("Scoring"), table=scoring, figures=[one.key for one in answer.scoring]),
        ]
        return Chapter(answer.words, blocks, trust_in(answer.benchmark))


class LongGame(PlayerChapter):
    question = noop("How far does each club go, and how straight?")

    def chapter(self) -> Chapter:
        (answer,) = DISTANCES(self.asker, [self.player], self.query)
        known = [club for club in answer.clubs if club.distance.enough]
        how_to_read = gettext("A dot is the median full swing, its bar the middle half of them.")
        blocks = [
            Block(
                gettext("How far each club goes"),
                (how_to_read,) if known else (),
                intervals.drawn(subjects.clubs(answer)),
                table=self._clubs(answer.clubs),
                figures=("club.*.distance", "club.*.distance_spread", "club.*.side_yards"),
            ),
            Block(
                gettext("Gaps and overlaps"),
                table=self._gaps(answer.gaps),
                figures=("gaps.apart", "gaps.overlap"),
                folded=False,
            ),
        ]
        return Chapter(_longest_words(known), blocks, Trust((answer.caution,)))

    def _clubs(self, clubs: Sequence[ClubLength]) -> Table:
        columns = (
            pgettext("for golf", "Club"),
            gettext("Median"),
            gettext("Spread"),
            gettext("To the side"),
            gettext("Swings"),
        )
        rows = [
            [
                Cell(club_words(one.club)),
                self.cell(one.distance),
                self.cell(one.distance_spread),
                self.cell(one.side_yards),
                Cell(str(one.distance.n)),
            ]
            for one in clubs
        ]
        return Table(gettext("Full swings by club"), columns, rows)

    def _gaps(self, gaps: Sequence[ClubGap]) -> Table:
        columns = (pgettext("for golf", "Clubs"), gettext("Medians apart"), gettext("Middle halves"))
        both = gettext("{longer} and {shorter}")
        rows = [
            [
                Cell(both.format(longer=club_words(one.longer), shorter=club_words(one.shorter))),
                self.cell(one.gap),
                Cell(_halves(one.overlap)),
            ]
            for one in gaps
        ]
        return Table(gettext("Neighbouring clubs"), columns, rows)


def _longest_words(known: Sequence[ClubLength]) -> str:
    """What the longest club does, of those with enough swings."""
    if not known:
        return gettext("No club has enough measured or inferred full swings yet.")
    longest = known[0]
    words = gettext("The longest club is the {club}: {words}.").format(
        club=club_words(longest.club), words=longest.distance.words
    )
    if longest.side_yards.enough:
        words += " " + gettext("To the side its shots spread by {words}.").format(
            words=longest.side_yards.words
        )
    return words


def _halves(overlap: Figure) -> str:
    """What the middle halves of two clubs do, in the columns of a table."""
    if overlap.value is None:
        return overlap.words
    if abs(overlap.value) < 0.5:
        return gettext("just meet")
    overlap_words = gettext("overlap by {length}") if overlap.value > 0 else gettext("leave {length} open")
    return overlap_words.format(length=f"{abs(overlap.value):.0f} {gettext(overlap.unit)}")


class Approach(PlayerChapter):
    question = noop("Which approaches cost, and are they getting closer?")

    def chapter(self) -> Chapter:
        (answer,) = APPROACH(self.asker, [self.player], self.query)
        picture = intervals.drawn(subjects.approaches(answer))
        table = Table(
            gettext("Shots at the green by distance"),
            (
                gettext("From, yards"),
                gettext("Green hit"),
                gettext("Left, median"),
                gettext("Strokes gained a shot"),
                gettext("Lately"),
            ),
            [
                [
                    Cell(band.band),
                    self.cell(band.figures.green_hit),
                    self.cell(band.figures.proximity),
                    self.cell(band.figures.gained, signed=True),
                    Cell(_lately(band.figures.proximity)),
                ]
                for band in answer.bands
            ],
        )
        return Chapter(
            _approach_words(answer.bands, answer.benchmark.name),
            [
                Block(
                    gettext("Strokes gained a shot"),
                    (answer.window.words,),
                    picture,
                    table=table,
                    figures=("approach.*.gained", "approach.*.green_hit", "approach.*.proximity"),
                )
            ],
            trust_in(answer.benchmark),
        )


def _lately(figure: ChangingFigure) -> str:
    return figure.trend[:1].upper() + figure.trend[1:]


def _approach_words(bands: Sequence[ApproachBand], benchmark: str) -> str:
    known = [one for one in bands if one.figures.gained.value is not None]
    if not known:
        return gettext("Too few shots at the green are recorded yet.")
    worst = min(known, key=lambda one: one.figures.gained.value or 0.0)
    best = max(known, key=lambda one: one.figures.gained.value or 0.0)
    if worst is best:
        return gettext("Only shots from {band} yards are enough to judge: {words}.").format(
            band=worst.band, words=worst.figures.gained.words
        )
    return gettext(
        "Strokes gained a shot against {benchmark}: fewest from {fewest} yards, {few}; "
        "most from {most} yards, {many}."
    ).format(
        benchmark=a_golfer(benchmark),
        fewest=worst.band,
        few=worst.figures.gained.words,
        most=best.band,
        many=best.figures.gained.words,
    )


class ShortGame(PlayerChapter):
    question = noop("Does the short game save strokes?")

    def chapter(self) -> Chapter:
        asked = self.query.model_dump() | {"keys": list(subjects.SHORT_GAME)}
        (answer,) = FIGURES(self.asker, [self.player], FiguresQuery.model_validate(_by_alias(asked)))
        gained, *_ = answer.figures
        picture = intervals.drawn(subjects.saves(answer))
        return Chapter(
            gettext("Strokes gained in the short game: {words}.").format(words=gained.words),
            [
                Block(
                    gettext("How often it comes off"),
                    (answer.window.words,),
                    picture,
                    table=figures_table(self, gettext("Around the green"), answer.figures),
                    figures=[one.key for one in answer.figures],
                )
            ],
            trust_in(answer.benchmark),
        )


def _by_alias(asked: dict[str, object]) -> dict[str, object]:
    """The window under the names that an address gives it."""
    names = {"since": "from", "until": "to"}
    return {names.get(name, name): value for name, value in asked.items() if value is not None}


DISCS = noop("The larger the disc, the more misses went there.")
PAIRS = noop("Left and right make 100% together; so do short and long.")


class Misses(PlayerChapter):
    question = noop("Which way do the misses go, and what do they cost?")

    def chapter(self) -> Chapter:
        (answer,) = MISSES(self.asker, [self.player], self.query)
        blocks = [
            self._block(gettext("Missed greens"), answer.green, subjects.missed_greens(answer)),
            self._block(gettext("Missed fairways"), answer.fairway, subjects.missed_fairways(answer)),
        ]
        return Chapter(
            f"{answer.green.words} {answer.fairway.words}".strip(),
            blocks,
            Trust((answer.benchmark_golfer, answer.squad, *trust_in(answer.benchmark).words)),
        )

    def _block(self, heading: str, of: MissesOfTarget, shown: Sides) -> Block:
        rows = [
            [
                Cell(one.name),
                self.cell(one),
                Cell(figure=None, words=_short(one.versus_benchmark_golfer)),
                Cell(words="–" if one.versus_squad is None else _short(one.versus_squad)),
            ]
            for one in of.figures
        ]
        table = Table(
            heading,
            (gettext("Figure"), gettext("Own"), gettext("Against the golfer"), gettext("Against the squad")),
            rows,
        )
        caption = gettext(DISCS) if shown.sides else ""
        if any(one.name in {"short", "long"} for one in shown.sides):
            caption += " " + gettext(PAIRS)
        keys = [*(one.key for one in of.figures), "misses.against"]
        return Block(heading, (), target.drawn(shown), caption, table, keys)


def _short(figure: Figure) -> str:
    return (
        gettext("too few")
        if figure.value is None
        else number_words(figure.value, figure.unit, signed=True, within=ends(figure))
    )


class GreensOrMe(PlayerChapter):
    question = noop("Was it the greens, or the stroke?")
    chosen_window = False

    def chapter(self) -> Chapter:
        last = self.query.last or 20
        (answer,) = CONDITION_ADJUSTED(self.asker, [self.player], LastQuery(last=min(last, 200)))
        picture = intervals.drawn(subjects.without_the_greens(answer))
        rows = [
            [
                Cell(day_words(one.played_on), address=self.address("round-page", one.id)),
                Cell("–" if one.putting is None else _short(one.putting.raw)),
                Cell("–" if one.putting is None else _short(turned(one.putting.owed))),
                Cell("–" if one.putting is None else _short(one.putting.adjusted)),
                Cell(one.note or gettext("undisturbed greens")),
            ]
            for one in answer.rounds
        ]
        table = Table(
            gettext("Round by round"),
            (
                gettext("Day"),
                gettext("As it was"),
                gettext("Owed to the greens"),
                gettext("Without"),
                gettext("The greens"),
            ),
            rows,
        )
        played = answer.window.rounds - answer.window.left_out
        return Chapter(
            _greens_words(answer.putting.raw, answer.putting.owed, answer.putting.adjusted),
            [
                Block(
                    gettext("In three steps"),
                    (
                        gettext("Strokes a round over {rounds} with recorded putts.").format(
                            rounds=counted(played, "round")
                        ),
                    ),
                    picture,
                    table=table,
                    figures=("greens.raw", "greens.owed", "greens.adjusted"),
                )
            ],
            Trust((gettext(GREENS_TRUST),)),
        )


def _greens_words(raw: Figure, owed: Figure, adjusted: Figure) -> str:
    if raw.value is None:
        return gettext("Too few recorded putts to tell: {words}.").format(words=raw.words)
    if owed.value is None or adjusted.value is None:
        return gettext("Putting as it was: {words}. What the greens took cannot be told yet.").format(
            words=raw.words
        )
    if owed.low == owed.high == 0:
        return gettext("{raw}, none of it on disturbed greens.").format(raw=raw.words)
    if owed.low is not None and owed.low > 0:
        return gettext(
            "As it was: {raw}; the greens took {owed} of all members on disturbed greens. Without that: {adjusted}."
        ).format(raw=raw.words, owed=owed.words, adjusted=adjusted.words)
    change = told(turned(owed), signed=True)  # as in the picture beneath: what is lost has a minus
    return gettext(
        "As it was: {raw}; the greens explain little of it: {change} strokes a round ({range})."
    ).format(raw=raw.words, change=change.value, range=change.interval)
