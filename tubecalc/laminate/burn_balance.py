"""Mass and volume balance of a burn-off, as arrays, and how uncertainty goes through it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from tubecalc.laminate.elastic import Array

RESULTS = (
    "fibre_weight_fraction", "resin_weight_fraction", "fibre_volume_fraction",
    "resin_volume_fraction", "void_fraction", "fibre_mass", "resin_mass", "char_mass",
    "sample_density", "full_density",
)  # fmt: skip
STEP = 1e-5  # of the value (or of 1 where it is a share), for the slopes


def weights(
    sample: ArrayLike, residue: ArrayLike, char_yield: ArrayLike = 0.0, fibre_loss: ArrayLike = 0.0
) -> tuple[Array, Array]:
    """Fibre and resin in a sample, from what is left of it.

    Parameters
    ----------
    sample, residue : array_like
        Mass before and after [kg].
    char_yield : array_like
        Char left per resin, from a run of the neat resin [-].
    fibre_loss : array_like
        Fibre lost per fibre, from a run of the bare fibre [-].

    Returns
    -------
    tuple of numpy.ndarray
        Mass of fibre and of resin in the sample [kg].

    Notes
    -----
    The residue is fibre (1 - loss) + resin char. Source: own balance; without char and loss it is
    ASTM D3171 procedure G, ISO 1172 and ISO 14127 method A. The loss of bare fibre is taken off as
    ASTM D3171 does for changes of the reinforcement.

    Examples
    --------
    >>> fibre, resin = weights(2.000, 1.490, char_yield=0.244)
    >>> round(float(fibre) / 2.0, 3)
    0.663
    """
    s, r, y, l = (np.asarray(x, float) for x in (sample, residue, char_yield, fibre_loss))
    fibre = (r - y * s) / (1.0 - l - y)
    return np.asarray(fibre), np.asarray(s - fibre)


def balance(x: Mapping[str, ArrayLike]) -> dict[str, Array]:
    """Everything a burn-off says, from its inputs.

    Parameters
    ----------
    x : mapping of str to array_like
        sample_mass, residue_mass, fibre_density, resin_density, char_yield, fibre_loss, and one of
        sample_density, volume, od with id or wall and length, or voids (assumed) [SI].

    Returns
    -------
    dict of str to numpy.ndarray
        The keys of `RESULTS` [SI]; sample_density and void_fraction are NaN and the voids taken
        as none where nothing tells them.

    Notes
    -----
    Source: ASTM D3171 method I: Vf = (Mf / Mi) rho_c / rho_f, Vm = ((Mi - Mf) / Mi) rho_c / rho_m,
    voids = 1 - Vf - Vm.

    Examples
    --------
    >>> found = balance({"sample_mass": 2.5, "residue_mass": 1.75, "fibre_density": 2.54,
    ...                  "resin_density": 1.20, "sample_density": 1.85, "char_yield": 0.0,
    ...                  "fibre_loss": 0.0})
    >>> round(float(found["void_fraction"]), 4)
    0.0277
    """
    v = {k: np.asarray(a, float) for k, a in x.items()}
    fibre, resin = weights(v["sample_mass"], v["residue_mass"], v["char_yield"], v["fibre_loss"])
    wf, wm = fibre / v["sample_mass"], resin / v["sample_mass"]
    full = 1.0 / (wf / v["fibre_density"] + wm / v["resin_density"])
    density = _density(v)
    known = density is not None
    if density is None:
        density = full * (1.0 - v.get("voids", np.asarray(0.0)))
    vf, vm = wf * density / v["fibre_density"], wm * density / v["resin_density"]
    nothing = np.full_like(np.asarray(full), np.nan)
    voids = 1.0 - vf - vm if known or "voids" in v else nothing
    out = {
        "fibre_weight_fraction": wf, "resin_weight_fraction": wm, "fibre_volume_fraction": vf,
        "resin_volume_fraction": vm, "void_fraction": voids, "fibre_mass": fibre,
        "resin_mass": resin, "char_mass": resin * v["char_yield"],
        "sample_density": density if known else nothing, "full_density": full,
    }  # fmt: skip
    shape = np.broadcast_shapes(*(np.shape(a) for a in out.values()))
    return {k: np.asarray(np.broadcast_to(a, shape)) for k, a in out.items()}


def _density(v: Mapping[str, Array]) -> Array | None:
    """Density of the sample, measured or from its volume."""
    if "sample_density" in v:
        return v["sample_density"]
    if "volume" in v:
        return np.asarray(v["sample_mass"] / v["volume"])
    if "od" in v and "length" in v:
        bore = v["id"] if "id" in v else v["od"] - 2.0 * v["wall"]
        return np.asarray(v["sample_mass"] / (np.pi / 4.0 * (v["od"] ** 2 - bore**2) * v["length"]))
    return None


class Spread(NamedTuple):
    """Slopes of results over inputs, and the covariance the inputs' uncertainty gives."""

    results: tuple[str, ...]
    inputs: tuple[str, ...]
    slopes: Array  # (results, inputs)
    covariance: Array  # (results, results)

    def share(self, result: str, u: Mapping[str, float]) -> dict[str, float]:
        """Share of each input in the variance of a result [-]."""
        row = self.slopes[self.results.index(result)]
        parts = {n: float((row[i] * u[n]) ** 2) for i, n in enumerate(self.inputs)}
        total = sum(parts.values())
        return {n: p / total for n, p in parts.items()} if total > 0 else {}


