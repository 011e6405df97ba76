"""The shaded pictures that README shows."""

from __future__ import annotations

from pathlib import Path

from solids.fit.dryfit import dry_fit
from solids.picture.write import Pictures, png
from solids.spec.reader import read

SIZE = (1200, 620)  # px


def shaded(specs: Path) -> dict[str, bytes]:
    """Each picture by the name of its file; `specs` is the folder that the pieces are read from."""
    counter = Pictures(dry_fit(read(specs / "library-counter.yaml")), SIZE)
    return {"library-counter-open.png": png(counter.opened())}
