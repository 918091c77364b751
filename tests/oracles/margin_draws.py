"""Draws the margin of the cars in tests/data/margin_cases.json a million times.

Every job is a beta-PERT variable, alpha = 1 + 4 (likely - low) / (high - low),
beta = 1 + 4 (high - likely) / (high - low). The jobs of one car hang together
by a normal variable that they share (one-factor Gaussian copula). Of the
causes exactly one holds. The worth is normal, what is set aside exponential.
Who learns what the repair is expected to cost, and finds that it leaves less
than the car fetches as it stands, sells it as it stands.

    python3 tests/oracles/margin_draws.py > tests/oracles/margin_draws.txt

Prints a line a car: mean, 10 %, 50 % and 90 % points, chance of loss.
"""

import json
import pathlib

import numpy as np
from scipy import stats

DRAWS = 1_000_000
HERE = pathlib.Path(__file__).resolve().parent


def pert(low, likely, high, u):
    """Beta-PERT quantiles at the uniform draws `u`, by a fine table."""
    alpha = 1 + 4 * (likely - low) / (high - low)
    beta = 1 + 4 * (high - likely) / (high - low)
    grid = np.linspace(0, 1, 4001)
    return low + (high - low) * np.interp(u, grid, stats.beta.ppf(grid, alpha, beta))


def mean(job):
    low, likely, high = job
    return (low + 4 * likely + high) / 6


def main():
    cases = json.loads((HERE.parent / "data" / "margin_cases.json").read_text())
    print(f"# numpy {np.__version__}, {DRAWS} draws, seed 20260214")
    rng = np.random.default_rng(20260214)
    for case in cases:
        common = rng.standard_normal(DRAWS)
        r = case["correlation"]

        def cost(job):
            own = rng.standard_normal(DRAWS)
            z = np.sqrt(r) * common + np.sqrt(1 - r) * own
            return pert(*job, stats.norm.cdf(z))

        bill = np.zeros(DRAWS)
        expected = np.zeros(DRAWS)
        for job in case["certain"]:
            bill += cost(job)
            expected += mean(job)
        for chance, *job in case["perhaps"]:
            there = rng.random(DRAWS) < chance
            bill += np.where(there, cost(job), 0)
            expected += np.where(there, mean(job), 0)
        if case["causes"]:
            chances = np.array([c[0] for c in case["causes"]])
            which = rng.choice(len(chances), DRAWS, p=chances / chances.sum())
            for i, (_, *job) in enumerate(case["causes"]):
                bill += np.where(which == i, cost(job), 0)
                expected += np.where(which == i, mean(job), 0)
        unknown = rng.exponential(1.0, DRAWS) * case["unknown"]
        worth = case["right"] + case["doubt"] * rng.standard_normal(DRAWS)
        repaired = worth - case["off"] - bill - unknown
        goes = case["right"] - case["off"] - expected - unknown < case["way_out"]
        left = np.where(goes, case["way_out"], repaired)
        points = np.quantile(left, [0.1, 0.5, 0.9])
        loss = np.mean(left < case["price"])
        figures = [left.mean(), *points, loss * 100]
        print(case["name"] + ":", *(f"{x:.1f}" for x in figures))


if __name__ == "__main__":
    main()
