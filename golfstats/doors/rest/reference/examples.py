"""Examples in the API document, as the tests recorded them (tests/api/examples.py): a line for each operation."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any, TypedDict

FILE = Path(__file__).with_name("examples.json")


class Example(TypedDict, total=False):
    """What was sent and what was answered, in JSON."""

    body: Any
    status: int
    answer: Any


def message_name(happening: str) -> str:
    """Under which the example of a message is kept."""
    return f"message {happening}"


@cache
def examples() -> dict[str, Example]:
    """By the operation's id."""
    recorded: dict[str, Example] = json.loads(FILE.read_text(encoding="utf-8"))
    return recorded
