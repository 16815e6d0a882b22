"""The ground everything stands on: top level, declared packages, floors, README, plain paths."""

from __future__ import annotations

import ast
import inspect
import json
import re
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import Any

import pytest
import yaml

import tubecalc

ROOT = Path(__file__).resolve().parent.parent
PYPROJECT: dict[str, Any] = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
README = (ROOT / "README.md").read_text(encoding="utf-8")

TOP_LEVEL = {
    "README.md", "DEVELOPERS.md", "pyproject.toml", "environment.yml",
    "notebooks", "tubecalc", "data", "tests",
}  # fmt: skip
MADE_BY_TOOLS = {"build", "dist", "__pycache__"}

# Floors of the house, ground first: a module may import from its own floor or from below.
# "need" also stands for need_file and the like.
FLOORS = [
    ("errors",),
    ("units", "unit"),
    ("datafiles",),
    ("values",),
    ("materials",),
    ("laminate", "stock"),
    ("wall",),
    ("section", "ring", "thickwall"),
    ("shell", "loadpoint", "beam", "environment"),
    ("need", "loads"),
    ("checks",),
    ("plystress", "tube"),
    ("sweep", "explain", "shortlist", "verdict"),
    ("job", "compare"),
    ("layup_search", "testing", "joining", "making"),
    ("evidence",),
    ("share",),
    ("app",),
    ("cli", "__main__"),
]

# Where the name one imports is not the name one installs.
DISTRIBUTION = {
    "yaml": "pyyaml", "PIL": "pillow", "IPython": "ipython",
    "axe_playwright_python": "axe-playwright-python",
}  # fmt: skip


def files(*suffixes: str, under: str = "") -> list[Path]:
    """Text files of the tree that are ours: no hidden folders, no build products."""
    found = [p for p in (ROOT / under).rglob("*") if p.suffix in suffixes and p.is_file()]
    skip = MADE_BY_TOOLS | {"node_modules"}
    return sorted(
        p
        for p in found
        if not any(part.startswith(".") or part in skip for part in p.relative_to(ROOT).parts[:-1])
    )


def modules() -> list[Path]:
    return files(".py", under="tubecalc")


def name_of(path: Path) -> str:
    return str(path.relative_to(ROOT))


def distribution(requirement: str) -> tuple[str, str]:
    """Split ``"voila>=0.5,<0.6"`` into its name and its range."""
    plain = requirement.split(";")[0].strip()
    found = re.fullmatch(r"([A-Za-z0-9_.-]+)\s*(.*)", plain)
    assert found, requirement
    return found[1].lower(), found[2].replace(" ", "")


def declared(*extras: str) -> dict[str, str]:
    project = PYPROJECT["project"]
    wanted = list(project["dependencies"])
    for extra in extras:
        wanted += project["optional-dependencies"][extra]
    return dict(distribution(r) for r in wanted)


