"""Scenes on paper: exact sizes, embedded letters, real text, the same bytes, inert words."""

from __future__ import annotations

import io
import os
import re
import shutil
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as ET
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image, ImageFont

from tubecalc.errors import InputError
from tubecalc.share.letters import UNKNOWN, folded, font_file, lettered, width_of
from tubecalc.share.paper import About, Leaf, booklet, measures, picture
from tubecalc.share.scene import Dots, Lines, Scene, Words

SVG = "{http://www.w3.org/2000/svg}"
ABOUT = About("A title", "What it says.", "2026-11-25")
HOSTILE = [
    "$x_", "$x$", "\\frac", "\\", "%", "100 % & <b>", "a\x00b", "\x1b[0m", "\U0001f600",
    "שלום (a) 12", "\u202egnp.exe", "</text><script>alert(1)</script>", "]]>", "<!--", "&lt;",
    "&#60;", "中文", "' onload='alert(1)", '" onload="alert(1)', "a\r\nb", "\u2028\ufffe\uffff",
    "e\u0301" * 9, "{0}", "", " ", "\u00a0", "%s %(a)s", "(a) Tj ET Q", "\\)", "/Type /Action",
    "javascript:alert(1)",
]  # fmt: skip
words = st.one_of(st.sampled_from(HOSTILE), st.text(max_size=20))


def leaf(*texts: str, width: float = 200.0, height: float = 150.0) -> Leaf:
    shapes = (
        Lines([[(0, 0), (width, 0), (width, height)]], "ink", 2.0, closed=True, fill="row"),
        Dots(np.array([10.0, 20.0]), np.array([5.0, 5.0]), hollow=True),
        *(Words(10, 20 + 14 * k, t, size=10, bold=k % 2 == 1) for k, t in enumerate(texts)),
    )  # fmt: skip
    return Leaf(width, height, ((Scene(width, height, shapes), 0.0, 0.0),))


def tool(*command: str, data: bytes) -> str:
    """What a program of the system says of a file, given to it as FILE."""
    if shutil.which(command[0]) is None:
        assert os.environ.get("TUBECALC_REQUIRE_OFFICE") != "1", f"{command[0]} is missing"
        pytest.skip(f"{command[0]} is not installed")
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "it.pdf")
        path.write_bytes(data)
        parts = [str(path) if c == "FILE" else c for c in command]
        done = subprocess.run(parts, capture_output=True, check=True)
    return done.stdout.decode("utf-8")


def boxes(leaf: Leaf, last: int = 0) -> list[tuple[float, float, float, float, str]]:
    """Left, right, upper and lower edge of every word, of the last pictures only if so wanted."""
    out = []
    for scene, x, y in leaf.places[-last:]:
        for s in scene.shapes:
            if isinstance(s, Words) and s.text.strip():
                wide = 0.0 if s.rotate else width_of(s.text, s.size, bold=s.bold)
                left = x + s.x - {"start": 0.0, "middle": 0.5, "end": 1.0}[s.anchor] * wide
                out.append((left, left + wide, y + s.y - 0.7 * s.size, y + s.y, s.text))
    return out


def overlapping(found: list[tuple[float, float, float, float, str]]) -> list[tuple[str, str]]:
    """Pairs of words that lie on each other."""
    return [
        (a[4], b[4])
        for k, a in enumerate(found)
        for b in found[k + 1 :]
        if a[0] < b[1] and b[0] < a[1] and a[2] < b[3] and b[2] < a[3]
    ]


# ---- letters ----------------------------------------------------------------------------
def test_letters_are_as_wide_as_the_table_of_the_typeface_says() -> None:
    """Pillow's reading of the same file, letter by letter."""
    for bold in (False, True):
        font = ImageFont.truetype(font_file(bold), 1000, layout_engine=ImageFont.Layout.BASIC)
        for text in ("Sampling boom 30 × 27 mm", "Grüße", "≥ ±45°"):
            wide = sum(font.getlength(c) for c in text) / 100
            assert width_of(text, 10, bold=bold) == pytest.approx(wide, rel=2e-3)


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=80), st.floats(30, 300), st.integers(0, 3), st.booleans())
def test_folded_lines_fit_and_lose_nothing(text: str, room: float, most: int, bold: bool) -> None:
    lines = folded(text, room, 12.0, bold=bold, most=most)
    assert all(width_of(x, 12.0, bold=bold) <= room + 1e-6 for x in lines)
    assert not most or len(lines) <= most
    if not most:
        letters = [c for c in lettered(text, bold=bold) if not c.isspace()]
        assert sorted(letters) == sorted(c for x in lines for c in x if not c.isspace())


