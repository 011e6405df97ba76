"""Sheets drawn by several processes at once, without running the caller's own script again in each.

`python -m solids.drawing.worker` reads tasks on standard input and writes sheets on standard output.
"""

from __future__ import annotations

import os
import pickle
import subprocess
import sys
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

import solids
from solids.drawing.group import Group
from solids.drawing.keep import opened, packed
from solids.drawing.part_sheet import part_sheet
from solids.drawing.sheet import Sheet
from solids.drawing.title import Style
from solids.kernel.mesh import manifold_of
from solids.kernel.shape import shape_of
from solids.kernel.solid import from_bytes
from solids.model.measured import Measure

FEW = 16  # sheets that are drawn in one process sooner than others are ready to


class Task(NamedTuple):
    """A part's sheet that is to be drawn, with nothing in it that another process could not be sent."""

    group: Group
    solid: bytes
    style: Style
    measured: tuple[Measure, ...]


def draw(task: Task) -> Sheet:
    """The sheet of one part."""
    mesh = manifold_of(shape_of(task.group.part))
    return part_sheet(replace(task.group, mesh=mesh), from_bytes(task.solid), task.style, task.measured)


def draw_all(tasks: Sequence[Task]) -> Iterator[Sheet]:
    """All sheets in their order, on all cores where there are many."""
    cores = os.cpu_count() or 1
    if len(tasks) < FEW or cores < 2:
        yield from map(draw, tasks)
        return
    shares = [tasks[k::cores] for k in range(cores)]
    with ThreadPoolExecutor(cores) as threads:
        done = list(threads.map(_elsewhere, shares))
    for k in range(len(tasks)):
        yield done[k % cores][k // cores]


def _elsewhere(tasks: Sequence[Task]) -> list[Sheet]:
    """Drawn by a process of their own; here, should that fail."""
    paths = [str(Path(solids.__file__).parents[1]), os.environ.get("PYTHONPATH", "")]
    given = {**os.environ, "PYTHONPATH": os.pathsep.join(p for p in paths if p)}
    command = [sys.executable, "-m", "solids.drawing.worker"]
    found = subprocess.run(command, input=pickle.dumps(list(tasks)), capture_output=True, env=given, check=False)
    if found.returncode:
        return [draw(t) for t in tasks]
    return [opened(data) for data in pickle.loads(found.stdout)]


def main() -> None:
    """Draw what standard input asks for."""
    tasks = pickle.load(sys.stdin.buffer)
    sys.stdout.buffer.write(pickle.dumps([packed(draw(t)) for t in tasks]))


if __name__ == "__main__":
    main()