def imported(path: Path) -> set[str]:
    """Top-level names a file imports anywhere, also inside functions."""
    names: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name.split(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.level == 0:
            names.add((node.module or "").split(".")[0])
        elif isinstance(node, ast.Call) and ast.unparse(node.func) == "pytest.importorskip":
            names.add(ast.literal_eval(node.args[0]).split(".")[0])
    return names


# --- the tree -------------------------------------------------------------------------------


def test_top_level_holds_what_the_design_names_and_nothing_else() -> None:
    """The top level is fixed; a new file finds its place inside a folder."""
    seen = {p.name for p in ROOT.iterdir() if not p.name.startswith(".")} - MADE_BY_TOOLS
    seen = {name for name in seen if not name.endswith(".egg-info")}
    assert seen == TOP_LEVEL


def test_no_committed_text_names_a_folder_of_some_machine() -> None:
    """Whoever clones the tree has other folders than the one who wrote it."""
    pattern = re.compile(r"(?<![\w.$}/-])/(?:work|tmp|root|home|opt)/[\w.-]+")
    texts = files(".py", ".md", ".toml", ".yml", ".yaml", ".csv", ".ipynb", ".html", ".css", ".js")
    texts += [ROOT / ".ci" / "run"]
    hits = [f"{name_of(p)}: {m}" for p in texts for m in pattern.findall(p.read_text("utf-8"))]
    assert hits == []


def test_ci_asks_for_every_system_part_and_skips_no_browser_test() -> None:
    """What a bare machine lacks is installed there; the solver joins when a test runs it."""
    text = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert "set -euo pipefail" in text
    assert "TUBECALC_REQUIRE_BROWSER=1" in text
    parts = ["chromium", "fonts-dejavu-core"]
    uses_solver = any(
        "mark.solver" in p.read_text("utf-8")
        for p in files(".py", under="tests")
        if p != Path(__file__)
    )
    parts += ["calculix-ccx", "TUBECALC_REQUIRE_SOLVER=1"] if uses_solver else []
    assert [part for part in parts if part not in text] == []
    subprocess.run(["bash", "-n", str(ROOT / ".ci" / "run")], check=True)


# --- packages -------------------------------------------------------------------------------


def test_environment_and_pyproject_ask_for_the_same_packages_and_ranges() -> None:
    """Conda users and pip users get one and the same product."""
    env = yaml.safe_load((ROOT / "environment.yml").read_text(encoding="utf-8"))
    plain = [d for d in env["dependencies"] if isinstance(d, str)]
    (pip,) = [d["pip"] for d in env["dependencies"] if isinstance(d, dict)]
    assert "-e ." in pip
    listed = dict(distribution(d) for d in plain + pip if d not in ("pip", "-e ."))
    python = listed.pop("python")
    assert python == PYPROJECT["project"]["requires-python"]
    assert listed == declared("test", "lint")


@pytest.mark.parametrize("path", modules(), ids=name_of)
def test_every_package_the_product_imports_is_declared(path: Path) -> None:
    """What a fresh install lacks would only show on the user's machine."""
    own = set(sys.stdlib_module_names) | {"tubecalc", "__future__"}
    # These come with the declared package named first; nothing else may be leaned on.
    carried = {"traitlets": "ipywidgets", "tornado": "voila", "jupyter_server": "voila"}
    carried |= {"IPython": "ipykernel", "jupyter_client": "ipykernel", "jinja2": "voila"}
    carried |= {"nbformat": "voila", "dateutil": "pandas", "PIL": "matplotlib"}
    wanted = {carried.get(n, DISTRIBUTION.get(n, n)).lower() for n in imported(path) - own}
    assert wanted - set(declared()) == set()


def test_every_package_the_tests_import_is_in_the_test_extra() -> None:
    """`pip install -e '.[test]'` is all that README asks for."""
    own = set(sys.stdlib_module_names) | {"tubecalc", "tests", "__future__", "conftest"}
    carried = {"traitlets": "ipywidgets", "nbformat": "nbclient", "PIL": "matplotlib"}
    carried |= {"jupyter_client": "nbclient", "tornado": "voila", "IPython": "ipykernel"}
    local = {p.stem for p in files(".py", under="tests")}
    local |= {p.name for p in (ROOT / "tests").rglob("*") if p.is_dir()}
    wanted: dict[str, str] = {}
    for path in files(".py", under="tests"):
        for name in imported(path) - own - local:
            wanted[carried.get(name, DISTRIBUTION.get(name, name)).lower()] = name_of(path)
    assert {k: v for k, v in wanted.items() if k not in declared("test")} == {}


def test_importing_tubecalc_brings_no_drawing_and_no_widgets() -> None:
    """A script or a kernel start pays only for the arithmetic."""
    heavy = ("matplotlib", "ipywidgets", "voila", "IPython", "openpyxl", "scipy", "pandas")
    code = f"import sys, tubecalc; print([m for m in {heavy!r} if m in sys.modules])"
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, cwd=ROOT, check=True
    )
    assert done.stdout.strip() == "[]"


# --- the house ------------------------------------------------------------------------------


def floor(module: str) -> int:
    """Number of the floor on which ``tubecalc.<module>`` lies."""
    first = module.split(".")[1]
    for number, names in enumerate(FLOORS):
        if any(first == name or first.startswith(f"{name}_") for name in names):
            return number
    raise AssertionError(f"{module} is on no floor: add it to FLOORS and to DEVELOPERS.md")


def own_imports(path: Path) -> set[str]:
    """Full names of the tubecalc modules a module imports, also inside functions."""
    parts = list(path.relative_to(ROOT).with_suffix("").parts)
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {a.name for a in node.names if a.name.startswith("tubecalc.")}
        elif isinstance(node, ast.ImportFrom):
            base = (node.module or "").split(".") if node.module else []
            if node.level:
                keep = parts[: len(parts) - node.level]
                base = keep + base
            if base[:1] == ["tubecalc"]:
                names = [".".join([*base, a.name]) for a in node.names]
                found |= set(names) if len(base) == 1 else {".".join(base)}
    return found


