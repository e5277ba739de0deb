"""The shots, holes or rounds behind a figure: what every figure leads to."""

from __future__ import annotations

from urllib.parse import urlencode
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from golfstats.doors.pages.screens.chapters.base import Block, Cell, Chapter, PlayerChapter, Table
from golfstats.doors.pages.screens.chapters.words import trust_in
from golfstats.ground import inputs
from golfstats.ground.club_names import club_words
from golfstats.ground.words import counted, day_words
from players.figures.answers.figures import Observation, ShotsQuery, shots_behind
from players.figures.meanings import family_of
from players.golf.answers import Unit
from players.golf.words import number_words, strokes_words

PAGE = 50
HOLES = 18


class ShotsBehindFigure(PlayerChapter):
    tells = "shots"
    question = noop("What is behind this figure?")
    chosen_window = False
    asked: ShotsQuery

    def get(self, request: HttpRequest, player_id: UUID) -> HttpResponse:
        self.player = self.visible_player(player_id)
        given = {name: request.GET[name] for name in request.GET if request.GET[name]}
        self.asked = self.query_of(given)
        self.query = self.asked
        return self.tell()

    def query_of(self, given: dict[str, str]) -> ShotsQuery:
        return inputs.checked(ShotsQuery, {"page_size": PAGE} | given)

    def chapter(self) -> Chapter:
        (answer,) = shots_behind(self.asker, [self.player], self.asked)
        unit = answer.figure.unit
        by_hole = self.gained_by_hole(answer.per)
        rows = [self._row(one, unit, by_hole=by_hole) for one in answer.results]
        table = Table(
            answer.figure.name,
            (
                gettext("Day"),
                gettext("What was played"),
                gettext("Strokes gained") if self.gained_by_hole(answer.per) else gettext("Counted as"),
            ),
            rows,
        )
        first = self.asked.offset + 1
        words = (
            gettext("{first} to {value} of {count}").format(
                first=first, value=first + len(rows) - 1, count=counted(answer.count, answer.per)
            )
            if rows
            else gettext("None.")
        )
        return Chapter(
            f"{answer.figure.name}: {answer.figure.words}.",
            [
                Block(
                    gettext("Newest first"),
                    (
                        answer.window.words,
                        words,
                        gettext("The figure is their mean, times 18 for a round.") if by_hole else "",
                    ),
                    table=table,
                    figures=(family_of(answer.figure.key),),
                    folded=False,
                )
            ],
            trust_in(answer.benchmark),
        )

    def extra(self) -> dict[str, object]:
        asked = {name: value for name, value in self.request.GET.items() if value and name != "offset"}
        offset = self.asked.offset
        page = f"{self.request.path}?{urlencode(asked)}"
        return {
            "before": f"{page}&offset={max(offset - PAGE, 0)}" if offset else "",
            "after": f"{page}&offset={offset + PAGE}",
        }

    def gained_by_hole(self, per: str) -> bool:
        """Whether each line is what a hole gained: the figure takes 18 such holes for a round."""
        return self.asked.figure.startswith("gained.") and per == "hole"

    def _row(self, one: Observation, unit: Unit, *, by_hole: bool) -> list[Cell]:
        hole, shot = one.hole, one.shot
        signed = self.asked.figure.startswith("gained.")
        return [
            Cell(
                day_words(one.played_on),
                address=self.address("round-page", one.round),
                beneath="" if hole is None else gettext("hole {number}").format(number=hole.number),
            ),
            Cell(_played(one)),
            Cell(
                number_words(one.value / HOLES if by_hole else one.value, unit, signed=signed)
                + (
                    ""
                    if shot is None or shot.strokes_gained is None or signed
                    else f" ({strokes_words(shot.strokes_gained)})"
                )
            ),
        ]


def _played(one: Observation) -> str:
    shot, hole = one.shot, one.hole
    if shot is not None:
        finish = (
            gettext("holed")
            if shot.holed
            else (
                ""
                if shot.finish_distance is None
                else gettext("to {finish_distance} {finish_unit}, {finish_lie}").format(
                    finish_distance=f"{shot.finish_distance:g}",
                    finish_unit=shot.finish_unit,
                    finish_lie=shot.finish_lie,
                )
            )
        )
        club = gettext(" with {club}").format(club=club_words(shot.club)) if shot.club else ""
        return (
            gettext("{distance} {distance_unit} from {lie}{club} {finish}")
            .format(
                distance=f"{shot.distance:g}",
                distance_unit=shot.distance_unit,
                lie=shot.lie,
                club=club,
                finish=finish,
            )
            .strip()
        )
    if hole is not None:
        par = gettext("par {par}, ").format(par=hole.par) if hole.par else ""
        putts = f", {counted(hole.putts, 'putt')}" if hole.putts is not None else ""
        return f"{par}{counted(hole.score, 'stroke')}{putts}"
    return one.course
