"""The answer of a result in words and pictures: wall, bars, verdict, shortlist, values used."""

from __future__ import annotations

from functools import lru_cache
from math import isfinite

from tubecalc.app.draft import all_fields
from tubecalc.app.engine import Result, order_by
from tubecalc.app.state import Choice
from tubecalc.app.styles import style_in
from tubecalc.app.text import Column, Row
from tubecalc.app.view_chart import MEASURES, figures, label_of, name_of, quantity, sizes
from tubecalc.explain import assumptions
from tubecalc.share.bars import Reserve, number, reserve_bars
from tubecalc.share.scene import Scene
from tubecalc.share.wall_picture import Band, wall_picture
from tubecalc.units import show, to_si, unit_label
from tubecalc.verdict import STANDING_CAUTION


def bands_of(result: Result) -> list[Band]:
    """Runs of equal plies of the selected tube, from the bore outwards.

    Parameters
    ----------
    result : Result
        With a selected tube.

    Returns
    -------
    list of Band
        The runs; thickness in m.
    """
    if result.tube is None or result.row is None:
        return []
    key = str(result.sheet.column("construction")[result.row])
    colour = f"line:{style_in(result.choice, key).slug}"
    out: list[Band] = []
    for ply in result.tube.layup.plies:
        values = ply.values
        continuous = result.choice.made(key).continuous
        if values.isotropic:
            hatch: str | float = "dots"
            label = "metal"
        elif values.woven:
            hatch, label = "woven", "woven"
        else:
            hatch, label = float(ply.angle), f"{ply.angle:+g}°" if ply.angle % 90 else (
                f"{abs(ply.angle):g}°"
            )  # fmt: skip
        count = 1 if continuous else ply.count
        thick = ply.thickness * ply.count
        if out and (out[-1].hatch, out[-1].label) == (hatch, label):
            last = out.pop()
            thick, count = thick + last.thickness, count + last.plies
        out.append(Band(hatch, label, thick, count, colour))
    return out


@lru_cache(maxsize=64)
def _wall(bands: tuple[Band, ...], od: float, bore: float, texts: tuple[str, str]) -> Scene:
    said = ", ".join(f"{b.label} × {b.plies}" if b.plies > 1 else b.label for b in bands)
    says = f"Wall to scale, bore {texts[0]}, outside {texts[1]}; from the bore outwards: {said}."
    return wall_picture(bands, od, bore, texts=texts, says=says)


def wall_of(result: Result) -> Scene | None:
    """Picture of the wall of the selected tube.

    Parameters
    ----------
    result : Result
        The result.

    Returns
    -------
    Scene or None
        None when no tube is selected.
    """
    if result.row is None:
        return None
    od, bore = (float(result.sheet.column(c)[result.row]) * 1e-3 for c in ("od_mm", "id_mm"))
    system = result.choice.units
    return _wall(
        tuple(bands_of(result)),
        od,
        bore,
        (show(bore, "length", system), show(od, "length", system)),
    )


def reserves_of(result: Result) -> list[Reserve]:
    """Reserves of the selected tube, worst first, checks that nothing drives left out.

    Parameters
    ----------
    result : Result
        The result.

    Returns
    -------
    list of Reserve
        One a check.
    """
    if result.verdict is None:
        return []
    table = result.verdict.table
    out = []
    for check, worst in result.verdict.reserve.items():
        if not isfinite(worst):
            continue
        mine = table[table["check"] == check]
        grade = str(mine["grade"].iloc[0])
        out.append(
            Reserve(
                label_of(str(check)), float(worst), check == result.verdict.governing,
                bool(mine["advisory"].iloc[0]), grade,
            )
        )  # fmt: skip
    return sorted(out, key=lambda r: (not r.governing, r.advisory and r.value >= 1, r.value))


