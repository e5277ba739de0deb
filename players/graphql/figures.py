"""Figures as REST gives them, with their sample, interval and words."""

from __future__ import annotations

import strawberry


@strawberry.type(description="A number with what it rests on; below its minimum the numbers are null.")
class Figure:
    value: float | None
    low: float | None
    high: float | None
    n: int
    minimum_n: int
    unit: str
    enough: bool
    words: str
    shots: str | None = strawberry.field(description="Address (REST) of the shots behind it.")


@strawberry.type
class NamedFigure(Figure):
    key: str
    name: str
    better: str


@strawberry.type
class FigureName:
    key: str
    name: str
    better: str
    unit: str


@strawberry.type(description="A chance from 0 to 1; the words are never 0% or 100%.")
class Chance:
    value: float
    words: str


@strawberry.type
class Pair:
    first: str
    second: str
    difference: Figure
    chance_first_better: Chance | None
    words: str


@strawberry.type(description="Putting as it was, what the greens account for, and without that.")
class AdjustedPutting:
    raw: Figure
    owed: Figure
    adjusted: Figure