def propagate(
    relation: Callable[[Mapping[str, ArrayLike]], Mapping[str, Array]],
    x: Mapping[str, float],
    u: Mapping[str, float],
    results: tuple[str, ...],
) -> Spread:
    """Linear propagation of uncertainty; results that share inputs stay correlated.

    Parameters
    ----------
    relation : callable
        Inputs by name (arrays) to results by name (arrays).
    x, u : mapping of str to float
        Inputs and their standard uncertainties [SI]; the inputs are independent of each other.
    results : tuple of str
        Which results.

    Returns
    -------
    Spread

    Notes
    -----
    Source: JCGM 100:2008 (GUM), sec. 5.1; central differences, all inputs in one call.

    Examples
    --------
    >>> one = propagate(lambda v: {"a": v["p"] - v["q"]}, {"p": 3.0, "q": 2.0},
    ...                 {"p": 0.3, "q": 0.4}, ("a",))
    >>> round(float(one.covariance[0, 0]) ** 0.5, 6)
    0.5
    """
    names = tuple(x)
    n = len(names)
    step = np.array([STEP * (abs(x[k]) or 1.0) for k in names])
    moved = np.array([x[k] for k in names])[:, None] + np.hstack([np.diag(step), -np.diag(step)])
    found = relation({k: moved[i] for i, k in enumerate(names)})
    slopes = np.stack([(found[r][:n] - found[r][n:]) / (2.0 * step) for r in results])
    scaled = slopes * np.array([u[k] for k in names])
    return Spread(results, names, slopes, np.asarray(scaled @ scaled.T))


def weighed_density(
    dry: ArrayLike, held: ArrayLike, wire: ArrayLike, water: ArrayLike = 997.5
) -> Array:
    """Density of a sample from its weight in air and hung in water.

    Parameters
    ----------
    dry : array_like
        Weight in air [kg].
    held : array_like
        Weight of sample and wire, hung in water [kg].
    wire : array_like
        Weight of the wire alone, hung as deep [kg].
    water : array_like
        Density of the water [kg/m3]; 997.5 at 23 degC.

    Returns
    -------
    numpy.ndarray
        [kg/m3].

    Notes
    -----
    Source: ASTM D792; Daniel & Ishai 2006, sec. 8.3.

    Examples
    --------
    >>> round(float(weighed_density(3.0, 1.4, 0.05)), 2)
    1813.64
    """
    a, b, w = (np.asarray(v, float) for v in (dry, held, wire))
    return np.asarray(np.asarray(water) * a / (a + w - b))
