"""Full swings told from part swings, where the player did not mark them, by the distances themselves."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import stats

from golfstats.calc.record import Bools, Floats

TAIL_DEGREES = 4.0
"""Student's t with 4 degrees of freedom: mishits among full swings shall not pass for part swings."""

T_CONSTANT = float(stats.t.pdf(0.0, TAIL_DEGREES))

MINIMUM_FOR_FIT = 20
EVIDENCE = 10.0
"""Difference in BIC that speaks very strongly for the larger model (Kass and Raftery 1995, from memory)."""

PART_OF_FULL = 0.85
"""Part swings go less far than this share of a full one (common practice, no source). A shorter group nearer
than that is the mishits of full swings, which make the distances of any club lopsided."""

STEPS = 200
"""Of expectation and maximisation, at most."""
SETTLED = 0.01
"""Yards; the centres need be no finer."""


@dataclass(frozen=True)
class Component:
    """One t distribution of the mixture: its share of the shots, and its centre and scale in yards."""

    weight: float
    centre: float
    spread: float


def full_swings(distances: Floats) -> Bools:
    """Which of one club's shots were full swings, guessed from how far they went (yards).

    A mixture of two t distributions is fitted by expectation and maximisation (Peel and McLachlan 2000,
    from memory); the farther component is the full swing. Unless the data speak very strongly for two
    components, one of them much shorter, all shots count as full swings; so they do when there are fewer than 20.
    """
    everything = np.full(len(distances), True)
    if len(distances) < MINIMUM_FOR_FIT:
        return everything
    one = _fit(distances, [_start(distances, 1.0)])
    two = _fit(distances, _halves(distances))
    part, full = sorted(two, key=lambda component: component.centre)
    apart = part.centre < PART_OF_FULL * full.centre
    if not apart or _bic(distances, one) - _bic(distances, two) < EVIDENCE:
        return everything
    densities = _densities(distances, [part, full])
    full_swing: Bools = (densities[1] > densities[0]) | (distances >= full.centre)
    return full_swing


def _halves(distances: Floats) -> list[Component]:
    """Starting components: the values on either side of the widest split by squared deviation."""
    ordered = np.sort(distances)
    count = np.arange(1, len(ordered))
    sums = np.cumsum(ordered)[:-1]
    total = ordered.sum()
    between = (sums - count * total / len(ordered)) ** 2 / (count * (len(ordered) - count))
    cut = int(np.argmax(between)) + 1
    share = cut / len(ordered)
    return [_start(ordered[:cut], share), _start(ordered[cut:], 1 - share)]


def _start(values: Floats, weight: float) -> Component:
    return Component(weight, float(np.median(values)), max(float(np.std(values)), 1.0))


def _densities(distances: Floats, components: list[Component]) -> Floats:
    """Weighted t densities, one row a component."""
    standard = [(distances - c.centre) / c.spread for c in components]
    scale = [c.weight * T_CONSTANT / c.spread for c in components]
    power = -(TAIL_DEGREES + 1) / 2
    return np.stack([k * (1 + z * z / TAIL_DEGREES) ** power for k, z in zip(scale, standard, strict=True)])


def _fit(distances: Floats, components: list[Component]) -> list[Component]:
    for _ in range(STEPS):
        densities = _densities(distances, components)
        belongs = densities / densities.sum(axis=0)
        updated = [_update(distances, chance, c) for chance, c in zip(belongs, components, strict=True)]
        moved = max(abs(new.centre - old.centre) for new, old in zip(updated, components, strict=True))
        components = updated
        if moved < SETTLED:
            break
    return components


def _update(distances: Floats, chance: Floats, component: Component) -> Component:
    standard = (distances - component.centre) / component.spread
    weights = chance * (TAIL_DEGREES + 1) / (TAIL_DEGREES + standard**2)
    centre = float(np.sum(weights * distances) / np.sum(weights))
    variance = float(np.sum(weights * (distances - centre) ** 2) / np.sum(chance))
    return Component(float(np.mean(chance)), centre, max(np.sqrt(variance), 1.0))


def _bic(distances: Floats, components: list[Component]) -> float:
    parameters = 3 * len(components) - 1
    log_likelihood = float(np.sum(np.log(_densities(distances, components).sum(axis=0))))
    return parameters * float(np.log(len(distances))) - 2 * log_likelihood
