"""Joints in the papers follow the units: the customer page's switch, the job's system elsewhere."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from html import unescape

import openpyxl
import pytest

import tubecalc as tc
from tubecalc.job import Candidate, Job
from tubecalc.joining.job_joints import with_joint
from tubecalc.joining.joint_spec import JointSpec
from tubecalc.share.datasheet import leaves_of
from tubecalc.share.page import page
from tubecalc.share.page_reasons import cautions, checks
from tubecalc.share.page_verdict import Told, lead
from tubecalc.share.quote import quote_text
from tubecalc.share.sheet import sheet

NEED = '[[case]]\nkind = "strut"\nload = "1 kN"\nspan = "0.5 m"\n[factors]\nstrength = 1.5'
WRAP, STEEL = Candidate("roll-wrapped-woven", 0.03, 0.026), Candidate("304", 0.03, 0.028)
METRIC = re.compile(r"\d[\d.\u202f]*[ \u00a0](?:mm|µm|N|kN|N\u00a0?m|MPa|GPa|°C|K|kg|g/m)(?![\w/])")
INNER = {"of": "304", "wall": "1 mm"}
SPECS = {
    "bond": JointSpec("bond", given={"insert": "6061-T6", "insert_wall": "3 mm",
                                     "overlap": "30 mm", "axial": "60 kN"}),
    "fit": JointSpec("fit", given={"inner": {**INNER, "od": "26 mm"}, "temperature": "60 degC"}),
    "press": JointSpec("press", given={"inner": {**INNER, "od": "26.06 mm"}, "overlap": "30 mm",
                                       "outside": "0.01 mm", "bore": "0.01 mm"}),
    "bolt": JointSpec("bolt", given={"hole": "5 mm", "load": "9 kN", "edge_distance": "15 mm"}),
    "pin": JointSpec("pin", given={"hole": "2 mm", "load": "9 kN", "pin": "304"}),
    "clamp": JointSpec("clamp", given={"length": "20 mm", "screw": "5 mm", "load": "9 kN"}),
    "thread": JointSpec("thread"),
    "pole": JointSpec("pole", given={"count": 3, "gap": "0.3 mm", "length": "1 m",
                                     "overlap": "120 mm", "load": "2 N", "droop": "10 mm"}),
    "heat": JointSpec("heat", given={"temperature": "70 degC", "adhesive": "epoxy-tough"}),
    "sun": JointSpec("heat", given={"sun": {"air": "35 degC", "wind": "2 m/s"}}),
    "growth": JointSpec("growth", given={"length": "1 m", "rise": "40 K", "other": "6061-T6",
                                         "other_length": "-100 mm", "allowed": "0.2 mm"}),
    "refused": JointSpec("bolt", given={"hole": "50 mm", "load": "1 kN"}),
}  # fmt: skip


def job_with(name: str, units: str) -> Job:
    job = Job(tc.Need.from_toml(NEED), (WRAP, STEEL), chosen=0, units=units)
    return with_joint(job, WRAP, SPECS[name])


def seen(html: str, system: str, own: str) -> list[str]:
    """Texts of a page as its switch shows them in one system."""
    out = []
    for _, attributes, text in re.findall(
        r"<(\w+)([^<>]*)>([^<>]+)</\1>", html.split("<script")[0]
    ):
        other = re.search(rf'data-{system.lower()}="([^"]*)"', attributes)
        out.append(unescape(other[1] if other and system != own else text).strip())
    return out


@pytest.mark.parametrize("name", SPECS)
@pytest.mark.parametrize("own", ["SI", "inch"])
def test_the_switch_of_the_customer_page_turns_the_joint_too(name, own) -> None:
    html = page(job_with(name, own), date="2026-11-25")
    inch = seen(html, "inch", own)
    assert not [t for t in inch if METRIC.search(t)]
    told = Told.of(job_with(name, own))
    for system in ("SI", "inch"):
        row = checks(told, system)[0]
        shown = [t.replace("\u00a0", " ") for t in seen(html, system, own)]
        assert row[0].startswith("joint: ")
        assert row[-1] in shown
        assert lead(told, system) in shown
    if name not in ("bond", "thread"):
        assert checks(told, "SI")[0][-1] != checks(told, "inch")[0][-1]
        assert [t for t in seen(html, "SI", own) if METRIC.search(t)]


def test_the_page_says_the_same_whichever_system_it_starts_in() -> None:
    for name in SPECS:
        one, two = (
            re.sub(r"<svg.*?</svg>", "", page(job_with(name, own), date="2026-11-25"))
            for own in ("SI", "inch")
        )
        assert seen(one, "inch", "SI") == seen(two, "inch", "inch")
        assert seen(one, "SI", "SI") == seen(two, "SI", "inch")


@pytest.mark.parametrize("name", SPECS)
def test_sheet_quote_and_data_sheet_say_the_joint_in_the_units_of_the_job(name) -> None:
    job = job_with(name, "inch")
    told = Told.of(job)
    row = checks(told, "inch")[0]
    assert not METRIC.search(" ".join(row))
    book = openpyxl.load_workbook(io.BytesIO(sheet(job, "xlsx", date="2026-11-25")))
    mine = [
        [str(c) for c in r if c is not None]
        for r in book["checks"].iter_rows(values_only=True)
        if any(str(c).startswith("joint: ") for c in r)
    ]
    assert len(mine) == 1
    assert not METRIC.search(" ".join(mine[0]))
    assert mine[0][-1][:40] == row[-1][:40]
    assert not METRIC.search(quote_text(job))
    words = " ".join(
        getattr(shape, "text", "")
        for leaf in leaves_of(told, "2026-11-25", "A4")
        for scene, *_ in leaf.places
        for shape in scene.shapes
    )
    assert "joint: " in words
    assert not METRIC.search(words)


def test_cautions_of_joints_follow_the_system() -> None:
    job = with_joint(job_with("bolt", "SI"), WRAP, replace(SPECS["refused"], name="second"))
    one, two = (cautions(Told.of(job), s) for s in ("SI", "inch"))
    assert any("50 mm" in c for c in one)
    assert any("1.969 in" in c for c in two)
    assert not [c for c in two if METRIC.search(c)]


def test_a_lost_tube_is_said_on_the_page() -> None:
    job = replace(job_with("bolt", "inch"), candidates=(STEEL,), chosen=-1)
    says = "The bolt of this job counts for nothing: its tube is not among those"
    assert says in page(job, date="2026-11-25")
    book = openpyxl.load_workbook(io.BytesIO(sheet(job, "xlsx", date="2026-11-25")))
    cells = [str(c) for s in book for r in s.iter_rows(values_only=True) for c in r]
    assert [c for c in cells if says in c]
