"""DEVELOPERS.md lists every environment variable that the settings read, and no other."""

import re
from pathlib import Path

ROOT = Path(__file__).parent.parent


def test_every_variable_is_in_the_table() -> None:
    settings = (ROOT / "golfstats" / "settings.py").read_text(encoding="utf-8")
    read = set(re.findall(r'env\.\w+\(\s*"([A-Z_]+)"', settings)) | {"DATABASE_URL", "OWNER_DATABASE_URL"}
    page = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    table = page.split("## Settings")[1].split("## ")[0]
    listed = set(re.findall(r"`([A-Z_]+)`", table.replace("`DATABASE_URL`, as", "`DATABASE_URL`")))
    assert listed - {"GOLFSTATS_ALL_TESTS"} == read