def test_a_number_stays_with_its_unit_and_a_cut_shows() -> None:
    lines = folded("It bears 1\u202f200 N in the middle of 900 mm", 62.0, 12.0)
    assert any("1\u202f200\u00a0N" in x for x in lines)
    assert any("900\u00a0mm" in x for x in lines)
    assert folded("word " * 50, 100.0, 12.0, most=2)[-1].endswith("…")


def test_a_letter_without_a_shape_is_seen_to_be_missing() -> None:
    assert lettered("中文 ab") == f"{UNKNOWN * 2} ab"
    assert lettered("a\x00\u202eb\n c") == "ab c"


# ---- files ------------------------------------------------------------------------------
@pytest.mark.parametrize(("width", "dpi"), [(170, 300), (80, 72), (210, 300), (123.4, 217)])
def test_png_has_the_pixels_and_the_dpi_asked_for(width: float, dpi: float) -> None:
    image = Image.open(io.BytesIO(picture(leaf("a"), "png", ABOUT, width, dpi)))
    assert image.width == round(width / 25.4 * dpi)
    assert image.height == pytest.approx(image.width * 0.75, abs=1)
    assert image.info["dpi"] == pytest.approx((dpi, dpi), abs=0.02)
    assert image.info["Title"] == "A title"
    edge = np.asarray(image.convert("RGB"))[:, -1]
    assert (edge == edge[0]).all()


def test_svg_keeps_its_text_and_says_what_it_shows() -> None:
    content = picture(leaf("one", "two"), "svg", ABOUT, 170.0)
    root = ET.fromstring(content)
    assert root.tag == f"{SVG}svg"
    assert (root.get("role"), root.get("aria-label")) == ("img", "What it says.")
    assert float(root.get("width").removesuffix("pt")) == pytest.approx(170 / 25.4 * 72)
    texts = root.findall(f".//{SVG}text")
    assert [t.text for t in texts] == ["one", "two"]
    assert all("'DejaVu Sans', 'Verdana', 'Arial', sans-serif" in t.get("style") for t in texts)
    assert root.find(f"{SVG}title").text == "A title"
    assert b"<!DOCTYPE" not in content
    assert not re.search(rb"""(?:href|src)\s*=\s*["'](?!\#)|url\((?!#)|@import""", content)


def test_pdf_has_its_typeface_inside_and_its_text_can_be_read() -> None:
    data = booklet([leaf("first 1\u202f200 N"), leaf("second", "bold ≥ 2")], ABOUT, 210.0)
    rows = tool("pdffonts", "FILE", data=data).splitlines()[2:]
    assert rows
    assert all(" TrueType " in r and re.search(r"\byes yes yes\b", r) for r in rows)
    text = tool("pdftotext", "FILE", "-", data=data)
    assert [p.split() for p in text.split("\f")[:2]] == [
        "first 1\u202f200 N".replace("\u202f", " ").split(), ["second", "bold", "≥", "2"],
    ]  # fmt: skip
    said = tool("pdfinfo", "FILE", data=data)
    assert re.search(r"Title:\s+A title", said)
    assert re.search(r"Pages:\s+2", said)
    assert "Nov 25" in said


def test_the_same_words_give_the_same_bytes_in_another_process() -> None:
    code = (
        "import hashlib, sys; sys.path.insert(0, sys.argv[1])\n"
        "from tests.share.test_paper import ABOUT, booklet, leaf, picture\n"
        "for k in ('png', 'svg', 'pdf'):\n"
        "    print(hashlib.sha256(picture(leaf('a', 'b é'), k, ABOUT, 90.0, 100.0)).hexdigest())\n"
        "print(hashlib.sha256(booklet([leaf('a')], ABOUT, 210.0)).hexdigest())\n"
    )
    found = set()
    for seed, zone in (("1", "UTC"), ("77", "Asia/Tokyo")):
        env = {**os.environ, "PYTHONHASHSEED": seed, "TZ": zone, "OMP_NUM_THREADS": "1"}
        done = subprocess.run(
            [sys.executable, "-c", code, str(Path(__file__).parents[2])], capture_output=True,
            text=True, check=True, env=env,
        )  # fmt: skip
        found.add(done.stdout)
    assert len(found) == 1
    assert len(set(found.pop().split())) == 4


