"""Time a series of 50 points takes elsewhere, one thread: statsmodels' structural models, and the oracle of the robust grid in numba.

Run in the same minute as `BackTracker.Benchmarks short`, for figures of a shared machine drift by more than half:
    OMP_NUM_THREADS=1 /usr/bin/python3 tests/BackTracker.Benchmarks/Reference/peers_timing.py
Debian packages: python3-statsmodels python3-numba python3-scipy.

The structural models look for one maximum of a likelihood and know no outliers; the robust grid integrates 45 points and does. Say so
beside any ratio.
"""
import itertools
import json
import os
import statistics
import sys
import time
import warnings

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), '..', '..', 'oracles'))
import numpy as np
import statsmodels
import statsmodels.api as sm
from statsmodels.tsa.holtwinters import Holt

import engine

warnings.filterwarnings('ignore')
rng = np.random.default_rng(3)
SERIES = [300 + np.cumsum(.2 * rng.standard_normal(50)) + 8 * (1 - np.exp(-np.arange(50) / 15)) + 2 * rng.standard_normal(50) for _ in range(20)]


def timed(fit, rounds=20):
    fit(SERIES[0])
    times = []
    for k in range(rounds):
        start = time.perf_counter()
        fit(SERIES[k % 20])
        times.append(1e3 * (time.perf_counter() - start))
    return {'median_ms': round(statistics.median(times), 3), 'p90_ms': round(sorted(times)[int(.9 * rounds)], 3)}


def structural(spec, gaps=1):
    def fit(y):
        weekly = np.full(50 * gaps, np.nan)
        weekly[::gaps] = y
        return sm.tsa.UnobservedComponents(weekly, spec).fit(disp=0).get_forecast(12).conf_int()
    return fit


def robust_grid():
    grid = np.array(list(itertools.product(np.geomspace(.012, .12, 5), [30., 75., 190.], [0.], [1., 1.8, 3.])))
    days = np.cumsum(rng.integers(14, 50, 50)).astype(float)
    design = np.column_stack([np.zeros(50), np.cos(2 * np.pi * days / 365.25), np.sin(2 * np.pi * days / 365.25)])
    return lambda y: engine.grid_run(days, y, np.full(50, 2.), design, np.full(3, 4.), grid, 300., 900., .03, 15., .01, 10., .03, .15)


print(json.dumps({
    'statsmodels local level, fit and forecast': timed(structural('llevel')),
    'statsmodels local linear trend, fit and forecast': timed(structural('lltrend')),
    'statsmodels local linear trend on a weekly grid with gaps': timed(structural('lltrend', gaps=4)),
    'statsmodels Holt, damped': timed(lambda y: Holt(y, damped_trend=True, initialization_method='estimated').fit().forecast(12)),
    'numba robust grid of 45, five states, filter only': timed(robust_grid()),
    'versions': {'statsmodels': statsmodels.__version__, 'numpy': np.__version__, 'python': sys.version.split()[0]},
}, indent=1))
