"""Words and tables of the tests on the bench, for the page, the report and the workbook alike."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from tubecalc.checks import CHECKS
from tubecalc.errors import InputError
from tubecalc.job import Job
from tubecalc.laminate.construction import composites, metals
from tubecalc.share.bench_bars import Bar, bar_picture, plain
from tubecalc.share.bench_figures import (
    NONE,
    count,
    figure,
    of_seen,
    peak,
    size,
    slope,
    yielded,
)
from tubecalc.share.bench_over import Trace, over_picture
from tubecalc.share.bench_parity import Spot, ratio_picture
from tubecalc.share.bench_units import heard
from tubecalc.share.palette import Style, style
from tubecalc.share.scene import Scene
from tubecalc.testing.basis_value import Basis
from tubecalc.testing.bench_sum import KIND_WORDS, STIFF, Stat, Summary, Weighed, no_modulus
from tubecalc.testing.by_hand_read import ByHand, by_hand
from tubecalc.testing.calibrate import STIFF as STIFF_WORDS
from tubecalc.testing.calibrate import Calibration, Ratio
from tubecalc.testing.predict import bending_said
from tubecalc.testing.result import FAILURE_WORDS, TestResult
from tubecalc.unit_display import in_unit, show, unit_label
from tubecalc.verdict import check

Heads = tuple[tuple[str, bool], ...]
Rows = list[tuple[str, ...]]
Table = tuple[Heads, Rows]


@dataclass(frozen=True)
class Words:
    """Tests of a job in words.

    Parameters
    ----------
    summary : Summary
        What the tests say together.
    job : Job
        With units and own walls.
    calibration : Calibration
        Which factors are switched on.
    chosen : int
        The test that stands out in pictures; -1 for none.
    hand : mapping
        What is typed of a test without a machine.
    """

    summary: Summary
    job: Job
    calibration: Calibration = field(default_factory=lambda: Calibration(()))
    chosen: int = -1
    hand: Mapping[str, str] = field(default_factory=dict)

    # ---- units
    @cached_property
    def names(self) -> tuple[str, ...]:
        """Names that somebody gave: of specimens, files and own walls."""
        tests = self.summary.tests
        keys = dict.fromkeys(s.entry.get("wall_of") for s in tests)
        given = [*(s.name for s in tests), *(s.entry.file for s in tests), *keys,
                 *(self.name(k) for k in keys)]  # fmt: skip
        return tuple(dict.fromkeys(n for n in given if n != NONE))

    def heard(self, text: str) -> str:
        """A sentence on the tests in the display system of the job; given names stay."""
        return heard(text, self.job.units, self.names)

    @property
    def said(self) -> list[str]:
        """Contradictions between the tests, and what spans and directions tell."""
        return [self.heard(t) for t in self.summary.said]

    # ---- constructions
    def name(self, key: str) -> str:
        """Name of a construction, a dash where it is not told."""
        if not key:
            return NONE
        try:
            return self.job.construction(key).name
        except InputError:
            return key

    def style(self, key: str) -> Style:
        """Style of a construction; grey where it is not told."""
        if key in composites() or key in metals():
            c = self.job.construction(key)
            return style(key, c.hatch, metal=c.metal)
        own = list(self.job.constructions)
        if key not in own:
            return Style("not-said", "#9A9EA6", "axial")
        return style(key, "axial", order=own.index(key))

    @cached_property
    def styles(self) -> tuple[Style, ...]:
        """Styles in use."""
        keys = dict.fromkeys(s.entry.get("wall_of") for s in self.summary.tests)
        return tuple(self.style(k) for k in keys)

    # ---- results
    def results(self) -> Table:
        """Results of every test."""
        u = self.job.units
        heads: Heads
        heads = (("test", False), ("construction", False), ("kind", False), ("size", False),
                 ("failure", False), ("largest", True), ("yield", True), ("stiffness", True),
                 ("EI, EA or GJ", True), ("modulus", True), ("energy", True))  # fmt: skip
        batches = any(s.entry.get("batch").strip() for s in self.summary.tests)
        heads = (*heads, ("batch", False)) if batches else heads
        rows: Rows = []
        for n, seen in enumerate(self.summary.tests, 1):
            r = seen.result
            head = (f"{n} {seen.name}", self.name(seen.entry.get("wall_of")))
            if r is None:
                why = next(iter(seen.problems.values()), "not reduced")
                rows.append((*head, NONE, self.heard(why), *(NONE,) * (len(heads) - 4)))
                continue
            batch = (seen.entry.get("batch").strip() or NONE,) if batches else ()
            left_out = "" if seen.entry.counted else ", left out"
            energy = NONE if math.isnan(r.si["energy"]) else f"{plain(r.si['energy'], 3)} J"
            rows.append((
                *head, KIND_WORDS[r.kind], size(r, u),
                FAILURE_WORDS.get(r.failure, r.failure) + left_out, peak(r, u), yielded(r, u),
                slope(r, u), self._section(r), figure(r.si["modulus"], "modulus", u), energy,
                *batch,
            ))  # fmt: skip
        return heads, rows

    def _section(self, r: TestResult) -> str:
        key = STIFF.get(r.kind, "EI")
        if key == "modulus" or no_modulus(r):
            return NONE
        kind = "EA" if key == "EA" else "bending_stiffness"
        if math.isnan(r.si[key]):
            return NONE
        least = "at least " if r.section_is_at_least else ""
        return f"{key} {least}{figure(r.si[key], kind, self.job.units)}"

    def beside(self, place: int) -> list[str]:
        """Everything that must be said beside the figures of a test."""
        seen = self.summary.tests[place]
        told = [self.heard(t) for t in of_seen(seen)]
        if seen.result is None:
            return told
        found = self.summary.beyond.get(place)
        return [*told, *bending_said(seen.result, found, self.job.units)]

    # ---- statistics
    def statistics(self) -> Table:
        """Mean, spread, interval and basis values of every group."""
        heads = (("group", False), ("figure", False), ("tests", True), ("mean", True),
                 ("spread", True), ("mean lies between", True), ("B-basis", False),
                 ("A-basis", False))  # fmt: skip
        rows: Rows = []
        for g in self.summary.groups:
            title = self.heard(g.title)
            for n, s in enumerate(g.stats):
                rows.append((title if not n else "", s.label, count(s), *self._spread(s),
                             *(self._basis(s, k) for k in "BA")))  # fmt: skip
        return heads, rows

    def _spread(self, s: Stat) -> tuple[str, str, str]:
        u, kind, m = self.job.units, "EA" if s.key == "EA" else s.unit_kind, s.sample
        if math.isnan(m.mean):
            return f"at least {figure(m.most, kind, u)}", NONE, NONE
        spread = NONE if m.n < 2 or math.isnan(m.variation) else f"{100 * m.variation:.3g} %"
        between = NONE
        if m.n > 1 and math.isfinite(m.low) and m.high > m.low:
            between = f"{figure(m.low, kind, u)} to {figure(m.high, kind, u)}"
        return figure(m.mean, kind, u), spread, between

    def _basis(self, s: Stat, kind: str) -> str:
        found = s.basis if s.batches is None else s.batches.values
        told = found.get(kind)
        if told is None:
            return NONE
        if isinstance(told, Basis):
            how = told.distribution
            if s.batches is not None:
                pooled = s.batches.alike is not None and s.batches.alike.pooled
                how = f"{how}, pooled" if pooled else "between batches"
            return f"{figure(float(told), s.unit_kind, self.job.units)} ({how})"
        first = found.get("B")
        return "none, as for B" if kind == "A" and isinstance(first, str) else self.heard(told)

    def notes(self) -> list[str]:
        """What must be said beside the statistics."""
        out = []
        for g in self.summary.groups:
            for s in g.stats:
                told = [*s.sample.notes]
                found = s.basis if s.batches is None else s.batches.values
                told += [] if s.batches is None else [s.batches.sentence]
                told += [n for b in found.values() if isinstance(b, Basis) for n in b.notes]
                out += [f"{g.title}, {s.label}: {n}" for n in told]
        return [self.heard(t) for t in dict.fromkeys(out)]

    # ---- against prediction
    def ratios(self) -> Table:
        """Measured over promised, test by test."""
        heads = (("test", False), ("construction", False), ("check", False), ("failure", False),
                 ("measured", True), ("promised", True), ("one over the other", True))  # fmt: skip
        rows: Rows = []
        for n, r in self.summary.ratios:
            sign = "at least " if r.at_least else ""
            rows.append((
                f"{n + 1} {self.summary.tests[n].name}", self.name(r.construction), r.label,
                FAILURE_WORDS.get(r.failure, r.failure), sign + self._value(r, r.measured),
                self._value(r, r.promised), f"{sign}{r.ratio:.3g}",
            ))  # fmt: skip
        return heads, rows

    def _value(self, r: Ratio, value: float) -> str:
        kind = {"load": "force", "torque": "torque", "EA": "EA"}.get(r.quantity)
        return figure(value, kind or "bending_stiffness", self.job.units)

    def biases(self) -> list[str]:
        """How far each check is off, one sentence each, constructions by their names."""
        return [
            b.sentence().replace(f"{b.construction}, ", f"{self.name(b.construction)}, ", 1)
            for b in self.summary.biases
        ]

    def unsaid(self) -> list[str]:
        """For which tests nothing is promised, and why."""
        tests = self.summary.tests
        return [f"{n + 1} {tests[n].name}: nothing is promised, {self.heard(why).rstrip('.')}."
                for n, why in self.summary.unsaid.items()]  # fmt: skip

    def calibrated(self) -> list[str]:
        """What is switched on; empty where nothing is."""
        lines = self.calibration.lines()
        for key in {f.construction for f in self.calibration.factors}:
            lines = [ln.replace(f": {key}, ", f": {self.name(key)}, ") for ln in lines]
        return lines

    def parity(self, *, width: float = 720.0) -> Scene:
        """Measured over promised by check; rings for what is only "at least"."""
        spots = [
            Spot(r.label, r.ratio, self.style(r.construction), r.at_least)
            for _, r in self.summary.ratios
        ]
        spots.sort(key=lambda s: s.row not in STIFF_WORDS.values())
        says = " ".join([f"{len(spots)} measured values over promised ones.", *self.biases()])
        return ratio_picture(spots, width=width, says=says)

    def effect(self) -> list[str]:
        """What the factors that are on do to the tubes of the job; nothing where none is on."""
        out = self.calibrated()
        on = {key for key, _ in self.calibration.on}
        for c in self.job.candidates:
            if c.wall not in on or not self.job.need.cases:
                continue
            tube = c.tube(self.job)
            needs = (Calibration(()).need(self.job.need), self.calibration.need(self.job.need))
            plain, own = (check(tube, n).reserve for n in needs)
            name = c.label.strip() or self.name(c.wall)
            size = f"{show(c.od, 'length', self.job.units)} outside"
            out += [
                f"{name}, {size}: {CHECKS[k].label} {plain[k]:.3g} as computed, {own[k]:.3g} "
                "with what the tests leave."
                for k in plain.index if own[k] < plain[k]
            ]  # fmt: skip
        return out

    # ---- without a machine
    def by_hand(self) -> ByHand | None:
        """Test without a machine, told and answered; None where none is, or it is not complete."""
        try:
            return by_hand(self.hand, self.job.construction, self.job.units)
        except InputError:
            return None

    def by_hand_notes(self) -> list[str]:
        """What must be said beside a test without a machine."""
        found = self.by_hand()
        return [] if found is None else [heard(n, self.job.units) for n in found.answer.notes]

    # ---- pictures
    def overlays(
        self, *, width: float = 720.0, height: float = 340.0, apart: bool = False
    ) -> list[tuple[str, Scene]]:
        """Curves of each kind of test over each other: title and picture.

        Parameters
        ----------
        width, height : float
            Size of each [px].
        apart : bool
            One picture for each construction too.
        """
        kinds: dict[tuple[str, str], list[Trace]] = {}
        for n, s in enumerate(self.summary.tests):
            if s.result is not None and len(s.x):
                key = s.entry.get("wall_of")
                trace = Trace(n + 1, s, self.style(key), n == self.chosen)
                kinds.setdefault((s.result.kind, key if apart else ""), []).append(trace)
        out = []
        for (kind, key), traces in kinds.items():
            names = ", ".join(f"{t.number} {t.seen.name}" for t in traces)
            what = KIND_WORDS[kind] + (f", {self.name(key)}" if apart and key else "")
            title = f"{what}: load over travel from each origin. {names}."
            picture = over_picture(traces, self.job.units, width=width, height=height, title=title)
            out.append((what, picture))
        return out

    def weights(self, *, width: float = 460.0) -> list[Scene]:
        """Weight for weight: largest load and stiffness of each kind of test."""
        kinds: dict[str, list[Weighed]] = {}
        for w in self.summary.weighed:
            r = self.summary.tests[w.place].result
            if r is not None:
                kinds.setdefault(r.kind, []).append(w)
        out = []
        for kind, rows in kinds.items():
            for peaks in (True, False):
                bars, label = self._bars(kind, rows, peaks=peaks)
                if bars:
                    out.append(bar_picture(bars, label, width=width))
        return out

    def _bars(self, kind: str, rows: Sequence[Weighed], *, peaks: bool) -> tuple[list[Bar], str]:
        u = self.job.units
        per = unit_label("linear_density", u)
        mass = in_unit(1.0, "linear_density", u)
        quantity = rows[0].quantity
        if peaks:
            load = "torque" if kind == "torsion" else "force"
            factor, unit = in_unit(1.0, load, u), unit_label(load, u)
            what = "largest torque" if kind == "torsion" else "largest load"
        elif quantity == "EA":
            factor, unit, what = in_unit(1.0, "force", u), unit_label("force", u), "EA"
            if u == "SI":
                factor, unit = factor / 1e3, "kN"
        else:
            factor = in_unit(1.0, "bending_stiffness", u)
            unit, what = unit_label("bending_stiffness", u), quantity
        bars = []
        for w in rows:
            value = w.peak if peaks else w.stiffness
            if math.isfinite(value) and value > 0:
                seen = self.summary.tests[w.place]
                open_end = bool(peaks and seen.result and seen.result.peak_is_at_least)
                bars.append(Bar(f"{w.place + 1} {seen.name}", value * factor / mass,
                                self.style(seen.entry.get("wall_of")), open_end))  # fmt: skip
        return bars, f"{KIND_WORDS[kind]}: {what}, {unit} per {per}"


__all__ = [
    "NONE", "Heads", "Rows", "Table", "Words", "figure", "of_seen", "peak", "size", "slope",
]  # fmt: skip
