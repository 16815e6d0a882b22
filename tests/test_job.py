"""The job file: every field comes back exactly, and what cannot be a job is refused in words."""

from __future__ import annotations

import datetime
import math
import tomllib
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import tubecalc as tc
from tests.test_need import needs
from tubecalc import job_file
from tubecalc.datafiles import data_dir
from tubecalc.job import Candidate, Job, Text
from tubecalc.laminate.construction import composites, metals
from tubecalc.need import Need

WALLS = {
    "own 1 <b>": {
        "name": 'glass "tube" </script>',
        "fill": [{"ply": "glass-ud", "angle": 45, "count": 2}],
        "od_min": "6 mm",
        "service": {"weld": ["no", "glass does not weld"]},
        "evidence": [{"fields": ["od_min"], "source": "common practice", "standing": "PRACTICE"}],
    }
}
HOSTILE = ["</script><script>alert(1)</script>", "=HYPERLINK(1)", '"\\\n\r\t\x00', "<!--", "'''",
           "\u202e\u2028\U0001f600", "[need]\njob = 9", "../../etc/passwd", "]]>", "&lt;&quot;",
           ]  # fmt: skip
texts = st.one_of(st.text(max_size=20), st.sampled_from(HOSTILE))
scalars = st.one_of(
    texts, st.booleans(), st.integers(-(2**63) + 1, 2**63 - 1), st.floats(),
    st.dates(), st.times(), st.datetimes(),
    st.datetimes(timezones=st.just(datetime.timezone(datetime.timedelta(minutes=-210)))),
)  # fmt: skip
values = st.recursive(
    scalars,
    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(texts, inner, max_size=3)),
    max_leaves=6,
)
tables = st.dictionaries(texts, values, max_size=3)
walls = st.sampled_from(["pultruded", "6063-T6", "304-cold-drawn", "own 1 <b>"])


@st.composite
def candidates(draw):
    od = draw(st.floats(1e-4, 2.0))
    price = draw(st.one_of(st.just(math.nan), st.floats(0, 1e9)))
    bore = od * draw(st.one_of(st.just(0.0), st.floats(1e-4, 0.99)))
    return Candidate(draw(walls), od, bore, draw(texts), price, draw(texts))


@st.composite
def jobs(draw):
    some = draw(st.lists(candidates(), max_size=3))
    return Job(
        need=draw(st.one_of(st.just(Need()), needs)),
        candidates=tuple(some),
        chosen=draw(st.integers(-1, len(some) - 1)),
        walls=WALLS,
        units=draw(st.sampled_from(["SI", "workshop", "inch"])),
        currency=draw(texts),
        text=draw(st.builds(Text, texts, texts, texts, texts, texts)),
        tests=tuple(draw(st.lists(tables, max_size=2))),
        date=draw(st.one_of(st.just(""), st.dates().map(str))),
        page=draw(st.dictionaries(texts, tables, max_size=2)),
        version=draw(texts),
    )


@settings(suppress_health_check=[HealthCheck.too_slow], deadline=None, max_examples=40)
@given(jobs())
def test_every_field_comes_back_exactly(job: Job) -> None:
    text = job.to_toml()
    back = Job.from_toml(text)
    assert back == job
    assert hash(back) == hash(job)
    assert back.to_toml() == text
    for one, other in zip(back.candidates, job.candidates, strict=True):
        assert (one.od, one.id, one.label) == (other.od, other.id, other.label)
    assert (back.need, back.text, back.tests) == (job.need, job.text, job.tests) or "nan" in text


@settings(suppress_health_check=[HealthCheck.too_slow], deadline=None, max_examples=25)
@given(jobs(), texts)
def test_a_job_comes_back_out_of_a_page(job: Job, title: str) -> None:
    """Whatever people typed, the block is ASCII, ends where it ends, and survives Windows."""
    block = job.to_html()
    assert block.isascii()
    assert block.lower().count("<") == 2  # its own two tags
    page = f"<!doctype html>\n<title>x</title>\n{block}\n<p>after</p>"
    assert Job.from_html(page) == job
    assert Job.from_html(page.replace("\n", "\r\n")) == job


