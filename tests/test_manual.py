"""The manual: a page for every word that the program uses, with a picture and an example that works as it stands."""

from __future__ import annotations

import re

import pytest

from solids.assemblies import ASSEMBLIES
from solids.cuts import CUTS
from solids.fit.rules import RULES
from solids.joints import JOINTS
from solids.kernel.mesh import manifold_of
from solids.kernel.shape import shape_of
from solids.model import field as f
from solids.model.part import Part
from solids.report import manual
from solids.spec.reader import from_text

PICTURE = re.compile(r"[-_|/\\]{3}|\+-|-\+|\|<")
BOARD = "title: B\nunits: mm\nstock: {oak: {wood: white oak, thickness: 20}}\nparts:\n  board:\n"
LYING = "    stock: oak\n    size: [600, 300]\n    place: {at: [0, 0, 0], length: across, face: top}\n"
# mm³ that each example takes from a board 600 x 300 x 20, worked out by hand in the reference of the language.
TAKES = {
    "bevel": 34641.016, "miter": 519615.242, "compound": 531831.529, "trim": 50 * 300 * 20, "taper": 240000,
    "rabbet": 36000, "dado": 21600, "groove": (600 - 50) * 6 * 8, "tongue": 36000, "tenon": 160000, "mortise": 14400,
    "hole": 1178.097, "notch": 80000, "cutout": 23570.796, "chamfer": 2700, "roundover": 4635.399,
}  # fmt: skip
# What the names in the examples of joints stand for.
ROOM = """\
title: B
units: mm
stock: {oak: {wood: white oak, thickness: 20}}
hardware:
  slide: {runner: side, length: 200, height: 45, side_clearance: 12.7}
  long_bolt: {bolt: M6x60, insert: {length: 15, diameter: 12, pilot: 10.5}}
  long_screw: {screw: 4 x 60}
  butts: {hinge: butt, leaf: [60, 16], leaf_thickness: 2, knuckle: 6}
parts:
  side: {stock: oak, size: [600, 300], place: {at: [0, 0, 0], length: up, face: left}}
  other_side: {mirror: side, about: {x: 264}}
  shelf: {stock: oak, size: [500, 300], place: {at: [14, 0, 200], length: across, face: top}}
  front: {stock: oak, size: [400, 90], place: {at: [0, 900, 0], length: across, face: front}}
  left: {stock: oak, size: [300, 90], place: {at: [0, 900, 0], length: deep, face: left}}
  rail: {stock: oak, size: [400, 60], place: {at: [0, 2000, 0], length: across, face: top}}
  stile: {stock: oak, size: [400, 60], place: {at: [100, 1800, 0], length: deep, face: top}}
  post: {stock: oak, size: [400, 60], place: {at: [400, 2000, 0], length: up, face: left}}
  door: {stock: oak, size: [500, 200], place: {at: [22, 0, 0], length: up, face: front}}
  box: {stock: oak, size: [200, 90], place: {at: [32.7, 0, 300], length: deep, face: left}}
  faces: {stock: oak, size: [400, 90], place: {at: [0, 2500, 0], length: across, face: front},
          copies: {count: 2, step: [403, 0, 0]}}
joints:
  - """


def kept(part: Part) -> float:
    return float(manifold_of(shape_of(part)).volume())


@pytest.mark.parametrize("kind", CUTS)
def test_the_example_of_every_cut_reads_and_takes_what_it_should(kind: str) -> None:
    piece = from_text(f"{BOARD}{LYING}    cuts: [{CUTS[kind].example}]\n", "s")
    (part,) = piece.parts

    taken = 600 * 300 * 20 - kept(part)
    assert taken == pytest.approx(TAKES[kind], abs=30 if kind in ("hole", "cutout", "roundover") else 0.01)
    assert [m.cut.kind for m in part.cuts] == [kind]


@pytest.mark.parametrize("kind", JOINTS)
def test_the_example_of_every_joint_reads_and_cuts_without_trouble(kind: str) -> None:
    piece = from_text(f"{ROOM}{JOINTS[kind].example}\n", "s")

    assert piece.joints
    assert {(j.kind, j.trouble) for j in piece.joints} == {(kind, "")}
    assert any(p.cuts for p in piece.parts) == (kind not in ("touch", "reveal", "clearance"))


@pytest.mark.parametrize("word", sorted({*CUTS, *JOINTS, *ASSEMBLIES}))
def test_a_page_of_a_cut_or_joint_has_its_picture_every_field_and_its_example(word: str) -> None:
    page = manual.page(word) or ""
    for table in (CUTS, JOINTS, ASSEMBLIES):
        if word in table:
            assert table[word].example in re.sub(r"\s+", " ", page)
            for d in f.declared(table[word]):
                key = word if d.metadata["head"] else f.key_of(d)
                told = r"\s+".join(re.escape(w) for w in d.metadata["says"].split()[:4])
                assert re.search(rf"^  {key} [^\n]*\n?[^\n]*{told}", page, re.MULTILINE), (word, key)
    assert PICTURE.search(page), "no picture"
    assert re.match(rf"{word}: an? ", page)


@pytest.mark.parametrize("rule", RULES, ids=lambda r: r.name)
def test_a_page_of_a_finding_is_its_rules_own(rule: object) -> None:
    for kind in rule.kinds:  # type: ignore[attr-defined]
        page = manual.page(kind) or ""
        assert f"{kind}: a finding\n\n" in page
        assert rule.page.strip() in page  # type: ignore[attr-defined]


def test_there_is_a_page_for_each_word_listed_and_for_no_other() -> None:
    kinds = {kind for rule in RULES for kind in rule.kinds}

    assert manual.words() == sorted({*CUTS, *JOINTS, *ASSEMBLIES, *kinds})
    assert all(manual.page(w) for w in manual.words())
    assert manual.page("dovetail") is None


def test_miter_is_both_a_cut_and_a_joint_and_has_both_pages() -> None:
    page = manual.page("miter") or ""

    assert page.startswith("miter: a cut\n")
    assert "\n\nmiter: a joint\n" in page


def test_the_nearest_word_is_offered_for_a_misspelt_one() -> None:
    assert [manual.nearest(w) for w in ("rabet", "tigth", "proude", "zzzz")] == ["rabbet", "tight", "proud", None]


@pytest.mark.parametrize("word", manual.words())
def test_a_page_fits_a_terminal(word: str) -> None:
    lines = (manual.page(word) or "").splitlines()

    assert max(map(len, lines)) <= 120
    assert all(line == line.rstrip() for line in lines)
