"""Orders in which a set of plies can be laid: how many there are, and all of them as arrays."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from tubecalc.laminate.elastic import Array, Ints
from tubecalc.layup_search_space import Counts, Space, Words

MOST_STATES = 8_000_000  # numbers kept while orders are counted


def _halved(space: Space, counts: Counts) -> tuple[Counts, Ints]:
    """Counts that are ordered freely and, for mirrored stacks, the ply in the middle or -1."""
    middle = np.full(len(counts), -1, np.intp)
    if not space.rules.symmetric:
        return counts, middle
    odd = counts % 2
    middle = np.where(odd.any(axis=1), odd.argmax(axis=1), -1)
    return (counts + 1) // 2, middle


def _longest(space: Space) -> int:
    """Longest run worth telling apart; 1 where any run will do."""
    most = space.rules.most_together
    return 1 if not most else min(most, space.most_plies)


def number_of_orders(space: Space, counts: Counts) -> Array | None:
    """How many stacks each set of plies makes within the rules.

    Parameters
    ----------
    space : Space
        The space.
    counts : numpy.ndarray
        Sets of plies, (C, K).

    Returns
    -------
    numpy.ndarray or None
        (C,); exact up to 2^53. None where counting would take too much memory.

    Notes
    -----
    Stacks that end in a ply after a run of it are added up ply by ply over the lattice of counts
    (own derivation; against listing them all in tests/test_layup_search.py).
    """
    half, middle = _halved(space, counts)
    K, longest, total = len(space.letters), _longest(space), half.sum(axis=1)
    top = int(total.max(initial=0))
    states = math.comb(top + K, K)
    if states * K * longest > MOST_STATES or (top + 1) ** K >= 2**62:
        return None
    base = (top + 1) ** np.arange(K, dtype=np.int64)
    wanted = half.astype(np.int64) @ base
    out = np.zeros(len(counts))
    vectors: Counts = np.eye(K, dtype=np.int16)
    ways: Array = np.zeros((K, K, longest))
    ways[np.arange(K), np.arange(K), 0] = space.first
    for level in range(1, top + 1):
        keys = vectors.astype(np.int64) @ base
        order = np.argsort(keys)
        keys, vectors, ways = keys[order], vectors[order], ways[order]
        rows = np.flatnonzero(total == level)
        ends = ways[np.searchsorted(keys, wanted[rows])]  # (C, K, J)
        out[rows] = _finished(space, ends, middle[rows], counts[rows].sum(axis=1))
        if level < top:
            vectors, ways = _one_more(space, keys, vectors, ways, base)
    return out


def _finished(space: Space, ends: Array, middle: Ints, plies: Ints) -> Array:
    """Stacks among those by last ply and run that may end so."""
    if not space.rules.symmetric:
        return np.asarray(ends[:, space.last].sum(axis=(1, 2)))
    most, run = space.rules.most_together, np.arange(1, ends.shape[2] + 1)
    both = 2 * run[None] - (plies % 2)[:, None]  # length of the run across the middle
    fits = both <= most if most else np.ones_like(both, bool)
    of_last = (ends * fits[:, None]).sum(axis=2)
    alone = np.take_along_axis(of_last, np.maximum(middle, 0)[:, None], axis=1)[:, 0]
    return np.where(middle >= 0, alone, of_last.sum(axis=1))


def _one_more(
    space: Space, keys: Ints, vectors: Counts, ways: Array, base: Ints
) -> tuple[Counts, Array]:
    """Counts with one ply more and the ways to reach them."""
    K = len(base)
    grown = np.unique((vectors[:, None] + np.eye(K, dtype=np.int16)).reshape(-1, K), axis=0)
    new = np.zeros((len(grown), *ways.shape[1:]))
    grown_keys = grown.astype(np.int64) @ base
    for k in range(K):
        rows = np.flatnonzero(grown[:, k] > 0)
        before = ways[np.searchsorted(keys, grown_keys[rows] - base[k])]
        every = before.sum(axis=(1, 2))
        if not space.rules.most_together:
            new[rows, k, 0] = every
            continue
        new[rows, k, 0] = every - before[:, k].sum(axis=1)
        new[rows, k, 1:] = before[:, k, :-1]
    return grown, new


def _step(space: Space, words: Words, left: Counts, run: Ints) -> tuple[Words, Counts, Ints]:
    """Every stack with one ply more, in the order of the plies."""
    most, at = space.rules.most_together, words.shape[1]
    may = left > 0
    if at == 0:
        may &= space.first
    elif most:
        stuck = run >= most
        may[np.flatnonzero(stuck), words[stuck, -1]] = False
    row, k = np.nonzero(may)
    grown: Words = np.empty((len(row), at + 1), np.uint8)
    grown[:, :at], grown[:, at] = words[row], k
    rest = left[row]
    rest[np.arange(len(row)), k] -= 1
    same = words[row, -1] == k if at else np.zeros(len(row), bool)
    return grown, rest, np.where(same, run[row] + 1, 1)


def orders(space: Space, counts: Counts, size: int) -> Iterator[Words]:
    """Every order of one set of plies that the rules allow, some thousands at a time.

    Parameters
    ----------
    space : Space
        The space.
    counts : numpy.ndarray
        The set, (K,).
    size : int
        About how many at a time.

    Yields
    ------
    numpy.ndarray
        Stacks inside to outside as numbers of plies, (S, plies); none twice, in rising order.
    """
    half, middle = _halved(space, counts[None])
    plies, length = int(counts.sum()), int(half.sum())
    nothing: Words = np.zeros((1, 0), np.uint8)
    waiting = [(nothing, half.astype(np.int16), np.zeros(1, np.intp))]
    while waiting:
        words, left, run = waiting.pop()
        while len(words) and words.shape[1] < length:
            words, left, run = _step(space, words, left, run)
            if len(words) > size and words.shape[1] < length:
                cuts = range(0, len(words), max(1, size // 4))
                parts = [slice(c, c + max(1, size // 4)) for c in cuts]
                waiting += [(words[p], left[p], run[p]) for p in reversed(parts[1:])]
                words, left, run = words[parts[0]], left[parts[0]], run[parts[0]]
        done = _ended(space, words, run, plies, int(middle[0]))
        if len(done):
            yield done


def _ended(space: Space, words: Words, run: Ints, plies: int, middle: int) -> Words:
    """Finished stacks that may end so; mirrored ones written out."""
    if not len(words):
        return words
    if not space.rules.symmetric:
        return words[space.last[words[:, -1]]]
    most, odd = space.rules.most_together, plies % 2
    fine = np.ones(len(words), bool)
    if odd:
        fine &= words[:, -1] == middle
    if most:
        fine &= 2 * run - odd <= most
    words = words[fine]
    back = words[:, ::-1]
    return np.concatenate([words, back[:, 1:] if odd else back], axis=1)


def obeys(space: Space, word: tuple[int, ...]) -> bool:
    """Whether one stack keeps the rules on order."""
    most = space.rules.most_together
    if not (space.first[word[0]] and space.last[word[-1]]):
        return False
    if space.rules.symmetric and word != word[::-1]:
        return False
    runs = len(word) - most if most else 0
    return not any(len(set(word[i : i + most + 1])) == 1 for i in range(max(runs, 0)))
