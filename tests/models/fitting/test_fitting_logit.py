"""The penalised logit against other solvers, and its refits against fresh fits."""

from __future__ import annotations

import numpy as np
import pytest
import scipy.sparse as sp
import statsmodels.api as sm
from pointsleft_models.fitting.basis import Basis, Bends, Levels, Term
from pointsleft_models.fitting.logit import MANY, FitError, LogitSolver, expit, logit
from scipy.optimize import minimize

Array = np.ndarray


def small_data(n: int = 400, p: int = 4, seed: int = 1) -> tuple[Array, Array, Array]:
    """Design with a constant, trials and successes."""
    rng = np.random.default_rng(seed)
    x = np.column_stack([np.ones(n), rng.normal(size=(n, p - 1))])
    b = np.linspace(-0.8, 0.9, p)
    trials = rng.integers(1, 6, n).astype(float)
    return x, trials, rng.binomial(trials.astype(int), expit(x @ b)).astype(float)


def solver(
    x: Array, penalty: Array | None = None, orders: Array | None = None, offset: Array | None = None
) -> LogitSolver:
    p = x.shape[1]
    return LogitSolver(
        sp.csr_matrix(x),
        np.zeros((p, p)) if penalty is None else penalty,
        np.zeros((0, p)) if orders is None else orders,
        np.random.default_rng(0),
        offset,
    )


def test_without_penalty_it_agrees_with_statsmodels() -> None:
    x, trials, yes = small_data()
    peer = sm.GLM(np.column_stack([yes, trials - yes]), x, family=sm.families.Binomial())
    own = solver(x).fit(trials, yes, tolerance=1e-14)
    assert own.coefficients == pytest.approx(peer.fit(tol=1e-14).params, abs=1e-6)


def test_with_an_offset_it_agrees_with_statsmodels() -> None:
    x, trials, yes = small_data()
    offset = np.sin(np.arange(len(x)))
    peer = sm.GLM(
        np.column_stack([yes, trials - yes]), x, family=sm.families.Binomial(), offset=offset
    )
    own = solver(x, offset=offset).fit(trials, yes, tolerance=1e-14)
    assert own.coefficients == pytest.approx(peer.fit(tol=1e-14).params, abs=1e-6)


def penalised_loss(b: Array, x: Array, trials: Array, yes: Array, penalty: Array) -> float:
    eta = x @ b
    return float((trials * np.logaddexp(0, eta) - yes * eta).sum() + 0.5 * b @ penalty @ b)


def penalised_slope(b: Array, x: Array, trials: Array, yes: Array, penalty: Array) -> Array:
    return np.asarray(x.T @ (trials * expit(x @ b) - yes) + penalty @ b)


def test_with_a_penalty_it_agrees_with_scipy() -> None:
    rng = np.random.default_rng(3)
    basis = Basis((Term((Levels("down", 4),), 30.0), Term((Bends("yards", (0, 3, 9, 30)),), 30.0)))
    columns = {"down": rng.integers(0, 4, 900), "yards": rng.integers(0, 31, 900)}
    x = basis.design(columns, float).toarray()
    truth = expit(0.1 * columns["yards"] - 1 + 0.2 * columns["down"])
    yes = (rng.random(900) < truth).astype(float)
    trials, penalty = np.ones(900), basis.penalty()
    own = solver(x, penalty).fit(trials, yes, tolerance=1e-14)
    peer = minimize(
        penalised_loss, np.zeros(x.shape[1]), (x, trials, yes, penalty), method="L-BFGS-B",
        jac=penalised_slope, options={"maxiter": 5000, "ftol": 1e-15, "gtol": 1e-9},
    )  # fmt: skip
    assert own.coefficients == pytest.approx(peer.x, abs=1e-5)
    free = solver(x, 1e-3 * np.eye(x.shape[1])).fit(trials, yes, tolerance=1e-14)
    assert np.abs(own.coefficients - free.coefficients).max() > 0.05


def test_the_loss_is_that_of_the_fit_a_trial() -> None:
    x, trials, yes = small_data()
    fit = solver(x).fit(trials, yes)
    none = np.zeros((x.shape[1],) * 2)
    whole = penalised_loss(fit.coefficients, x, trials, yes, none)
    assert fit.loss == pytest.approx(whole / trials.sum())