def job_of(**parts) -> Job:
    need = Need.from_toml(data_dir() / "jobs" / "sampling-boom.toml")
    return Job(need, (Candidate("pultruded", 0.01, 0.008), Candidate("304", 0.012, 0.01)), **parts)


def test_files_for_people(tmp_path: Path) -> None:
    """Diameters are in millimetres, the need reads as a need file does, only set fields stand."""
    text = job_of(currency="EUR", date="2026-11-25").to_toml()
    assert text.startswith("job = 1\n")
    table = tomllib.loads(text)
    assert table["candidate"][0] == {"wall": "pultruded", "od": "10.0 mm", "id": "8.0 mm"}
    assert table["need"]["title"] == "Sampling boom"
    (tmp_path / "job.toml").write_text(text, encoding="utf-8")
    assert Job.from_toml(tmp_path / "job.toml") == Job.from_toml(str(tmp_path / "job.toml"))


def test_a_job_by_hand() -> None:
    job = Job.from_toml(
        'job = 1\ndate = 2026-11-25\n[need]\n[[need.case]]\nkind = "strut"\nload = "-200 kgf"\n'
        'span = "4 ft"\n[[candidate]]\nwall = "pultruded"\nod = "5/8 in"\nid = "1/2 in"\nprice = 12'
    )
    assert job.date == "2026-11-25"
    assert job.candidates[0].od == pytest.approx(0.015875)
    assert job.candidates[0].price == 12.0
    assert job.need.cases[0].load == pytest.approx(-200 * 9.80665)
    assert job.units == "SI"


def test_a_need_file_is_a_job_without_candidates() -> None:
    for path in sorted((data_dir() / "jobs").glob("*.toml")):
        job = Job.from_toml(path)
        assert job.need == Need.from_toml(path)
        assert job.candidates == ()


def test_candidate_is_the_measured_tube() -> None:
    job = job_of(walls=WALLS)
    tube = Candidate("6063-T6", 0.020, 0.017).tube(job)
    assert tube.area.to("mm^2").magnitude == pytest.approx(math.pi * (20**2 - 17**2) / 4)
    own = Candidate("own 1 <b>", 0.020, 0.016).tube(job)
    assert own.sections.t[0] == pytest.approx(0.002)
    assert own.construction.name == 'glass "tube" </script>'