@pytest.mark.parametrize(
    "path", [p for p in modules() if name_of(p) != "tubecalc/__init__.py"], ids=name_of
)
def test_imports_go_downward(path: Path) -> None:
    """A floor leans on the floors below it, never the other way round."""
    here = floor(".".join(path.relative_to(ROOT).with_suffix("").parts))
    known = {p.relative_to(ROOT).parts[1].removesuffix(".py") for p in modules()}
    targets = {t for t in own_imports(path) if t.split(".")[1] in known}
    assert [t for t in sorted(targets) if floor(t) > here] == []


@pytest.mark.parametrize("path", modules(), ids=name_of)
def test_modules_stay_short(path: Path) -> None:
    """Style: a module over 500 lines is split by what it is about."""
    count = path.read_text(encoding="utf-8").count("\n")
    assert count <= 500


def contract() -> list[tuple[str, Any]]:
    """Functions and public methods that `import tubecalc as tc` offers."""
    found: list[tuple[str, Any]] = []
    for name in tubecalc.__all__:
        thing = getattr(tubecalc, name)
        if inspect.isclass(thing):
            members = inspect.getmembers(
                thing, lambda m: inspect.isfunction(m) or inspect.ismethod(m)
            )
            found += [(f"{name}.{k}", m) for k, m in members if not k.startswith("_")]
        elif inspect.isfunction(thing) and thing.__module__.startswith("tubecalc"):
            found.append((name, thing))
    return found


@pytest.mark.parametrize(("name", "function"), contract(), ids=[name for name, _ in contract()])
def test_contract_docstrings_name_every_parameter(name: str, function: Any) -> None:
    """What one may pass to a public function is written down, each argument by name."""
    lines = (inspect.getdoc(function) or "").splitlines()
    assert lines
    heads = [line.split(" : ")[0] for line in lines if re.match(r"^[\w*][\w*, ]*( : |$)", line)]
    described = {word.strip(" *") for head in heads for word in head.split(",")}
    assert set(inspect.signature(function).parameters) - {"self", "cls"} - described == set()


# --- notebooks ------------------------------------------------------------------------------


@pytest.mark.parametrize("path", files(".ipynb", under="notebooks"), ids=name_of)
def test_notebooks_are_thin_and_carry_no_output(path: Path) -> None:
    """A title, a paragraph, one call: no logic, no stored results, no state."""
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    code = [c for c in cells if c["cell_type"] == "code"]
    assert len(code) <= 2
    assert all(c["outputs"] == [] and c["execution_count"] is None for c in code)
    assert sum(len("".join(c["source"]).splitlines()) for c in code) <= 6


# --- README ---------------------------------------------------------------------------------


def test_readme_sets_everything_up_in_two_lines_from_a_bare_python() -> None:
    """One line opens the pages, one runs the tests, each in its own venv."""
    commands = [line for line in README.splitlines() if line.startswith("python3 -m venv ")]
    assert len(commands) == 2
    serve, tests = commands
    assert serve.endswith("tubecalc serve")
    assert tests.endswith("pytest")
    assert all("pip install" in c for c in commands)


def test_readme_shows_a_picture_that_exists() -> None:
    """The picture is made from the running product by tests/pictures.py."""
    pictures = re.findall(r"!\[[^\]]+\]\(([^)]+)\)", README)
    assert "data/pictures/choose.png" in pictures
    for picture in pictures:
        assert (ROOT / picture).read_bytes().startswith(b"\x89PNG")


def test_readme_examples_do_what_they_say() -> None:
    """Every Python block of README is run as a doctest."""
    import doctest

    blocks = re.findall(r"```python\n(.*?)```", README, flags=re.S)
    assert blocks
    parser, runner = doctest.DocTestParser(), doctest.DocTestRunner(verbose=False)
    scope: dict[str, Any] = {}
    for number, block in enumerate(blocks):
        test = parser.get_doctest(block, scope, f"README block {number + 1}", "README.md", 0)
        assert test.examples
        runner.run(test, clear_globs=False)
        scope = test.globs
    assert runner.failures == 0
