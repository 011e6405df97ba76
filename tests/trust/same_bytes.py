"""The same piece built twice, with all about it changed: every file must come out the same, byte by byte.

Run `python -m trust.same_bytes specs/library-counter.yaml ...` from `tests/` (names from the project's folder on).
A report that names the line of a finding differs where the lines do: that of a piece with findings, from another order.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

from trust.mangle import tree_of, written

ROOT = Path(__file__).parents[2]
UNORDERED = ("parts", "sizes", "numbers", "stock", "hardware", "groups", "passages", "loads")
HERE = {"PYTHONHASHSEED": "1", "TZ": "UTC", "LC_ALL": "C.UTF-8"}
THERE = {"PYTHONHASHSEED": "7", "TZ": "Pacific/Chatham", "LC_ALL": "POSIX", "PYTHONIOENCODING": "latin-1"}


def reordered(raw: bytes) -> str:
    """The same spec, its sections and what is named in them from last to first."""
    return written(_turned(tree_of(raw)), True)


def _turned(tree: Any) -> Any:
    if not isinstance(tree, dict):
        return tree
    return {key: _inner(key, tree[key]) for key in reversed(tree)}


def _inner(key: str, value: Any) -> Any:
    if key not in UNORDERED or not isinstance(value, dict):
        return value
    return {name: _turned(value[name]) if key == "groups" else value[name] for name in reversed(value)}


def built(spec: str, folder: Path, cwd: Path, *words: str, **env: str) -> dict[str, bytes]:
    """Every file that a process of its own writes of a spec."""
    path = os.pathsep.join([str(ROOT), os.environ.get("PYTHONPATH", "")])
    command = [sys.executable, "-m", "solids", "build", spec, "-o", str(folder), *words]
    env = {**os.environ, "PYTHONPATH": path, **env}
    done = subprocess.run(command, cwd=cwd, env=env, capture_output=True, check=False)
    assert done.returncode in (0, 1), done.stderr.decode()
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


def differing(spec: Path, place: Path, *words: str) -> list[str]:
    """The files that are not the same: made here, elsewhere from another order, and once more from what was kept."""
    cache, other = {"DRYFIT_CACHE": str(place / "cache")}, place / "elsewhere/deep"
    other.mkdir(parents=True)
    (other / spec.name).write_text(reordered(spec.read_bytes()), encoding="utf-8")
    for used in spec.parent.glob("*/*.yaml"):
        (other / used.parent.name).mkdir(exist_ok=True)
        (other / used.parent.name / used.name).write_bytes(used.read_bytes())
    first = built(str(spec), place / "here", ROOT, *words, **HERE, **cache)
    runs = {
        "elsewhere": built(spec.name, place / "there", other, "--no-cache", *words, **THERE),
        "from the cache": built(str(spec), place / "again", ROOT, *words, **HERE, **cache),
    }
    return [
        f"{name}, {how}" for how, found in runs.items()
        for name in sorted({*first, *found}) if first.get(name) != found.get(name)
    ]  # fmt: skip


def main(specs: list[str]) -> int:
    """Try each spec; 1 where a file differs."""
    worst = 0
    for spec in specs:
        with tempfile.TemporaryDirectory() as folder:
            told = differing(ROOT / spec, Path(folder))
        worst |= bool(told)
        print(f"{spec}: {'; '.join(told) or 'the same'}", flush=True)
    return int(worst)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
