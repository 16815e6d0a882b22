"""Files for a quote: size, words, the same bytes twice, units and sources in the table."""

from __future__ import annotations

import csv
import io
import struct
import subprocess
import sys
from dataclasses import replace
from datetime import date

import numpy as np
import pandas as pd
import pytest

from tubecalc.app import engine, saving
from tubecalc.app.pages import choose
from tubecalc.share.export import chart_file, heading, table_csv

CHOICE = replace(
    choose.start_choice()[0], constructions=("roll-wrapped", "6063-T6"), od=(0.03, 0.04)
)


@pytest.fixture(scope="module")
def sheet():
    return saving.printed(engine.run(CHOICE))


def test_png_is_a4_wide_at_300_dpi(sheet) -> None:
    content = chart_file(sheet, "png")
    assert content[:8] == b"\x89PNG\r\n\x1a\n"
    width = struct.unpack(">I", content[16:20])[0]
    assert width == round(210 / 25.4 * 300)
    at = content.index(b"pHYs") + 4
    assert struct.unpack(">I", content[at : at + 4])[0] == pytest.approx(300 / 0.0254, abs=1)


def test_svg_carries_title_need_caution_date_and_version(sheet) -> None:
    import tubecalc

    text = chart_file(sheet, "svg").decode("utf-8")
    plain = " ".join(text.split())
    for words in ("Sampling boom", "Carry 60 N at the tip of a 1.2 m reach", "licensed engineer",
                  date.today().isoformat(), tubecalc.__version__):  # fmt: skip
        assert words in plain, words


def test_same_sheet_gives_the_same_bytes(sheet) -> None:
    assert chart_file(sheet, "svg") == chart_file(sheet, "svg")


def test_print_never_loads_pyplot() -> None:
    code = (
        "import sys\nfrom tubecalc.app import engine, saving\n"
        "from tubecalc.app.pages import choose\n"
        "assert 'matplotlib' not in sys.modules\n"
        "from tubecalc.share.export import chart_file\n"
        "chart_file(saving.printed(engine.run(choose.start_choice()[0])), 'svg')\n"
        "assert 'matplotlib.pyplot' not in sys.modules\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def test_csv_has_units_in_its_headings_and_says_its_sources() -> None:
    table = pd.DataFrame(
        {"name": ["é, ü"], "od_mm": [30.0], "mass_kg_per_m": [0.2], "reserve_column": [np.inf],
         "EI_per_mass_N_m3_per_kg": [1234.5], "reserve_end_crush": [np.nan]}
    )  # fmt: skip
    content = table_csv(table, 'Boom "x"', "load 60 N", date(2026, 1, 2))
    assert content.startswith(b"\xef\xbb\xbf")
    rows = list(csv.reader(io.StringIO(content.decode("utf-8-sig"))))
    assert rows[0] == ["name", "OD [mm]", "mass per length [kg/m]", "reserve column [-]",
                       "EI per mass [N m3/kg]", "reserve end crush [-]"]  # fmt: skip
    assert rows[1] == ["é, ü", "30", "0.2", "not driven", "1234.5", "not known"]
    assert any("source" in " ".join(r) for r in rows[2:])
    assert "2026-01-02" in rows[2][0]
    assert "load 60 N" in rows[3][0]
    said = [r[0] for r in rows if r and r[0].startswith("column buckling: grade A")]
    assert len(said) == 1
    assert "expected error" in said[0]


def test_every_column_of_a_sweep_has_a_heading_with_its_unit() -> None:
    table = engine.run(replace(CHOICE, measure="EI_per_mass_N_m3_per_kg")).sheet.table
    plain = {"construction", "name", "governing", "grade", "passes", "in_range", "unproven"}
    for column in set(table.columns) - plain:
        assert "[" in heading(str(column)), column
