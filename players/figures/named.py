"""The named figures of some golf: values, series by round, and the shots behind them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from golfstats.calc.clubs import one_name
from golfstats.calc.figure import Figure
from golfstats.calc.figures import distances
from golfstats.calc.figures.analysis import analyse
from golfstats.calc.figures.approach import Band
from golfstats.calc.figures.catalogue import UnknownFigureError, figure_named, specs_without_clubs
from golfstats.calc.observations import FigureSpec
from golfstats.sentences import Sentence
from players.figures import putts_made
from players.golf.analysed import Golf

_NOBODYS_CLUB = 126
"""Number of a club that was not used in the window."""


@dataclass(frozen=True)
class NamedFigure:
    spec: FigureSpec
    figure: Figure


def spec_of(golf: Golf, key: str) -> FigureSpec:
    """The figure of a key; a club's is ``club.<its name>.<figure>``. Raises ``UnknownFigureError``."""
    if key.startswith(putts_made.PREFIX):
        return _made_spec(key)
    family, _, rest = key.partition(".")
    if family != "club":
        return figure_named(key)
    written, _, name = rest.rpartition(".")
    club = one_name(written)
    number = golf.loaded.clubs.index(club) if club in golf.loaded.clubs else _NOBODYS_CLUB
    for spec in distances.specs(number, club) if club else ():
        if spec.key == f"club.{club}.{name}":
            return spec
    names = ", ".join(spec.key.rpartition(".")[2] for spec in distances.specs(0))
    raise UnknownFigureError(
        Sentence(
            "there is no figure {key}; a club's are club.<its name>. and one of {names}",
            key=repr(key),
            names=names,
        )
    )


def _made_spec(key: str) -> FigureSpec:
    try:
        return putts_made.made_spec(Band.of(key.removeprefix(putts_made.PREFIX)))
    except ValueError:
        advice = "write a range of feet such as putting.made.3-5 or putting.made.30+"
        raise UnknownFigureError(
            Sentence("there is no figure {key}; {advice}", key=repr(key), advice=advice)
        ) from None


def fixed_specs(golf: Golf) -> list[FigureSpec]:
    """All figures but those of clubs: the fixed ones and those of the club's distance bands."""
    return specs_without_clubs(golf.bands)


def every_figure(golf: Golf) -> list[NamedFigure]:
    """The whole catalogue, "too few" ones included, with the clubs that were used."""
    figures = analyse(golf.analysed, golf.bands)
    of_clubs = [
        NamedFigure(called, figures[spec.key])
        for number in distances.clubs_in(golf.analysed.record)
        for called, spec in zip(
            distances.specs(number, golf.loaded.clubs[number]), distances.specs(number), strict=True
        )
    ]
    return [NamedFigure(spec, figures[spec.key]) for spec in fixed_specs(golf)] + of_clubs


def figures_of(golf: Golf, keys: Iterable[str]) -> list[NamedFigure]:
    """The figures of these keys, in their order. Raises ``UnknownFigureError``."""
    specs = [spec_of(golf, key) for key in keys]
    return [NamedFigure(spec, spec.figure(spec.observe(golf.analysed))) for spec in specs]


def family(golf: Golf, specs: Sequence[FigureSpec]) -> list[NamedFigure]:
    return [NamedFigure(spec, spec.figure(spec.observe(golf.analysed))) for spec in specs]
