"""What each figure of the catalogue tells, by its key: for pages, and for the descriptions of the API."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache

from django.utils.translation import gettext

from golfstats.calc.figures import approach, distances
from golfstats.calc.figures.approach import Band
from golfstats.calc.figures.catalogue import FIXED
from golfstats.calc.observations import FigureSpec
from golfstats.calc.units import Unit
from golfstats.ground.words import counted
from players.figures.putts_made import PREFIX, made_spec
from players.golf.answers import shown_unit

_BAND, _FEET = Band(75.0, 100.0), Band(3.0, 5.0)
"""Any: figures of one family mean the same."""


@cache
def specs_by_key() -> Mapping[str, FigureSpec]:
    """Every figure, with ``*`` in the key for the yards of an approach, the feet of a putt and the name of a club."""
    return dict(_keyed())


def _keyed() -> Iterator[tuple[str, FigureSpec]]:
    yield from ((spec.key, spec) for spec in FIXED)
    yield from ((_family(spec, _BAND.word), spec) for spec in approach.specs(_BAND))
    yield from ((_family(spec, "0"), spec) for spec in distances.specs(0))
    yield f"{PREFIX}*", made_spec(_FEET)


def _family(spec: FigureSpec, member: str) -> str:
    return spec.key.replace(f".{member}.", ".*.", 1)


def family_of(key: str) -> str:
    """The key under which the figure stands in :func:`specs_by_key`, whatever its yards, feet or club."""
    if key in specs_by_key():
        return key
    if key.startswith(PREFIX):
        return f"{PREFIX}*"
    family, _, rest = key.partition(".")
    return f"{family}.*.{rest.rpartition('.')[2]}"


def name_of_key(key: str) -> str:
    """What the figure is called, in English."""
    return specs_by_key()[key].words


def meaning_of_key(key: str, unit: str) -> str:
    """What the figure of this key tells, in the reader's language; ``unit`` is the club's unit of distance."""
    return _meaning_of(specs_by_key()[key], unit)


def _meaning_of(spec: FigureSpec, unit: str) -> str:
    """What a figure tells, for who meets it the first time; ``unit`` is that of distances."""
    counted_in = (
        gettext("A share in percent")
        if spec.unit == Unit.SHARE
        else gettext("In {unit}").format(unit=gettext(shown_unit(spec.unit, unit)))
    )
    way = gettext("more is better") if spec.better == "higher" else gettext("less is better")
    return gettext("{meaning} {counted_in}; {way}. Fewer than {minimum} are too few.").format(
        meaning=gettext(spec.meaning),
        counted_in=counted_in,
        way=way,
        minimum=counted(spec.minimum_n, spec.per),
    )


def catalogue_meanings() -> dict[str, str]:
    """What each key means, for the descriptions of the API."""
    return {key: f"{spec.words}. {spec.meaning}" for key, spec in specs_by_key().items()}
