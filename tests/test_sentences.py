"""Sentences of calculations: English as they stand, and said again in the language of a page."""

from __future__ import annotations

from copy import deepcopy

import orjson
import pytest
from django.utils import translation

from golfstats.ground.words import spoken
from golfstats.sentences import Sentence, counted, joined, whole

LIKELY = Sentence(
    "{percent} likely better than {than}", percent=Sentence("{percent}%", percent=87), than="May"
)


def test_it_reads_as_its_english_text() -> None:
    assert LIKELY == "87% likely better than May"
    assert orjson.dumps([LIKELY, counted(1200, "round")]) == b'["87% likely better than May","1,200 rounds"]'
    assert spoken(LIKELY) == LIKELY


@pytest.mark.parametrize(
    ("sentence", "german"),
    [
        (LIKELY, "zu 87\N{NARROW NO-BREAK SPACE}% wahrscheinlich besser als May"),
        (
            Sentence("in fewer than 1 of {cases} cases", cases="1,000.5"),
            "in weniger als 1 von 1.000,5 Fällen",
        ),
        (counted(1200, "round"), "1.200 Runden"),
        (counted(1, "round"), "1 Runde"),
        (joined("; ", [counted(2, "hole"), Sentence("from the green")]), "2 Löcher; vom Grün"),
        (whole(Sentence("from the green")), "Vom Grün."),
        ("No sentence of a calculation", "No sentence of a calculation"),
        (Sentence("of {name}", name="Ines"), "of Ines"),
    ],
)
def test_it_is_said_in_the_language_of_a_page(sentence: str, german: str) -> None:
    with translation.override("de"):
        assert spoken(sentence) == german


def test_a_copy_says_the_same() -> None:
    copied = deepcopy(whole(LIKELY))
    assert copied == "87% likely better than May."
    with translation.override("de"):
        assert spoken(copied) == "Zu 87\N{NARROW NO-BREAK SPACE}% wahrscheinlich besser als May."
