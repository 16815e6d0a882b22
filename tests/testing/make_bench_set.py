"""Writes data/tests: an invented set of broken tubes, raw files as four test machines write them.

Run it from the checkout: python tests/testing/make_bench_set.py. Everything is invented: four
tubes of 10 x 8 mm of the estuary team, four kinds of test each, one workbook with five repeats, one
run of the frame on a rigid bar. The index names what was put in, so that it can be found again.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Callable
from pathlib import Path

import numpy as np

OUT = Path(__file__).resolve().parents[2] / "data" / "tests"
OD, ID = 10.0, 8.0
AREA = math.pi / 4 * (OD**2 - ID**2)
INERTIA = math.pi / 64 * (OD**4 - ID**4)
FRAME = 60000.0  # N/mm, how stiff the frame is
NOSE = 10.0  # mm, what a nose of the bending rig touches along the tube
SHEAR = 0.53  # shear coefficient of the annulus (Cowper 1966, about this for its bore and nu 0.3)
KGF, LBF, INCH = 9.80665, 4.4482216152605, 25.4
COLUMNS = (
    "file", "block", "specimen", "construction", "kind", "od_mm", "id_mm", "span_mm",
    "gauge_length_mm", "nose_mm", "frame", "failure", "true_stiffness", "stiffness_unit",
    "true_peak", "peak_unit", "note", "source", "standing",
)  # fmt: skip
# Invented: modulus and shear modulus in GPa, dents of noses in mm/N, then loads in N or N m.
TUBES = {
    "304-cold-drawn": {"E": 191.0, "G": 74.0, "dent": 4e-6, "tension": 21500.0, "yield": 14300.0,
                       "compression": 14900.0, "bending": 1620.0, "torsion": 38.0},
    "6063-T6": {"E": 68.5, "G": 25.8, "dent": 1.2e-5, "tension": 6350.0, "yield": 5150.0,
                "compression": 5300.0, "bending": 520.0, "torsion": 11.2},
    "pultruded": {"E": 122.0, "G": 4.1, "dent": 1.5e-4, "tension": 22400.0, "yield": math.inf,
                  "compression": 10300.0, "bending": 2760.0, "torsion": 8.1},
    "roll-wrapped": {"E": 93.0, "G": 4.4, "dent": 1.1e-4, "tension": 17800.0, "yield": math.inf,
                     "compression": 9750.0, "bending": 1950.0, "torsion": 9.0},
}  # fmt: skip
SHORT = {"304-cold-drawn": "ST", "6063-T6": "AL", "pultruded": "PU", "roll-wrapped": "RW"}
METALS = ("304-cold-drawn", "6063-T6")


def bent(way: np.ndarray, k: float, yields: float, peak: float) -> np.ndarray:
    """Straight to the yield load, then rounded towards the largest load."""
    y = k * way
    if math.isinf(yields) or yields >= peak:
        return y
    more = peak - yields
    return np.where(y < yields, y, yields + more * (1 - np.exp(-(y - yields) / (4 * more))))


def record(
    rng: np.random.Generator, key: str, kind: str, k: float, peak: float, *, frame: bool,
    rows: int = 260, slack: float = 0.0, toe: float = 0.0, slips: int = 0, tail: int = 8,
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:  # fmt: skip
    """Own travel of the specimen, travel of the machine and load of one test to its break."""
    metal = key in METALS
    yields = {"tension": TUBES[key]["yield"]}.get(kind, 0.72 * peak if metal else math.inf)
    far = peak / k * (12.0 if metal else 1.0)
    own = np.linspace(0, far, rows)
    load = bent(own, k, yields, peak)
    own, load = own[load <= peak], load[load <= peak]
    lost = np.zeros_like(own)
    for at in rng.uniform(0.45, 0.9, slips):
        i = int(at * len(own))
        lost[i:] += 0.05 * far + 0.3
        fall = 0.12 * load[i] * np.exp(-np.arange(len(own) - i) / 5.0)
        load[i:] -= fall
    travel = own + lost + (load / FRAME if frame else 0.0)
    travel += toe * (1 - np.exp(-load / (0.04 * peak))) + slack
    before = np.arange(0, slack, max(slack / 12, 1e-9)) if slack else np.zeros(0)
    step = float(np.median(np.diff(travel)))
    after = travel[-1] + step * np.arange(1, tail + 1)
    travel = np.concatenate([before, travel, after])
    left = 0.08 * peak * np.exp(-np.arange(tail) / 6)
    load = np.concatenate([np.zeros(len(before)), load, left])
    own = np.concatenate([np.zeros(len(before)), own, np.full(tail, own[-1])])
    load = load + rng.normal(0, 6e-4 * peak, len(load))
    return own, travel, load


# -- four machines ----------------------------------------------------------------------------
def units_row(path: Path, heads: list[str], units: list[str], columns: list[np.ndarray]) -> None:
    """Quoted numbers, units in a row of their own, lines of no use above."""
    with path.open("w", encoding="utf-8", newline="") as handle:
        handle.write("Bench log 3\r\n\r\n")
        handle.write(",".join(heads) + "\r\n" + ",".join(f"({u})" for u in units) + "\r\n")
        for row in zip(*columns, strict=True):
            handle.write(",".join(f'"{v:.5f}"' for v in row) + "\r\n")


def comma_sheet(path: Path, heads: list[str], units: list[str], columns: list[np.ndarray],
                above: dict[str, str]) -> None:  # fmt: skip
    """Semicolons, decimal comma, points between thousands, Latin-1."""
    lines = [f"{k};{v};" for k, v in above.items()] + ["", ";".join(heads), ";".join(units)]
    for row in zip(*columns, strict=True):
        texts = [f"{v:,.3f}".replace(",", " ").replace(".", ",").replace(" ", ".") for v in row]
        lines.append(";".join(texts))
    path.write_bytes(("\r\n".join(lines) + "\r\n").encode("latin-1"))


def wide_tabs(path: Path, heads: list[str], columns: list[np.ndarray],
              above: dict[str, str]) -> None:  # fmt: skip
    """Tabs, two bytes a letter, units within the headings."""
    lines = [f"{k}\t{v}" for k, v in above.items()] + ["", "\t".join(heads)]
    lines += ["\t".join(f"{v:.4f}" for v in row) for row in zip(*columns, strict=True)]
    path.write_bytes(("\r\n".join(lines) + "\r\n").encode("utf-16"))


def plain(path: Path, heads: list[str], columns: list[np.ndarray], digits: int = 5) -> None:
    """Names with their unit, commas, nothing else."""
    lines = [",".join(heads)]
    lines += [",".join(f"{v:.{digits}f}" for v in row) for row in zip(*columns, strict=True)]
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")


def workbook(path: Path, sheets: dict[str, tuple[list[str], list[np.ndarray]]]) -> None:
    """One sheet a specimen."""
    import datetime

    import openpyxl

    book = openpyxl.Workbook()
    book.remove(book.active)
    for name, (heads, columns) in sheets.items():
        sheet = book.create_sheet(name)
        sheet.append(heads)
        for row in zip(*columns, strict=True):
            sheet.append([round(float(v), 4) for v in row])
    book.properties.created = book.properties.modified = datetime.datetime(2026, 11, 3)
    book.save(path)


# -- the set ----------------------------------------------------------------------------------
class Set:
    """Index that grows with every file written."""

    def __init__(self) -> None:
        self.rows: list[dict[str, object]] = []

    def add(self, file: str, key: str, kind: str, k: float, peak: float, failure: str, note: str,
            *, block: int = 1, span: float | str = "", gauge: float | str = "", frame: str = "",
            specimen: str = "") -> None:  # fmt: skip
        torsion = kind == "torsion"
        self.rows.append(dict(zip(COLUMNS, (
            file, block, specimen or Path(file).stem, key, kind, OD, ID, span, gauge,
            NOSE if kind == "three-point" else "", frame,
            failure, f"{k:.6g}", "N m/deg" if torsion else "N/mm", f"{peak:.6g}",
            "N m" if torsion else "N", note, "invented", "INVENTED",
        ), strict=True)))  # fmt: skip


def tension(out: Path, made: Set, rng: np.random.Generator) -> None:
    """Two metals with an extensometer; two composites that the grips break."""
    gauge = 25.0
    for key in METALS:
        t = TUBES[key]
        free, k = 120.0, t["E"] * 1e3 * AREA / 120.0
        own, travel, load = record(rng, key, "tension", k, t["tension"], frame=True, toe=0.05)
        extension = own / free * gauge + rng.normal(0, 2e-5, len(own))
        if key == "6063-T6":
            name = "AL-tension.txt"
            comma_sheet(out / name, ["Zeit", "Weg", "Feindehnung", "Kraft"],
                        ["s", "mm", "µm", "N"],
                        [np.arange(len(own)) * 0.2, travel, extension * 1e3, load],
                        {"Probe": "AL Zug", "Messlänge": "25;mm"})  # fmt: skip
        else:
            name = "ST-tension.csv"
            units_row(out / name, ["Time", "Displacement", "Extensometer", "Force"],
                      ["s", "mm", "mm", "kN"],
                      [np.arange(len(own)) * 0.1, travel, extension, load / 1e3])  # fmt: skip
        made.add(name, key, "tension", k * free / gauge, t["tension"], "break",
                 "extensometer of 25 mm", gauge=gauge)  # fmt: skip
    for key, name, slips, failure, share in (
        ("pultruded", "PU-tension.txt", 3, "grip", 1.0),
        ("roll-wrapped", "RW-tension.csv", 2, "jaw", 0.62),
    ):
        t = TUBES[key]
        k, peak = t["E"] * 1e3 * AREA / 160.0, t["tension"] * share
        _, travel, load = record(rng, key, "tension", k, peak, frame=True, toe=0.2, slips=slips)
        if key == "pultruded":
            wide_tabs(out / name, ["Stroke(mm)", "Load(kgf)", "Time(sec)"],
                      [travel, load / KGF, np.arange(len(load)) * 0.25],
                      {"Test No.": "0093", "Mode": "Tension"})  # fmt: skip
        else:
            plain(out / name, ["disp_in", "load_lbf"], [travel / INCH, load / LBF])
        made.add(name, key, "tension", k, peak, failure,
                 "slips in the grips; without extensometer: the slope is no modulus",
                 gauge=160)  # fmt: skip


def compression(out: Path, made: Set, rng: np.random.Generator) -> None:
    """Pieces of 30 mm between plates, load recorded negative by one machine."""
    for key in TUBES:
        t = TUBES[key]
        k, peak = t["E"] * 1e3 * AREA / 30.0, t["compression"]
        _, travel, load = record(rng, key, "compression", k, peak, frame=True, slack=0.05, toe=0.01)
        name = f"{SHORT[key]}-compression.csv"
        failure, note = ("yield" if key in METALS else "crush"), "crosshead travel, frame in it"
        if key == "304-cold-drawn":
            top = int(np.argmax(load > 12000))
            travel = np.concatenate([travel[:top], np.full(12, travel[top - 1])])
            load = np.concatenate([load[:top], np.full(12, 12000.0)])
            peak, failure, note = 12000.0, "run-out", "stopped at the limit of the frame, then held"
        if key in METALS:
            units_row(out / name, ["Time", "Extension", "Load"], ["s", "mm", "kN"],
                      [np.arange(len(load)) * 0.05, -travel, -load / 1e3])  # fmt: skip
        else:
            plain(out / name, ["travel_mm", "force_N"], [travel, load])
        made.add(name, key, "compression", k, peak, failure, note, gauge=30,
                 frame="frame-run.csv")  # fmt: skip


def bending(out: Path, made: Set, rng: np.random.Generator) -> None:
    """Three points over 240 mm for stiffness, to the break; pultruded in five repeats."""
    span = 240.0
    for key in TUBES:
        t = TUBES[key]
        axis = span**3 / (48 * t["E"] * 1e3 * INERTIA) + span / (4 * SHEAR * t["G"] * 1e3 * AREA)
        k = 1 / (axis + t["dent"])
        peak = t["bending"] * 100 / span
        name, above = f"{SHORT[key]}-bending.csv", {"Probe": f"{SHORT[key]} Biegung"}
        name = "RW-bending.txt" if key == "roll-wrapped" else name
        if key == "pultruded":
            sheets = {}
            for n, share in enumerate((0.97, 1.05, 0.92, 1.08, 1.01), start=1):
                ki, top = k * rng.normal(1, 0.012), peak * share
                _, travel, load = record(rng, key, "three-point", ki, top, frame=True, slack=0.4)
                sheets[f"PU-b{n}"] = (["Deflection [mm]", "Force [N]"], [travel, load])
                made.add("PU-bending.xlsx", key, "three-point", ki, top, "crush",
                         "five repeats, one sheet each", block=n, span=span, specimen=f"PU-b{n}",
                         frame="frame-run.csv")  # fmt: skip
            workbook(out / "PU-bending.xlsx", sheets)
            continue
        _, travel, load = record(rng, key, "three-point", k, peak, frame=True, slack=0.3, toe=0.05)
        if key == "roll-wrapped":
            comma_sheet(out / name, ["Prüfzeit", "Traversenweg", "Standardkraft"],
                        ["s", "mm", "N"], [np.arange(len(load)) * 0.5, travel, load],
                        above | {"Stützweite": "240;mm"})  # fmt: skip
        else:
            plain(out / name, ["travel_mm", "force_N"], [travel, load])
        made.add(name, key, "three-point", k, peak, "break" if key == "roll-wrapped" else "yield",
                 "crosshead travel, frame in it", span=span, frame="frame-run.csv")  # fmt: skip


def torsion(out: Path, made: Set, rng: np.random.Generator) -> None:
    """Twist over 150 mm; one in both senses with friction, one that slipped in its chucks."""
    for key in TUBES:
        t = TUBES[key]
        k = t["G"] * 1e3 * 2 * INERTIA / 150.0 / 1e3 * math.pi / 180
        peak, failure, note = t["torsion"], "break", ""
        name = f"{SHORT[key]}-torsion.csv"
        far = peak / k * (5 if key in METALS else 1)
        angle = np.linspace(0, far, 220)
        load = bent(angle, k, 0.75 * peak if key in METALS else math.inf, peak)
        if key == "roll-wrapped":
            peak, failure, note = 0.7 * peak, "slip", "turned in its chuck"
            load = np.where(load < peak, load, 0.45 * peak)
            load, angle = load[: int(np.argmax(load)) + 12], angle[: int(np.argmax(load)) + 12]
        elif key == "pultruded":
            half = angle[load < 0.5 * peak]
            one = np.where(half > 0, k * half + 0.05, 0.0)
            angle, load = np.concatenate([half, -half]), np.concatenate([one, -0.99 * one])
            peak, failure, note = float(np.max(one)), "stopped", "both senses, friction of 0.05 N m"
        else:
            angle = np.append(angle, angle[-1] + np.arange(1, 6) * far / 220)
            load = np.append(load, np.full(5, 0.1 * peak))
            peak, failure = float(np.max(load)), "yield"
        load = load + rng.normal(0, 3e-4 * peak, len(load)) * (load != 0)
        if key == "pultruded":
            plain(
                out / name, ["angle_deg", "torque_lbf_ft"], [angle, load / (LBF * 12 * INCH / 1e3)]
            )
        else:
            plain(out / name, ["angle_deg", "torque_Nm"], [angle, load])
        made.add(name, key, "torsion", k, peak, failure, note, gauge=150)


def frame_run(out: Path, rng: np.random.Generator) -> None:
    """The frame on a bar that does not give, in pounds and inches."""
    load = np.linspace(0, 13000, 120)
    plain(out / "frame-run.csv", ["disp_in", "load_lbf"],
          [load / FRAME / INCH + rng.normal(0, 2e-6, 120), load / LBF], 6)  # fmt: skip


def write(out: Path = OUT) -> None:
    """Write every file and the index."""
    out.mkdir(parents=True, exist_ok=True)
    made, rng = Set(), np.random.default_rng(20261103)
    parts: tuple[Callable[[Path, Set, np.random.Generator], None], ...] = (
        tension, compression, bending, torsion,
    )  # fmt: skip
    for part in parts:
        part(out, made, rng)
    frame_run(out, rng)
    with (out / "index.csv").open("w", encoding="utf-8", newline="") as handle:
        table = csv.DictWriter(handle, COLUMNS, lineterminator="\n")
        table.writeheader()
        table.writerows(made.rows)


if __name__ == "__main__":
    write()
