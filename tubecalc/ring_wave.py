"""Plane waves round a layered ring: exact motion of each ply, joined face to face.

Each ply is a cylindrically orthotropic layer turned about the radius. Its motion under a wave
n round the ring is r^k with six powers k: hoop and radial motion are coupled to axial motion in an
angle ply, which slides along its neighbours.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from tubecalc.laminate.elastic import Array
from tubecalc.laminate.layup import Layup
from tubecalc.ring import hoop_shear_modulus
from tubecalc.thickwall import stiffness_3d
from tubecalc.values import Values

Complex = NDArray[np.complex128]
PLANE = [1, 2, 3]  # hoop, radial and axial-hoop shear rows of `stiffness_3d`
MANY = 12  # layers from which +/- neighbours are taken as one, their sliding being small


class Block(NamedTuple):
    """A layer as the ring sees it.

    Thickness [m]; stiffness over (hoop, radial, axial-hoop shear) and over (axial-radial,
    hoop-radial) shear [Pa].
    """

    t: float
    c: Array
    s: Array


def blocks_of(layup: Layup, curved: float = 0.0, *, merge: bool = False) -> list[Block]:
    """Layers of a wall as the ring sees them, equal neighbours as one.

    Parameters
    ----------
    layup : Layup
        Stack.
    curved : float
        0 where the axial strain is held, 1 where the axial stress is free.
    merge : bool
        Take plies of opposite angle as one, their axial-hoop shear held.

    Returns
    -------
    list of Block
    """
    out: list[Block] = []
    before: tuple[int, float] | None = None
    for x in layup.layers:
        block = _block(x.values, x.angle, curved)
        c, s = (np.array(m) for m in block)
        if merge:
            c[2, :2] = c[:2, 2] = s[0, 1] = s[1, 0] = 0.0
        t = x.thickness * x.count
        same = (id(x.values), abs(x.angle) if merge else x.angle)
        if same == before:
            out[-1] = Block(out[-1].t + t, c, s)
        else:
            out.append(Block(t, c, s))
        before = same
    return out


@lru_cache(maxsize=512)
def _block(values: Values, angle: float, curved: float) -> tuple[Array, Array]:
    c = stiffness_3d(values, angle)
    plane = c[np.ix_(PLANE, PLANE)] - curved * np.outer(c[PLANE, 0], c[PLANE, 0]) / c[0, 0]
    g23, g13 = hoop_shear_modulus(values, 0.0), hoop_shear_modulus(values, 90.0)
    cos, sin = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    mixed = (g13 - g23) * cos * sin
    along, round_ = g13 * cos**2 + g23 * sin**2, g23 * cos**2 + g13 * sin**2
    return plane, np.array([[along, mixed], [mixed, round_]])


@lru_cache(maxsize=512)
def _modes(c: bytes, s: bytes, n: bytes) -> tuple[Complex, Complex]:
    """Powers (6, W) and (axial, hoop, radial) motions (3, 6, W), growing powers first."""
    stiff = np.frombuffer(c).reshape(3, 3)
    plane, shear = stiff / stiff[1, 1], np.frombuffer(s).reshape(2, 2) / stiff[1, 1]
    waves = np.frombuffer(n)
    size, one = len(waves), np.ones(len(waves))
    e0, e1, g0, g1 = (np.zeros((size, rows, 3)) for rows in (3, 3, 2, 2))
    e0[:, 0, 1], e0[:, 0, 2], e0[:, 2, 0] = waves, one, waves  # hoop and shear strain
    e1[:, 1, 2] = one  # radial strain
    g0[:, 1, 1], g0[:, 1, 2] = -one, -waves
    g1[:, 0, 0] = g1[:, 1, 1] = one
    p0, p1, q0, q1 = plane @ e0, plane @ e1, shear @ g0, shear @ g1
    w = waves[:, None]
    square = np.stack([p1[:, 1], q1[:, 1], q1[:, 0]], axis=1)
    linear = np.stack([
        p0[:, 1] - p1[:, 0] + w * q1[:, 1],
        q0[:, 1] + q1[:, 1] - w * p1[:, 0],
        q0[:, 0] - w * p1[:, 2],
    ], axis=1)  # fmt: skip
    plain = np.stack([
        -p0[:, 0] + w * q0[:, 1], q0[:, 1] - w * p0[:, 0], -w * p0[:, 2],
    ], axis=1)  # fmt: skip
    big = np.zeros((size, 6, 6))
    big[:, :3, 3:] = np.eye(3)
    big[:, 3:, :3] = -np.linalg.solve(square, plain)
    big[:, 3:, 3:] = -np.linalg.solve(square, linear)
    k, vectors = np.linalg.eig(big)
    order = np.argsort(-k.real, axis=1)
    k = np.take_along_axis(k, order, axis=1)
    vectors = np.take_along_axis(vectors, order[:, None, :], axis=2)[:, :3]
    return np.asarray(k.T, complex), np.asarray(vectors.transpose(1, 2, 0), complex)


class LayerWave:
    """One layer under many waves: its six solutions and its stiffness between its two faces.

    Parameters
    ----------
    block : Block
        The layer.
    waves : numpy.ndarray
        Waves round, (W,).
    r0, r1 : numpy.ndarray
        Inner and outer radius, (R,) [m]; everything is then (R W,).
    """

    def __init__(self, block: Block, waves: Array, r0: Array, r1: Array) -> None:
        rows = len(r0)
        self.c, self.s = block.c, block.s
        self.n = np.tile(waves, rows)
        k, v = _modes(block.c.tobytes(), block.s.tobytes(), waves.tobytes())
        self.k, self.v = np.tile(k, rows), np.tile(v, rows)
        self.r0, self.r1 = np.repeat(r0, len(waves)), np.repeat(r1, len(waves))
        self.base = np.stack([self.r1] * 3 + [self.r0] * 3)
        motion = np.concatenate([self._motions(self.r0), self._motions(self.r1)])  # (6, 6, B)
        pull = np.concatenate(
            [-self.r0 * self._tractions(self.r0), self.r1 * self._tractions(self.r1)]
        )
        self.back = np.linalg.inv(motion.transpose(2, 0, 1))
        self.stiffness = (pull.transpose(2, 0, 1) @ self.back).real
        self.amount: Complex = np.zeros_like(self.k)

    def settle(self, motion: Array) -> None:
        """Take the face motions that the ring found, (B, 6)."""
        self.amount = np.asarray((self.back @ motion[..., None])[..., 0].T)

    def _power(self, r: Array | float) -> Complex:
        """r^k, scaled so that each solution is 1 at the face where it is greatest."""
        return np.asarray((r / self.base) ** self.k)

    def _motions(self, r: Array | float) -> Complex:
        return np.asarray(self.v * self._power(r))

    def _strains(self, r: Array | float) -> tuple[Complex, Complex]:
        """(hoop, radial, axial-hoop) and (axial-radial, hoop-radial) of the six solutions."""
        u, v, w = self._motions(r) / r
        k, n = self.k, self.n
        return np.stack([w + n * v, k * w, n * u]), np.stack([k * u, (k - 1.0) * v - n * w])

    def _tractions(self, r: Array | float) -> Complex:
        """(axial-radial, hoop-radial, radial) stress of the six solutions."""
        e, g = self._strains(r)
        radial = np.einsum("j,jab->ab", self.c[1], e)
        return np.concatenate([np.einsum("ij,jab->iab", self.s, g), radial[None]])

    def hoop(self, r: Array | float) -> Array:
        """Hoop stress of every wave."""
        each = np.einsum("j,jab->ab", self.c[0], self._strains(r)[0])
        return np.asarray((each * self.amount).sum(axis=0).real)

    def hoop_strain(self, r: Array | float) -> Array:
        """Hoop strain of every wave."""
        return np.asarray((self._strains(r)[0][0] * self.amount).sum(axis=0).real)

    def outward(self, r: Array | float) -> Array:
        """Outward motion of every wave."""
        return np.asarray((self._motions(r)[2] * self.amount).sum(axis=0).real)


def joined(blocks: list[Block], waves: Array, inside: Array, push: Array) -> list[LayerWave]:
    """Layers of a ring with the motion each has under a push on the outside.

    Parameters
    ----------
    blocks : list of Block
        Layers, inside to outside.
    waves : numpy.ndarray
        Waves round, 2 or more, (W,).
    inside : numpy.ndarray
        Bore radii, (R,) [m].
    push : numpy.ndarray
        Inward force per length and angle of each wave, (R W,) [N/m].

    Returns
    -------
    list of LayerWave
    """
    layers, r = [], inside
    for block in blocks:
        layers.append(LayerWave(block, waves, r, r + block.t))
        r = r + block.t
    size = 3 * (len(layers) + 1)
    k = np.zeros((len(push), size, size))
    for i, layer in enumerate(layers):
        k[:, 3 * i : 3 * i + 6, 3 * i : 3 * i + 6] += layer.stiffness
    f = np.zeros((len(push), size))
    f[:, -1] = -push
    motion = np.asarray(np.linalg.solve(k, f[..., None])[..., 0], float)
    for i, layer in enumerate(layers):
        layer.settle(motion[:, 3 * i : 3 * i + 6])
    return layers


def wave_strains(layup: Layup, radii: Array, waves: Array) -> Array:
    """Hoop strain at the bore and outside under a unit outward pressure cos(n theta).

    Parameters
    ----------
    layup : Layup
        Stack.
    radii : numpy.ndarray
        Mean radii; the pressure is per mid-wall area, (R,) [m].
    waves : numpy.ndarray
        Waves round, 2 or more, (W,).

    Returns
    -------
    numpy.ndarray
        (2, R, W) [1/Pa].

    Examples
    --------
    >>> steel = Layup.of([("304", 0, "1 mm")])
    >>> wave_strains(steel, np.array([0.01]), np.array([2.0, 3.0])).shape
    (2, 1, 2)
    """
    inside = np.maximum(radii - layup.t / 2, 1e-3 * radii)
    blocks = blocks_of(layup)
    if len(blocks) > MANY:
        blocks = blocks_of(layup, merge=True)
    layers = joined(blocks, waves, inside, -np.repeat(radii, len(waves)))
    first, last = layers[0], layers[-1]
    found = np.stack([first.hoop_strain(first.r0), last.hoop_strain(last.r1)])
    return found.reshape(2, len(radii), len(waves))
