"""The README's notebook, run as it stands (but for the port) against a server that listens."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import Any

from golfstats.ground.walls.scope import club_scope
from players.conditions import analysis
from tests.databases import committed
from tests.players.conftest import Place, client_of, place
from tests.players.simulated_golf import play_rounds

__all__ = ["place"]  # a fixture of theirs that is used here as well

README = Path(__file__).parents[2] / "README.md"


def script() -> str:
    text = README.read_text(encoding="utf-8")
    return text.partition("<!-- notebook -->\n```python\n")[2].partition("```")[0]


@committed
def test_three_lines_to_a_frame_and_ten_to_a_picture(live_server: Any, place: Place, tmp_path: Path) -> None:
    with club_scope(place.club.id):
        play_rounds(place.player_member, place.player, 4)
        analysis.analyse_pending()
    token = client_of(place.coach).post("/api/v1/tokens", {"name": "notebook"}, format="json").json()["token"]
    told = "\nprint(len(shots), made['size'].sum(), round(shots['strokes_gained'].sum(), 3))"
    lines = script().replace("http://127.0.0.1:8000", live_server.url)
    environment = {**os.environ, "TOKEN": token, "MPLBACKEND": "Agg"}
    done = subprocess.run(
        [sys.executable, "-c", lines + told],
        cwd=tmp_path,
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    shots, putts, gained = done.stdout.split()
    assert int(shots) > int(putts) > 80
    assert abs(float(gained)) > 0.01
    assert (tmp_path / "putts_made.png").read_bytes().startswith(b"\x89PNG")


def test_the_script_is_as_short_as_promised() -> None:
    lines = [line for line in script().splitlines() if line]
    assert "read_parquet" in lines[2]
    assert len(lines) == 10
