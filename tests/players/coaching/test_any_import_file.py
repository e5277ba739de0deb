"""Whatever is sent as a file of rounds, it is saved whole or refused, and the service does not break."""

from __future__ import annotations

import json
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from golfstats.ground.outbox import worker
from tests.api.requests import undone
from tests.players.coaching.test_import_files import ADDRESS, COLUMNS, CONSTANTS, as_csv, history, rounds
from tests.players.conftest import Place, client_of

bounded = settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True)
DAYS = ["2025-05-03", "2025-06-10", "2025-07-17"]

cells = st.one_of(
    st.text(max_size=12),
    st.integers(-(2**70), 2**70).map(str),
    st.floats().map(str),
    st.sampled_from(
        ["", " ", "\0", '"', '""', "=1+1", "x", "x8", "5/2", "1e400", "٣", "½", "2025-02-30", "\u2028"]
    ),
)


def send(place: Place, file: bytes, address: str = ADDRESS, **more: str) -> Any:
    form = {"file": SimpleUploadedFile("rounds.csv", file)} | more
    return client_of(place.coach).post(address, form, format="multipart")


@bounded
@given(
    file=st.one_of(
        st.binary(max_size=80), st.text(max_size=80).map(lambda text: text.encode("utf-8", "replace"))
    )
)
def test_any_bytes(place: Place, file: bytes) -> None:
    with undone():
        assert send(place, file, f"{ADDRESS}/guess").status_code in (200, 400, 422)
        for kind in ("scores", "shots"):
            assert send(place, file, kind=kind, dry_run="true").status_code in (200, 400, 422)


@bounded
@given(data=st.data())
def test_anything_in_some_cells_of_a_history(place: Place, data: st.DataObject) -> None:
    lines = history(DAYS)
    for _ in range(data.draw(st.integers(1, 4))):
        line = data.draw(st.sampled_from(lines))
        line[data.draw(st.integers(0, len(line) - 1))] = data.draw(cells)
    file = as_csv(lines).encode("utf-8", "replace")
    more = {"kind": "scores", "columns": json.dumps(COLUMNS), "constants": json.dumps(CONSTANTS)}
    with undone():
        looked_at = send(place, file, dry_run="true", **more)
        begun = send(place, file, **more)
        assert looked_at.status_code in (200, 400, 422)
        assert begun.status_code in ((202,) if looked_at.status_code == 200 else (400, 422))
        if begun.status_code == 202:
            worker.drain()
            done = client_of(place.coach).get(f"{ADDRESS}/{begun.json()['id']}").json()
            faults = looked_at.json()["faults"]
            assert (done["state"], rounds(place)) == (
                ("refused", 0) if faults else ("done", looked_at.json()["new"])
            )


@pytest.mark.parametrize("kind", ["scores", "shots"])
@bounded
@given(
    text=st.recursive(
        st.none() | st.text(max_size=8), lambda one: st.lists(one) | st.dictionaries(st.text(), one)
    )
)
def test_anything_as_names_of_columns(place: Place, kind: str, text: Any) -> None:
    file = as_csv(history(DAYS)).encode()
    for field in ("columns", "constants"):
        with undone():
            answer = send(place, file, kind=kind, dry_run="true", **{field: json.dumps(text)})
        assert answer.status_code in (200, 400, 422)