def zigzag_data() -> tuple[Basis, dict[str, Array], Array]:
    """A law that goes up and down along yards, where the basis wants it to rise."""
    rng = np.random.default_rng(8)
    yards = rng.integers(0, 31, 4000)
    truth = -0.5 + 0.05 * yards + 0.9 * np.sin(yards / 3)
    return (
        Basis((Term((Bends("yards", (0, 3, 6, 10, 15, 20, 30)),), 0.5, rises=("yards",)),)),
        {"yards": yards},
        (rng.random(4000) < expit(truth)).astype(float),
    )


def test_orders_hold_and_are_the_best_ordered_fit() -> None:
    basis, columns, yes = zigzag_data()
    x, trials = basis.design(columns, float).toarray(), np.ones(len(yes))
    free = solver(x, basis.penalty()).fit(trials, yes, tolerance=1e-12)
    assert (basis.orders() @ free.coefficients).min() < -0.3
    own = solver(x, basis.penalty(), basis.orders()).fit(trials, yes, tolerance=1e-12)
    assert (basis.orders() @ own.coefficients).min() > -5e-3
    mended = basis.ordered(own.coefficients)
    assert (basis.orders() @ mended).min() >= 0
    peer = minimize(
        penalised_loss, mended, (x, trials, yes, basis.penalty()), jac=penalised_slope,
        method="SLSQP", options={"ftol": 1e-12, "maxiter": 500},
        constraints=[{"type": "ineq", "fun": lambda b: basis.orders() @ b,
                      "jac": lambda b: basis.orders()}],
    )  # fmt: skip
    assert mended == pytest.approx(peer.x, abs=0.01)


def test_orders_that_do_not_bind_change_nothing() -> None:
    basis, columns, _ = zigzag_data()
    rising = (np.random.default_rng(2).random(4000) < expit(0.2 * columns["yards"] - 3)).astype(
        float
    )
    x, trials = basis.design(columns, float).toarray(), np.ones(4000)
    free = solver(x, basis.penalty()).fit(trials, rising, tolerance=1e-12).coefficients
    assert (basis.orders() @ free).min() > 0
    held = solver(x, basis.penalty(), basis.orders()).fit(trials, rising, tolerance=1e-12)
    assert held.coefficients == pytest.approx(free, abs=1e-6)


def test_a_refit_with_the_old_curvature_is_a_fresh_fit() -> None:
    basis, columns, yes = zigzag_data()
    x, penalty = basis.design(columns, float).toarray(), basis.penalty()
    keep = solver(x, penalty)
    point = keep.fit(np.ones(len(yes)), yes)
    weights = 2.0 * (np.random.default_rng(4).random(len(yes)) < 0.5)
    old = keep.curvature
    refit = keep.fit(weights, weights * yes, point.coefficients, tolerance=1e-6, fresh=0)
    assert keep.curvature is old
    fresh = solver(x, penalty).fit(weights, weights * yes, tolerance=1e-12)
    moved = np.abs(point.coefficients - fresh.coefficients).max()
    assert moved > 0.05
    assert np.abs(refit.coefficients - fresh.coefficients).max() < 0.02 * moved


def test_refits_go_all_the_way_where_other_orders_are_broken() -> None:
    """A resample breaks other orders than all games do; its fit must not stop half-way."""
    basis, columns, yes = zigzag_data()
    x, penalty, orders = basis.design(columns, float).toarray(), basis.penalty(), basis.orders()
    keep = solver(x, penalty, orders)
    point = keep.fit(np.ones(len(yes)), yes)
    held = set()
    for seed in range(12):
        weights = 2.0 * (np.random.default_rng(seed).random(len(yes)) < 0.5)
        refit = keep.fit(weights, weights * yes, point.coefficients, tolerance=2e-6, fresh=0)
        fresh = solver(x, penalty, orders).fit(weights, weights * yes, tolerance=1e-13)
        held.add(tuple(orders @ fresh.coefficients < 0))
        moved = np.abs(fresh.coefficients - point.coefficients).max()
        assert np.abs(refit.coefficients - fresh.coefficients).max() < max(0.05 * moved, 2e-3)
    assert len(held) > 1  # the resamples do differ in what they break


