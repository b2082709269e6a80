"""Time the oracles of the fit and of the section metrics on the shapes of FitBenchmarks, one thread.

Run in the same minute as `BackTracker.Benchmarks short`, for figures of a shared machine drift by more than half:
    OMP_NUM_THREADS=1 /usr/bin/python3 tests/BackTracker.Benchmarks/Reference/fit_timing.py
Debian packages: python3-scipy python3-shapely.

The oracles were written to be plainly right, in Python, with linear programmes by HiGHS; they are no optimised peer. Say so beside any
ratio.
"""
import json
import os
import statistics
import sys
import time

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), '..', '..', 'oracles'))
import numpy as np
import scipy
from scipy.interpolate import PchipInterpolator

import contact
import fit
import model
import profile

OFFSETS = [0, 30, 60, 95, 130, 165]
DEPTHS = {0: [0, 12, 36, 78, 122, 170], 200: [0, 7, 24, 56, 95, 140], 400: [0, 4, 15, 36, 66, 104]}
TOPLINE = [[-100, -12], [0, -8], [120, 5], [200, 8], [300, 4], [420, 0]]
PANEL = {'thicknessMm': 20, 'adjustMm': {'left': [2, 2, 2], 'right': [0, 0, 0]}}


def timed(run, rounds=15):
    run()
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        run()
        times.append(1e3 * (time.perf_counter() - start))
    return {'median_ms': round(statistics.median(times), 3), 'p90_ms': round(sorted(times)[int(.9 * rounds)], 3)}


def trace(depths):
    across = np.arange(-165, 166, 5.0)
    down = PchipInterpolator(OFFSETS, depths)(np.abs(across))
    return np.column_stack([across, np.where(across > 0, .98, 1.0) * down]).tolist()


def side(station, more):
    slope, bearing = .9 - .05 * station, 75 + 2 * station + more
    out = [bearing * k / 5 for k in range(6)]
    return {'channelHalfMm': 45 + station, 'bearingMm': bearing, 'innerDepthMm': .2 * (station - 5) ** 2,
            'surface': [[u, slope * u + .0012 * u * u] for u in out]}


def back():
    return model.Back({'stations': [{'positionMm': at, 'trace': trace(depths)} for at, depths in DEPTHS.items()], 'topline': TOPLINE})


TREE = model.Tree({'stations': [{'positionMm': -60 + 42 * i, 'channelHeightMm': 60 - 2 * i, 'left': side(i, 0), 'right': side(i, 1)} for i in range(11)]})
PATCHES = model.patches(back(), TREE, PANEL)
LOADS = [(80 * 9.81, 150, 0)]
PARABOLA = [[5.0 * i, (5 * i) ** 2 / 200] for i in range(-33, 34)]

print(json.dumps({
    'oracle, a tree laid on a back': timed(lambda: fit.evaluate(back(), TREE, PANEL), rounds=5),
    'oracle, its patches alone': timed(lambda: model.patches(back(), TREE, PANEL), rounds=5),
    'HiGHS, one resting position (one linear programme) with the patches cut': timed(lambda: contact.rest_lp(PATCHES, 150, 0)),
    'oracle, the panel under a rider by Newton, patches cut': timed(lambda: contact.solve_newton(PATCHES, 2.0, LOADS)),
    'SciPy, the same by L-BFGS-B and MINPACK, patches cut': timed(lambda: contact.solve_scipy(PATCHES, 2.0, LOADS)),
    'oracle, metrics of a trace of 67 points': timed(lambda: profile.metrics(PARABOLA)),
    'versions': {'scipy': scipy.__version__, 'numpy': np.__version__, 'python': sys.version.split()[0]},
}, indent=1))
