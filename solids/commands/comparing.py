"""`dryfit compare OLD NEW`: what changed, on the terminal, as JSON and as a page to be signed."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from solids.commands.terminal import FITS, JSON, MISFITS, SPEC, hand_over, plainly, show


@click.command()
@click.argument("old", type=SPEC)
@click.argument("new", type=SPEC)
@click.option("--json", "json_file", type=JSON, help="Write what changed here as JSON; - for standard output.")
@click.option("--page", "page_file", type=JSON, help="Write a page here for whoever orders the piece to sign.")
@click.option(
    "--units", type=click.Choice(["in", "mm"]), help="What sizes are printed in; as the new spec where unsaid."
)
def compare(old: Path, new: Path, json_file: Path | None, page_file: Path | None, units: Any) -> None:
    """Say what changes from one state of a piece to another.

    Which parts stay good, which can be cut from what is cut already, which are
    to be made again, which are new; what is found now and was not. Exit status:
    0 the new one fits, 1 it does not, 2 one of them could not be read.
    """
    from solids.pipeline import check_file

    with plainly():
        before, after = check_file(old, units), check_file(new, units)
    from solids.compare.data import as_json
    from solids.compare.difference import difference
    from solids.compare.page import page
    from solids.compare.words import lines

    found = difference(before, after)
    told_in = after.piece.told_in
    with plainly():
        if json_file is not None:
            hand_over(as_json(found, str(old), str(new)), json_file)
        if page_file is not None:
            hand_over(page(found, old.name, new.name, told_in), page_file)
    if "-" not in (str(json_file), str(page_file)):
        show(lines(found, str(old), str(new), told_in))
    raise SystemExit(FITS if after.fits else MISFITS)
