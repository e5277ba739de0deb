"""What a German page says of single words, whose English says more than one thing."""

from __future__ import annotations

from django.utils.translation import override

from golfstats.doors.pages.templatetags.web_words import beside


def test_none_of_several_is_not_none_of_one() -> None:
    with override("de"):
        assert beside(0.2) == "keiner"  # a miss
        assert beside(-4.0) == "4 links"
    assert beside(0.2) == "none"
