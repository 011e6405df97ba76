"""`dryfit vary SPEC`: a family of sizes tried on all cores, with a table and a chart of what fits."""

from __future__ import annotations

from pathlib import Path

import click

from solids.commands.terminal import FITS, MISFITS, SPEC, UNREADABLE, hand_over, plainly, progress, show


@click.command()
@click.argument("spec", type=SPEC)
@click.option("--size", "sizes", multiple=True, metavar="NAME=FROM:TO:STEP", help="A size to vary; may be given again.")
@click.option(
    "-o", "--output", type=click.Path(path_type=Path), help="Folder to write; outputs/<spec name>-family where unsaid."
)
@click.option("--workers", type=click.IntRange(1), help="How many processes; one for each core where unsaid.")
@click.option("--scheduler", metavar="ADDRESS", help="Let the workers of a dask scheduler do it, as tcp://host:8786.")
def vary(spec: Path, sizes: tuple[str, ...], output: Path | None, workers: int | None, scheduler: str | None) -> None:
    """Check a family of sizes and say which members fit.

    Each --size names a size or a number of the spec; without any, the spec's own
    `vary` is taken. Writes table.csv and chart.svg. A run that was stopped goes
    on where it was when it is started again. Exit status: 0 all members fit, 1
    some do not, 2 the spec or the command could not be read.
    """
    from solids.spec.reader import read
    from solids.vary.bundle import bundle_of
    from solids.vary.chart import chart
    from solids.vary.family import family
    from solids.vary.member import members
    from solids.vary.running import run
    from solids.vary.table import as_csv, lines

    folder = output or Path("outputs") / f"{spec.stem}-family"
    with plainly():
        try:
            piece = read(spec)
            varied = family(spec, sizes)
            asked = members(bundle_of(spec), varied)
        except ValueError as e:
            click.echo(f"dryfit: {e}", err=True)
            raise SystemExit(UNREADABLE) from None
        with progress() as say:
            found = run(
                asked,
                folder / "members.jsonl",
                workers=workers,
                scheduler=scheduler,
                progress=lambda done, total: say("putting together", done, total),
            )
        hand_over(as_csv(varied, found), folder / "table.csv")
        hand_over(chart(piece.title or spec.stem, varied, found, piece.units), folder / "chart.svg")
    show(lines(str(spec), varied, found, piece.units))
    click.echo(f"\nwritten to {folder}: table.csv, chart.svg")
    raise SystemExit(FITS if all(t.fits for t in found) else MISFITS)