GOOD = 'job = 1\n[[candidate]]\nwall = "pultruded"\nod = "10 mm"\nid = "8 mm"\n'
BAD = {
    'job = 2\nversion = "9.1"\n': ("newer tubecalc", "9.1", "job = 1"),
    'job = "1"\n': ("not a job number",),
    "job = 0\n": ("not a job number",),
    "job = true\n": ("not a job number",),
    'title = "x"\n': ("job = 1 is missing",),
    "job = 1\ncandidates = 3\n": ("unknown key", 'did you mean "candidate"'),
    GOOD.replace("od =", "odd ="): ("candidate 1", 'did you mean "od"'),
    GOOD.replace("od =", "Od = 1\nod ="): ("candidate 1", 'did you mean "od"'),
    GOOD.replace('id = "8 mm"', ""): ("candidate 1", "id is missing"),
    GOOD.replace("8 mm", "8"): ("candidate 1", "id", "unit"),
    GOOD.replace("8 mm", "11 mm"): ("candidate 1", "bore is not smaller"),
    GOOD.replace("8 mm", "-8 mm"): ("candidate 1", "bore"),
    GOOD.replace("pultruded", "pultrude"): ("candidate 1:wall", 'did you mean "pultruded"'),
    GOOD + "price = -1\n": ("candidate 1:price", "not a price"),
    GOOD + 'price = "3 EUR"\n': ("candidate 1:price", "not a number"),
    GOOD + "label = 3\n": ("candidate 1:label", "must be a text"),
    "job = 1\nchosen = 0\n": ("job:chosen", "no candidates"),
    "job = 1\nchosen = 0.5\n": ("job:chosen",),
    'job = 1\nunits = "si"\n': ("job:units", 'did you mean "SI"'),
    'job = 1\ndate = "25.11.2026"\n': ("job:date", "2026-11-25"),
    'job = 1\ndate = "20261125"\n': ("job:date",),
    'job = 1\ndate = "2026-02-30"\n': ("job:date",),
    "job = 1\ndate = 2026-11-25T10:00:00\n": ("job:date",),
    "job = 1\ncurrency = 3\n": ("job:currency", "must be a text"),
    "job = 1\n[text]\ncustomor = 'x'\n": ("job:text", 'did you mean "customer"'),
    "job = 1\n[need]\n[[need.case]]\nkind = 'strut'\nload = '3 kg'\nspan = '1 m'\n": (
        "need:case 1", "load"),
    "job = 1\n[need]\ntitel = 'x'\n": ("job:need", 'did you mean "title"'),
    "job = 1\nneed = 3\n": ("job:need", "table"),
    "job = 1\ncandidate = 3\n": ("job:candidate",),
    "job = 1\ncandidate = [3]\n": ("job:candidate 1",),
    "job = 1\npage = {a = 3}\n": ("job:page a",),
    "job = 1\ntest = [1]\n": ("job:test 1",),
    "job = 1\n[wall.pultruded]\n": ("wall pultruded", "comes with tubecalc"),
    "job = 1\n[wall.mine]\n": ("wall mine", "fill"),
    "job = 1\n[wall.mine]\nfill = [{ply='304'}]\nfil_min = 3\n": ("wall mine",),
    "job = 1\n[wall.mine]\nfill = [{ply='glass-ud'}]\nfil_min = 3\n": ("wall mine", "fill_min"),
    "job = 1\n[wall.mine]\nfill = [{ply = 'glas-ud'}]\n": ("wall mine", 'did you mean "glass-ud"'),
    "job = 1\n[wall.mine]\nfill = [{ply = 'glass-ud'}]\nevidence = 3\n": ("wall mine",),
    "job = 1\n[wall.mine]\nfill = [{ply = ['glass-ud']}]\n": ("wall mine",),
    "job = 1\nx = [\n": ("job:line",),
    "job = 1\njob = 1\n": ("job:line 2",),
    "job = " + "[" * 3000 + "\n": ("too deep",),
    "job = 1\npage = {a = {b = " + "[" * 60 + "]" * 60 + "}}\n": ("too deep",),
    "job = 1" + "0" * 6000 + "\n": ("job",),
    "job = 1\n" + "[[candidate]]\nwall='304'\nod='2 mm'\nid='1 mm'\n" * 201: ("too many", "200"),
    "job = 1\n[need]\n" + "[[need.case]]\nkind='shaft'\ntorque='1 N m'\n" * 101: ("too many",),
    "job = 1\n#" + "x" * (5 * 2**20): ("too big", "5 MB"),
    " \n": ("empty",),
}  # fmt: skip


@pytest.mark.parametrize("text", list(BAD), ids=lambda t: t[:40].replace("\n", " "))
def test_what_is_no_job_is_refused_in_one_sentence(text: str) -> None:
    with pytest.raises(tc.InputError) as caught:
        Job.from_toml(text)
    sentence = str(caught.value)
    assert [w for w in BAD[text] if w not in sentence] == []
    assert "\n" not in sentence
    assert len(sentence) < 700


