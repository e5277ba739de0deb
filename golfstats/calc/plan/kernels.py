"""Shot patterns as filters: the expectation of a map over a pattern is a product of Fourier transforms.

The pattern's characteristic function is closed form (three normals), so no pattern is ever put on the grid. A plane
wraps round at its edges; the padding is wide enough that no pattern reaches across it.
"""

from __future__ import annotations

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


class Plane:
    """A box of cells padded for transforms."""

    def __init__(self, rows: int, columns: int, step: float, reach: float) -> None:
        """``reach``: yards over which a pattern may look beyond the edge of the box."""
        self.rows, self.columns = rows, columns
        pad = int(np.ceil(reach / step))
        self.size = (fft.next_fast_len(rows + pad, real=True), fft.next_fast_len(columns + pad, real=True))
        self.wave_y = (2 * np.pi * np.fft.fftfreq(self.size[0], step)[:, None]).astype(np.float32)
        self.wave_x = (2 * np.pi * np.fft.rfftfreq(self.size[1], step)[None, :]).astype(np.float32)

    def waves(self, values: Floats | Maps, beyond: float) -> Waves:
        """Transform of a map; outside the box it has the value ``beyond``."""
        padded = np.full(self.size, beyond, dtype=np.float32)
        padded[: self.rows, : self.columns] = values
        return np.asarray(fft.rfft2(padded), dtype=np.complex64)

    def expectations(self, waves: Waves, filters: Waves) -> Maps:
        """Expectation of the map over each pattern, centred on every cell of the box: filters × rows × columns."""
        full = fft.irfft2(waves[None] * filters, s=self.size, overwrite_x=True)
        return np.asarray(full[:, : self.rows, : self.columns], dtype=np.float32)

    def filters(self, spread: Spread, directions: Floats) -> Waves:
        """The pattern played in each direction (radians clockwise from straight ahead)."""
        made = np.empty((len(directions), self.size[0], self.size[1] // 2 + 1), dtype=np.complex64)
        for row, direction in enumerate(directions):
            cos, sin = np.float32(np.cos(direction)), np.float32(np.sin(direction))
            ahead = self.wave_y * cos + self.wave_x * sin
            aside = (self.wave_x * cos - self.wave_y * sin) ** 2
            square = ahead * ahead
            usual = np.exp(
                -0.5 * (np.float32(spread.along**2) * square + np.float32(spread.across**2) * aside)
            )
            wide = usual * usual
            made[row] = (1 - spread.mishit) * ((1 - WIDE_SHARE) * usual + WIDE_SHARE * wide * wide)
            if spread.mishit > 0:
                made[row] += self._mishit(spread, cos, sin, square, aside)
        return made

    def _mishit(self, spread: Spread, cos: np.float32, sin: np.float32, square: Maps, aside: Maps) -> Waves:
        along, across = MISHIT_ALONG * spread.length, MISHIT_ACROSS * spread.across
        size = np.exp(-0.5 * (np.float32(along**2) * square + np.float32(across**2) * aside))
        # Falling short is a phase, and the phase of a shift is a product of one along rows and one along columns.
        short = np.float32((1 - MISHIT_LENGTH) * spread.length)
        down = (spread.mishit * np.exp(-1j * (short * cos) * self.wave_y)).astype(np.complex64)
        left = np.exp(-1j * (short * sin) * self.wave_x).astype(np.complex64)
        return np.asarray(size * (down * left), dtype=np.complex64)
