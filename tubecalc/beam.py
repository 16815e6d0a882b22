"""Beams done exactly: Timoshenko beams with rotary inertia, whirl, tip mass and overhang.

Everything is dimensionless in the span: lambda = m omega^2 L^4 / EI, s2 = EI / (kGA L^2),
r2 = I / (A L^2), tip = tip mass / (m L), lengths over L. Natural frequencies are counted, not
hunted: the exact dynamic stiffness of a span (Huang 1961, J. Appl. Mech. 28, 579, solved for the
ends) with the Wittrick & Williams count (1971, Q. J. Mech. Appl. Math. 24, 263) tells how many
modes lie below a trial frequency, so none is missed or taken twice. In forward whirl in step with
the rotation the gyroscopic moment is minus twice the rotary inertia of a round section (Eshleman &
Eubanks 1969, J. Eng. Ind. 91, 1180): r2 changes its sign. All papers MEMORY; tests/test_beam.py
holds them to a finite-element beam.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from tubecalc.errors import InputError, unknown_key
from tubecalc.laminate.elastic import Array, Ints

MODES = 5
ENDS = ("pinned-pinned", "fixed-free", "fixed-fixed", "fixed-pinned", "free-free")
_HALVINGS = 50
_TURNS = {"pinned-pinned": 2, "fixed-pinned": 1}  # bearings that let the shaft turn
_RIGID = {"free-free": 2}  # modes of no stiffness, not counted by the user


class Span(NamedTuple):
    """A beam between supports.

    ends names both ends; with an overhang (over the span, 0 for none) the second end is the second
    bearing and the tip mass sits on the free end of the overhang, else on the free end of
    "fixed-free".
    """

    ends: str
    overhang: float = 0.0

    @property
    def takes_tip(self) -> bool:
        """Whether there is a free tip that can carry a mass."""
        return self.overhang > 0 or self.ends == "fixed-free"


class _Piece(NamedTuple):
    """Dynamic stiffness of one uniform piece, and its modes below with both ends held.

    Symmetric (s) and antisymmetric (a) parts about its middle; w deflection, t rotation.
    """

    ws: Array
    xs: Array
    ts: Array
    wa: Array
    xa: Array
    ta: Array
    held: Ints


def _piece(lam: Array, s2: Array, r2: Array, length: float) -> _Piece:
    """Exact stiffness of a piece at one trial frequency; see the module's head."""
    spread = np.sqrt((lam * (r2 - s2)) ** 2 + 4.0 * lam)
    b2 = (lam * (r2 + s2) + spread) / 2.0
    a2 = lam * (1.0 - r2 * s2 * lam) / b2  # negative above the cut-off: two waves
    beta, alpha, half = np.sqrt(b2), np.sqrt(np.abs(a2)), length / 2.0
    wavy = a2 < 0
    c, s = np.cos(beta * half), np.sin(beta * half) / beta
    safe = np.where(alpha > 0, alpha, 1.0)
    if wavy.any():
        ch = np.where(wavy, np.cos(alpha * half), np.cosh(alpha * half))
        sh = np.where(wavy, np.sin(alpha * half), np.sinh(alpha * half)) / safe
    else:
        ch, sh = np.cosh(alpha * half), np.sinh(alpha * half) / safe
    sh = np.where(alpha > 0, sh, half)
    p, q = b2 - lam * s2, a2 + lam * s2
    det_s = c * q * sh + p * s * ch
    det_a = b2 * s * q * ch - a2 * sh * p * c
    ts, ta = spread * c * ch / det_s, spread * a2 * b2 * s * sh / det_a
    pinned = np.floor(beta * length / np.pi)
    pinned = pinned + np.where(wavy, np.floor(alpha * length / np.pi) + 1.0, 0.0)
    return _Piece(
        -lam * s * sh * spread / det_s, lam * (s * ch - sh * c) / det_s, ts,
        lam * c * ch * spread / det_a, -lam * (c * a2 * sh + ch * b2 * s) / det_a, ta,
        np.asarray(pinned - (ts < 0) - (ta < 0), int),
    )  # fmt: skip


def _eliminate(k: list[list[Array]]) -> None:
    """Gauss elimination of small symmetric matrices, in place; the pivots are left."""
    for n, row in enumerate(k):
        for i in range(n + 1, len(k)):
            share = k[i][n] / row[n]
            for j in range(i, len(k)):
                k[i][j] = k[i][j] - share * row[j]
                k[j][i] = k[i][j]


def _negative(k: list[list[Array]]) -> Ints:
    """Negative eigenvalues of small symmetric matrices, by the signs of their pivots."""
    _eliminate(k)
    return np.asarray(sum((k[n][n] < 0).astype(int) for n in range(len(k))))


def _tip(e: _Piece, inertia: Array) -> list[list[Array]]:
    """Stiffness of the free end of a piece fixed at the other, deflection last."""
    x = (e.xs + e.xa) / 2.0
    return [[(e.ts + e.ta) / 2.0, x], [x, (e.ws + e.wa) / 2.0 - inertia]]


