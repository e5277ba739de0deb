"""Shot patterns as filters: the expectation of a map over a pattern is a product of Fourier transforms.

The pattern's characteristic function is closed form (three normals), so no pattern is ever put on the grid. A plane
wraps round at its edges; the padding is wide enough that no pattern reaches across it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy import fft

from golfstats.calc.plan.hole.shape import Maps
from golfstats.calc.plan.shots.pattern import (
    MISHIT_ACROSS,
    MISHIT_ALONG,
    MISHIT_LENGTH,
    WIDE_SHARE,
    Spread,
)
from golfstats.calc.record import Floats

Waves = NDArray[np.complex64]

AT_ONCE = 2**17
"""Waves that are transformed back at once: as many as a processor's cache holds."""
CARRIED = 4.0
"""Wave number times spread from which a pattern carries no wave on: it leaves 0.03% of one so short."""


@dataclass(frozen=True)
class Plane:
    """A box of cells padded for transforms."""

    rows: int
    columns: int
    step: float
    reach: float
    """Yards over which a pattern may look beyond the edge of the box."""

    @cached_property
    def size(self) -> tuple[int, int]:
        pad = int(np.ceil(self.reach / self.step))
        return fft.next_fast_len(self.rows + pad, real=True), fft.next_fast_len(self.columns + pad, real=True)

    @cached_property
    def wave_y(self) -> Maps:
        return np.asarray(2 * np.pi * fft.fftfreq(self.size[0], self.step)[:, None], dtype=np.float32)

    @cached_property
    def wave_x(self) -> Maps:
        return np.asarray(2 * np.pi * fft.rfftfreq(self.size[1], self.step)[None, :], dtype=np.float32)

    def waves(self, values: Floats | Maps, beyond: float) -> Waves:
        """Transform of a map; outside the box it has the value ``beyond``."""
        padded = np.full(self.size, beyond, dtype=np.float32)
        padded[: self.rows, : self.columns] = values
        return np.asarray(fft.rfft2(padded), dtype=np.complex64)

    def expectations(self, waves: Waves, filters: Waves, first: int = 0, end: int | None = None) -> Maps:
        """Expectation of the map over each pattern: filters × rows × columns.

        Centred on every cell of the box, or of its rows from ``first`` until before ``end``.
        """
        rows = slice(first, self.rows if end is None else end)
        maps = np.empty((len(filters), rows.stop - first, self.columns), dtype=np.float32)
        carried = waves[:, : filters.shape[2]]
        at_once = max(1, AT_ONCE // carried.size)
        for start in range(0, len(filters), at_once):
            part = slice(start, start + at_once)
            by_row = fft.ifft(carried * filters[part], axis=1, overwrite_x=True)[:, rows]
            maps[part] = fft.irfft(by_row, n=self.size[1], axis=2)[..., : self.columns]
        return maps

    def filters(self, spread: Spread, directions: Floats) -> Waves:
        """The pattern played in each direction (radians clockwise from straight ahead).

        Directions × waves along y × waves along x, these without the ones so short that the pattern carries none on.
        """
        narrowest = min(spread.along, spread.across, MISHIT_ALONG * spread.length)
        wave_x = self.wave_x[:, self.wave_x[0] * narrowest < CARRIED]
        waves = np.empty((len(directions), self.size[0], wave_x.shape[1]), dtype=np.complex64)
        made: dict[int, Waves] = {}
        for row, direction in enumerate(directions):
            turn = float(np.angle(np.exp(1j * direction)))
            left, back = turn < 0, abs(turn) > np.pi / 2
            # Directions in the other quarters are mirror images of one in the first, and so are their waves. A mirror
            # with y alone turns the rows round; one with both is the conjugate, because a pattern is real.
            first = np.pi - abs(turn) if back else abs(turn)
            key = round(first * 1e6)
            if key not in made:
                made[key] = self._filter(spread, first, wave_x)
            waves[row] = made[key] if left == back else np.roll(made[key][::-1], 1, axis=0)
            if left:
                np.conj(waves[row], out=waves[row])
        return waves

    def _filter(self, spread: Spread, direction: float, wave_x: Maps) -> Waves:
        cos, sin = np.float32(np.cos(direction)), np.float32(np.sin(direction))
        square = (self.wave_y * cos + wave_x * sin) ** 2
        aside = (wave_x * cos - self.wave_y * sin) ** 2
        usual = np.exp(
            np.float32(-0.5 * spread.along**2) * square + np.float32(-0.5 * spread.across**2) * aside
        )
        wide = usual * usual
        wide *= wide
        good = (1 - spread.mishit) * ((1 - WIDE_SHARE) * usual + WIDE_SHARE * wide)
        if spread.mishit > 0:
            along, across = MISHIT_ALONG * spread.length, MISHIT_ACROSS * spread.across
            size = np.exp(np.float32(-0.5 * along**2) * square + np.float32(-0.5 * across**2) * aside)
            # Falling short is a phase: that of a shift is a product of one along rows and one along columns.
            short = np.float32((1 - MISHIT_LENGTH) * spread.length)
            down = (spread.mishit * np.exp(-1j * (short * cos) * self.wave_y)).astype(np.complex64)
            left = np.exp(-1j * (short * sin) * wave_x).astype(np.complex64)
            return np.asarray(good + size * (down * left), dtype=np.complex64)
        return good.astype(np.complex64)
