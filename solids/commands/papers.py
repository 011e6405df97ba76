"""`dryfit seasons SPEC` and `dryfit tolerance SPEC`: what the year and the shop's own errors do to a piece."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from solids.commands.terminal import FITS, JSON, SPEC, UNREADABLE, hand_over, plainly, show

if TYPE_CHECKING:
    from solids.fit.dryfit import DryFit
    from solids.model.piece import Piece

UNITS = click.option(
    "--units", type=click.Choice(["in", "mm"]), help="What sizes are printed in; as the spec where unsaid."
)
AS_JSON = click.option("--json", "json_file", type=JSON, help="Write it here as JSON; - for standard output.")


@click.command()
@click.argument("spec", type=SPEC)
@AS_JSON
@UNITS
def seasons(spec: Path, json_file: Path | None, units: Any) -> None:
    """Say what every gap comes to through the year.

    As made, at the driest and at the most humid, in the air that the spec's
    `seasons` names. What does not survive the year is told by `dryfit check`.
    """
    from solids.report.year import lines, year_data

    _paper(spec, json_file, units, lambda piece: piece.seasons is not None, lines, year_data)


@click.command()
@click.argument("spec", type=SPEC)
@AS_JSON
@UNITS
def tolerance(spec: Path, json_file: Path | None, units: Any) -> None:
    """Say how surely each joint will close.

    And which cut matters most: with cuts as true as the spec's `shop: {true_to: ...}` says: at worst, in 95 of
    100 pieces, and how true they must be for it to close in any case.
    """
    from solids.report.spread import lines, spread_data

    _paper(spec, json_file, units, lambda piece: piece.shop.true_to is not None, lines, spread_data)


def _paper(
    spec: Path,
    json_file: Path | None,
    units: Any,
    is_asked: Callable[[Piece], bool],
    lines: Callable[[DryFit, str], Iterable[str]],
    data: Callable[[DryFit], dict[str, Any] | None],
) -> None:
    """Put the piece together and tell the one paper; where the spec does not ask for it, what is missing."""
    import json

    from solids.spec.reader import read

    with plainly():
        piece = read(spec).worded(units)
    from solids.fit.dryfit import dry_fit

    dry = dry_fit(piece)
    if not is_asked(piece):
        click.echo("\n".join(f"dryfit: {line}" for line in lines(dry, str(spec))), err=True)
        raise SystemExit(UNREADABLE)
    if json_file is not None:
        with plainly():
            hand_over(json.dumps(data(dry), indent=1, ensure_ascii=False, allow_nan=False) + "\n", json_file)
    if str(json_file) != "-":
        show(lines(dry, str(spec)))
    raise SystemExit(FITS)
