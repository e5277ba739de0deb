"""Recording the examples of the API document: ``UPDATE_EXAMPLES=1 pytest -n 0 tests/api/test_operations.py``.

One line for each operation: the body that the table of valid requests sends, and what was answered; lists are cut to
their first line, and whatever differs from run to run is replaced.
"""

from __future__ import annotations

import json
import os
import re
from typing import Any

from golfstats.doors.rest.reference.examples import FILE, Example, examples, message_name
from tests.api.requests import UUID

RECORDS = os.environ.get("UPDATE_EXAMPLES") == "1"
MOMENT = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?(Z|\+00:00)")
NAMES = {"Neighbour player": "Ines Aldana", "Neighbour": "Ines"}
"""Tests look for the names of the worlds wherever somebody could be told of them."""
SHOWN_ONCE = {"secret", "token", "invitation", "link", "address"}


def record(operation: str, body: Any, status: int, answer: Any) -> None:
    """Write the operation's line anew."""
    told = {} if body is None else {"body": body}
    told |= {} if answer is None else {"status": status, "answer": answer}
    if told:
        _keep(operation, told)


def record_message(happening: str, body: Any) -> None:
    """Likewise of a message to programs; the first of a run stays."""
    if message_name(happening) not in _recorded:
        _recorded.add(message_name(happening))
        _keep(message_name(happening), {"body": body})


_recorded: set[str] = set()


def _keep(name: str, told: Any) -> None:
    kept = dict(examples())
    kept[name] = Example(**json.loads(_steady(json.dumps(_short(told), ensure_ascii=False))))
    lines = [
        f"{json.dumps(name)}: {json.dumps(kept[name], ensure_ascii=False, separators=(',', ':'))}"
        for name in sorted(kept)
    ]
    FILE.write_text("{\n" + ",\n".join(lines) + "\n}\n", encoding="utf-8")
    examples.cache_clear()


def _short(value: Any, name: str = "") -> Any:
    if isinstance(value, dict):
        return {key: _short(one, key) for key, one in value.items()}
    if isinstance(value, list):
        return [_short(one) for one in value[:1]]
    if isinstance(value, str) and name in SHOWN_ONCE and len(value) > 20:
        return "…"
    return value


def _steady(text: str) -> str:
    ids = {
        one: f"01980000-0000-7000-8000-{n:012}" for n, one in enumerate(dict.fromkeys(UUID.findall(text)), 1)
    }
    for one, steady in ids.items():
        text = text.replace(one, steady)
    for ours, shown in NAMES.items():
        text = text.replace(ours, shown)
    return MOMENT.sub("2026-06-12T08:00:00Z", text)
