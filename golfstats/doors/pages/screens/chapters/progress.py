"""Chapters about change: trends, what to work on, goals and practice, trials, and the index."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import cache, partial

from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from golfstats.doors.pages.languages import translated
from golfstats.doors.pages.pictures import intervals, series
from golfstats.doors.pages.screens.chapters.base import Block, Cell, Chapter, PlayerChapter, Table, Trust
from golfstats.doors.pages.screens.chapters.words import LITTLE, PRIORITY_KEY, PRIORITY_TRUST
from golfstats.ground import inputs
from golfstats.ground.operations import Query
from golfstats.ground.words import a_golfer, counted, day_words, index_words, true_minus, with_marks
from players.coaching.goals import Goal, goal_answers, visible_goals
from players.coaching.notes import note_answers, visible_notes
from players.coaching.operations import TRENDS
from players.coaching.priorities import Priorities, RankedGroup, player_priorities
from players.coaching.questions import PrioritiesQuery, TrendsQuery
from players.coaching.trends import PlayersTrends, Trend
from players.figures.answers.figures import FIGURE_OPTIONS
from players.figures.meanings import family_of
from players.figures.operations import SUMMARY
from players.golf.words import WithInterval, ends, length_words, number_words
from players.handicap.answers import HandicapRecord, RecordedScore, handicap_records
from players.pictures import subjects
from players.pictures.answers import work_marks
from players.pictures.shapes import Mark, Series


def trend_shown(trend: Trend, marks: Sequence[Mark], page_of: Callable[[str], str]) -> Series:
    """The trend, each of its points with the page of its round."""
    shown = subjects.over_time(trend)
    points = [replace(one, address=page_of(one.address)) for one in shown.points]
    return replace(shown, points=points, marks=marks)


class Trends(PlayerChapter):
    question = noop("Is it getting better?")

    def chapter(self) -> Chapter:
        (answer,) = TRENDS(self.asker, [self.player], self._asked())
        marks = work_marks(self.asker)
        # Every trend leads twice to each of the same rounds.
        page_of = cache(partial(self.address, "round-page"))
        blocks = [
            self._block(one, trend_shown(one, marks, page_of), page_of, "" if row else gettext(TREND_KEY))
            for row, one in enumerate(answer.trends)
        ]
        return Chapter(_trend_words(answer), blocks, Trust((gettext(TREND_TRUST),)))

    def _asked(self) -> TrendsQuery:
        figure = self.request.GET.get("figure", "")
        asked = {"benchmark": self.query.benchmark, "keys": figure or None}
        return inputs.checked(TrendsQuery, {name: value for name, value in asked.items() if value})

    def _block(self, trend: Trend, shown: Series, page_of: Callable[[str], str], caption: str) -> Block:
        signed = trend.key.startswith("gained.")
        low_to_high = gettext("{low} to {high}")

        def written(value: float, one: WithInterval) -> str:
            return number_words(value, trend.unit, signed=signed, within=ends(one))

        words = [trend.compared_with.words[:1].upper() + trend.compared_with.words[1:]]
        if trend.level_shift:
            words.append(trend.level_shift.words)
        rows = [
            [
                Cell(day_words(one.played_on), address=page_of(str(one.round))),
                Cell("–" if one.value is None else number_words(one.value, trend.unit, signed=signed)),
                Cell("–" if one.level is None else written(one.level, one)),
                Cell(
                    "–"
                    if one.low is None or one.high is None
                    else low_to_high.format(low=written(one.low, one), high=written(one.high, one))
                ),
            ]
            for one in reversed(trend.rounds)
        ]
        table = Table(
            trend.name, (gettext("Round"), gettext("Value"), gettext("Level"), gettext("90% band")), rows
        )
        figures = (family_of(trend.key), "trend.level")
        return Block(trend.name, words, series.drawn(shown), caption, table, figures)

    def extra(self) -> dict[str, object]:
        return {"figures": translated(FIGURE_OPTIONS), "figure": self.request.GET.get("figure", "")}


TREND_KEY = noop(
    "Dots are rounds, the line is the level with its 90% band. Ticks on the axis: work on the greens."
)
TREND_TRUST = noop(
    "The level is what all rounds together say of each day; one round moves it little. A change is named as likely "
    "only as far as the rounds carry it."
)


def _trend_words(answer: PlayersTrends) -> str:
    known = [one.compared_with for one in answer.trends if one.compared_with.chance_better is not None]
    if not known:
        return gettext("Too few rounds to tell whether anything changed.")
    named = list(zip(answer.trends, [one.compared_with for one in answer.trends], strict=True))
    sure = [
        (trend, change)
        for trend, change in named
        if change.chance_better is not None and abs(change.chance_better.value - 0.5) > 0.4
    ]
    if not sure:
        return gettext("Nothing has changed for certain; what moves is within what rounds vary by.")
    return " ".join(f"{trend.name}: {change.words}." for trend, change in sure[:2])


class PrioritiesChapter(PlayerChapter):
    question = noop("What is worth working on?")

    def chapter(self) -> Chapter:
        (answer,) = player_priorities(self.asker, [self.player], self._asked())
        picture = intervals.drawn(subjects.worth_working_on(answer))
        blocks = [
            Block(
                gettext("Strokes a round to gain on {benchmark}").format(
                    benchmark=a_golfer(answer.benchmark)
                ),
                [answer.first[:1].upper() + answer.first[1:] + "."] if answer.first else [],
                picture,
                gettext(PRIORITY_KEY),
                table=_ranked_table(gettext("Parts of the game"), answer.parts),
                figures=("priorities.to_gain", "priorities.chance"),
                folded=False,
            ),
            Block(
                gettext("By distance"),
                _nothing_to_gain(answer.bands),
                table=_ranked_table(gettext("By distance"), [one for one in answer.bands if _worth(one)]),
                figures=("priorities.to_gain", "priorities.chance"),
            ),
        ]
        return Chapter(
            _priority_words(answer),
            blocks,
            Trust((gettext(PRIORITY_TRUST),)),
        )

    def _asked(self) -> PrioritiesQuery:
        target = self.request.GET.get("target", "")
        asked = {"target": target} if target else {"benchmark": self.query.benchmark}
        return inputs.checked(PrioritiesQuery, {name: value for name, value in asked.items() if value})


def _worth(one: RankedGroup) -> bool:
    """Whether there is something to gain that a tenth of a stroke shows."""
    return one.rank is not None and round(one.to_gain.value or 0.0, 1) > 0


def _nothing_to_gain(groups: Sequence[RankedGroup]) -> list[str]:
    """One sentence for all the others, instead of a line each that says the same."""
    names = subjects.group_names([one for one in groups if one.to_gain.value is not None and not _worth(one)])
    few = subjects.group_names([one for one in groups if one.to_gain.value is None])
    sentences = [
        "",
        gettext("Hardly anything to gain: {names}.").format(names="; ".join(names)) if names else "",
    ]
    return [*sentences, gettext("Too few shots: {names}.").format(names="; ".join(few)) if few else ""]


def _place(one: RankedGroup) -> str:
    """Groups that share a place are marked; where there is nothing to gain, there is no place to win."""
    if not _worth(one):
        return "–"
    return f"{one.rank} =" if one.tied else str(one.rank)


def _ranked_table(caption: str, groups: Sequence[RankedGroup]) -> Table:
    rows = [
        [
            Cell(_place(one)),
            Cell(subjects.group_name(one)),
            Cell(one.words[:1].upper() + one.words[1:]),
            Cell("–" if one.chance is None else gettext("{chance} likely").format(chance=one.chance.words)),
        ]
        for one in sorted(groups, key=lambda one: (one.rank is None, one.rank or 0))
    ]
    return Table(
        caption,
        (
            gettext("Place"),
            gettext("What"),
            gettext("What it is worth"),
            gettext("Likely that there is something"),
        ),
        rows,
        stacked=True,
    )


def _priority_words(priorities: Priorities) -> str:
    worth = [one for one in priorities.parts if one.rank == 1 and (one.to_gain.value or 0) > 0]
    if not worth:
        return gettext("Against {benchmark} no part of the game stands out as worth work.").format(
            benchmark=a_golfer(priorities.benchmark)
        )
    words = ". ".join(one.words[:1].upper() + one.words[1:] for one in worth) + "."
    if all((one.to_gain.value or 0.0) < LITTLE for one in worth):
        return gettext(
            "{words} That is little: compare with a lower handicap to see what comes next."
        ).format(words=words)
    return words


class Goals(PlayerChapter):
    question = noop("What is being worked towards?")
    chapter_template = "goals"
    chosen_window = False

    def chapter(self) -> Chapter:
        running = [one for one in self.goals if one.closed_at is None]
        words = [f"{one.figure.name}: {one.progress.words}" for one in running[:2]]
        return Chapter(". ".join(words) + "." if words else gettext("No goal is running."), ())

    @property
    def goals(self) -> list[Goal]:
        rows = visible_goals(self.member).filter(player=self.player)[:20]
        return self.asker.once(f"goals {self.player.id}", lambda: goal_answers(self.asker, list(rows)))

    def extra(self) -> dict[str, object]:
        notes = visible_notes(self.member).filter(player=self.player).order_by("-practised_on", "-id")[:10]
        return {
            "goals": [
                (
                    goal,
                    length_words(goal.target, goal.figure.unit),
                    series.drawn(subjects.towards(goal)),
                    (family_of(goal.figure.key), "goal.chance"),
                )
                for goal in self.goals
            ],
            "practice": note_answers(self.asker, list(notes)),
        }


class RoundsOfPlayer(PlayerChapter):
    tells = "rounds"
    question = noop("What happened lately?")
    chapter_template = "player_rounds"

    def chapter(self) -> Chapter:
        (answer,) = SUMMARY(self.asker, [self.player], self.query)
        self.answer = answer
        if not answer.rounds:
            return Chapter(gettext("No rounds yet."), ())
        last = answer.rounds[0]
        return Chapter(
            gettext("Last played on {played_on}: {score} strokes over {holes} at {course}.").format(
                played_on=day_words(last.played_on),
                score=last.score,
                holes=counted(last.holes_played, "hole"),
                course=last.course,
            ),
            (),
        )

    def extra(self) -> dict[str, object]:
        return {"rounds": self.answer.rounds}


class Index(PlayerChapter):
    question = noop("How did the handicap index come about?")
    chapter_template = "index"
    chosen_window = False

    def chapter(self) -> Chapter:
        (answer,) = handicap_records(self.asker, [self.player], Query())
        self.answer = answer
        picture = series.drawn(subjects.index(answer))
        table = Table(
            gettext("The record, newest first"),
            (gettext("Played"), gettext("Differential"), gettext("Standing"), gettext("Index after")),
            [self._line(one) for one in answer.record],
        )
        return Chapter(
            _index_words(answer),
            [
                Block(
                    gettext("The index over time"),
                    [f"{day_words(one.on)}: {one.text}, {one.reason}" for one in answer.committee],
                    picture,
                    table=table,
                    figures=("handicap.index", "handicap.differential"),
                )
            ],
        )

    def _line(self, one: RecordedScore) -> list[Cell]:
        address = self.address("round-page", one.round) if one.round else ""
        standing = one.reason + (gettext(", counts among the best 8") if one.in_best_8 else "")
        return [
            Cell(day_words(one.played_on), address=address),
            Cell(
                "–"
                if one.adjusted_differential is None
                else with_marks(true_minus(one.adjusted_differential))
            ),
            Cell(standing[:1].upper() + standing[1:]),
            Cell(index_words(one.index_after)),
        ]

    def extra(self) -> dict[str, object]:
        last = [one for one in self.answer.record if one.in_last_20]
        return {"last_20": last, "record": self.answer}


def _index_words(record: HandicapRecord) -> str:
    if record.index is None:
        return gettext("No index yet: it needs three scores over 18 holes.")
    return gettext("{index}, from the best {best} of {scores}; low index {low_index}.").format(
        index=index_words(record.index),
        best=sum(one.in_best_8 for one in record.record),
        scores=counted(record.scores_in_last_20, "score"),
        low_index=index_words(record.low_index),
    )
