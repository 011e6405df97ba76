"""How much the woods of a piece move through its year, and what such numbers can't promise."""

from __future__ import annotations

from collections.abc import Iterator

from solids.data.moisture import LEAST, MOST, coefficients
from solids.fit.season import Year
from solids.model.part import Stock

PROMISE = (
    "coefficients are means of their species: a board may move a quarter more or less",
    "wood follows the air slowly, the more so under a finish: a short wet week does less than is told here",
    "parts are taken to grow evenly: boards that cup, bow or twist are not foreseen",
)


def moving(year: Year) -> Iterator[tuple[str, str, str]]:
    """Each solid wood of the piece by its stock: `oak`, `white oak, flatsawn`, how far it moves from end to end."""
    span = year.moisture.wettest - year.moisture.driest
    for stock in _stocks(year):
        found = coefficients(stock.material, stock.sawn)
        told = "not known: taken to stay"
        if found is not None:
            told = f"{found.width * span:.2%} of its width, {found.thickness * span:.2%} of its thickness"
        yield stock.name, f"{stock.material}, {stock.sawn}", told


def cautions(year: Year) -> list[str]:
    """What the numbers can't promise, for this piece."""
    found = list(PROMISE)
    if year.moisture.driest < LEAST or year.moisture.wettest > MOST:
        found.insert(0, f"the coefficients hold from {LEAST:g} to {MOST:g} % of water; this piece goes beyond that")
    unknown = [s.name for s in _stocks(year) if coefficients(s.material, s.sawn) is None]
    if unknown:
        told = f"how {', '.join(unknown)} moves is not in the tables: it is taken to stay, and it does not"
        found.insert(0, told)
    return found


def _stocks(year: Year) -> list[Stock]:
    found = {p.stock.name: p.stock for p in year.dry.piece.parts if p.stock and p.stock.solid_wood}
    return [found[name] for name in sorted(found)]
