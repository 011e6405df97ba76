"""Every list of every sound piece against the model by another sum: boards, volumes, masses and holes."""

from __future__ import annotations

from collections import Counter
from itertools import combinations
from pathlib import Path

import pytest
import shapely
from joinery import SOUND
from shapely import affinity
from shopwork import report_of

from solids.lumber.laid import Laid
from solids.lumber.layout import layouts
from solids.lumber.nesting import plain_outline
from solids.lumber.rough import cuttings, layers, strips
from solids.lumber.sawing import sawn
from solids.shop.alike import Bench
from solids.shop.handling import handling
from solids.shop.hardware_list import hardware_list
from solids.shop.words import Words

ROUNDED = 0.02  # mm: the solver counts in whole steps


def every(spec: Path) -> Bench:
    return Bench(report_of(spec).dry)


def shapes(laid: Laid) -> list[shapely.Polygon]:
    """What is sawn out of a board where it lies there, by shapes and not by boxes; turned where it is turned."""
    found = []
    for placed in laid.placed:
        (x, y), (length, width) = placed.at, placed.size
        pair, outline = placed.item.pair, placed.item.cuttings[0].outline
        if pair is not None:
            found += [affinity.translate(shapely.Polygon(p), x, y) for p in (pair.first, pair.second)]
        elif outline and (length, width) == (placed.item.length, placed.item.width):
            found.append(affinity.translate(shapely.Polygon(plain_outline(outline)), x, y))
        else:
            found.append(shapely.box(x, y, x + length, y + width))
    return found


@pytest.mark.parametrize("spec", SOUND, ids=lambda s: s.stem)
def test_nothing_is_forgotten_and_nothing_overlaps_on_the_boards(spec: Path):
    piece = report_of(spec).piece
    wanted = Counter((c.part, c.strip) for c in cuttings(piece))
    assert set(wanted.values()) <= {1}
    assert {p.id for p in piece.parts if p.stock} == {part for part, _ in wanted}
    seen: Counter[tuple[str, int]] = Counter()
    for layout in layouts(piece):
        seen.update((c.part, c.strip) for c in layout.left)
        boards = Counter((b.board.name, b.number, b.new) for b in layout.boards)
        assert set(boards.values()) <= {1}  # no board is used twice
        assert all(b.new or b.number <= b.board.count for b in layout.boards)
        for laid in layout.boards:
            seen.update((c.part, c.strip) for p in laid.placed for c in p.item.cuttings)
            whole = shapely.box(0, 0, laid.board.length, laid.board.width)
            wood = shapes(laid)
            assert all(whole.buffer(ROUNDED).contains(s) for s in wood)
            assert all(a.distance(b) >= layout.kerf - ROUNDED for a, b in combinations(wood, 2))
            for o in sawn(laid, layout.kerf).offcuts:
                free = shapely.box(o.x0, o.y0, o.x1, o.y1)
                assert whole.buffer(ROUNDED).contains(free)
                assert all(free.distance(s) >= layout.kerf - ROUNDED or free.disjoint(s) for s in wood)
    assert seen == wanted


@pytest.mark.parametrize("spec", SOUND, ids=lambda s: s.stem)
def test_what_is_sawn_out_is_enough_for_every_part(spec: Path):
    piece = report_of(spec).piece
    for part in (p for p in piece.parts if p.stock):
        own = [c for c in cuttings(piece) if c.part == part.id]
        count, wide = strips(part, piece)
        assert len(own) == count * layers(part)
        assert all(c.length >= part.blank.length - 1e-6 for c in own)
        # Strips lose no more than 3 mm each where they are jointed; one alone is wide enough as it is.
        assert count * (wide - (3.0 if count > 1 else 0.0)) >= part.blank.width - 1e-6
        assert layers(part) * part.stock.thickness >= part.blank.thickness - 1e-6


@pytest.mark.parametrize("spec", SOUND, ids=lambda s: s.stem)
def test_what_is_carried_weighs_what_the_meshes_weigh(spec: Path):
    dry = report_of(spec).dry
    told = sum(h.module.mass for h in handling(dry))
    listed = {p for m in dry.piece.modules for p in m.parts} or {p.id for p in dry.piece.parts}
    meshes = {p.id: float(s.mesh.volume()) for p, s in zip(dry.piece.parts, dry.scene.solids, strict=True)}
    model = sum(v * 1e-9 * dry.piece.part(i).stock.density for i, v in meshes.items() if i in listed)  # type: ignore[union-attr]
    assert told == pytest.approx(model, rel=1e-9)


@pytest.mark.parametrize("spec", SOUND, ids=lambda s: s.stem)
def test_as_many_bolts_screws_and_dowels_are_bought_as_there_are_holes_for_them(spec: Path):
    piece = report_of(spec).piece
    bought: Counter[str] = Counter()
    for ware in hardware_list(piece, Words(piece.told_in)):
        bought[ware.what] += ware.count
    holes: Counter[str] = Counter()
    for joint in piece.joints:
        for owner, name in joint.cuts:
            made = piece.part(owner).cut_named(name)
            if owner == joint.a and made is not None and joint.kind in ("bolt", "screw", "dowel"):
                rows = made.cut.row  # type: ignore[attr-defined]
                holes[joint.kind] += rows.count if rows else 1
    for kind in ("bolt", "screw", "dowel"):
        assert bought[kind] == holes[kind], kind
