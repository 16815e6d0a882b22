"""What page `bench` knows: files, what was told of each test, and everything found."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from time import monotonic
from typing import Any

from traitlets import Any as AnyTrait
from traitlets import Dict, HasTraits, Instance, Int, Unicode, observe

from tubecalc.app.bench_told import filled, told_of
from tubecalc.app.state import sentence
from tubecalc.errors import InputError
from tubecalc.job import Job
from tubecalc.share.bench_words import Words
from tubecalc.testing.bench import (
    POINTS,
    Entry,
    Seen,
    digest_of,
    entries_of,
    look,
    read_file,
)
from tubecalc.testing.bench_rows import is_ours, row_of
from tubecalc.testing.bench_sum import summed
from tubecalc.testing.calibrate import Calibration
from tubecalc.testing.curve import Curve

PAGE = "bench"
SECTIONS = {
    "test": "One test", "all": "All tests", "group": "Statistics", "promise": "Against prediction",
    "weight": "Weight for weight", "hand": "By hand",
}  # fmt: skip
LAWS = ("normal", "lognormal", "weibull")
_FREE = ("name", "wall_of", "count", "batch")  # may change without the file
_AWAY = "Its file is not here: drop it on the page again to change this."
MOST = 400  # tests at once
_PATIENCE = 0.7  # seconds without a word
_TOGETHER = 12_000  # points of all curves that a job keeps


@dataclass(frozen=True)
class FileIn:
    """A file that is here."""

    name: str
    digest: str
    content: bytes = field(repr=False, compare=False)


@dataclass(frozen=True)
class BenchChoice:
    """Everything a person set on the page.

    Parameters
    ----------
    job : Job
        The job; its rows of tests are those of the page.
    files : tuple of FileIn
        Files that are here.
    entries : tuple of Entry
        The tests.
    answers : mapping
        Digest of a file -> argument of the reader -> answer.
    kept : mapping
        Digest and number -> test as the job had it, for tests whose file is not here.
    chosen : int
        Place of the test that is shown.
    section, law : str
        What is shown, and the law for basis values.
    on : frozenset
        Construction and check of the factors that are switched on.
    width : int
        Width of the pictures [px].
    apart : bool
        Curves of each construction by themselves.
    hand : mapping
        What is typed of a test without a machine.
    """

    job: Job = field(default_factory=Job)
    files: tuple[FileIn, ...] = ()
    entries: tuple[Entry, ...] = ()
    answers: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    kept: Mapping[tuple[str, int], Seen] = field(default_factory=dict)
    chosen: int = 0
    section: str = "test"
    law: str = "normal"
    on: frozenset[tuple[str, str]] = frozenset()
    width: int = 720
    apart: bool = False
    hand: Mapping[str, str] = field(default_factory=dict)

    @property
    def entry(self) -> Entry | None:
        """The test that is shown."""
        return self.entries[self.chosen] if 0 <= self.chosen < len(self.entries) else None

    def file(self, digest: str) -> FileIn | None:
        """File of a digest, if it is here."""
        return next((f for f in self.files if f.digest == digest), None)

    def get(self, path: str) -> str:
        """What stands in a field: "t." of the test, "r." of how its file is read."""
        group, _, key = path.partition(".")
        entry = self.entry
        if entry is None:
            return ""
        if group == "t":
            return entry.get(key) or ("yes" if key == "count" else "")
        return self.answers.get(entry.digest, {}).get(key, "")


class BenchSession(HasTraits):
    """State of one visitor's page; the only thing that changes.

    Parameters
    ----------
    choice : BenchChoice
        Where to start.
    """

    choice = Instance(BenchChoice)
    words = AnyTrait(None, allow_none=True)
    problems = Dict()  # path of a field of the test shown -> sentence
    refused = Dict()  # name of a file that cannot be read -> sentence
    seen = Int(0)  # counts what is to be shown
    status = Unicode("")

    def __init__(self, choice: BenchChoice) -> None:
        self._read: dict[tuple[Any, ...], list[Curve]] = {}
        self._seen: dict[tuple[Any, ...], Seen] = {}
        self._rows: dict[int, tuple[Seen, tuple[int, dict[str, str]], dict[str, Any]]] = {}
        self._memo: Any = {}
        self._away: dict[str, str] = {}
        super().__init__(choice=choice)

    # ---- changing
    def change(self, **parts: Any) -> None:
        """Change parts of the choice at once."""
        self._away = {}
        self.choice = replace(self.choice, **parts)

    def edit(self, path: str, text: str) -> None:
        """Change what stands in a field.

        Raises
        ------
        InputError
            If the file cannot be read so.
        """
        group, _, key = path.partition(".")
        entry = self.choice.entry
        if entry is None:
            return
        if group == "r":
            self.answer(entry.digest, {key: text})
        elif key in _FREE or self.choice.file(entry.digest) is not None:
            self.put({key: "" if (key, text) == ("count", "yes") else text})
        elif text != entry.get(key):
            self._away = {path: _AWAY}
            self._changed(None)

    def put(self, texts: Mapping[str, str]) -> None:
        """Tell several things of the test that is shown."""
        choice = self.choice
        entry = choice.entry
        if entry is None:
            return
        for key, text in texts.items():
            entry = entry.put(key, text.strip())
        rows = list(choice.entries)
        rows[choice.chosen] = entry
        self.change(entries=tuple(rows))

    def answer(self, digest: str, given: Mapping[str, str]) -> None:
        """Answer questions about a file, and read it again.

        Raises
        ------
        InputError
            If it cannot be read so; the answers stay as they were.
        """
        choice = self.choice
        file = choice.file(digest)
        if file is None:
            raise InputError(_AWAY.rstrip("."))
        told = {**choice.answers.get(digest, {}), **given}
        self._take(file, {k: v for k, v in told.items() if v})

    def ask_again(self, digest: str) -> None:
        """Forget the answers about a file."""
        file = self.choice.file(digest)
        if file is not None:
            self._take(file, {})

    def _take(self, file: FileIn, answers: Mapping[str, str]) -> None:
        """Read a file with these answers; its tests keep what was told of them."""
        curves = self._curves(file, answers)
        choice = self.choice
        old = {e.number: e for e in choice.entries if e.digest == file.digest}
        new = [
            replace(e, texts=old[e.number].texts) if e.number in old else e
            for e in entries_of(file.name, file.content, curves)
        ]
        place = next((k for k, e in enumerate(choice.entries) if e.digest == file.digest),
                     len(choice.entries))  # fmt: skip
        rest = [e for e in choice.entries if e.digest != file.digest]
        entries = (*rest[:place], *new, *rest[place:])
        every = {**choice.answers, file.digest: dict(answers)}
        chosen = min(choice.chosen, len(entries) - 1)
        self.change(entries=entries, answers=every, chosen=chosen)

    def add(self, files: list[tuple[str, bytes]],
            told: Mapping[tuple[str, int], Mapping[str, str]] | None = None) -> None:  # fmt: skip
        """Take in files; a bad one is named and the others go on.

        Parameters
        ----------
        files : list of (name, content)
            What was dropped.
        told : mapping, optional
            Name and number -> what is told of the specimen.
        """
        choice, refused, new = self.choice, {}, 0
        first = len(choice.entries)
        for n, (name, content) in enumerate(files, 1):
            if len(files) > 1:
                self.status = f"Reading {n} of {len(files)}: {name[:80]} …"
            mark = digest_of(content)
            if choice.file(mark) is not None:
                refused[name] = "The same file is here already."
                continue
            file = FileIn(name[:200], mark, content)
            try:
                curves = self._curves(file, choice.answers.get(mark, {}))
                made = entries_of(file.name, content, curves)
                if len(choice.entries) + len(made) > MOST:
                    raise InputError(f"the page holds {MOST} tests at most")
            except InputError as error:
                refused[name] = sentence(error) if error.where else str(error)
                continue
            made = [
                replace(e, texts={**e.texts, **(told or {}).get((name, e.number), {})})
                for e in made
            ]
            choice = _taken_in(choice, file, made)
            new += len(made)
        self.refused = refused
        first = min(first, len(choice.entries) - 1) if new else self.choice.chosen
        self.choice = replace(choice, chosen=max(first, 0))
        self.status = told_of(new, len(files) - len(refused), len(refused))

    def remove(self) -> None:
        """Take the test that is shown away."""
        choice = self.choice
        rows = [e for k, e in enumerate(choice.entries) if k != choice.chosen]
        here = {e.digest for e in rows}
        self.change(entries=tuple(rows), files=tuple(f for f in choice.files if f.digest in here),
                    chosen=max(0, min(choice.chosen, len(rows) - 1)))  # fmt: skip

    def spread(self) -> int:
        """Tell the tests of which nothing is told what is told of the one shown; how many."""
        choice, count, rows = self.choice, 0, []
        given = choice.entry
        for k, e in enumerate(choice.entries):
            texts = dict(e.texts)
            if given is not None and k != choice.chosen and choice.file(e.digest) is not None:
                texts = filled(texts, given)
            count += texts != dict(e.texts)
            rows.append(replace(e, texts=texts))
        self.change(entries=tuple(rows))
        return count

    # ---- finding
    def _curves(self, file: FileIn, answers: Mapping[str, str]) -> list[Curve]:
        key = (file.digest, file.name, *sorted(answers.items()))
        if key not in self._read:
            self._read[key] = read_file(file.name, file.content, answers)
        return self._read[key]

    def _look(self, entry: Entry) -> Seen:
        choice = self.choice
        file = choice.file(entry.digest)
        if file is None:
            kept = choice.kept[entry.digest, entry.number]
            return kept if kept.entry == entry else replace(kept, entry=entry)
        answers = choice.answers.get(entry.digest, {})
        frame: Any = entry.get("frame").strip() or None
        other = next((f for f in choice.files if f.name == frame), None)
        behind = (
            () if other is None else (other.digest, *choice.answers.get(other.digest, {}).items())
        )
        key = (file.digest, file.name, entry.number, *sorted(answers.items()), "told",
               *sorted(entry.texts.items()), "frame", *behind)  # fmt: skip
        if key not in self._seen:
            if len(self._seen) > 4 * MOST:
                self._seen.clear()
                self._memo.clear()
                self._rows.clear()
            if other is not None:
                frame = self._curves(other, choice.answers.get(other.digest, {}))[0]
            self._seen[key] = look(entry, self._curves(file, answers)[entry.number], frame)
        return self._seen[key]

    def _look_all(self) -> list[Seen]:
        """All tests; where it takes long, how far it is."""
        out, start, told = [], monotonic(), False
        count = len(self.choice.entries)
        for n, entry in enumerate(self.choice.entries):
            if monotonic() - start > _PATIENCE:
                self.status, start, told = f"Reducing {n + 1} of {count} …", monotonic(), True
            out.append(self._look(entry))
        if told:
            self.status = f"Reduced {count} tests."
        return out

    @observe("choice")
    def _changed(self, _: Any) -> None:
        choice = self.choice
        tests = self._look_all()
        summary = summed(tests, choice.job.construction, choice.law, self._memo)
        calibration = Calibration(summary.biases)
        for key in sorted(choice.on):
            try:
                calibration = calibration.switched(*key)
            except InputError:
                self.status = f"The factor for {', '.join(key)} is off: the tests do not carry it."
        self.words = words = Words(summary, choice.job, calibration, choice.chosen, choice.hand)
        found = dict(tests[choice.chosen].problems) if choice.entry is not None else {}
        self.problems = {
            **{f"t.{k}" if k else "": words.heard(v) for k, v in found.items()},
            **self._away,
        }
        self.seen += 1

    def rows(self) -> list[dict[str, Any]]:
        """Tests as rows of a job."""
        out = []
        points = max(40, min(POINTS, _TOGETHER // max(len(self.choice.entries), 1)))
        for seen in self.words.summary.tests:
            told = points, dict(self.choice.answers.get(seen.entry.digest, {}))
            had = self._rows.get(id(seen))
            if had is None or had[0] is not seen or had[1] != told:
                had = self._rows[id(seen)] = (seen, told, row_of(seen, told[1], points))
            out.append(had[2])
        return out

    def job(self) -> Job:
        """The job with the tests and the state of the page in it."""
        choice = self.choice
        others = [row for row in choice.job.tests if not is_ours(row)]
        on = [list(k) for k in sorted(choice.on)]
        state: dict[str, Any] = {"section": choice.section, "chosen": choice.chosen,
                                 "law": choice.law, "on": on, "apart": choice.apart}  # fmt: skip
        page = {k: v for k, v in choice.job.page.items() if k != PAGE}
        state |= {"hand": dict(choice.hand)} if choice.hand else {}
        if choice.entries or choice.hand:
            page[PAGE] = state
        before = choice.job.page.get(PAGE, {}).get("on")
        need = choice.job.need
        if self.words.calibration.on or before:  # else what a need file says stays as it is
            need = self.words.calibration.need(need)
        return replace(choice.job, need=need, tests=(*others, *self.rows()), page=page)


def _taken_in(choice: BenchChoice, file: FileIn, made: list[Entry]) -> BenchChoice:
    """Choice with a file; tests that the job had of it keep what was told of them."""
    old = {e.number: e for e in choice.entries if e.digest == file.digest}
    new = tuple(replace(e, texts={**e.texts, **old[e.number].texts}) if e.number in old else e
                for e in made)  # fmt: skip
    rest = tuple(e for e in choice.entries if e.digest != file.digest)
    return replace(choice, files=(*choice.files, file), entries=(*rest, *new))


__all__ = [
    "LAWS", "MOST", "PAGE", "SECTIONS", "BenchChoice", "BenchSession", "FileIn",
]  # fmt: skip
