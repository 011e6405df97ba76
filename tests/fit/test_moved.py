"""The same piece elsewhere, turned, mirrored, listed in another order, in other units: the same findings."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from joinery import FAULTS, PLAIN_FAULTS, SOUND, Fit, dry, everything, fit

from solids.model.carrying import Obstacle
from solids.model.geometry import Vector
from solids.model.piece import Piece
from solids.spec.placing import twin
from solids.spec.reader import from_text, read

Row = tuple[str, str, tuple[str, ...], tuple[tuple[str, float], ...]]
INNER = ("parts", "joints", "assemblies", "moving")  # sections that a group may hold


def moves_as_one(path: Path) -> bool:
    """Whether all of a spec may stand in one group: no plane of the room and no list that names its parts."""
    text = path.read_text()
    return not re.search(r"trim:|^(groups|room|modules|loads|measured|passages):", text, re.M)


IN_A_FRAME = [p for p in (*SOUND, *FAULTS) if moves_as_one(p)]
SOME = [p for p in FAULTS if moves_as_one(p)][::3]


@cache
def here(path: Path) -> tuple[Row, ...]:
    """What is found where the piece stands."""
    return tuple(rows(fit(read(path))))


def rows(f: Fit, strip: str = "", rename: dict[str, str] | None = None) -> list[Row]:
    """Kind, severity, parts and values of everything found, in an order of its own."""

    def name(part: str) -> str:
        part = part.removeprefix(strip)
        return (rename or {}).get(part, part)

    out = []
    for found in everything(f.findings):
        if found.kind == "interference" and found.values["volume"] < 1e-3:
            continue
        values = tuple(sorted((k, round(abs(v), 4) + 0.0) for k, v in found.values.items() if k != "volume"))
        out.append((found.kind, found.severity.value, tuple(sorted(map(name, found.parts))), values))
    return sorted(out)


def same(a: Sequence[Row], b: Sequence[Row]) -> bool:
    if [r[:3] for r in a] != [r[:3] for r in b]:
        return False
    pairs = [(x, y) for ra, rb in zip(a, b, strict=True) for (_, x), (_, y) in zip(ra[3], rb[3], strict=True)]
    return all(abs(x - y) < 2e-4 for x, y in pairs)


def sections(text: str) -> dict[str, list[str]]:
    """The top-level keys of a spec with their lines."""
    out: dict[str, list[str]] = {}
    for line in text.splitlines():
        head = re.match(r"(\w+):", line)
        if head:
            out[head[1]] = [line]
        elif out:
            out[list(out)[-1]].append(line)
    return out


def grouped(text: str, place: str) -> str:
    """The spec with its parts and joints in a group that is placed."""
    keys = sections(text)
    inner = [line for k in INNER if k in keys for line in keys[k]]
    outer = [line for k, lines in keys.items() if k not in INNER for line in lines]
    return "\n".join([*outer, "groups:", "  whole:", f"    place: {{{place}}}", *(f"    {line}" for line in inner), ""])


def shuffled(text: str) -> str:
    """The spec with its parts and joints the other way round."""
    keys = sections(text)
    for k in ("parts", "joints"):
        if len(keys.get(k, [])) > 1:
            entries: list[list[str]] = []
            for line in keys[k][1:]:
                if re.match(r"  \S", line) and not line.strip().startswith("#"):
                    entries.append([line])
                elif entries:
                    entries[-1].append(line)
            keys[k] = [keys[k][0], *(line for e in reversed(entries) for line in e)]
    return "\n".join(line for lines in keys.values() for line in lines) + "\n"


def at(path: Path, text: str) -> Fit:
    return fit(from_text(text, path.name, path.parent))


def named(path: Path) -> str:
    return path.stem


@pytest.mark.parametrize(
    "place", ["at: [1000, -500, 20], turn: 33", "at: [1000, -500, 20], lean: {right: 9, rear: 5}, turn: 33"]
)
@pytest.mark.parametrize("path", SOME, ids=named)
def test_moved_turned_and_leaned(path: Path, place: str):
    text = path.read_text()
    if "lean" in place and path.stem.startswith("not-seated-leaning"):
        pytest.skip("it leans already")
    assert same(here(path), rows(at(path, grouped(text, place.replace("-500", "0 - 500"))), "whole."))


@pytest.mark.parametrize("path", [p for p in IN_A_FRAME if p in SOUND], ids=named)
def test_a_sound_piece_stays_sound_where_it_leans(path: Path):
    moved = at(path, grouped(path.read_text(), "at: [1000, 20, 0 - 700], lean: {left: 7}, turn: 111"))
    assert moved.findings == ()


@pytest.mark.parametrize("path", SOME, ids=named)
def test_listed_the_other_way_round(path: Path):
    assert same(here(path), rows(at(path, shuffled(path.read_text()))))


def handed(p: Piece, axis: int) -> Piece:
    def flipped(o: Obstacle) -> Obstacle:
        low, high = list(o.low), list(o.high)
        low[axis], high[axis] = 200.0 - o.high[axis], 200.0 - o.low[axis]
        return replace(o, low=Vector(*low), high=Vector(*high))

    return replace(
        p,
        parts=tuple(twin(part, axis, 100.0) for part in p.parts),
        bodies=tuple(b.twin(axis, 100.0) for b in p.bodies),
        room=tuple(map(flipped, p.room)),
    )


@pytest.mark.parametrize(("path", "axis"), [pytest.param(p, k % 3, id=p.stem) for k, p in enumerate(PLAIN_FAULTS)])
def test_a_handed_twin(path: Path, axis: int):
    assert same(here(path), rows(fit(handed(read(path), axis))))


def shelf_in(units: str, per: float) -> Fit:
    """A shelf 1/8 in too long for its dados, a dado 1/32 in too wide, the shelf 1/16 in proud."""

    def n(inches: float) -> str:
        return f"{inches * per:.6f}"

    dado = f"{{dado: right, at: {{bottom: {n(8)}}}, width: {n(0.78125)}, depth: {n(0.25)}}}"
    return dry(
        [
            f"left: {{stock: wood, size: [{n(24)}, {n(8)}], place: {{at: [0, 0, 0], length: up, face: left}},"
            f" cuts: [{dado}]}}",
            f"right: {{mirror: left, about: {{x: {n(10)}}}}}",
            f"shelf: {{stock: wood, size: [{n(19.125)}, {n(8)}], place: {{at: [{n(0.5)}, 0 - {n(0.0625)}, {n(8.005)}],"
            " length: across, face: top}}",
        ],
        units=units, stock=f"wood: {{wood: sugar maple, thickness: {n(0.75)}}}",
    )  # fmt: skip


def test_inches_and_millimetres_are_one():
    inches, mm = shelf_in("in", 1.0), shelf_in("mm", 25.4)
    assert len(rows(inches)) > 3
    assert same(rows(inches), rows(mm))
    assert " in" in inches.findings[0].message
    assert " mm" in mm.findings[0].message


def test_no_report_depends_on_where_it_is_read(tmp_path: Path):
    path = FAULTS[0]
    copy = tmp_path / path.name
    copy.write_text(path.read_text())
    assert same(here(path), rows(fit(read(copy))))


def test_rows_are_not_blind():
    """The comparison itself can fail: another fault is not the same."""
    assert not same(rows(fit(read(FAULTS[0]))), rows(fit(read(FAULTS[1]))))