def test_curvature_of_a_part_of_the_rows_leads_to_the_same_end(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    x, trials, yes = small_data(n=3000)
    whole = solver(x).fit(trials, yes, tolerance=1e-13)
    monkeypatch.setattr("pointsleft_models.fitting.logit.CURVATURE_ROWS", 500)
    part = solver(x).fit(trials, yes, tolerance=1e-13)
    assert part.coefficients == pytest.approx(whole.coefficients, abs=1e-5)


def test_weights_are_repeats() -> None:
    x, _, _ = small_data(n=200)
    rng = np.random.default_rng(6)
    yes, times = (rng.random(200) < 0.4).astype(float), rng.integers(0, 4, 200)
    weighted = solver(x).fit(times.astype(float), times * yes, tolerance=1e-13)
    again = np.repeat(np.arange(200), times)
    repeated = solver(x[again]).fit(np.ones(len(again)), yes[again], tolerance=1e-13)
    assert weighted.coefficients == pytest.approx(repeated.coefficients, abs=1e-7)


def test_no_rest_says_how_far_it_came_and_what_to_look_at() -> None:
    x, trials, yes = small_data()
    with pytest.raises(FitError) as error:
        solver(x).fit(trials, yes, tolerance=0.0, steps=2)
    message = str(error.value)
    for part in ("no rest after 2 steps", "400 rows", "4 coefficients", "last gain a trial",
                 "separates the outcomes", "a term without rows", "too little stiffness",
                 "weights that are all zero"):  # fmt: skip
        assert part in message


def test_logistic_function_and_its_inverse() -> None:
    p = np.array([1e-12, 0.2, 0.5, 0.9])
    assert expit(logit(p)) == pytest.approx(p)
    with np.errstate(all="raise"):
        assert expit(np.array([-1e4, 0.0, 1e4])) == pytest.approx([0, 0.5, 1])
    assert expit(np.zeros(1, np.float32)).dtype == np.float32


@pytest.mark.parametrize("kind", [np.float32, np.float64])
def test_many_odds_are_turned_as_few_are(kind: type) -> None:
    odds = np.concatenate([np.linspace(-40, 40, MANY), [-1e4, 1e4]]).astype(kind)
    with np.errstate(all="raise"):
        many = expit(odds)
    assert many.dtype == kind
    few = np.concatenate([expit(part) for part in np.array_split(odds, 10)])
    assert many == pytest.approx(few, rel=4 * float(np.finfo(kind).eps))


def test_steps_that_would_swing_across_the_bottom_are_cut_short(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    x, trials, yes = small_data(p=6)
    bottom = solver(x).fit(trials, yes, tolerance=1e-14).coefficients

    def steps() -> int:
        """Of a fit whose curvature is told half as strong as it is."""
        own = solver(x)
        own.curve_at(bottom, 0.505 * trials, 0.505 * yes)
        return own.fit(trials, yes, bottom + 0.05, fresh=0, tolerance=1e-10).steps

    monkeypatch.setattr("pointsleft_models.fitting.logit.POOR_STEP", -np.inf)
    monkeypatch.setattr("pointsleft_models.fitting.logit.STALE_STEPS", np.inf)
    assert steps() < 10
    monkeypatch.setattr("pointsleft_models.fitting.logit.FAR_STEP", -np.inf)
    with pytest.raises(FitError, match="no rest"):
        steps()


def test_curvature_that_fits_badly_is_not_kept_for_ever(monkeypatch: pytest.MonkeyPatch) -> None:
    """Steps that gain about what they promise, and hardly anything: the curvature is too strong."""
    x, trials, yes = small_data(p=6)
    bottom = solver(x).fit(trials, yes, tolerance=1e-14).coefficients

    def fit() -> Array:
        own = solver(x)
        own.curve_at(bottom, 6 * trials, 6 * yes)
        return own.fit(trials, yes, bottom + 0.3, fresh=0, tolerance=1e-12).coefficients

    monkeypatch.setattr("pointsleft_models.fitting.logit.RICH_STEP", np.inf)
    assert fit() == pytest.approx(bottom, abs=1e-4)
    monkeypatch.setattr("pointsleft_models.fitting.logit.STALE_STEPS", np.inf)
    with pytest.raises(FitError, match="no rest"):
        fit()
