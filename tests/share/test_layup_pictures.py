"""Pictures and files of the own wall: what they say, that they fit, that words stay words."""

from __future__ import annotations

import io
import re

import openpyxl
import pytest

from tubecalc.errors import InputError
from tubecalc.laminate.layup import Layup
from tubecalc.laminate.own_ply import ply_of
from tubecalc.making import cut_plan, cutting_list, winding
from tubecalc.share.front import Step, front_picture
from tubecalc.share.polar import ANGLES, SIZE, polar_picture
from tubecalc.share.scene import Lines, Scene, Words, svg
from tubecalc.share.through_wall import Strip, through_picture
from tubecalc.share.workshop import Shop, table_html, workshop_file

HOSTILE = '<img src=x onerror="alert(1)">&"\'</style><script>x</script>'
WALL = Layup.from_notation("[90/0_3/+/-45]", "carbon-sm-ud")


def inside(scene: Scene) -> bool:
    """Whether every point lies in the picture."""
    return all(
        -1 <= x <= scene.width + 1 and -1 <= y <= scene.height + 1
        for s in scene.shapes if isinstance(s, Lines) for path in s.paths for x, y in path
    )  # fmt: skip


def words(scene: Scene) -> str:
    return " ".join(s.text for s in scene.shapes if isinstance(s, Words))


def shop(title: str = "boom") -> Shop:
    return Shop(
        title, "[90/0_3]", "2026-11-25", cutting_list(WALL, mandrel="20 mm", length="1 m"),
        cut_plan([("700 mm", 4), ("280 mm", 6)], "2 m"), winding("20 mm", 45, "6 mm", "1 m"),
    )  # fmt: skip


def test_polar_plot_reaches_as_far_as_the_modulus_says() -> None:
    values = [100.0 if a in (0, 180) else 20.0 for a in ANGLES]
    scene = polar_picture(values, [5.0] * len(ANGLES), "GPa")
    curve = next(s for s in scene.shapes if isinstance(s, Lines) and s.width == 2.2)
    (path,) = curve.paths
    right = max(x for x, _ in path) - SIZE / 2
    up = SIZE / 2 - min(y for _, y in path)
    assert right == pytest.approx(5.0 * up, rel=0.05)  # 100 to 20, at 90 degrees
    assert inside(scene)
    assert "along the tube 100, at 45 degrees 20, round it 20 GPa" in scene.says


@pytest.mark.parametrize("width", [330.0, 720.0, 1000.0])
def test_stress_through_the_wall_fits_and_names_the_first(width: float) -> None:
    one = [[(10.0, -2.0, 0.5), (20.0, -4.0, 0.5)], [(-10.0, 2.0, 0.0), (-20.0, 4.0, 0.0)]]
    strips = [Strip(90.0, "1", 0.15, one, 1.8, 4.0), Strip(0.0, "2-9", 1.2, one, 30.0, 600.0)]
    scene = through_picture(strips, ["where it pulls", "where it presses"], "MPa", width=width)
    assert inside(scene)
    said = words(scene)
    assert "20" in said
    assert "-20" in said
    if width > 560:
        assert any(s.bold and s.text == "1.8" for s in scene.shapes if isinstance(s, Words))
        assert "600" not in said  # beyond the axis it is a mark, not a number


def test_front_marks_what_passes_and_what_fails() -> None:
    scene = front_picture(
        [Step(90.0, 0.8, "[0_2]", False), Step(120.0, 1.3, "[0_3]", True)], "g/m", width=340.0
    )
    assert inside(scene)
    assert "[0_2] 90 g/m reserve 0.8 fails" in scene.says
    assert "[0_3]" in words(scene)
    alone = front_picture([Step(90.0, 2.0, "[0]", True)], "g/m")
    assert inside(alone)


def test_workshop_files_hold_every_part() -> None:
    made = shop()
    book = openpyxl.load_workbook(io.BytesIO(workshop_file(made, "xlsx")))
    assert book.sheetnames == ["Cutting list", "To buy", "Cut plan", "Winding", "Notes"]
    rows = list(book["Cutting list"].values)
    assert made.cutting is not None
    widths = made.cutting.table["width_mm"].tolist()
    at = rows[0].index("width [mm]")
    assert [r[at] for r in rows[1:]] == pytest.approx(widths, rel=1e-6)
    text = workshop_file(made, "csv").decode("utf-8-sig")
    assert text.count("piece,plies") == 1
    assert "bars,stock [mm]" in text
    page = workshop_file(made, "html").decode()
    assert page.count("<svg") == 3
    assert "<script" not in page
    assert workshop_file(made, "xlsx") == workshop_file(shop(), "xlsx")


@pytest.mark.parametrize("kind", ["html", "csv", "xlsx"])
def test_hostile_names_stay_words(kind: str) -> None:
    data = workshop_file(shop("=HYPERLINK(1)" + HOSTILE), kind)
    if kind == "xlsx":
        book = openpyxl.load_workbook(io.BytesIO(data))
        cells = [c for sheet in book for row in sheet for c in row]
        assert all(c.data_type != "f" for c in cells)
        return
    text = data.decode("utf-8-sig")
    if kind == "html":
        assert "<img" not in text
        assert "</style><script" not in text
    else:
        assert not re.search(r"^\"?=", text, re.MULTILINE)


def test_a_hostile_ply_name_is_escaped_in_tables_and_pictures() -> None:
    bad = ply_of({"name": HOSTILE[:58], "E1": "40 GPa", "E2": "9 GPa", "G12": "4 GPa",
                  "nu12": 0.3, "density": "1.9 g/cm3", "thickness": "0.2 mm"})  # fmt: skip
    made = cutting_list(Layup.of([(bad, 0, None)]), mandrel="20 mm", length="1 m")
    from tubecalc.share.cut_pieces import piece_picture
    from tubecalc.share.workshop import CUTTING

    assert "<img" not in table_html(CUTTING, made.table)
    assert "<img" not in svg(piece_picture(made))


def test_nothing_is_refused() -> None:
    with pytest.raises(InputError, match="nothing for the workshop"):
        workshop_file(Shop("a", "b", "2026-11-25"), "csv")
    with pytest.raises(InputError, match="kind of file"):
        workshop_file(shop(), "docx")
