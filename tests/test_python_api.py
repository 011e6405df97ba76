"""The same from Python: `solids.read`, `solids.check`, `solids.build`."""

from __future__ import annotations

import inspect
import subprocess
import sys
from pathlib import Path
from typing import get_type_hints

import pytest

import solids
from solids.fit.check import Report
from solids.model.finding import SpecError
from solids.model.piece import Piece

ROOT = Path(__file__).parents[1]
SHELF = ROOT / "specs/wall-shelf.yaml"
HEAVY = ("numpy", "trimesh", "manifold3d", "shapely", "cadquery", "OCP", "ruamel", "click", "rich")


def loaded_by(code: str) -> set[str]:
    """Which of the heavy libraries a fresh Python has loaded after some code."""
    told = f"{code}\nimport sys\nprint(*(m for m in {HEAVY!r} if m in sys.modules))"
    run = subprocess.run([sys.executable, "-c", told], capture_output=True, text=True, cwd=ROOT, check=True, timeout=60)
    return set(run.stdout.splitlines()[-1].split())


def test_importing_loads_nothing_heavy() -> None:
    assert loaded_by("import solids") == set()


def test_reading_loads_the_yaml_reader_alone() -> None:
    assert loaded_by(f"import solids\nsolids.read({str(SHELF)!r})") == {"ruamel"}


def test_checking_loads_no_cad_kernel() -> None:
    used = loaded_by(f"import solids\nsolids.check(solids.read({str(SHELF)!r}))")

    assert used == {"ruamel", "numpy", "manifold3d", "shapely"}


def test_a_spec_is_read_from_a_path_or_its_name() -> None:
    piece = solids.read(SHELF)

    assert isinstance(piece, Piece)
    assert [p.id for p in piece.parts] == ["back", "other_side", "shelf.1", "shelf.2", "side"]
    assert solids.read(str(SHELF)).parts == piece.parts


def test_a_piece_that_is_read_can_be_checked() -> None:
    report = solids.check(solids.read(SHELF))

    assert isinstance(report, Report)
    assert report.fits
    assert report.findings == ()


def test_a_misfit_is_a_finding_and_not_an_error(tmp_path: Path) -> None:
    spec = tmp_path / "s.yaml"
    spec.write_text(SHELF.read_text().replace("depth: 1/4}]", "depth: 3/16}]"))
    report = solids.check(solids.read(spec))

    assert not report.fits
    assert {f.severity.value for f in report.findings} >= {"stop"}


def test_a_spec_that_cannot_be_read_raises_every_mistake(tmp_path: Path) -> None:
    spec = tmp_path / "s.yaml"
    spec.write_text("units: furlongs\nparts: {a: {size: [1, 2, 3], colour: red}}\n")
    with pytest.raises(solids.SpecError) as caught:
        solids.read(spec)

    assert solids.SpecError is SpecError
    assert str(caught.value).splitlines() == [
        f"{spec}:1:8: `units` is `in` or `mm`, not `furlongs`",
        f"{spec}:2:30: the part `a` has no `colour`; there is `about`, `copies`, `cuts`, `mirror`, `outline`, `place`, "
        "`size`, `stock`",
    ]


def test_build_writes_the_report_into_the_folder_given(tmp_path: Path) -> None:
    built = solids.build(SHELF, tmp_path / "out", only=["report"])

    assert built.folder == tmp_path / "out"
    assert sorted(built.files) == ["SHA256SUMS", "report.html", "report.json", "report.txt"]
    assert sorted(p.name for p in built.folder.iterdir()) == sorted(built.files)
    assert built.report.fits


def test_what_is_offered_is_there_typed_and_documented() -> None:
    assert sorted(solids.__all__) == ["SpecError", "__version__", "build", "check", "read"]
    assert {*solids.__all__} <= {*dir(solids)}
    for name in ("read", "check", "build"):
        function = getattr(solids, name)
        hints = inspect.get_annotations(function)
        assert set(hints) == {*inspect.signature(function).parameters, "return"}
        assert inspect.getdoc(function)
    assert get_type_hints(solids.read)["return"] is Piece
    assert (ROOT / "solids/py.typed").is_file()


def test_a_name_that_is_not_there_is_an_attribute_error() -> None:
    with pytest.raises(AttributeError, match="module 'solids' has no attribute 'reed'"):
        solids.reed  # noqa: B018