@pytest.mark.parametrize("content", [b"\xff\xfe\x00", b"PK\x03\x04\x00\xff", b"\x00" * 100, b""])
def test_a_file_that_is_none_names_itself(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "wrong.toml"
    path.write_bytes(content)
    with pytest.raises(tc.InputError, match=r"^wrong\.toml"):
        Job.from_toml(path)
    path.write_bytes(b"#" * (5 * 2**20 + 1))
    with pytest.raises(tc.InputError, match="too big"):
        Job.from_toml(path)
    with pytest.raises(tc.InputError, match="cannot be read"):
        Job.from_toml(tmp_path / "nothing.toml")


@pytest.mark.parametrize(
    "parts",
    [
        {"page": {"a": {"b": None}}}, {"page": {"a": {"b": {1: 2}}}}, {"page": {"a": {"b": 2**70}}},
        {"page": {"a": {"b": object()}}}, {"text": Text}, {"need": "x"}, {"currency": "\ud800"},
        {"need": Need(title="\udfff")}, {"page": {"a": {"\ud800": 1}}}, {"candidates": ("x",)},
        {"page": {str(n): {} for n in range(51)}}, {"walls": {"": {}}},
    ],
)  # fmt: skip
def test_what_no_file_can_carry_is_refused_at_once(parts) -> None:
    with pytest.raises(tc.InputError):
        Job(**parts)


def page_of(job: Job) -> str:
    return f"<!doctype html>\n<html>\n<body>\n{job.to_html()}\n</body></html>\n"


@pytest.mark.parametrize(
    ("break_it", "words"),
    [
        (lambda p: p[: len(p) // 2], ("job block", "line 4", "cut off")),
        (lambda p: p.replace('"10.0 mm"', '"11.0 mm"'), ("job block", "changed or damaged")),
        (lambda p: p.replace("[[candidate]]", "[[candidate]", 1), ("job block:line", "damaged")),
        (lambda p: p.replace("tubecalc-job", "other"), ("holds no job",)),
        (lambda p: p + page_of(job_of()), ("more than one job", "4")),
        (lambda p: "<p>" + "<script " * 200_000, ("holds no job",)),
        (lambda p: "x" * (5 * 2**20 + 1), ("page", "5 MB")),
    ],
    ids=["half", "other number", "not TOML", "other page", "two", "tags", "big"],
)
def test_a_damaged_page_is_refused_and_the_place_named(break_it, words) -> None:
    page = page_of(job_of())
    assert Job.from_html(page) == job_of()
    with pytest.raises(tc.InputError) as caught:
        Job.from_html(break_it(page))
    assert [w for w in words if w not in str(caught.value)] == []


def test_the_line_named_is_that_of_the_page() -> None:
    page = page_of(job_of())
    broken = page.replace("[[candidate]]", "[[candidate]", 1)
    line = broken[: broken.index("[[candidate]")].count("\n") + 1
    with pytest.raises(tc.InputError, match=rf"line {line}:"):
        Job.from_html(broken)


def tried(read, text: str) -> str:
    """The sentence of a refusal, "" where it was read."""
    try:
        read(text)
    except tc.InputError as error:
        return str(error) or "no words"
    return ""


@settings(deadline=None, max_examples=100)
@given(st.one_of(st.text(), st.binary().map(lambda b: b.decode("latin-1"))), st.integers(0, 2000))
def test_noise_never_does_more_than_be_refused(noise: str, at: int) -> None:
    good, page = job_of(walls=WALLS).to_toml(), page_of(job_of())
    said = [
        tried(Job.from_toml, noise + "\n"),
        tried(Job.from_toml, good[:at] + noise + good[at:]),
        tried(Job.from_html, page[:at] + noise + page[at:]),
    ]
    assert "no words" not in said
    assert said[0]


def test_own_walls_stand_beside_those_that_come_with_tubecalc() -> None:
    job = job_of(walls=WALLS)
    assert set(job.constructions) == {"own 1 <b>"}
    assert job.construction("pultruded") is composites()["pultruded"]
    assert job.construction("304") is metals()[job.construction("304").key]
    with pytest.raises(tc.InputError, match="did you mean"):
        job.construction("own 1 b")


def test_version_is_that_of_the_writer() -> None:
    assert job_of().version == tc.__version__
    assert Job.from_toml(job_of(version="0.0.1").to_toml()).version == "0.0.1"
    assert replace(job_of(), units="inch").to_toml() != job_of().to_toml()
    assert job_file.NUMBER == 1
