"""Blocks of words and pictures set on pages one after the other; what finds no room is counted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from tubecalc.share.board import Board

GAP = 14.0  # above a heading [px]


@dataclass(frozen=True)
class Block:
    """What stays together on a page.

    Parameters
    ----------
    board : Board
        Words and pictures, from y = 0.
    height : float
        Height [px].
    glued : bool
        A heading, which stays with the block after it.
    items : int
        Items of its section that it shows [-].
    """

    board: Board
    height: float
    glued: bool = False
    items: int = 1


@dataclass(frozen=True)
class Section:
    """Blocks under one name.

    Parameters
    ----------
    name : str
        What its items are called where some are left out, in the plural; "" for what is no list.
    blocks : tuple of Block
        From top to bottom.
    more : int
        Items that were not made into blocks [-].
    again : Block or None
        Set once more where the section goes on on the next page.
    """

    name: str
    blocks: tuple[Block, ...]
    more: int = 0
    again: Block | None = None


@dataclass
class Flow:
    """Where the blocks went.

    Parameters
    ----------
    pages : list of Board
        One a page.
    ends : list of float
        Where each ends [px].
    left : dict of str to (int, int)
        Items left out and items there are, by section.
    """

    pages: list[Board] = field(default_factory=list)
    ends: list[float] = field(default_factory=list)
    left: dict[str, tuple[int, int]] = field(default_factory=dict)


def _together(blocks: Sequence[Block], at: int) -> float:
    """Height of a block and of what must stay with it."""
    tall = blocks[at].height
    while blocks[at].glued and at + 1 < len(blocks):
        at += 1
        tall += blocks[at].height
    return tall


def flow(
    sections: Sequence[Section], width: float, tops: Sequence[float], bottoms: Sequence[float]
) -> Flow:
    """Set sections on pages.

    Parameters
    ----------
    sections : sequence of Section
        In the order of their weight: the last ones are left out first.
    width : float
        Width of the pages [px].
    tops, bottoms : sequence of float
        Where each page begins and ends [px]; as many pages as there are.

    Returns
    -------
    Flow
        As many pages as it takes.

    Examples
    --------
    >>> one = Block(Board(100), 40.0)
    >>> found = flow([Section("rows", (one,) * 5)], 100.0, (0.0, 0.0), (90.0, 90.0))
    >>> len(found.pages), found.left
    (2, {'rows': (1, 5)})
    """
    out = Flow([Board(width)], [tops[0]])
    full = False
    for section in sections:
        set_ = 0
        for k, block in enumerate(section.blocks):
            low = out.ends[-1] + _together(section.blocks, k)
            if not full and low > bottoms[len(out.pages) - 1]:
                full = len(out.pages) == len(tops)
                if not full:
                    out.pages.append(Board(width))
                    out.ends.append(tops[len(out.pages) - 1])
                    if set_ and section.again:
                        _put(out, section.again)
            if full:
                break
            _put(out, block)
            set_ += 0 if block.glued else block.items
        count = sum(0 if b.glued else b.items for b in section.blocks)
        lost = count - set_ + section.more
        if lost and section.name:
            out.left[section.name] = (lost, count + section.more)
    return out


def _put(out: Flow, block: Block) -> None:
    """Set a block at the end of the last page."""
    top = out.ends[-1]
    out.pages[-1].places += [(s, x, y + top) for s, x, y in block.board.leaf(0.0).places]
    out.ends[-1] = top + block.height


__all__ = ["GAP", "Block", "Flow", "Section", "flow"]
