"""The shortlist as a table: units in its headings, sources below it."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from datetime import date

import numpy as np
import pandas as pd

from tubecalc.app import engine
from tubecalc.app.pages import choose
from tubecalc.share.export import heading, table_csv

CHOICE = replace(
    choose.start_choice()[0], constructions=("roll-wrapped", "6063-T6"), od=(0.03, 0.04)
)


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