def bars_of(result: Result) -> Scene | None:
    """Reserve bars of the selected tube.

    Parameters
    ----------
    result : Result
        The result.

    Returns
    -------
    Scene or None
        None when no tube is selected.
    """
    if result.row is None or result.verdict is None:
        return None
    st = style_in(result.choice, str(result.sheet.column("construction")[result.row]))
    reserves = reserves_of(result)
    says = "Reserve by way to fail: " + "; ".join(
        f"{r.label} {number(r.value)}{' (governs)' if r.governing else ''}" for r in reserves
    )
    return reserve_bars(
        reserves, hatch=st.hatch, colour=f"line:{st.slug}", rows=10, says=says + "."
    )


def verdict_words(result: Result) -> str:
    """Words after "Passes." or "Fails.": what governs and the weight against metals.

    Parameters
    ----------
    result : Result
        With a selected tube.

    Returns
    -------
    str
        Plain text.
    """
    if result.verdict is None or result.row is None:
        return result.hint
    v = result.verdict
    rows = v.table[(v.table["check"] == v.governing) & ~v.table["advisory"].astype(bool)]
    parts = []
    if len(rows):
        worst = rows.sort_values("reserve").iloc[0]
        case = f" ({worst['case']})" if worst["case"] and len(result.need.cases) > 1 else ""
        label = str(worst["label"])
        parts.append(f"{label[0].upper()}{label[1:]} governs{case}: {worst['why']}.")
    else:
        parts.append("Nothing that is asked drives it.")
    if v.passes:
        parts.append(_against_metals(result))
    elif result.hint:
        parts = [result.hint]
    elif result.judged is not None and result.judged.remedies:
        parts.append(f"What would pass: {'; '.join(result.judged.remedies)}.")
    return " ".join(p for p in parts if p)


def _against_metals(result: Result) -> str:
    """Weight against the lightest passing tube of each metal on the page."""
    sheet, row = result.sheet, result.row
    if row is None:
        return ""
    mine = float(sheet.column("mass_kg_per_m")[row])
    key, ok = str(sheet.column("construction")[row]), sheet.column("passes").astype(bool)
    said: list[tuple[float, str]] = []
    none = []
    mass = sheet.column("mass_kg_per_m")
    for other, rows in result.shown.items():
        if other == key or not style_in(result.choice, other).dashed or not len(rows):
            continue
        good = rows[ok[rows]]
        name = result.choice.made(other).name
        if not len(good):
            none.append(name)
            continue
        theirs = float(mass[good].min())
        said.append((theirs, f"{100 * mine / theirs:.0f} % of the lightest {name} that passes"))
    words = [text for _, text in sorted(said)[:3]]
    joined = " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)
    text = f"It weighs {joined}." if words else ""
    if len(none) > 2:
        text += " No other metal in these ranges passes."
    elif none:
        text += f" No {' and no '.join(none)} in these ranges passes."
    return text.strip()


def specific_pairs(result: Result) -> list[tuple[str, str, str]]:
    """Stiffness and strength of the selected tube per mass per length.

    Parameters
    ----------
    result : Result
        The result.

    Returns
    -------
    list of (name, value, unit)
        Rows of the list.
    """
    if result.tube is None:
        return []
    row = result.tube.specific.iloc[0]
    out = []
    for key, measure in MEASURES.items():
        if key in row.index:
            name = measure.name.replace(" for its weight", "")
            out.append((name, figures(float(row[key])), measure.unit))
    return out


def cautions_of(result: Result) -> list[str]:
    """Cautions of the selected tube, without the standing one that every page carries."""
    if result.verdict is None:
        return []
    return [c for c in result.verdict.cautions if c != STANDING_CAUTION]


