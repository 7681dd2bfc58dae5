"""How slow this machine is just now: budgets in seconds are for one that is not."""

from tests.benchmarks.arithmetic import seconds

SPLINE_SECONDS = 0.00040  # bare scipy's two splines and their values on a machine that is not slow


def slowness() -> float:
    """1 on a machine as quick as the budgets ask, 3 where bare scipy takes three times as long.

    The slowest of three looks: a shared machine changes its pace.
    """
    import numpy as np
    from scipy.interpolate import CubicSpline

    at, grid = np.linspace(0.0, 6858.0, 6), np.linspace(0.0, 6858.0, 1_000)

    def splines() -> None:
        for _ in range(2):
            CubicSpline(at, np.sin(at), bc_type=((2, 0.0), (1, 0.0)))(grid).min()

    return max(1.0, *(seconds(splines) / SPLINE_SECONDS for _ in range(3)))
