"""Every named figure. Those of distance bands and clubs are made from their key, whatever the band or club."""

from __future__ import annotations

import re
from collections.abc import Iterable

from golfstats.calc.figures import approach, distances, gained, misses, scoring
from golfstats.calc.figures.approach import Band
from golfstats.calc.observations import FigureSpec
from golfstats.calc.putting import tendencies
from golfstats.sentences import Sentence

FIXED: tuple[FigureSpec, ...] = (*scoring.SPECS, *gained.SPECS, *misses.SPECS, *tendencies.FIGURES)
"""The figures that depend on no band and no club."""


def specs_without_clubs(bands: Iterable[Band]) -> list[FigureSpec]:
    """The fixed figures and those of these distance bands."""
    return [*FIXED, *(spec for band in bands for spec in approach.specs(band))]


CATALOGUE: dict[str, FigureSpec] = {spec.key: spec for spec in specs_without_clubs(approach.bands())}
"""The fixed figures and those of the default distance bands, by key."""

_BAND_KEY = re.compile(r"approach\.([0-9.]+(?:\+|-[0-9.]+))\.[a-z_]+")
_CLUB_KEY = re.compile(r"club\.([0-9]+)\.[a-z_]+")


class UnknownFigureError(KeyError):
    """There is no figure of this name."""

    def __str__(self) -> str:
        return str(self.args[0])


def figure_named(key: str) -> FigureSpec:
    """The figure of a key: one of :data:`CATALOGUE`, or ``approach.<band>.<name>``, or ``club.<number>.<name>``.

    :class:`UnknownFigureError` tells what the key should look like.
    """
    if key in CATALOGUE:
        return CATALOGUE[key]
    for spec in _made_from(key):
        if spec.key == key:
            return spec
    raise UnknownFigureError(_advice(key))


def _made_from(key: str) -> list[FigureSpec]:
    if band := _BAND_KEY.fullmatch(key):
        try:
            return approach.specs(Band.of(band[1]))
        except ValueError:
            return []
    if club := _CLUB_KEY.fullmatch(key):
        return distances.specs(int(club[1]))
    return []


def _advice(key: str) -> str:
    family = key.partition(".")[0]
    names = sorted({name for name in CATALOGUE if name.partition(".")[0] == family})
    if family == "club":
        names = [spec.key for spec in distances.specs(0)]
    if names:
        return Sentence(
            "there is no figure {key}; figures of that family are {names}",
            key=repr(key),
            names=", ".join(names),
        )
    families = sorted({name.partition(".")[0] for name in CATALOGUE} | {"club"})
    return Sentence(
        "there is no figure {key}; the families are {families}", key=repr(key), families=", ".join(families)
    )