def test_settings_of_the_user_do_not_show() -> None:
    import matplotlib

    plain = picture(leaf("$a$"), "svg", ABOUT, 80.0)
    with matplotlib.rc_context({"text.usetex": True, "lines.scale_dashes": False,
                                "savefig.bbox": "tight", "svg.fonttype": "path"}):  # fmt: skip
        assert picture(leaf("$a$"), "svg", ABOUT, 80.0) == plain
        assert matplotlib.rcParams["text.usetex"] is True


def test_later_shapes_cover_earlier_words() -> None:
    """A picture is painted from back to front; a word below a filled shape is not seen."""
    box = Lines([[(0, 0), (50, 0), (50, 50), (0, 50)]], "ink", 0.0, closed=True, fill="ink")
    scene = Scene(50, 50, (Words(5, 30, "HIDDEN", "paper", 12), box))
    image = Image.open(io.BytesIO(picture(Leaf(50, 50, ((scene, 0, 0),)), "png", ABOUT, 50, 100)))
    assert len(np.unique(np.asarray(image.convert("L"))[5:-5, 5:-5])) == 1


# ---- refused ----------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("width", "dpi", "where"),
    [(39.9, 300, "width"), (601, 300, "width"), (170, 71, "dpi"), (170, 1201, "dpi"),
     (float("nan"), 300, "width"), (170, float("inf"), "dpi"), ("wide", 300, "width"),
     (True, 300, "width"), (170, None, "dpi")],
)  # fmt: skip
def test_sizes_nobody_can_want_are_refused_in_words(width, dpi, where: str) -> None:
    with pytest.raises(InputError, match="too little, too much or no number") as error:
        measures(width, dpi)
    assert error.value.where == f"chart:{where}"
    assert "to" in str(error.value.expected)


def test_too_many_pixels_and_other_kinds_are_refused() -> None:
    with pytest.raises(InputError, match="too many pixels"):
        picture(leaf("a"), "png", ABOUT, 600.0, 1200.0)
    with pytest.raises(InputError, match="kind of picture"):
        picture(leaf("a"), "gif", ABOUT, 170.0)


# ---- other people's words ---------------------------------------------------------------
@settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(words, min_size=1, max_size=4), words)
def test_words_are_drawn_and_never_act(texts: list[str], title: str) -> None:
    about = About(title, title, "2026-11-25")
    root = ET.fromstring(picture(leaf(*texts), "svg", about, 80.0))
    tags = {e.tag.rpartition("}")[2] for e in root.iter()}
    assert not tags & {"script", "foreignObject", "a", "image", "animate", "set", "iframe"}
    assert not [k for e in root.iter() for k in e.attrib if k.lower().startswith("on")]
    shown = [t.text for t in root.findall(f".//{SVG}text")]
    drawn = [lettered(t, bold=k % 2 == 1).strip(" ") for k, t in enumerate(texts)]
    assert shown == [t for t in drawn if t]
    for kind in ("png", "pdf"):
        assert picture(leaf(*texts), kind, about, 80.0, 72.0)


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_words_in_a_pdf_add_no_object(text: str) -> None:
    def objects(data: bytes) -> list[bytes]:
        return re.findall(rb"/(?:JavaScript|JS|OpenAction|AA|Launch|URI|EmbeddedFile)\b", data)

    assert objects(booklet([leaf(text)], About(text, text, "2026-11-25"), 210.0)) == []


def test_pages_follow_each_other() -> None:
    data = booklet([leaf(f"page {k}") for k in range(3)], ABOUT, 210.0)
    sizes = [int(m) for m in re.findall(rb"startxref\s+(\d+)", data)]
    assert len(sizes) == 1
    assert all(a <= b for a, b in pairwise([0, *sizes, len(data)]))
    assert len(re.findall(rb"/Type /Page\b", data)) == 3
