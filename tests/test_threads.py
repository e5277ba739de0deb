"""Linear algebra keeps to one thread, so that processes beside each other do not wait for one another."""

import numpy as np
from scipy import linalg
from threadpoolctl import threadpool_info


def test_linear_algebra_keeps_to_one_thread() -> None:
    linalg.cho_factor(np.eye(3))  # both libraries are loaded now
    libraries = [one for one in threadpool_info() if one["user_api"] == "blas"]
    assert libraries
    assert {one["num_threads"] for one in libraries} == {1}
