"""A wheel installed outside the checkout holds all that it needs: its commands run, from any folder."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import sysconfig
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
NOT_SHIPPED = shutil.ignore_patterns("__pycache__", "*.pyc")


def run(*words: str | Path, cwd: Path, **env: str) -> subprocess.CompletedProcess[str]:
    clean = {k: v for k, v in os.environ.items() if k not in ("PYTHONPATH", "DRYFIT_CACHE", "XDG_CACHE_HOME")}
    command = [str(w) for w in words]
    return subprocess.run(command, cwd=cwd, env={**clean, **env}, capture_output=True, text=True, check=False)


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel of this checkout, made from a copy so that nothing is written here."""
    source, made = tmp_path_factory.mktemp("source"), tmp_path_factory.mktemp("wheel")
    for name in ("pyproject.toml", "README.md", "LICENSE"):
        shutil.copy(ROOT / name, source)
    shutil.copytree(ROOT / "solids", source / "solids", ignore=NOT_SHIPPED)
    done = run(sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "-w", made, ".", cwd=source)
    if "No matching distribution" in done.stderr or "Could not find a version" in done.stderr:
        pytest.skip("setuptools could not be had here")
    assert done.returncode == 0, done.stderr
    (found,) = made.glob("dryfit-*.whl")
    return found


@pytest.fixture(scope="module")
def place(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a fresh environment: the wheel, and the libraries that are here; not the checkout."""
    place = tmp_path_factory.mktemp("elsewhere")
    assert run(sys.executable, "-m", "venv", "--without-pip", place / "env", cwd=place).returncode == 0
    where = "import sysconfig; print(sysconfig.get_path('purelib'))"
    packages = Path(run(place / "env/bin/python", "-c", where, cwd=place).stdout.strip())
    # Paths named in a .pth file are searched, but .pth files in them, as that of the checkout, are not obeyed.
    (packages / "libraries.pth").write_text("\n".join({sysconfig.get_path(k) for k in ("purelib", "platlib")}))
    words = ["-m", "pip", "--python", place / "env", "install", "-q", "--no-deps", "--no-index", wheel]
    done = run(sys.executable, *words, cwd=place)
    assert done.returncode == 0, done.stderr
    return place


def test_every_file_of_the_package_is_in_the_wheel(wheel: Path) -> None:
    here = {p.relative_to(ROOT).as_posix() for p in (ROOT / "solids").rglob("*") if p.is_file()}
    shipped = set(zipfile.ZipFile(wheel).namelist())

    assert {name for name in here if "__pycache__" not in name} - shipped == set()
    assert {name.split("/")[0] for name in shipped if ".dist-info/" not in name} == {"solids"}


def test_what_is_installed_is_the_wheel_and_not_the_checkout(place: Path) -> None:
    told = run(place / "env/bin/python", "-c", "import solids; print(solids.__file__)", cwd=place)
    assert told.stdout.strip().startswith(str(place / "env"))


def test_new_check_and_build_run_from_any_folder(place: Path) -> None:
    dryfit, env = place / "env/bin/dryfit", {"HOME": str(place), "DRYFIT_CACHE": "off"}
    told = [run(dryfit, *words, cwd=place, **env) for words in (
        ["new", "a.yaml", "--like", "tray"], ["check", "a.yaml"], ["explain", "bevel"], ["compare", "a.yaml", "a.yaml"],
        ["build", "a.yaml", "--only", "report", "--only", "step", "--only", "client", "--only", "papers"],
    )]  # fmt: skip

    assert [(t.returncode, t.stderr) for t in told] == [(0, "")] * 5
    assert told[1].stdout.startswith("a.yaml: fits. 5 parts, ")
    made = {p.name for p in (place / "outputs/a").iterdir()}
    assert made >= {"report.html", "client.html", "model.step", "cut-list.pdf", "SHA256SUMS"}
