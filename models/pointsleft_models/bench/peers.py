"""General-purpose learners on the same rows and columns as our value models.

Two settings of boosted trees, a random forest, a logit on plain splines, and for the winner one
on a few columns that say what football says. None is tuned here; libraries come with the extra
``bench``.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from pointsleft_models.bench.leave_out import two_classes
from pointsleft_models.values.states import States

Array = np.ndarray

#: Probabilities (n, classes) of rows (n, columns).
Predict = Callable[[Array], Array]

#: Threads of every learner that takes their number.
THREADS = 2

#: A column with no more values than this is a factor of the spline logit.
FACTOR = 8

#: Knots of a spline of the spline logit, at quantiles, and its strength of shrinkage.
KNOTS, SHRINKAGE = 10, 1.0


@dataclass(frozen=True, slots=True)
class Peer:
    """A learner: settings in words, and a fit of rows (n, columns) and class numbers (n,)."""

    name: str
    settings: str
    fit: Callable[[Array, Array], Predict]


def next_score_columns(at: States, *, with_score: bool) -> Array:
    """The columns that every learner of the next score gets."""
    names = [
        "half_seconds", "yards_to_goal", "distance", "down", "half", "own_timeouts",
        "opponent_timeouts",
    ]  # fmt: skip
    columns = [getattr(at, n) for n in names] + [at.distance >= at.yards_to_goal]
    if with_score:
        columns.append(at.lead)
    return np.column_stack(columns).astype(float)


#: Place of the yards to goal among those columns.
SPOT = 1


def win_columns(at: States, *, with_spread: bool = False) -> Array:
    """The columns that every learner of the winner gets, score over root time among them.

    With the spread also what is left of it to be played, over root time.
    """
    names = [
        "lead", "half_seconds", "half", "yards_to_goal", "down", "distance", "own_timeouts",
        "opponent_timeouts", "receives", "home",
    ]  # fmt: skip
    seconds = at.game_seconds
    columns = [getattr(at, n) for n in names] + [seconds, at.lead / np.sqrt(seconds + 1.0)]
    if with_spread:
        columns += [at.spread, at.spread * np.sqrt(seconds / 3600.0)]
    return np.column_stack(columns).astype(float)


def root_time_columns(rows: Array) -> Array:
    """Score over root time left and its relatives (n, 10 or 13), from :func:`win_columns`.

    The worth of the ball is a straight line in the spot and steps by down, as one would guess it
    without a fit.
    """
    lead, _, _, spot, down, _, own, opponent, receives, home, seconds = rows[:, :11].T
    left = np.sqrt(seconds / 3600.0)
    ball = (60.0 - spot) / 16.0 - 0.5 * (down - 1) - 0.6 * (down == 4)
    soon = np.sqrt(seconds + 60.0)
    columns = [
        lead / np.sqrt(seconds + 1.0), lead / soon, lead / np.sqrt(seconds + 300.0), lead,
        (lead + ball) / soon, ball / np.sqrt(seconds + 300.0), (lead / soon) ** 3, home * left,
        receives * left, (own - opponent) / soon,
    ]  # fmt: skip
    if rows.shape[1] > 12:
        spread = rows[:, 12]
        to_come = spread * left**2
        columns += [to_come / soon, spread * left, (lead + to_come) / np.sqrt(seconds + 120.0)]
    return np.column_stack(columns)


def _root_time_logit(train: Array, labels: Array) -> Predict:
    from sklearn.linear_model import LogisticRegression
    from sklearn.pipeline import make_pipeline
    from sklearn.preprocessing import FunctionTransformer, StandardScaler

    model = make_pipeline(
        FunctionTransformer(root_time_columns), StandardScaler(),
        LogisticRegression(C=SHRINKAGE, solver="newton-cholesky", max_iter=50),
    )  # fmt: skip
    model.fit(train, labels)
    return lambda rows: np.asarray(model.predict_proba(rows))


def _margin_walk(train: Array, labels: Array) -> Predict:
    """Phi[(lead + (1 - t) mu) / (sigma sqrt(1 - t))] with mu the edge at home, or the spread where
    it is known, both scaled to the training rows."""
    import statsmodels.api as sm

    def columns(rows: Array) -> Array:
        lead, home, seconds = rows[:, 0], rows[:, 9], rows[:, 10]
        left = np.sqrt((seconds + 1.0) / 3600.0)
        drift = rows[:, 12] if rows.shape[1] > 12 else home
        return np.column_stack([lead / left, drift * left])

    model = sm.Probit(labels, columns(train)).fit(disp=False)

    def predict(rows: Array) -> Array:
        return two_classes(np.asarray(model.predict(columns(rows))))

    return predict


def _boosted_a(train: Array, labels: Array) -> Predict:
    import xgboost

    model = xgboost.XGBClassifier(
        max_depth=5, n_estimators=525, learning_rate=0.025, n_jobs=THREADS, tree_method="hist"
    )
    model.fit(train, labels)
    return lambda rows: np.asarray(model.predict_proba(rows))


def _boosted_b(train: Array, labels: Array) -> Predict:
    import lightgbm

    settings = {
        "num_leaves": 31, "learning_rate": 0.05, "num_threads": THREADS, "verbose": -1,
        "objective": "binary" if labels.max() == 1 else "multiclass",
    }  # fmt: skip
    if labels.max() > 1:
        settings["num_class"] = int(labels.max()) + 1
    model = lightgbm.train(settings, lightgbm.Dataset(train, labels), num_boost_round=300)

    def predict(rows: Array) -> Array:
        p = np.asarray(model.predict(rows))
        return p if p.ndim == 2 else two_classes(p)

    return predict


def _forest(train: Array, labels: Array) -> Predict:
    from sklearn.ensemble import RandomForestClassifier

    model = RandomForestClassifier(
        n_estimators=200, min_samples_leaf=100, max_samples=0.25, n_jobs=THREADS, random_state=1
    )
    model.fit(train.astype(np.float32), labels)
    return lambda rows: np.asarray(model.predict_proba(rows.astype(np.float32)))


def _spline_logit(train: Array, labels: Array) -> Predict:
    from sklearn.compose import ColumnTransformer
    from sklearn.linear_model import LogisticRegression
    from sklearn.pipeline import make_pipeline
    from sklearn.preprocessing import OneHotEncoder, SplineTransformer

    few = [len(np.unique(column)) <= FACTOR for column in train.T]
    factors = [i for i, is_factor in enumerate(few) if is_factor]
    smooth = [i for i, is_factor in enumerate(few) if not is_factor]
    splines = SplineTransformer(n_knots=KNOTS, knots="quantile", include_bias=False)
    bases = ColumnTransformer(
        [("splines", splines, smooth), ("factors", OneHotEncoder(drop="first",
         sparse_output=False, handle_unknown="ignore"), factors)]
    )  # fmt: skip
    model = make_pipeline(
        bases, LogisticRegression(C=SHRINKAGE, solver="newton-cholesky", max_iter=50)
    )
    model.fit(train, labels)
    return lambda rows: np.asarray(model.predict_proba(rows))


def _spot_logit(train: Array, labels: Array) -> Predict:
    predict = _spline_logit(train[:, [SPOT]], labels)
    return lambda rows: predict(rows[:, [SPOT]])


BOOSTED_A = Peer("boosted A", "trees of depth 5, 525 rounds, rate .025", _boosted_a)
BOOSTED_B = Peer("boosted B", "trees of 31 leaves, 300 rounds, rate .05", _boosted_b)
FOREST = Peer("random forest", "200 trees on a quarter of the rows, 100 a leaf", _forest)
SPLINES = Peer(
    "spline logit", f"cubic splines of {KNOTS} knots a column, factors of few values", _spline_logit
)
SPOT_ALONE = Peer("spot logit", "a spline of the yards to goal and nothing else", _spot_logit)
MARGIN_WALK = Peer(
    "margin walk", "Stern 1994: the lead and what is to come, over root time left", _margin_walk
)
ROOT_TIME = Peer(
    "root-time logit", "a line in score over root time left and nine relatives", _root_time_logit
)

#: Peers whose fit and evaluation times ours are held against.
BOOSTED = (BOOSTED_A.name, BOOSTED_B.name)
