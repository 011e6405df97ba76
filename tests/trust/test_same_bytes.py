"""A case with drawers gives the same bytes in any process, place, zone, tongue and order."""

from __future__ import annotations

from pathlib import Path

from trust.mangle import tree_of
from trust.same_bytes import ROOT, differing, reordered

from solids.spec.reader import from_text, read

SPEC = ROOT / "specs/counter-pedestal.yaml"


def test_a_case_with_drawers_gives_the_same_bytes(tmp_path: Path) -> None:
    words = [w for kind in ("report", "step", "stl", "models", "client", "papers") for w in ("--only", kind)]
    assert differing(SPEC, tmp_path, *words) == []


def test_the_other_order_is_another_order_of_the_same_piece() -> None:
    text = reordered(SPEC.read_bytes())
    here, there = tree_of(SPEC.read_bytes()), tree_of(text.encode())

    assert list(there) == list(here)[::-1]
    assert here == there
    assert [p.id for p in from_text(text, folder=SPEC.parent).parts] == [p.id for p in read(SPEC).parts]
