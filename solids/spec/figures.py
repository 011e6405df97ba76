"""Every length and angle that a spec writes, by the name that a maker would call it."""

from __future__ import annotations

import re
from collections.abc import Iterator

from solids.assemblies import ASSEMBLIES
from solids.model.finding import Place
from solids.model.part import Made
from solids.model.piece import Figure, Piece
from solids.spec.source import Items, Map, Node, Word

SIZES = ("length", "width", "thickness")
AXES = ("x", "y", "z")
UNSAID = ("sizes", "stock", "parts", "cuts", "joints", "groups", "assemblies", "size", "place", "numbers")
NAMES = re.compile(r"[^\W\d]\w*")


def figures_of(tree: Map, piece: Piece, reads: dict[Place, tuple[bool, float]]) -> tuple[Figure, ...]:
    """The numbers of a spec that were read as lengths or angles, with what each is called."""
    cuts = {m.place: m for p in piece.parts for m in p.cuts if m.place and not m.joint}
    found = []
    for path, owners, word in _words(tree, (), ()):
        if word.place in reads:
            is_angle, value = reads[word.place]
            needs = tuple(dict.fromkeys(NAMES.findall(word.text)))
            found.append(Figure(_called(path, tree, cuts), word.place, value, is_angle, owners, needs))
    return tuple(found)


def _words(
    node: Node, path: tuple[str | int, ...], owners: tuple[str, ...]
) -> Iterator[tuple[tuple[str | int, ...], tuple[str, ...], Word]]:
    """Every scalar with its path and the declared names that it belongs to."""
    if isinstance(node, Word):
        yield path, owners, node
    elif isinstance(node, Items):
        for k, item in enumerate(node.items):
            own = _names_of(item, path[-1] if path else "")
            yield from _words(item, (*path, k), (*owners, *own))
    else:
        for key, entry in node.entries.items():
            declares = bool(path) and path[-1] in ("sizes", "numbers", "stock", "parts", "groups")
            yield from _words(entry.value, (*path, key), (*owners, key) if declares else owners)


def _names_of(item: Node, where: str | int) -> tuple[str, ...]:
    """The declared names that an item of a list belongs to."""
    if where == "joints":
        return _joined_names(item)
    if where == "assemblies" and isinstance(item, Map):
        return (_assembly_name(item),)
    return ()


def _assembly_name(item: Map) -> str:
    """What an assembly is called: the word behind its kind."""
    heads = [e.value.text for key, e in item.entries.items() if key in ASSEMBLIES and isinstance(e.value, Word)]
    return heads[0] if heads else ""


def _joined_names(item: Node) -> tuple[str, ...]:
    """The parts that a joint names, without the numbers of copies."""
    names: list[str] = []
    if isinstance(item, Map):
        for entry in item.entries.values():
            words = entry.value.items if isinstance(entry.value, Items) else (entry.value,)
            names += [w.text.split(".")[0] for w in words if isinstance(w, Word)]
    return tuple(names)


def _called(path: tuple[str | int, ...], tree: Map, cuts: dict[Place, Made]) -> str:
    """`side.rabbet_rear.depth` for parts, side, cuts, 0, depth."""
    steps: list[str] = []
    node: Node = tree
    before: str | int = ""
    for step in path:
        node = _below(node, step)
        word = _step_word(step, before, node, cuts)
        if word:
            steps.append(word)
        before = step
    return ".".join(steps)


def _below(node: Node, step: str | int) -> Node:
    if isinstance(node, Items):
        return node.items[int(step)]
    assert isinstance(node, Map)
    return node.entries[str(step)].value


def _step_word(step: str | int, before: str | int, node: Node, cuts: dict[Place, Made]) -> str:
    if step in UNSAID:
        return ""
    if before == "size" and isinstance(step, int):
        return SIZES[step] if step < 3 else str(step)
    if before in ("at", "step") and isinstance(step, int):
        return AXES[step] if step < 3 else str(step)
    if before == "cuts" and isinstance(node, Map):
        first = next(iter(node.entries.values()), None)
        made = cuts.get(first.key.place) if first is not None else None
        return made.name if made else f"cut {int(step) + 1}"
    if before == "joints" and isinstance(node, Map):
        return _joint_word(node)
    if before == "assemblies" and isinstance(node, Map):
        return _assembly_name(node)
    if step == "at":
        return ""
    return str(step + 1) if isinstance(step, int) else step


def _joint_word(node: Map) -> str:
    """`house shelf into side`, as the joint reads."""
    words = []
    for key, entry in node.entries.items():
        if key in ("house", "miter", "lap", "touch", "reveal", "clearance", "into"):
            value = entry.value
            names = [w.text for w in (value.items if isinstance(value, Items) else (value,)) if isinstance(w, Word)]
            words.append(f"{key} {' and '.join(names)}")
    return " ".join(words)
