"""The shots, holes or rounds behind a figure: what every figure leads to."""

from __future__ import annotations

from urllib.parse import urlencode
from uuid import UUID

from django.http import HttpRequest, HttpResponse

from golfstats.doors.pages.screens.chapters.base import Block, Cell, Chapter, PlayerChapter, Table
from golfstats.doors.pages.screens.chapters.words import trust_in
from golfstats.ground import inputs
from golfstats.ground.words import counted, day_words
from players.figures.answers.figures import Observation, ShotsQuery, shots_behind
from players.golf.answers import Unit
from players.golf.words import number_words, strokes_words

PAGE = 50


class ShotsBehindFigure(PlayerChapter):
    tells = "shots"
    question = "What is behind this figure?"
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
        rows = [self._row(one, unit) for one in answer.results]
        table = Table(answer.figure.name, ("Day", "Hole", "What was played", "Adds"), rows)
        first = self.asked.offset + 1
        words = (
            f"{first} to {first + len(rows) - 1} of {counted(answer.count, answer.per)}" if rows else "None."
        )
        return Chapter(
            f"{answer.figure.name}: {answer.figure.words}.",
            [Block("Newest first", (answer.window.words, words), table=table, folded=False)],
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

    def _row(self, one: Observation, unit: Unit) -> list[Cell]:
        hole, shot = one.hole, one.shot
        signed = self.asked.figure.startswith("gained.")
        return [
            Cell(day_words(one.played_on), address=self.address("round-page", one.round)),
            Cell("" if hole is None else str(hole.number)),
            Cell(_played(one)),
            Cell(
                number_words(one.value, unit, signed=signed)
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
            "holed"
            if shot.holed
            else (
                ""
                if shot.finish_distance is None
                else f"to {shot.finish_distance:g} {shot.finish_unit}, {shot.finish_lie}"
            )
        )
        club = f" with {shot.club}" if shot.club else ""
        return f"{shot.distance:g} {shot.distance_unit} from {shot.lie}{club} {finish}".strip()
    if hole is not None:
        par = f"par {hole.par}, " if hole.par else ""
        putts = f", {counted(hole.putts, 'putt')}" if hole.putts is not None else ""
        return f"{par}{counted(hole.score, 'stroke')}{putts}"
    return one.course
