"""What the wet does to the two materials of a joint of a job."""

from __future__ import annotations

from collections.abc import Mapping

from tubecalc.errors import InputError
from tubecalc.job import Job
from tubecalc.joining.galvanic import galvanic, touching
from tubecalc.joining.joint_spec import JointSpec
from tubecalc.tube import Tube

_APART = {"fit": "a glass ply or a plastic bush between them",
          "bolt": "a bonded bush of glass or plastic between them"}  # fmt: skip
_NO_TOUCH = ("heat", "growth")  # ask of temperature, not of what touches
_ALIKE = {"press": "fit", "pin": "bolt"}


def pair_of(spec: JointSpec, tube: Tube, walls: Job) -> str:
    """Warning of a joint whose materials eat each other where it is wet.

    Parameters
    ----------
    spec : JointSpec
        The joint.
    tube : Tube
        Its tube.
    walls : Job
        For walls of its own.

    Returns
    -------
    str
        A sentence; "" for a sound pair, one that a glass ply keeps apart, or an unknown partner.

    Examples
    --------
    >>> tube = Tube("pultruded", od="20 mm", wall="1 mm")
    >>> plug = JointSpec("bond", given={"insert": "6061-T6", "overlap": "20 mm"})
    >>> pair_of(plug, tube, Job())[:27]
    'carbon on aluminium corrode'
    >>> pair_of(JointSpec("bolt", given={"hole": "4 mm", "pin": "304"}), tube, Job())
    ''
    """
    key, given = _partner(spec.given), spec.given
    if not key or given.get("barrier") or spec.kind in _NO_TOUCH:
        return ""
    try:
        other = walls.construction(key, "joint")
        if not galvanic(tube, other, "salt").barrier:
            return ""
    except InputError:
        return ""
    kind = _ALIKE.get(spec.kind, spec.kind)
    return touching(tube, other, _APART.get(kind, "a glass ply between them"))


def _partner(given: Mapping[str, object]) -> str:
    """Key of what the tube touches, "" where that is not told."""
    for name in ("insert", "inner", "outer", "pin"):
        found = given.get(name)
        if isinstance(found, Mapping):
            found = found.get("of")
        if isinstance(found, str):
            return found
    return ""


__all__ = ["pair_of"]
