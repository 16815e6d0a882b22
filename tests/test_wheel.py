"""A wheel built from the tree works on its own, away from the checkout, in its own venv."""

from __future__ import annotations

import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
pytestmark = pytest.mark.slow


def run(*command: str | Path, cwd: Path, code: int = 0) -> str:
    """Run a command outside the checkout and give what it printed."""
    plain = {k: v for k, v in os.environ.items() if k not in ("PYTHONPATH", "VIRTUAL_ENV")}
    done = subprocess.run(
        [str(part) for part in command], cwd=cwd, env=plain, capture_output=True, text=True
    )
    assert done.returncode == code, done.stdout + done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    run(sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "-w", folder, ROOT, cwd=folder)
    (path,) = folder.glob("tubecalc-*.whl")
    return path


@pytest.fixture(scope="module")
def bin_dir(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Programs of a fresh venv with the wheel and what it declares, nothing else."""
    venv = tmp_path_factory.mktemp("installed") / "venv"
    run(sys.executable, "-m", "venv", venv, cwd=venv.parent)
    run(venv / "bin" / "pip", "install", "-q", wheel, cwd=venv.parent)
    return venv / "bin"


def test_wheel_holds_every_file_of_package_data_and_notebooks(wheel: Path) -> None:
    """What lies in the three folders of the checkout lies in the wheel, and no more."""
    names = set(zipfile.ZipFile(wheel).namelist())
    inside = {"tubecalc": "tubecalc", "data": "tubecalc/_data", "notebooks": "tubecalc/_notebooks"}
    for folder, place in inside.items():
        here = {
            f"{place}/{p.relative_to(ROOT / folder).as_posix()}"
            for p in (ROOT / folder).rglob("*")
            if p.is_file() and not {"__pycache__", ".ipynb_checkpoints"} & set(p.parts)
        }
        assert here
        assert here - names == set()
    assert {name.split("/")[0] for name in names if "dist-info" not in name} == {"tubecalc"}


def test_installed_package_finds_its_own_data_and_notebooks(bin_dir: Path, tmp_path: Path) -> None:
    """Nothing is read from the checkout."""
    code = (
        "import tubecalc as tc\n"
        "from tubecalc.datafiles import data_dir, notebooks_dir\n"
        "assert len(tc.materials()) and len(tc.constructions())\n"
        "assert (notebooks_dir() / 'choose.ipynb').is_file()\n"
        "print(tc.__file__); print(data_dir()); print(notebooks_dir())\n"
    )
    for place in run(bin_dir / "python", "-c", code, cwd=tmp_path).splitlines():
        assert Path(place).is_relative_to(bin_dir.parent.resolve())


def test_installed_command_picks_a_tube(bin_dir: Path, tmp_path: Path) -> None:
    """The command works from a folder that has only the need file."""
    (tmp_path / "need.toml").write_text(
        'format = 1\ntitle = "Rod"\n[[case]]\nkind = "strut"\nload = "-100 N"\nspan = "300 mm"\n',
        encoding="utf-8",
    )
    out = run(
        bin_dir / "tubecalc", "pick", "need.toml", "--od", "6:12:2 mm", "--wall", "1:2:0.5 mm",
        cwd=tmp_path,
    )  # fmt: skip
    assert "Chosen:" in out
    assert run(bin_dir / "python", "-m", "tubecalc", "--version", cwd=tmp_path).startswith(
        "tubecalc "
    )