def _overhanging(span: Span, e: _Piece, o: _Piece, inertia: Array) -> list[list[Array]]:
    """Stiffness of the free end (deflection last) and of the bearings that let the shaft turn."""
    own, far = (e.ts + e.ta) / 2.0, (e.ta - e.ts) / 2.0  # rotation of one end, by the other's
    w, x, t = (o.ws + o.wa) / 2.0 - inertia, (o.xs + o.xa) / 2.0, (o.ts + o.ta) / 2.0
    xr, tr = (o.xa - o.xs) / 2.0, (o.ta - o.ts) / 2.0  # by the rotation over the bearing
    turns = _TURNS.get(span.ends, 0)
    if turns == 0:
        return [[t, x], [x, w]]
    if turns == 1:
        return [[t + own, tr, xr], [tr, t, x], [xr, x, w]]
    zero = np.zeros_like(w)
    return [[own, far, zero, zero], [far, t + own, tr, xr], [zero, tr, t, x], [zero, xr, x, w]]


def tip_at(span: Span, lam: Array, s2: Array, r2: Array) -> Array:
    """Tip mass over m L that makes a given lambda a natural frequency.

    Parameters
    ----------
    span : Span
        With a free tip.
    lam, s2, r2 : numpy.ndarray
        As in `exact_root`.

    Returns
    -------
    numpy.ndarray
        Tip mass ratio; falls from infinity to zero as lambda rises to the root without a mass.

    Examples
    --------
    >>> zero, lam = np.zeros(1), np.array([1.0])
    >>> tip = tip_at(Span("pinned-pinned", 0.5), lam, zero, zero)
    >>> round(float(exact_root(Span("pinned-pinned", 0.5), 1, zero, zero, tip)[0]), 9)
    1.0
    """
    e = _piece(lam, s2, r2, 1.0)
    free = _tip(e, 0.0 * lam)
    if span.overhang > 0:
        free = _overhanging(span, e, _piece(lam, s2, r2, span.overhang), 0.0 * lam)
    with np.errstate(all="ignore"):
        _eliminate(free)  # leaves the stiffness against which the tip moves
        return np.asarray(free[-1][-1] / lam)


def _below(span: Span, lam: Array, s2: Array, r2: Array, tip: Array) -> Ints:
    """How many natural frequencies lie below a trial one."""
    e = _piece(lam, s2, r2, 1.0)
    if span.overhang > 0:
        o = _piece(lam, s2, r2, span.overhang)
        return e.held + o.held + _negative(_overhanging(span, e, o, lam * tip))
    own, turns = (e.ts + e.ta) / 2.0, _TURNS.get(span.ends, 0)
    if span.ends == "fixed-free":
        return e.held + _negative(_tip(e, lam * tip))
    if span.ends == "free-free":
        return (
            e.held
            + _negative([[e.ws, e.xs], [e.xs, e.ts]])
            + _negative([[e.wa, e.xa], [e.xa, e.ta]])
        )
    if turns == 1:
        return e.held + (own < 0)
    return e.held + (e.ts < 0) + (e.ta < 0) if turns else e.held


def exact_root(span: Span, mode: int, s2: Array, r2: Array, tip: Array) -> Array:
    """Natural frequency of a Timoshenko beam, by counting and halving.

    Parameters
    ----------
    span : Span
        Ends and overhang.
    mode : int
        1 to 5; rigid motions of a free beam are not counted.
    s2, r2, tip : numpy.ndarray
        Shear flexibility EI / (kGA L^2), rotary inertia I / (A L^2) (its negative for whirl in
        step with the rotation) and tip mass over m L [-].

    Returns
    -------
    numpy.ndarray
        lambda = m omega^2 L^4 / EI, to about 1e-12.

    Raises
    ------
    InputError
        For another mode, unknown ends, or a tip mass without a free tip.

    Notes
    -----
    Source: see the module. Euler's beam is s2 = r2 = 0.

    Examples
    --------
    >>> zero = np.zeros(1)
    >>> float(exact_root(Span("fixed-free"), 1, zero, zero, zero)[0] ** 0.5)  # 1.8751^2
    3.51601526...
    """
    check(span, mode, tip)
    s2, r2, tip = (np.asarray(x, float) for x in np.broadcast_arrays(s2, r2, tip))
    wanted = mode + _RIGID.get(span.ends, 0)
    low, high = np.zeros(s2.shape), np.full(s2.shape, ((mode + 1.04) * np.pi) ** 2)
    with np.errstate(all="ignore"):
        for _ in range(60):  # shear softens, so this bracket almost always holds at once
            short = _below(span, high**2, s2, r2, tip) < wanted
            if not short.any():
                break
            low, high = np.where(short, high, low), np.where(short, 2.0 * high, high)
        for _ in range(_HALVINGS):
            middle = (low + high) / 2.0
            above = _below(span, middle**2, s2, r2, tip) >= wanted
            low, high = np.where(above, low, middle), np.where(above, middle, high)
    return np.asarray(((low + high) / 2.0) ** 2)


def check(span: Span, mode: int, tip: Array) -> None:
    """Refuse a mode, ends or a tip mass that do not exist; `exact_root` says when."""
    if mode not in range(1, MODES + 1):
        raise InputError("mode is not available", where="mode", got=mode, expected="1 to 5")
    if span.ends not in ENDS:
        raise unknown_key("end condition", span.ends, list(ENDS), "ends")
    if not span.takes_tip and np.any(np.asarray(tip) > 0):
        raise InputError(
            "a tip mass needs a free tip", where="ends", got=span.ends, expected="fixed-free"
        )
    if span.overhang > 0 and span.ends in ("fixed-free", "free-free"):
        raise InputError(
            "an overhang needs a second bearing", where="ends", got=span.ends,
            expected="pinned-pinned, fixed-pinned or fixed-fixed",
        )  # fmt: skip
