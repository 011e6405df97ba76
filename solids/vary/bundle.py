"""A spec with the files that it uses, as text: what goes to another process or another machine."""

from __future__ import annotations

import hashlib
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from solids.model.finding import SpecError
from solids.spec import source
from solids.spec.source import Items, Map, Node, Word, inside


@dataclass(frozen=True, slots=True)
class Bundle:
    """`name` is the spec's file; `files` are all of them, by their paths from its folder, with their texts."""

    name: str
    files: tuple[tuple[str, str], ...]

    def digest(self) -> str:
        """A hash of all that is written there."""
        return hashlib.sha256(repr((self.name, self.files)).encode()).hexdigest()


def bundle_of(path: Path) -> Bundle:
    """The spec with what it uses. Raises SpecError where the spec itself can't be read."""
    tree = source.load(path)
    texts = {path.name: path.read_text(encoding="utf-8")}
    for used in _used(tree, path, path.parent):
        if used.is_file():
            texts.setdefault(used.relative_to(path.parent.resolve()).as_posix(), used.read_text(encoding="utf-8"))
    return Bundle(path.name, tuple(sorted(texts.items())))


def _used(tree: Map, path: Path, folder: Path, depth: int = 0) -> Iterator[Path]:
    """The files that one uses, and those that they use; what is wrong with them the reader tells."""
    for word in _words(tree.get("use")) if depth < 20 else ():
        target = inside(folder, str(path.parent.relative_to(folder) / word.text))
        if target is None or not target.is_file():
            continue
        yield target
        try:
            below = source.load(target)
        except SpecError:
            continue
        yield from _used(below, folder / target.relative_to(folder.resolve()), folder, depth + 1)


def _words(node: Node | None) -> Iterator[Word]:
    if isinstance(node, Word):
        yield node
    elif isinstance(node, Items):
        yield from (item for item in node.items if isinstance(item, Word))


@lru_cache(maxsize=4)
def unpacked(bundle: Bundle) -> tuple[Map, Path]:
    """The spec's tree and its path, in a folder of its own that lasts as long as the process."""
    folder = Path(_keep(tempfile.TemporaryDirectory(prefix="dryfit-")).name)
    for name, text in bundle.files:
        place = folder / name
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_text(text, encoding="utf-8")
    return source.load(folder / bundle.name, bundle.name), folder / bundle.name


_kept: list[tempfile.TemporaryDirectory[str]] = []


def _keep(folder: tempfile.TemporaryDirectory[str]) -> tempfile.TemporaryDirectory[str]:
    """Held until the process ends, which takes the folder away."""
    _kept.append(folder)
    return folder
