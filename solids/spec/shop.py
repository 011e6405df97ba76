"""The shop as declared: what its saw, its cutters and its boards come to."""

from __future__ import annotations

from solids.model.finding import Place
from solids.model.shop import SHOP, Shop
from solids.spec.scope import Scope, Told, as_map
from solids.spec.source import Node
from solids.spec.values import Reading, read_record


def read_shop(node: Node | None, scope: Scope, place: Place) -> Shop:
    """What `shop` says; nothing where it is unsaid or can't be read, which was told."""
    if node is None:
        return SHOP
    try:
        given = as_map(node, scope.ledger, place, "`shop`")
        found: Shop = read_record(Shop, given, Reading(scope), "`shop`")
    except Told:
        return SHOP
    return found
