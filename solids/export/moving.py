"""The tree of a piece with what moves as branches of their own, so that a model can open its drawers and doors."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from solids.export.tree import Branch, Leaf
from solids.model.geometry import STILL, Frame
from solids.model.motion import Body, Motion, Swing


@dataclass(frozen=True, slots=True)
class Mover(Branch):
    """A branch that moves as one, `motion` in the room's axes; its frame stands on the axis of a swing."""

    motion: Motion | None = None


def with_movers(root: Branch, bodies: Iterable[Body]) -> Branch:
    """The tree with each body in one branch, hung where all its parts hung; every part stands where it stood.

    A part that several bodies name goes with the first. A body without a part is left out.
    """
    owner: dict[str, int] = {}
    bodies = tuple(bodies)
    for k, body in enumerate(bodies):
        for part in body.parts:
            owner.setdefault(part, k)
    return _Regrouping(bodies, owner).run(root)


class _Regrouping:
    def __init__(self, bodies: tuple[Body, ...], owner: dict[str, int]) -> None:
        self.bodies = bodies
        self.owner = owner

    def run(self, root: Branch) -> Branch:
        placed = self._below(root, STILL, {})
        homes: dict[str, list[int]] = {}
        for k in sorted(placed):
            homes.setdefault(_common([path for path, _ in placed[k]]), []).append(k)
        movers = {k: self._mover(k, [leaf for _, leaf in placed[k]]) for k in placed}
        return self._hung(root, root.name, STILL, homes, movers)

    def _below(
        self, branch: Branch, outer: Frame, found: dict[int, list[tuple[str, Leaf]]], path: str = ""
    ) -> dict[int, list[tuple[str, Leaf]]]:
        """For each body, its leaves: the path of the branch that each hung on, and the leaf placed in the room."""
        here = branch.frame.within(outer)
        path = f"{path}\n{branch.name}" if path else branch.name
        for child in branch.children:
            if isinstance(child, Branch):
                self._below(child, here, found, path)
            elif child.name in self.owner:
                leaf = replace(child, frame=child.frame.within(here))
                found.setdefault(self.owner[child.name], []).append((path, leaf))
        return found

    def _mover(self, k: int, parts: list[Leaf]) -> Mover:
        body = self.bodies[k]
        at = Frame(origin=body.motion.about) if isinstance(body.motion, Swing) else STILL
        inside = tuple(replace(p, frame=p.frame.seen_from(at)) for p in parts)
        return Mover(body.name, inside, at, body.motion)

    def _hung(
        self, branch: Branch, path: str, outer: Frame, homes: dict[str, list[int]], movers: dict[int, Mover]
    ) -> Branch:
        """The branch without the leaves that move and without branches left empty, but with the movers at home here."""
        here = branch.frame.within(outer)
        children: list[Leaf | Branch] = []
        for child in branch.children:
            if isinstance(child, Branch):
                inner = self._hung(child, f"{path}\n{child.name}", here, homes, movers)
                children += [inner] if inner.children else []
            elif child.name not in self.owner:
                children.append(child)
        for k in homes.get(path, []):
            mover = movers[k]
            children.append(replace(mover, frame=mover.frame.seen_from(here)))
        return replace(branch, children=tuple(children))


def _common(paths: list[str]) -> str:
    """The path of the innermost branch that all of them lead through."""
    split = [p.split("\n") for p in paths]
    n = 0
    while all(len(s) > n for s in split) and len({s[n] for s in split}) == 1:
        n += 1
    return "\n".join(split[0][:n])
