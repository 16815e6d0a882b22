"""The invented set of broken tubes: every file reads, reduces, and gives back what was put in."""

from __future__ import annotations

import csv
import importlib.util
import math
from collections import Counter
from pathlib import Path

import pytest

import tubecalc as tc
from tubecalc.datafiles import data_dir
from tubecalc.testing.bench_set import reduce_folder
from tubecalc.testing.calibrate import biases, ratios

FOLDER = data_dir() / "tests"
INDEX = list(csv.DictReader((FOLDER / "index.csv").open(encoding="utf-8")))


@pytest.fixture(scope="module")
def bench():
    return {r.name: r for r in reduce_folder(FOLDER).results}


def test_set_is_four_tubes_in_four_kinds_of_test_and_says_it_is_invented():
    kinds = Counter((r["construction"], r["kind"]) for r in INDEX)
    assert len({k for k, _ in kinds}) == len({k for _, k in kinds}) == 4
    assert len(kinds) == 16
    assert {r["od_mm"] + "x" + r["id_mm"] for r in INDEX} == {"10.0x8.0"}
    assert {(r["source"], r["standing"]) for r in INDEX} == {("invented", "INVENTED")}
    assert {"grip", "jaw", "slip", "run-out"} <= {r["failure"] for r in INDEX}


@pytest.mark.parametrize("row", INDEX, ids=[r["specimen"] for r in INDEX])
def test_what_was_put_in_is_found(row, bench):
    out = bench[row["specimen"]]
    slope = float(out.stiffness.to(row["stiffness_unit"].replace(" ", "*")).magnitude)
    if row["kind"] == "tension" and out.way == "travel_mm":
        assert slope < float(row["true_stiffness"]), "grips and frame are in the travel"
        assert out.modulus is None
    else:
        assert slope == pytest.approx(float(row["true_stiffness"]), rel=0.01)
    assert out.si["peak"] == pytest.approx(float(row["true_peak"]), rel=0.005)
    lower = row["failure"] in ("grip", "jaw", "slip", "run-out", "stopped")
    assert out.peak_is_at_least == lower


def test_set_is_what_its_script_writes(tmp_path):
    spec = importlib.util.spec_from_file_location(
        "make_bench_set", Path(__file__).parent / "make_bench_set.py"
    )
    script = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(script)
    script.write(tmp_path)
    for file in sorted(FOLDER.iterdir()):
        if file.suffix != ".xlsx":  # a workbook carries the time it was packed
            assert (tmp_path / file.name).read_bytes() == file.read_bytes(), file.name
    assert {p.name for p in tmp_path.iterdir()} == {p.name for p in FOLDER.iterdir()}


def test_checks_are_judged_by_the_set(bench):
    found = []
    for row in INDEX:
        tube = tc.Tube(row["construction"], od="10 mm", id="8 mm")
        found += ratios(bench[row["specimen"]], tube)
    by = {(b.construction, b.check): b for b in biases(found)}
    crush = by["pultruded", "crush"]
    assert (crush.n, crush.broken) == (5, 5)
    peaks = [float(r["true_peak"]) for r in INDEX if r["file"] == "PU-bending.xlsx"]
    assert crush.ratio / crush.low > 1
    promised = next(r.promised for r in found if r.check == "crush")
    middle = math.exp(sum(math.log(p / promised) for p in peaks) / 5)
    assert crush.ratio == pytest.approx(middle, rel=5e-3)
    grip = by["pultruded", "strength"]
    assert grip.at_least < 0.5, "less than half of the promise (common practice, no source)"
    assert not grip.off
