"""dryfit: every part fits every other, before the first cut.

piece = solids.read("specs/wall-shelf.yaml")
report = solids.check(piece)
built = solids.build("specs/wall-shelf.yaml", "outputs/wall-shelf")
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

__version__ = "0.1.0"
__all__ = ["SpecError", "__version__", "build", "check", "read"]

if TYPE_CHECKING:
    from solids.fit.check import check
    from solids.model.finding import SpecError
    from solids.pipeline import build
    from solids.spec.reader import read

_WHERE = {
    "read": "solids.spec.reader",
    "check": "solids.fit.check",
    "build": "solids.pipeline",
    "SpecError": "solids.model.finding",
}


def __getattr__(name: str) -> Any:
    """Load what is asked for when it is asked for: reading a spec needs no kernel."""
    if name not in _WHERE:
        raise AttributeError(f"module 'solids' has no attribute {name!r}")
    from importlib import import_module

    return getattr(import_module(_WHERE[name]), name)


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
