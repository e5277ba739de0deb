"""The kernel of all figures, strokes gained, against np.interp and against the notebook of a statistician."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from statistics import median
from time import process_time
from typing import Any

import numpy as np

from golfstats.calc.record import Record
from golfstats.calc.strokes.benchmark import CURVE_LIES, SAME_AS, professional
from golfstats.calc.strokes.gained import strokes_gained
from tests.benchmarks.floors import interpolated, notebook
from tests.benchmarks.measuring import Measured
from tests.calc.figures.simulated_player import simulated_player

YARDS = np.linspace(0.1, 700, 2000)


def kernel_strokes_gained(shots: int) -> Iterator[Measured]:
    record, curves = _golf(shots)
    yield Measured("kernel_strokes_gained", *_pairs(record, lambda: interpolated(record, curves)), 1.2)


def kernel_vs_notebook(shots: int) -> Iterator[Measured]:
    import pandas as pd

    record, curves = _golf(shots)
    columns = {name: getattr(record.shots, name) for name in ("hole", "lie", "distance", "penalty")}
    frame = pd.DataFrame(columns)
    yield Measured("kernel_vs_notebook", *_pairs(record, lambda: notebook(frame, curves)), 0.3)


def _golf(shots: int) -> tuple[Record, dict[int, tuple[Any, Any]]]:
    record = simulated_player(np.random.default_rng(3), max(1, shots // 73)).record
    holes = replace(record.holes, complete=np.ones(len(record.holes), dtype=np.bool_))
    benchmark = professional()
    alike = {lie: lie for lie in CURVE_LIES} | dict(SAME_AS)
    curves = {int(lie): (YARDS, benchmark.curves[shape](YARDS)) for lie, shape in alike.items()}
    return replace(record, holes=holes), curves


def _pairs(record: Record, floor: Callable[[], object]) -> tuple[float, float]:
    benchmark = professional()
    return in_pairs(lambda: strokes_gained(record, benchmark), floor)


def in_pairs(ours: Callable[[], object], floor: Callable[[], object]) -> tuple[float, float]:
    """Medians of processor seconds of runs that alternate."""
    spent: list[tuple[float, float]] = []
    for _ in range(5):
        began = process_time()
        ours()
        between = process_time()
        floor()
        spent.append((between - began, process_time() - between))
    return median(one for one, _ in spent), median(other for _, other in spent)


KERNELS: dict[str, Callable[[int], Iterator[Measured]]] = {
    "kernel_strokes_gained": kernel_strokes_gained,
    "kernel_vs_notebook": kernel_vs_notebook,
}
