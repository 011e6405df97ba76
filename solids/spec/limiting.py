"""The limits as declared: what a spec replaces of the thresholds of the check."""

from __future__ import annotations

from dataclasses import replace

from solids.model.finding import Place
from solids.model.limits import LIMITS, REPLACEABLE, Band, Limits
from solids.spec.scope import Scope, Told, as_map, each, refuse_unknown
from solids.spec.source import Items, Node


def read_limits(node: Node | None, scope: Scope, place: Place) -> Limits:
    """The usual limits with those of `limits` in their place; what can't be read is told and stays as usual."""
    if node is None:
        return LIMITS
    limits = LIMITS
    try:
        given = as_map(node, scope.ledger, place, "`limits`")
    except Told:
        return LIMITS
    given = refuse_unknown(given, REPLACEABLE, scope.ledger, "`limits`")
    for key, entry in given.entries.items():
        if key in REPLACEABLE:
            try:
                limits = replace(limits, **{key: _limit(key, entry.value, scope)})  # type: ignore[arg-type]
            except Told:
                continue
    return limits


def _limit(key: str, node: Node, scope: Scope) -> Band | float:
    if not isinstance(getattr(LIMITS, key), Band):
        value = scope.length(node, node.place)
        if value < 0:
            raise scope.ledger.tell(node.place, f"`{key}` is {value:g} mm; it must not be under 0")
        return value
    if not isinstance(node, Items) or len(node.items) != 2:
        raise scope.ledger.tell(node.place, f"`{key}` is the least and greatest gap, as `[0.05 mm, 0.4 mm]`")
    low, high = each(lambda i: scope.length(i, i.place), node.items)
    if low < 0:
        raise scope.ledger.tell(node.place, f"`{key}` begins at {low:g} mm; a gap is not under 0")
    if low > high:
        raise scope.ledger.tell(node.place, f"`{key}` runs from {low:g} to {high:g} mm; the least comes first")
    return Band(low, high)
