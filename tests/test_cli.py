"""The commands: exit status, what goes where, and how little is loaded."""

from __future__ import annotations

import hashlib
import json
import os
import subprocess
import sys
from pathlib import Path

import jsonschema
import pytest

ROOT = Path(__file__).parents[1]
SHELF = ROOT / "specs" / "wall-shelf.yaml"
FAULT = ROOT / "specs" / "faults" / "miter-mismatch-bevel.yaml"
FINDING = {
    "type": "object",
    "required": ["kind", "severity", "parts", "cuts", "at", "values", "allowed", "cause", "remedy", "message", "place"],
    "properties": {
        "severity": {"enum": ["stop", "warn", "note"]},
        "values": {"additionalProperties": {"type": "number"}},
        "remedy": {"items": {"required": ["edit", "from", "to"]}},
    },
}


def dryfit(*words: str, cwd: Path = ROOT, **env: str) -> subprocess.CompletedProcess[str]:
    path = os.pathsep.join([str(ROOT), os.environ.get("PYTHONPATH", "")])
    settings = {**os.environ, "PYTHONPATH": path, **env}
    command = [sys.executable, "-m", "solids", *words]
    return subprocess.run(command, cwd=cwd, env=settings, capture_output=True, text=True, check=False)


@pytest.mark.parametrize(("spec", "status"), [(SHELF, 0), (FAULT, 1)])
def test_the_exit_status_says_whether_it_fits(spec: Path, status: int) -> None:
    run = dryfit("check", str(spec))

    assert run.returncode == status
    assert run.stderr == ""
    assert ("does not fit" in run.stdout) == bool(status)


def test_a_mistake_goes_to_standard_error_with_its_place_and_status_2(tmp_path: Path) -> None:
    spec = tmp_path / "s.yaml"
    spec.write_text(SHELF.read_text().replace("    stock: cherry\n", "    stock: chery\n"))
    run = dryfit("check", str(spec))

    assert run.returncode == 2
    assert run.stdout == ""
    assert run.stderr.splitlines() == [
        f"{spec}:{line}:12: no stock is called `chery`; did you mean `cherry`?" for line in (9, 15)
    ]


def test_json_holds_the_findings_in_full(tmp_path: Path) -> None:
    run = dryfit("check", str(FAULT), "--json", "-")
    data = json.loads(run.stdout)

    assert data["verdict"] == "does not fit"
    for finding in data["findings"]:
        jsonschema.validate(finding, FINDING)
    # 45 - 44.7 = 0.3 degrees; 16 / cos 45 x tan 0.3 = 22.627417 x 0.00523603 = 0.118478 mm.
    assert data["findings"][0]["values"]["degrees"] == pytest.approx(0.3, abs=1e-9)
    assert data["findings"][0]["values"]["opening"] == pytest.approx(0.118478, abs=2e-6)
    assert data["findings"][0]["remedy"] == [{"edit": "top.bevel_left.tilt", "from": 44.7, "to": 45.0}]


@pytest.mark.parametrize("like", ["shelf", "tray", "frame", "case"])
def test_what_new_writes_fits_and_is_never_written_over(like: str, tmp_path: Path) -> None:
    file = tmp_path / "a.yaml"

    assert dryfit("new", str(file), "--like", like).returncode == 0
    assert dryfit("check", str(file)).stdout.startswith(f"{file}: fits. ")
    before = file.read_bytes()
    assert dryfit("new", str(file)).returncode == 2
    assert file.read_bytes() == before


@pytest.mark.parametrize(
    ("words", "absent"),
    [
        (["--help"], {"numpy", "shapely", "manifold3d", "cadquery", "OCP", "trimesh", "rich", "ruamel.yaml"}),
        (["explain", "rabbet"], {"numpy", "shapely", "manifold3d", "cadquery", "OCP", "trimesh"}),
        (["check", str(SHELF)], {"cadquery", "OCP", "trimesh", "scipy", "networkx", "rich", "jinja2"}),
    ],
)
def test_no_more_is_loaded_than_is_needed(words: list[str], absent: set[str]) -> None:
    code = f"import sys\nfrom solids.cli import main\ntry:\n    main({words!r})\nexcept SystemExit:\n    pass\n"
    code += f"print(sorted(set(sys.modules) & {absent!r}), file=sys.stderr)"
    run = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=False)

    assert run.stderr.strip() == "[]"


def test_the_same_spec_gives_the_same_bytes_in_another_process_folder_zone_and_order(tmp_path: Path) -> None:
    folders = [tmp_path / "a", tmp_path / "b"]
    for k, folder in enumerate(folders):
        run = dryfit(
            "build", str(SHELF), "-o", str(folder), "--no-cache",
            cwd=[ROOT, tmp_path][k], PYTHONHASHSEED=str(k), TZ=["UTC", "Pacific/Chatham"][k],
        )  # fmt: skip
        assert run.returncode == 0, run.stderr
    names = sorted(p.relative_to(folders[0]) for p in folders[0].rglob("*") if p.is_file())

    assert [(folders[0] / n).read_bytes() for n in names] == [(folders[1] / n).read_bytes() for n in names]
    for line in (folders[0] / "SHA256SUMS").read_text().splitlines():
        digest, name = line.split("  ")
        assert hashlib.sha256((folders[0] / name).read_bytes()).hexdigest() == digest
    assert sorted(p.name for p in tmp_path.iterdir()) == ["a", "b"]


def test_a_folder_that_no_build_wrote_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("mine")
    run = dryfit("build", str(SHELF), "-o", str(tmp_path), "--only", "report")

    assert run.returncode == 2
    assert "holds files that no build wrote" in run.stderr
    assert [p.name for p in tmp_path.iterdir()] == ["mine.txt"]


def test_every_sound_spec_answers_to_the_schema_that_is_printed() -> None:
    from ruamel.yaml import YAML

    schema = json.loads(dryfit("schema").stdout)
    for spec in sorted((ROOT / "specs").glob("*.yaml")):
        tree = json.loads(json.dumps(YAML(typ="safe").load(spec.read_text()), default=str))
        if "max(" not in spec.read_text():
            jsonschema.validate(tree, schema)
