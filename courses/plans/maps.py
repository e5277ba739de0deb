"""A map of a hole: GeoJSON (RFC 7946) with the open map's golf tags, checked and turned into a drawing.

Understood are areas tagged ``golf=fairway|green|bunker|rough|water_hazard|lateral_water_hazard|out_of_bounds``,
``natural=water|wood`` and ``landuse=forest``, and ``golf=tee`` as a point or an area. The open map has no tag for
out of bounds: whoever draws a hole uses ``golf=out_of_bounds``. Degrees become yards on a plane that touches the earth
at the tee, which is exact to inches over one hole.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any, TypeAlias

import numpy as np
from shapely import geometry
from shapely.errors import ShapelyError
from shapely.validation import explain_validity

from golfstats.calc.plan.hole.drawing import Drawing, Patch, Surface, facing_the_green
from golfstats.calc.record import Floats
from golfstats.calc.units import YARDS_PER_METRE
from golfstats.ground.faults import Fault, invalid
from golfstats.sentences import Sentence

SURFACES = {
    ("golf", "rough"): Surface.ROUGH,
    ("golf", "fairway"): Surface.FAIRWAY,
    ("golf", "green"): Surface.GREEN,
    ("golf", "bunker"): Surface.SAND,
    ("golf", "water_hazard"): Surface.WATER,
    ("golf", "lateral_water_hazard"): Surface.WATER,
    ("golf", "out_of_bounds"): Surface.OUT,
    ("natural", "water"): Surface.WATER,
    ("natural", "wood"): Surface.WOODS,
    ("landuse", "forest"): Surface.WOODS,
}
METRES_A_DEGREE = 111_320.0
MOST_CORNERS = 20_000
FARTHEST_YARDS = 900.0
"""From the tee: farther away nothing belongs to one hole."""
Shape: TypeAlias = geometry.Polygon | geometry.MultiPolygon | geometry.Point


def drawing_of_map(map_: Mapping[str, object]) -> Drawing:
    """The hole on a map, facing the green; a refusal that lists every fault."""
    faults: list[Fault] = []
    features = list(_features(map_, faults))
    greens = [shape for surface, shape in features if surface == Surface.GREEN]
    tees = [shape for surface, shape in features if surface is None]
    if len(greens) != 1:
        faults.append(
            Fault(
                "/map/features",
                "one_green",
                Sentence("a hole has one golf=green, not {greens}", greens=len(greens)),
            )
        )
    if len(tees) != 1:
        faults.append(
            Fault(
                "/map/features",
                "one_tee",
                Sentence("name one golf=tee to play from, not {tees}", tees=len(tees)),
            )
        )
    if faults:
        raise invalid(faults, Sentence("The map cannot be used"))
    tee = tees[0].representative_point()
    to_yards = _Plane(tee.x, tee.y)
    patches = [
        Patch(surface, rings)
        for surface, shape in features
        if surface is not None and surface != Surface.GREEN
        for rings in to_yards.rings(shape)
    ]
    outline = max(to_yards.rings(greens[0]), key=lambda rings: float(np.ptp(rings[0], axis=0).sum()))[0]
    patches.sort(key=lambda patch: patch.surface)
    drawing = Drawing(tuple(patches), outline)
    too_far = [patch for patch in patches if np.abs(patch.rings[0]).max() > FARTHEST_YARDS]
    if too_far or not 40.0 <= drawing.length <= 700.0:
        detail = Sentence(
            "the green lies {length} yards from the tee and everything within {farthest_yards}",
            length=f"{drawing.length:.0f}",
            farthest_yards=f"{FARTHEST_YARDS:.0f}",
        )
        raise invalid(
            [Fault("/map/features", "not_one_hole", detail)], Sentence("The map is not of one hole")
        )
    east, north = drawing.middle
    return replace(facing_the_green(drawing), bearing=math.atan2(east, north))


def _features(map_: Mapping[str, object], faults: list[Fault]) -> Iterator[tuple[Surface | None, Shape]]:
    """Surface and shape of every feature that is understood; ``None`` is the tee."""
    features = map_.get("features")
    if map_.get("type") != "FeatureCollection" or not isinstance(features, list):
        faults.append(
            Fault("/map", "not_a_collection", Sentence("give a GeoJSON FeatureCollection (RFC 7946)"))
        )
        return
    corners = 0
    for number, feature in enumerate(features):
        where = f"/map/features/{number}"
        tags = feature.get("properties") if isinstance(feature, dict) else None
        if not isinstance(tags, dict):
            faults.append(
                Fault(where, "no_properties", Sentence("each feature has properties with its tags"))
            )
            continue
        is_tee = tags.get("golf") == "tee"
        surface = next((kind for tag, kind in SURFACES.items() if tags.get(tag[0]) == tag[1]), None)
        if surface is None and not is_tee:
            continue
        shape = _shape(feature.get("geometry"), f"{where}/geometry", faults, may_be_point=is_tee)
        if shape is None:
            continue
        corners += 1 if isinstance(shape, geometry.Point) else _count(shape)
        if corners > MOST_CORNERS:
            faults.append(
                Fault(
                    "/map",
                    "too_detailed",
                    Sentence("no more than {most_corners} corners", most_corners=MOST_CORNERS),
                )
            )
            return
        yield (None if is_tee else surface), shape


_PLACE = re.compile(r"\[(\S+) (\S+)\]")


def _no_area_words(shape: Shape) -> Sentence:
    """Why the outline bounds no area; of what the library says, in English, the kind of fault and its place."""
    reason = explain_validity(shape)
    place = _PLACE.search(reason)
    if place is None:
        return Sentence("the outline bounds no area")
    longitude, latitude = (f"{float(degrees):.6f}" for degrees in place.groups())
    if "self-intersection" in reason.lower():
        words = Sentence(
            "the outline crosses or touches itself at longitude {longitude}, latitude {latitude}",
            longitude=longitude,
            latitude=latitude,
        )
    else:
        words = Sentence(
            "the outline bounds no area at longitude {longitude}, latitude {latitude}",
            longitude=longitude,
            latitude=latitude,
        )
    return words


def _shape(value: Any, where: str, faults: list[Fault], *, may_be_point: bool) -> Shape | None:
    try:
        shape = geometry.shape(value)
    except (ShapelyError, AttributeError, KeyError, TypeError, ValueError, IndexError):
        faults.append(Fault(where, "not_a_geometry", Sentence("this is no GeoJSON geometry")))
        return None
    if not isinstance(shape, geometry.Polygon | geometry.MultiPolygon | geometry.Point) or shape.is_empty:
        faults.append(Fault(where, "not_an_area", Sentence("draw surfaces as Polygon or MultiPolygon")))
        return None
    if isinstance(shape, geometry.Point) and not may_be_point:
        faults.append(Fault(where, "not_an_area", Sentence("only a tee may be a point")))
        return None
    if not shape.is_valid:
        faults.append(Fault(where, "crosses_itself", _no_area_words(shape)))
        return None
    west, south, east, north = shape.bounds
    if not (-180 <= west <= east <= 180 and -90 <= south <= north <= 90):
        faults.append(
            Fault(where, "not_degrees", Sentence("positions are longitude, latitude in degrees (WGS 84)"))
        )
        return None
    return shape


def _count(shape: geometry.Polygon | geometry.MultiPolygon) -> int:
    return sum(
        len(part.exterior.coords) + sum(len(r.coords) for r in part.interiors) for part in _parts(shape)
    )


def _parts(shape: Shape) -> list[geometry.Polygon]:
    if isinstance(shape, geometry.MultiPolygon):
        return list(shape.geoms)
    return [shape] if isinstance(shape, geometry.Polygon) else []


class _Plane:
    """Yards east and north of a point."""

    def __init__(self, longitude: float, latitude: float) -> None:
        self.origin = np.array([longitude, latitude])
        metres = METRES_A_DEGREE * np.array([math.cos(math.radians(latitude)), 1.0])
        self.scale = metres * YARDS_PER_METRE

    def rings(self, shape: Shape) -> list[tuple[Floats, ...]]:
        """Outer and inner rings of each part."""
        return [
            tuple(
                (np.array(ring.coords)[:, :2] - self.origin) * self.scale
                for ring in (part.exterior, *part.interiors)
            )
            for part in _parts(shape)
        ]
