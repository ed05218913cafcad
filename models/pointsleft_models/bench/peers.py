"""General-purpose learners on the same rows and columns as our value models."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from pointsleft_models.values.states import States

Array = np.ndarray

#: Fits on (rows, columns) and class labels, and gives the probabilities of test rows.
Peer = Callable[[Array, Array, Array], Array]


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


def win_columns(at: States) -> Array:
    """The columns that every learner of the winner gets, score over root time among them."""
    names = [
        "lead", "half_seconds", "half", "yards_to_goal", "down", "distance", "own_timeouts",
        "opponent_timeouts", "receives", "home",
    ]  # fmt: skip
    seconds = at.game_seconds
    columns = [getattr(at, n) for n in names] + [seconds, at.lead / np.sqrt(seconds + 1.0)]
    return np.column_stack(columns).astype(float)


def boosted_a(train: Array, labels: Array, test: Array) -> Array:
    """Boosted trees, depth 5, 525 rounds, rate .025."""
    import xgboost

    model = xgboost.XGBClassifier(
        max_depth=5, n_estimators=525, learning_rate=0.025, n_jobs=2, tree_method="hist"
    )
    model.fit(train, labels)
    return np.asarray(model.predict_proba(test))


def boosted_b(train: Array, labels: Array, test: Array) -> Array:
    """Boosted trees, 31 leaves, 300 rounds, rate .05."""
    import warnings

    import lightgbm

    model = lightgbm.LGBMClassifier(
        num_leaves=31, n_estimators=300, learning_rate=0.05, n_jobs=2, verbose=-1
    )
    model.fit(train, labels)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", UserWarning)
        return np.asarray(model.predict_proba(test))


def forest(train: Array, labels: Array, test: Array) -> Array:
    """Random forest, 500 trees, node size 100."""
    from sklearn.ensemble import RandomForestClassifier

    model = RandomForestClassifier(n_estimators=500, min_samples_leaf=100, n_jobs=2, random_state=1)
    model.fit(train, labels)
    return np.asarray(model.predict_proba(test))
