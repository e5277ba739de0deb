"""A check is silenced only with a reason beside it."""

from __future__ import annotations

import io
import re
import tokenize
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parent.parent
HOUSES = ("golfstats", "players", "courses", "tests")
SILENCED = re.compile(r"#\s*(noqa|type: ignore|pragma: no cover|nosec|ruff: noqa|mypy: ignore-errors)\b")
REASONED = re.compile(r"# noqa: [A-Z0-9, ]+ - \w|# type: ignore\[[\w, -]+\]  # \w")


def without_a_reason(text: str) -> Iterator[int]:
    for token in tokenize.generate_tokens(io.StringIO(text).readline):
        is_comment = token.type == tokenize.COMMENT
        if is_comment and SILENCED.search(token.string) and not REASONED.search(token.string):
            yield token.start[0]


def test_no_check_is_silenced_without_a_reason() -> None:
    found = [
        f"{path.relative_to(ROOT)}:{line}"
        for house in HOUSES
        for path in sorted((ROOT / house).rglob("*.py"))
        for line in without_a_reason(path.read_text())
    ]
    assert found == []


def test_what_has_no_reason_is_noticed() -> None:
    text = "a = 1  # noqa\nb = 2  # noqa: E731\nc = 3  # noqa: E731 - short\nd = 4  # type: ignore\n"
    assert list(without_a_reason(text + "e = 5  # type: ignore[misc]  # made\nf = '# noqa'\n")) == [1, 2, 4]
