"""A rule: the name of what it finds, how grave that is, and its manual page."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from solids.fit.dryfit import DryFit
    from solids.model.finding import Finding


@dataclass(frozen=True, slots=True)
class Rule:
    """`kinds` are the findings that `check` may yield; the module's docstring is their page."""

    name: str
    kinds: tuple[str, ...]
    check: Callable[[DryFit], Iterator[Finding]]
    page: str
