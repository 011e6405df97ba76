"""`dryfit watch SPEC`: the client's page beside the findings, made anew at each save."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from solids.commands.terminal import SPEC, plainly


@click.command()
@click.argument("spec", type=SPEC)
@click.option(
    "--port", type=click.IntRange(0, 65535), default=0, help="Serve on this port; on any free one where unsaid."
)
@click.option("--units", type=click.Choice(["in", "mm"]), help="What sizes are shown in; as the spec where unsaid.")
def watch(spec: Path, port: int, units: Any) -> None:
    """Show the piece in a browser and follow each save.

    Open the address that is printed. It is served to this machine alone, on the loopback address. While the spec can't
    be read, its mistakes stand beside the piece as it last was. Ctrl-C ends it.
    """
    from solids.watching.followed import Followed
    from solids.watching.server import watch as serve

    with plainly():
        serve(
            Followed(spec, units), port, lambda address: click.echo(f"{spec} is shown at {address}  (Ctrl-C ends it)")
        )
