"""Straight lines and tail probabilities by SciPy, for the tests to compare with.

    python -m venv env && env/bin/pip install scipy==1.17.1 numpy==2.4.6 && env/bin/python make.py

Writes lines.csv (the points), fits.csv (what SciPy makes of each set) and tails.csv beside this file. Random data,
seeded; the sets are alike to readings of a practical in shape, not in scale.
"""

import csv
import pathlib

import numpy as np
import scipy
from scipy import odr, optimize, stats

here = pathlib.Path(__file__).parent
chance = np.random.default_rng(20260521)


def line(p, x):
    return p[0] * x + p[1]


def straight(x, b, a):
    return b * x + a


sets, fits = [], []
for number in range(60):
    n = int(chance.integers(4, 25))
    b, a = chance.normal(0, 3), chance.normal(0, 5)
    x_true = np.sort(chance.uniform(-1, 5, n)) if number % 2 else chance.uniform(0, 10, n)
    u_x = chance.uniform(0.02, 0.2, n)
    u_y = chance.uniform(0.05, 0.6, n)
    x = x_true + chance.normal(0, u_x)
    y = b * x_true + a + chance.normal(0, u_y)
    sets += [(number, *map(repr, map(float, row))) for row in zip(x, y, u_x, u_y)]

    free = stats.linregress(x, y)
    weighted, cov = optimize.curve_fit(straight, x, y, sigma=u_y, absolute_sigma=True, jac=lambda x, b, a: np.c_[x, np.ones_like(x)])
    chi_squared = float((((y - straight(x, *weighted)) / u_y) ** 2).sum())
    run = odr.ODR(odr.RealData(x, y, sx=u_x, sy=u_y), odr.Model(line), beta0=[free.slope, free.intercept], sstol=1e-15, partol=1e-15, maxit=1000)
    run.set_job(fit_type=0, deriv=0)
    both = run.run()
    fits.append([
        number, free.slope, free.intercept, free.stderr, free.intercept_stderr, free.rvalue**2,
        weighted[0], weighted[1], cov[0, 0] ** 0.5, cov[1, 1] ** 0.5, chi_squared, stats.chi2.sf(chi_squared, n - 2),
        both.beta[0], both.beta[1], both.cov_beta[0, 0] ** 0.5, both.cov_beta[1, 1] ** 0.5, both.sd_beta[0], both.sd_beta[1], both.sum_square,
    ])

tails = []
for freedom in (1, 2, 3, 5, 8, 20, 101, 1000, 99998):
    for level in (1e-12, 1e-4, 0.01, 0.3, 0.5, 0.9, 0.999):
        x = stats.chi2.isf(level, freedom)
        tails.append(["chi_squared", freedom, 0, x, stats.chi2.sf(x, freedom)])
for above in (1, 2, 4, 9):
    for below in (2, 7, 30, 400):
        for level in (1e-6, 0.01, 0.4, 0.95):
            x = stats.f.isf(level, above, below)
            tails.append(["f", above, below, x, stats.f.sf(x, above, below)])

versions = f"SciPy {scipy.__version__}, NumPy {np.__version__}"


def write(name, headings, rows):
    with open(here / name, "w", newline="\n") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(headings)
        out.writerows([[repr(float(v)) if isinstance(v, (float, np.floating)) else v for v in row] for row in rows])


write("lines.csv", ["set", "x", "y", "u_x", "u_y"], sets)
write("fits.csv", ["set", "b", "a", "se_b", "se_a", "r_squared", "weighted_b", "weighted_a", "weighted_se_b", "weighted_se_a", "chi_squared", "probability", "both_b", "both_a", "both_se_b", "both_se_a", "both_scaled_se_b", "both_scaled_se_a", "both_chi_squared"], fits)
write("tails.csv", ["law", "freedom_1", "freedom_2", "x", "tail"], tails)
print(versions)
