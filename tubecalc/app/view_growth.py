"""Room of heat on page `join`: what the need asks of it, and its growth judged, as HTML."""

from __future__ import annotations

from tubecalc.app.view_join import BAD, GOOD, UNSURE, answer_html, capital, trust_html
from tubecalc.joining.heat import Heat
from tubecalc.joining.heat_judge import GROWTH_ERROR, JudgedGrowth
from tubecalc.joining.job_joints import too_hot


def hotter_need_html(found: Heat, need: float, system: str) -> str:
    """That the need is hotter than what is looked at, where that alone is too much.

    Parameters
    ----------
    found : Heat
        The assembly.
    need : float
        Highest temperature of the need, NaN for none [degC].
    system : str
        Display system.

    Returns
    -------
    str
        HTML, "" where nothing is to be said.

    Examples
    --------
    >>> from tubecalc.joining.heat import weakest
    >>> cool = weakest("pultruded", temperature="30 degC", adhesive_glass="68 degC")
    >>> hotter_need_html(cool, 40.0, "SI"), "Too hot" in hotter_need_html(cool, 60.0, "SI")
    ('', True)
    """
    w = found.weakest
    if found.margin < 0.0 or not w.limit < need:
        return ""
    return answer_html("Too hot in the job.", BAD, capital(too_hot(w.limit, need, w.part), system))


def judged_growth_html(found: JudgedGrowth | None, system: str) -> str:
    """Whether the growth keeps what is allowed, in a word and a sentence.

    Parameters
    ----------
    found : JudgedGrowth or None
        None where the growth is not known.
    system : str
        Display system.

    Returns
    -------
    str
        HTML, "" for none.

    Examples
    --------
    >>> judged_growth_html(None, "SI")
    ''
    """
    if found is None:
        return ""
    word, how = {True: ("Grows no more than allowed.", GOOD), False: ("Grows too far.", BAD),
                 None: ("It grows.", UNSURE)}[found.passes]  # fmt: skip
    out = answer_html(word, how, capital(found.brief, system))
    return out + trust_html(found.grade, GROWTH_ERROR)


__all__ = ["hotter_need_html", "judged_growth_html"]