def table_of(result: Result) -> tuple[list[Column], list[Row]]:
    """Columns and rows of the shortlist.

    Parameters
    ----------
    result : Result
        The result.

    Returns
    -------
    tuple
        Columns and rows.
    """
    choice, sheet, system = result.choice, result.sheet, result.choice.units
    per_length = unit_label("linear_density", system)
    columns = [Column("name", "tube", number=False), Column("od_mm", "OD × bore")]
    stock = choice.stock is not None and "id" in sheet.table
    if choice.measure == "mass":
        columns += [Column("mass_kg_per_m", per_length), Column("", "mass, as a bar", False, True),
                    Column("mass_kg", "job total", wide=True)]  # fmt: skip
    else:
        measure = MEASURES[choice.measure]
        columns += [Column(order_by(choice)[0], f"{measure.name}, {measure.unit}"),
                    Column("", "as a bar", False, True),
                    Column("mass_kg_per_m", per_length, wide=True)]  # fmt: skip
    columns += [Column("reserve", "reserve"),
                Column("governing", "governed by", number=False, wide=True),
                Column("grade", "grade", number=False, wide=True, sorts=False)]  # fmt: skip
    ranked = order_by(choice)[0]
    most = max((float(sheet.column(ranked)[n]) for n in result.short), default=1.0)
    rows = []
    for n in result.short:
        mass = float(sheet.column("mass_kg_per_m")[n])
        lead = show(mass, "linear_density", system).rsplit(" ", 1)[0]
        texts = [name_of(result, n), sizes(result, n)]
        if stock:
            texts[0] = f"{sheet.table['id'].iloc[n]}, {texts[0]}"
        if choice.measure == "mass":
            texts += [lead, "", show(float(sheet.column("mass_kg")[n]), "mass", system)]
        else:
            texts += [quantity(result, n).removesuffix(MEASURES[choice.measure].unit), "", lead]
        key = str(sheet.column("construction")[n])
        governing = str(sheet.column("governing")[n])
        passes = bool(sheet.column("passes")[n])
        value = number(float(sheet.column("reserve")[n]))
        texts += [
            value if passes else f"{value} fails",
            label_of(governing),
            str(sheet.column("grade")[n]),
        ]
        share = float(sheet.column(ranked)[n]) / most if most > 0 else 0.0
        rows.append(Row(sheet.keys[n], style_in(choice, key), tuple(texts), share, passes))
    return columns, rows


def checks_of(result: Result) -> list[tuple[str, ...]]:
    """Every check of the selected tube, lowest reserve first.

    Parameters
    ----------
    result : Result
        The result.

    Returns
    -------
    list of tuple of str
        Way to fail, reserve, grade, expected error, sentence; plain texts.
    """
    if result.verdict is None:
        return []
    cases = len(result.need.cases) > 1
    out: list[tuple[str, ...]] = []
    for row in result.verdict.table.sort_values("reserve", kind="stable").to_dict("records"):
        if not isfinite(float(row["reserve"])):
            continue
        label = f"{row['label']}{', to note' if row['advisory'] else ''}"
        case = f"{row['case']}: " if cases and row["case"] else ""
        theory = f"; {row['theory']}" if row["theory"] else ""
        error = "not known out here" if row["range"] else str(row["error"])
        out.append((
            label, number(float(row["reserve"])), str(row["grade"]), error,
            f"{case}{row['why']}{theory}",
        ))  # fmt: skip
    return out


def used_pairs(choice: Choice) -> list[tuple[str, str]]:
    """Every value of the sentence as used, in the units shown.

    Parameters
    ----------
    choice : Choice
        Whose fields can be read.

    Returns
    -------
    list of (name, value)
        In the order of the sentence.
    """
    out = []
    for path, field in all_fields(choice.draft):
        text = choice.draft.get(path)
        if not text:
            continue
        if field.kind == "choice":
            out.append((field.label, text))
            continue
        value = to_si(text, field.kind, what=field.label)
        if path.endswith(".load") and choice.draft.cases[int(path.split(".")[1])].form == "push":
            value = -abs(value)
        out.append((field.label, show(value, field.kind, choice.units)))
    return out


def assumed(result: Result) -> list[str]:
    """Assumptions the result stands on, as the core says them."""
    return assumptions(result.need, result.choice.units)
