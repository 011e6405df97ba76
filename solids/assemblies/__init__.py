"""The assemblies that makers think in, one kind a file, and one table of them all: from a few sizes to parts."""

from __future__ import annotations

from typing import Any

from solids.assemblies.base import Base
from solids.assemblies.case import Case
from solids.assemblies.drawers import Drawers
from solids.assemblies.frame import Frame
from solids.assemblies.fronts import Fronts
from solids.assemblies.ring import Ring

ASSEMBLIES: dict[str, type[Any]] = {a.kind: a for a in (Case, Ring, Fronts, Drawers, Frame, Base)}
