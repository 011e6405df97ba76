"""What holds for every cut: the table of them, several in one part, and that what is not refused can be made."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable
from typing import Any

import pytest
import woodwork as ww
from woodwork import BLANKS, BOARD, LEFT, RIGHT, TOP

from solids.cuts import CUTS, wastes
from solids.cuts.hole import Counterbore, Countersink, Slot
from solids.cuts.rabbet import Rabbet
from solids.cuts.row import Row
from solids.cuts.saw import Bevel
from solids.cuts.tenon import Tenon, Tongue
from solids.kernel.faces import faces_of
from solids.kernel.mesh import manifold_of
from solids.model.field import declared
from solids.model.geometry import Plane, Vector
from solids.model.part import Blank, Cut, Made


def test_every_cut_of_the_language_is_in_the_table_under_its_own_word() -> None:
    assert list(CUTS) == [
        "bevel", "miter", "compound", "trim", "taper", "rabbet", "dado", "groove", "tongue", "tenon",
        "mortise", "hole", "notch", "cutout", "chamfer", "roundover",
    ]  # fmt: skip


@pytest.mark.parametrize("word", CUTS)
def test_every_cut_has_one_heading_field_and_an_example_that_begins_with_its_word(word: str) -> None:
    kind = CUTS[word]

    assert kind.kind == word
    assert kind.example.startswith(f"{{{word}: ")
    assert [f.metadata["head"] for f in declared(kind)].count(True) == 1
    assert all(f.metadata["says"] for f in declared(kind))
    assert kind.__doc__
    assert "name" in {f.name for f in declared(kind)}


def test_tongues_and_tenons_of_one_side_are_cut_once_and_those_of_another_apart() -> None:
    tenon, tongue = Tenon(side=RIGHT, length=40, width=80, thickness=10), Tongue(side=RIGHT, length=15, thickness=6)
    other, bevel = Tenon(side=LEFT, length=40, width=80, thickness=10), Bevel(side=ww.REAR, tilt=30, long=TOP)
    made = [Made(str(k), c) for k, c in enumerate((tenon, bevel, tongue, other))]

    assert [k for k, _ in wastes(BOARD, made)] == [0, 1, 3]


def test_cuts_that_cross_take_what_they_share_only_once() -> None:
    a = Rabbet(side=ww.REAR, on=ww.BOTTOM, width=10, depth=6)
    b = Rabbet(side=ww.RIGHT, on=ww.BOTTOM, width=10, depth=6)

    assert ww.volume(BOARD, a, b) == pytest.approx(10 * 6 * 600 + 10 * 6 * 300 - 10 * 10 * 6, rel=1e-9)
    assert ww.volume(BOARD, b, a) == pytest.approx(ww.volume(BOARD, a, b), rel=1e-12)
    assert ww.volume(BOARD, a, a) == pytest.approx(ww.volume(BOARD, a), rel=1e-12)


# What is not refused can be made --------------------------------------------------------------------


class Dice:
    """Sizes, sides and places drawn without sense, as a careless maker might write them."""

    def __init__(self, seed: int) -> None:
        self.random = random.Random(seed)

    def pick(self, *of: Any) -> Any:
        return self.random.choice(of)

    def size(self) -> float:
        u = self.random.uniform
        return self.pick(u(0.01, 20), u(0.01, 320), u(0.01, 700), self.pick(1.0, 5.0, 10.0, 20.0, 300.0, 600.0, 0.001))

    def side(self) -> ww.Side:
        return self.pick(*ww.AXIS)

    def seldom(self, make: Callable[[], Any], otherwise: Any = None) -> Any:
        return make() if self.random.random() < 0.35 else otherwise

    def stops(self, most: int = 2) -> Any:
        sides = self.random.sample(list(ww.AXIS), self.random.randint(0, most))
        return tuple((s, self.size()) for s in sides)

    def at(self, swung: bool = False) -> Any:
        def distance() -> Any:
            if swung and self.random.random() < 0.3:
                return tuple((s, self.size()) for s in self.pick(*ww.PAIR))
            return self.pick(self.size(), self.size(), 0.0)

        return tuple((s, distance()) for s in self.random.sample(list(ww.AXIS), self.pick(0, 1, 1, 2)))

    def row(self) -> Row | None:
        return self.seldom(lambda: Row(count=self.random.randint(1, 4), pitch=self.size(), toward=self.side()))

    def cut(self, blank: Blank, word: str) -> Cut:
        d, u = self, self.random.uniform
        ends, edges, broad = ww.ends(blank), ww.edges(blank), ww.broad(blank)
        fields: dict[str, Callable[[], dict[str, Any]]] = {
            "bevel": lambda: {"side": d.pick(*ends, *edges), "tilt": u(0, 89.9), "long": d.pick(*broad)},
            "miter": lambda: {"side": d.pick(*ends), "angle": u(0.01, 89.9), "long": d.pick(*edges)},
            "compound": lambda: {
                "side": d.pick(*ends),
                "angle": u(0.01, 89.9),
                "tilt": u(0.01, 89.9),
                "long": (d.pick(*edges), d.pick(*broad)),
                "inset": d.pick(0.0, d.size()),
            },
            "trim": lambda: {
                "side": d.side(),
                "to": Plane(Vector(u(-1, 1), u(-1, 1), u(-1, 1)).unit(), d.size()),
                "clear": d.pick(0.0, d.size()),
            },
            "taper": lambda: {
                "side": d.pick(*edges, *broad),
                "by": ((d.pick(*ends), d.size()),),
                "stop": d.seldom(lambda: d.stops(1), ()),
            },
            "rabbet": lambda: {
                "side": d.side(),
                "on": d.side(),
                "width": d.size(),
                "depth": d.size(),
                "stop": d.stops(),
                "radius": d.pick(0.0, d.size() / 10),
            },
            "dado": lambda: {
                "side": d.side(),
                "at": d.at(swung=True),
                "width": d.size(),
                "depth": d.size(),
                "tilt": d.seldom(lambda: u(0.1, 80), 0.0),
                "toward": d.side(),
                "stop": d.seldom(d.stops, ()),
                "radius": d.pick(0.0, d.size() / 10),
                "row": d.row(),
            },
            "tongue": lambda: {
                "side": d.pick(*ends, *edges),
                "length": d.size(),
                "thickness": d.size() / 10,
                "at": d.at(),
            },
            "tenon": lambda: {
                "side": d.pick(*ends),
                "length": d.size(),
                "width": d.size(),
                "thickness": d.size() / 10,
                "at": d.at(),
                "row": d.row(),
            },
            "mortise": lambda: {
                "side": d.side(),
                "at": d.at(),
                "size": (d.size(), d.size()),
                "depth": d.pick(None, d.size()),
                "radius": d.pick(0.0, d.size() / 10),
                "row": d.row(),
            },
            "hole": lambda: {
                "side": d.side(),
                "at": d.at(),
                "diameter": d.size() / 10,
                "depth": d.pick(None, d.size()),
                "tilt": d.seldom(lambda: u(0.1, 74), 0.0),
                "toward": d.side(),
                "counterbore": d.seldom(lambda: Counterbore(diameter=d.size(), depth=d.size())),
                "countersink": d.seldom(lambda: Countersink(diameter=d.size(), angle=u(11, 169))),
                "slot": d.seldom(lambda: Slot(length=d.size(), toward=d.side())),
                "row": d.row(),
            },
            "notch": lambda: {"corner": ((d.side(), d.size()), (d.side(), d.size()))},
            "cutout": lambda: {
                "side": d.pick(*broad),
                "at": d.at(),
                **d.pick({"size": (d.size(), d.size())}, {"diameter": d.size()}),
                "depth": d.pick(None, d.size()),
                "radius": d.pick(0.0, d.size() / 10),
                "row": d.row(),
            },
            "chamfer": lambda: {"sides": (d.side(), d.side()), "on": d.side(), "size": (d.size(), d.size())},
            "roundover": lambda: {"sides": (d.side(), d.side()), "on": d.side(), "radius": d.size()},
        }
        return CUTS[word](**fields["dado" if word == "groove" else word]())  # type: ignore[no-any-return]


@pytest.mark.parametrize("word", CUTS)
def test_a_cut_that_has_no_problem_can_be_made_and_takes_no_more_than_there_is(word: str) -> None:
    dice = Dice(5)
    tried: Counter[bool] = Counter()
    while tried[True] < 25:
        blank = dice.pick(*BLANKS)
        cut = dice.cut(blank, word)
        sound = not list(cut.problems(blank))
        tried[sound] += 1
        assert tried[False] < 6000, "nearly everything is refused"
        if not sound:
            continue
        shape = ww.shape(blank, cut)
        wood = manifold_of(shape)
        faces = faces_of(shape, wood)
        assert wood.status().name == "NoError", cut
        assert -1e-3 <= wood.volume() <= ww.BOARD_VOLUME + 1e-3, cut
        assert (faces.area > 0).all(), cut
