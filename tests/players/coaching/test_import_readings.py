"""How often an import reads its file: a file of shots has to be read whole to know its rounds."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

import pytest

from golfstats.ground.walls.scope import club_scope
from players.files import services as imports
from players.files.incoming.parsing import Cells
from tests.players.coaching.seasons import play_season
from tests.players.coaching.test_import_files import as_csv, finished, manager_elsewhere, send
from tests.players.conftest import Place, client_of


@pytest.fixture
def lines_read(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """The number of each line of a file that is read, each time that it is."""
    read: list[int] = []
    lines = Cells.lines

    def counted(cells: Cells) -> Iterator[tuple[int, list[str]]]:
        for number, line in lines(cells):
            read.append(number)
            yield number, line

    monkeypatch.setattr(Cells, "lines", counted)
    return read


def one_hole_a_day(days: int) -> str:
    """Rounds that are refused: of one shot each."""
    header = ["player", "course", "tee", "played_on", "hole", "lie", "distance"]
    first = dt.date(2024, 1, 1)
    about = ["Ines Aldana", "Long course", "White"]
    played = [first + dt.timedelta(days=day) for day in range(days)]
    return as_csv([header, *([*about, day, 1, "tee", 380] for day in played)])


def test_a_file_is_read_few_times_however_many_batches_it_has(
    place: Place, monkeypatch: pytest.MonkeyPatch, lines_read: list[int]
) -> None:
    with club_scope(place.club.id):
        play_season(place.manager, place.player, 20)
    text = client_of(place.manager).get("/api/v1/export/shots.csv").getvalue().decode()
    manager = manager_elsewhere()
    monkeypatch.setattr(imports, "BATCH", 1)
    done = finished(manager, send(manager, text, kind="shots"))
    assert (done["state"], done["added"]) == ("done", 20)
    # Counted, saved, and checked by 1, 1, 2, 4, 8 and 4 rounds; batches of one size would be twenty readings.
    assert len(lines_read) <= 8 * len(set(lines_read))


def test_a_file_with_more_faults_than_are_told_is_read_no_further(
    place: Place, monkeypatch: pytest.MonkeyPatch, lines_read: list[int]
) -> None:
    monkeypatch.setattr(imports, "BATCH", 10)
    monkeypatch.setattr(imports, "FAULTS_KEPT", 15)
    done = finished(place.coach, send(place.coach, one_hole_a_day(400), kind="shots"))
    assert (done["state"], len(done["faults"]), done["rounds"], done["checked"]) == ("refused", 15, 400, 20)
    assert len(lines_read) == 3 * 400  # counted, and two batches
