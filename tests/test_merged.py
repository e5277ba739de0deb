"""No file is left as a merge that nobody resolved: style sheets and catalogues have no compiler to tell."""

from __future__ import annotations

import re
from pathlib import Path

ROOT = Path(__file__).parent.parent
HOUSES = ("golfstats", "players", "courses", "tests", "demo_fixtures")
KINDS = {".py", ".html", ".css", ".js", ".po", ".sql", ".md", ".toml", ".json", ".txt", ".yml", ".csv"}
MARKS = re.compile(r"^(<{7} |>{7} |\|{7} )", re.MULTILINE)


def unresolved(text: str) -> bool:
    return MARKS.search(text) is not None


def test_no_file_has_marks_of_a_merge() -> None:
    below = [path for house in HOUSES for path in (ROOT / house).rglob("*") if path.suffix in KINDS]
    files = [*below, *(path for path in ROOT.iterdir() if path.suffix in KINDS)]
    assert any(path.name == "style.css" for path in files)
    assert [str(path.relative_to(ROOT)) for path in files if unresolved(path.read_text("utf-8"))] == []


def test_marks_are_noticed() -> None:
    assert unresolved("a\n" + "<" * 7 + " HEAD\nb\n")
    assert not unresolved("a heading\n=======\n")
