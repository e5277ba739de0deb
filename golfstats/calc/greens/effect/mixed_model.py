"""Linear mixed model: fixed effects and blocks of random effects, each block with its own variance.

y = X b + Σ Z_k u_k + e, with u_k ~ Normal(0, variance_k) and e ~ Normal(0, residual variance). The variances maximise
the restricted likelihood, the effects are the solution of Henderson's mixed-model equations (Searle, Casella and
McCulloch, Variance Components, 1992, chapters 6 and 7, from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy import linalg, optimize, sparse

from golfstats.calc.record import Floats, Ints

LOG_RATIOS = (-14.0, 8.0)
"""Bounds on the logarithm of a block's variance over the residual variance."""


@dataclass(frozen=True)
class MixedFit:
    """Effects in the order of the columns: fixed first, then each block."""

    effects: Floats
    covariance: Floats
    """Of every effect with the fixed ones: effects × fixed."""
    variances: Floats
    """Variance of each random block."""
    residual_variance: float


def fit_mixed(
    y: Floats,
    fixed: Floats,
    blocks: Sequence[sparse.csr_array],
) -> MixedFit:
    """Fit by restricted maximum likelihood. The last block must come from :func:`indicator`; let it be the largest."""
    design = sparse.hstack([sparse.csr_array(fixed), *blocks], format="csr")
    sizes = np.array([block.shape[1] for block in blocks])
    starts = fixed.shape[1] + np.concatenate([[0], np.cumsum(sizes)[:-1]])
    cross = (design.T @ design).toarray()
    towards = design.T @ y
    degrees = len(y) - fixed.shape[1]
    squares = float(y @ y)
    last = int(starts[-1])
    few, many = cross[:last, :last], np.diag(cross)[last:]
    across = cross[:last, last:]

    def ridge(log_ratios: Floats) -> Floats:
        return np.concatenate([np.zeros(fixed.shape[1]), np.repeat(np.exp(-log_ratios), sizes)])

    def loss(log_ratios: Floats) -> float:
        log_ratios = np.clip(log_ratios, *LOG_RATIOS)
        added = ridge(log_ratios)
        # The last block's equations are diagonal, so it is eliminated and only the few others are factored.
        diagonal = many + added[last:]
        half_across = across / np.sqrt(diagonal)
        factor = linalg.cholesky(few + np.diag(added[:last]) - half_across @ half_across.T, lower=True)
        half = linalg.solve_triangular(
            factor, towards[:last] - across @ (towards[last:] / diagonal), lower=True
        )
        explained = float(half @ half) + float(np.sum(towards[last:] ** 2 / diagonal))
        residual = max((squares - explained) / degrees, 1e-12)
        log_determinant = 2 * np.sum(np.log(np.diag(factor))) + np.sum(np.log(diagonal))
        log_likelihood = -0.5 * (degrees * np.log(residual) + log_determinant + np.sum(sizes * log_ratios))
        return -float(log_likelihood)

    start = np.full(len(blocks), -2.0)
    best = optimize.minimize(loss, start, method="Nelder-Mead", options={"xatol": 0.01, "fatol": 0.001})
    log_ratios = np.clip(best.x, *LOG_RATIOS)
    added = ridge(log_ratios)
    # By the same elimination: the inverse of all of it would take longer than the search.
    diagonal = many + added[last:]
    inverse = linalg.inv(few + np.diag(added[:last]) - (across / diagonal) @ across.T)
    of_few = inverse @ (towards[:last] - across @ (towards[last:] / diagonal))
    effects = np.concatenate([of_few, (towards[last:] - of_few @ across) / diagonal])
    with_fixed = inverse[:, : fixed.shape[1]]
    residual = (squares - float(towards @ effects)) / degrees
    return MixedFit(
        effects=effects,
        covariance=residual * np.concatenate([with_fixed, -(across / diagonal).T @ with_fixed]),
        variances=residual * np.exp(log_ratios),
        residual_variance=residual,
    )


def indicator(group: Floats | Ints) -> sparse.csr_array:
    """One column a distinct value of ``group``, 1 where the row has it."""
    _, column = np.unique(group, axis=0, return_inverse=True)
    rows = len(group)
    return sparse.csr_array(
        (np.ones(rows), (np.arange(rows), column.ravel())), shape=(rows, column.max() + 1)
    )
