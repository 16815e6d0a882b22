"""A joint as a job carries it: a kind and what was asked, as a small table of plain values."""

from __future__ import annotations

import inspect
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from tubecalc.errors import InputError, unknown_key
from tubecalc.job_parts import same, text_of, tidy

if TYPE_CHECKING:
    from tubecalc.job import Job
    from tubecalc.joining.bond_result import Bond
    from tubecalc.tube import Tube

KINDS = ("bond", "fit", "press", "pin", "bolt", "clamp", "thread", "pole", "heat",
         "growth")  # fmt: skip
_OWN = ("kind", "candidate", "name")
_INSERT = ("of", "od", "id", "wall")


@dataclass(frozen=True)
class JointSpec:
    """What a joint is, without its answer.

    Parameters
    ----------
    kind : str
        One of `KINDS`.
    candidate : int
        Number of the candidate whose end it is, from 0; -1 the recommended one [-].
    name : str
        What the user calls it.
    given : mapping
        Arguments of the function of its kind, by name, as texts with units, numbers, lists and
        tables. The insert of a bond: a key, or a table with ``of`` and ``od``, ``id``, ``wall``.

    Raises
    ------
    InputError
        For an unknown kind or field, or a value that a file cannot carry.

    Examples
    --------
    >>> one = JointSpec("bond", given={"insert": "6061-T6", "overlap": "30 mm"})
    >>> JointSpec.from_table(one.to_table()) == one
    True
    """

    kind: str
    candidate: int = -1
    name: str = ""
    given: Mapping[str, Any] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            raise unknown_key("kind of joint", self.kind, KINDS, "joint:kind")
        if isinstance(self.candidate, bool) or not isinstance(self.candidate, int):
            raise InputError("is not the number of a candidate", where="joint:candidate",
                             got=repr(self.candidate), expected="a whole number")  # fmt: skip
        text_of(self.name, "joint:name")
        clash = [k for k in self.given if k in _OWN]
        if clash:
            raise InputError("is a name of the joint itself", where=f"joint:{clash[0]}")
        object.__setattr__(self, "given", tidy(dict(self.given), "joint"))
        if self.kind == "bond":
            known = _bond_names()
            for key in self.given:
                if key not in known:
                    raise unknown_key("field of a bonded joint", key, known, "joint")

    def __eq__(self, other: object) -> bool:
        return isinstance(other, JointSpec) and same(self.to_table()) == same(other.to_table())

    def __hash__(self) -> int:
        return hash(same(self.to_table()))

    def to_table(self) -> dict[str, Any]:
        """Table for a job file; fields at their defaults are left out.

        Returns
        -------
        dict
        """
        out: dict[str, Any] = {"kind": self.kind}
        if self.candidate != -1:
            out["candidate"] = self.candidate
        if self.name:
            out["name"] = self.name
        return out | dict(self.given)

    @classmethod
    def from_table(cls, table: Mapping[str, Any], where: str = "joint") -> JointSpec:
        """Read the table of a job file.

        Parameters
        ----------
        table : mapping
            As from `to_table`.
        where : str
            Its place in the file.

        Returns
        -------
        JointSpec

        Raises
        ------
        InputError
            Naming the place of what cannot be used.
        """
        if not isinstance(table, Mapping) or "kind" not in table:
            raise InputError("a joint needs its kind", where=where, expected=", ".join(KINDS))
        rest = {k: v for k, v in table.items() if k not in _OWN}
        return cls(table["kind"], table.get("candidate", -1), table.get("name", ""), rest)

    def bond(self, tube: Tube, walls: Job | None = None) -> Bond:
        """Work out a bonded joint on a tube.

        Parameters
        ----------
        tube : Tube
            The tube.
        walls : Job, optional
            For an insert with a wall of the job's own.

        Returns
        -------
        Bond

        Raises
        ------
        InputError
            If it is of another kind, has no insert or overlap, or cannot be made.
        """
        from tubecalc.joining.bond import bond

        if self.kind != "bond":
            raise InputError("is not a bonded joint", where="joint:kind", got=self.kind)
        given = dict(self.given)
        for key in ("insert", "overlap"):
            if key not in given:
                raise InputError(f"a bonded joint needs its {key}", where=f"joint:{key}")
        return bond(tube, _insert(given.pop("insert"), walls), **given)


def _bond_names() -> tuple[str, ...]:
    from tubecalc.joining.bond import bond

    return tuple(k for k in inspect.signature(bond).parameters if k != "tube")


def _insert(given: Any, walls: Job | None) -> Any:
    from tubecalc.tube import Tube

    own = {} if walls is None else walls.constructions
    if not isinstance(given, Mapping):
        return own.get(given, given) if isinstance(given, str) else given
    for key in given:
        if key not in _INSERT:
            raise unknown_key("field of an insert", key, _INSERT, "joint:insert")
    if "of" not in given:
        raise InputError("an insert needs its material", where="joint:insert", expected='of="304"')
    of = given["of"]
    made = own.get(of, of) if isinstance(of, str) else of
    return Tube(made, **{k: v for k, v in given.items() if k != "of"})


__all__ = ["KINDS", "JointSpec"]
