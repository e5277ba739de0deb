"""The first chapter: three sentences, the parts on one axis, the level over the year, the last rounds."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from django.utils.translation import gettext

from golfstats.doors.pages.pictures import intervals, series
from golfstats.doors.pages.screens.chapters.base import Block, Chapter, PlayerChapter
from golfstats.doors.pages.screens.chapters.progress import trend_shown
from golfstats.doors.pages.screens.chapters.words import trust_in
from golfstats.ground.operations import Query
from golfstats.ground.words import a_golfer, day_words, index_words
from players.coaching.operations import TRENDS
from players.coaching.questions import TrendsQuery
from players.coaching.reports.report import next_rounds
from players.conditions.answers.rounds import LastQuery
from players.conditions.operations import CONDITION_ADJUSTED
from players.figures.operations import SUMMARY
from players.handicap import answers as handicaps
from players.pictures import subjects
from players.pictures.answers import work_marks

SURE = 0.3
"""A change is worth a sentence where it is so much likelier than even."""


class InShort(PlayerChapter):
    question = ""
    chapter_template = "in_short"

    def chapter(self) -> Chapter:
        (answer,) = SUMMARY(self.asker, [self.player], self.query)
        self.answer = answer
        (change,) = TRENDS(self.asker, [self.player], self._trend())
        total = change.trends[0]
        (greens,) = CONDITION_ADJUSTED(self.asker, [self.player], LastQuery())
        owed = greens.putting.owed
        sentences = [answer.words]
        if total.compared_with.chance_better is not None:
            sure = abs(total.compared_with.chance_better.value - 0.5) >= SURE
            sentences.append(
                gettext("In all: {words}.").format(words=total.compared_with.words)
                if sure
                else gettext("No change for certain in three months.")
            )
        if owed.low is not None and owed.low > 0 and owed.value is not None:
            sentences.append(
                gettext("Of the putting, the greens took {owed} of all members on disturbed greens.").format(
                    owed=owed.words
                )
            )
        (ahead,) = next_rounds(self.asker, [self.player], Query())
        if ahead.to_par.enough:
            sentences.append(
                gettext("Next round, by {day}: {words}.").format(
                    day=day_words(ahead.day, year=False), words=ahead.words
                )
            )
        shown = trend_shown(total, work_marks(self.asker), partial(self.address, "round-page"))
        picture = series.drawn(replace(shown, title=gettext("Strokes gained a round")))
        parts = intervals.drawn(subjects.parts(answer))
        blocks = [
            Block(
                gettext("Where the strokes go"),
                (answer.window.words,),
                parts,
                figures=[one.key for one in subjects.in_parts(answer.strokes_gained)],
            ),
            Block(
                gettext("Over time"),
                (),
                picture,
                gettext(
                    "Dots are rounds, the line the level with its 90% band, zero {name}. Ticks on the "
                    "axis: work on the greens."
                ).format(name=a_golfer(answer.benchmark.name)),
                figures=("trend.level", "next_round"),
            ),
        ]
        return Chapter(" ".join(sentences), blocks, trust_in(answer.benchmark))

    def _trend(self) -> TrendsQuery:
        return TrendsQuery(benchmark=self.query.benchmark, keys=["gained.total"])

    def extra(self) -> dict[str, object]:
        (index,) = handicaps.handicaps(self.asker, [self.player], Query())
        return {
            "rounds": self.answer.rounds[:5],
            "index": index_words(index.index),
            "low_index": index_words(index.low_index),
            "scores": index.scores_in_last_20,
            "index_picture": series.drawn(subjects.index(index)),
        }
