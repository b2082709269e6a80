"""What a user would otherwise run on a series of 50 points. Debian: python3-statsmodels; OMP_NUM_THREADS=1 /usr/bin/python3 peers.py"""
import statistics, time, warnings
import numpy as np
import statsmodels.api as sm

warnings.filterwarnings("ignore")
rng = np.random.default_rng(3)
series = [300 + np.cumsum(.2 * rng.standard_normal(50)) + 8 * (1 - np.exp(-np.arange(50) / 15)) + 2 * rng.standard_normal(50) for _ in range(20)]
for spec in ("llevel", "lltrend"):
    fit = lambda y: sm.tsa.UnobservedComponents(y, spec).fit(disp=0).get_forecast(12).conf_int()
    fit(series[0])
    times = []
    for y in series:
        start = time.perf_counter()
        fit(y)
        times.append(1e3 * (time.perf_counter() - start))
    print(f"statsmodels {spec}: median {statistics.median(times):.2f} ms")
