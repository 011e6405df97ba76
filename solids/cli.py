"""The command line: options in, pipeline called, exit status out."""

from __future__ import annotations

import errno
import gc
from pathlib import Path
from typing import Any

import click

from solids import __version__
from solids.commands.comparing import compare
from solids.commands.papers import seasons, tolerance
from solids.commands.terminal import FITS, MISFITS, SPEC, STOPPED, UNREADABLE, plainly, progress, refused_by_disk, show
from solids.commands.varying import vary
from solids.commands.watching import watch

KINDS = ("report", "step", "stl", "models", "pictures", "client", "papers", "drawings")
LIKE = ("shelf", "tray", "frame", "case")
SELDOM = (100_000, 50, 100)  # a command makes much that it keeps: looking for what it dropped is a fifth of its time


class _Commands(click.Group):
    """A full disk or an interrupt ends a command in one line and never as a verdict."""

    def invoke(self, ctx: click.Context) -> Any:
        gc.set_threshold(*SELDOM)
        try:
            return super().invoke(ctx)
        except KeyboardInterrupt:
            click.echo("dryfit: stopped", err=True)
            raise SystemExit(STOPPED) from None
        except OSError as e:
            if e.errno == errno.EPIPE:
                raise
            raise refused_by_disk(e) from None


@click.group(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, message="dryfit %(version)s")
def main() -> None:
    """Tell before the first cut whether every part of a piece fits every other.

    A spec is one YAML file: `dryfit new shelf.yaml` writes one to start from,
    `dryfit check shelf.yaml` puts it together dry, `dryfit build shelf.yaml`
    writes the models. Exit status: 0 it fits, 1 it does not, 2 the spec or the
    command could not be read.
    """


@main.command()
@click.argument("specs", nargs=-1, required=True, type=SPEC)
@click.option(
    "--json",
    "json_file",
    type=click.Path(path_type=Path, allow_dash=True),
    help="Write the findings here as JSON; - for standard output.",
)
@click.option("--units", type=click.Choice(["in", "mm"]), help="What sizes are printed in; as the spec where unsaid.")
def check(specs: tuple[Path, ...], json_file: Path | None, units: Any) -> None:
    """Put each piece together dry and say what does not fit."""
    import json

    from solids.pipeline import check_file

    status, answers = FITS, []
    for spec in specs:
        try:
            with plainly():
                report = check_file(spec, units)
        except SystemExit:
            status = UNREADABLE
            continue
        from solids.report.data import as_data
        from solids.report.text import lines

        status = max(status, FITS if report.fits else MISFITS)
        if json_file is not None:
            answers.append(as_data(report, str(spec)))
        if json_file is None or str(json_file) != "-":
            show(lines(report, str(spec), units))
    if json_file is not None and answers:
        data = answers[0] if len(specs) == 1 else answers
        text = json.dumps(data, indent=1, ensure_ascii=False, allow_nan=False) + "\n"
        with plainly():
            click.echo(text, nl=False) if str(json_file) == "-" else json_file.write_text(text, encoding="utf-8")
    raise SystemExit(status)


@main.command()
@click.argument("specs", nargs=-1, required=True, type=SPEC)
@click.option(
    "-o", "--output", type=click.Path(path_type=Path), help="Folder to write; outputs/<spec name> where unsaid."
)
@click.option("--only", multiple=True, type=click.Choice(KINDS), help="Write only these; may be given again.")
@click.option(
    "--schema", type=click.Choice(["AP214", "AP242"]), default="AP214", show_default=True, help="The STEP protocol."
)
@click.option(
    "--units",
    type=click.Choice(["in", "mm"]),
    help="The unit in STEP files and on the terminal; as the spec where unsaid.",
)
@click.option("--no-cache", is_flag=True, help="Make every solid anew and keep none.")
def build(
    specs: tuple[Path, ...], output: Path | None, only: tuple[str, ...], schema: Any, units: Any, no_cache: bool
) -> None:
    """Check, then write the report and the models.

    Into outputs/<spec name>, whole or not at all: report.html with a picture of
    each fault, the whole model as STEP, every distinct part as STEP and STL.
    """
    from solids.pipeline import build as build_spec
    from solids.report.text import lines

    if output is not None and len(specs) > 1:
        raise click.UsageError("-o names one folder; give one spec, or leave -o out")
    status = FITS
    for spec in specs:
        try:
            with plainly(), progress() as say:
                built = build_spec(
                    spec, output, only=only or KINDS, schema=schema, units=units, cached=not no_cache, progress=say
                )
        except SystemExit:
            status = UNREADABLE
            continue
        status = max(status, FITS if built.report.fits else MISFITS)
        show(lines(built.report, str(spec), units))
        click.echo(f"written to {built.folder}: {_counted(built.files)}")
    raise SystemExit(status)


def _counted(files: tuple[str, ...]) -> str:
    top = [f for f in files if "/" not in f]
    folders = [f.split("/")[0] for f in files if "/" in f]
    below = [f"{folders.count(name)} files in {name}/" for name in sorted(set(folders))]
    return ", ".join(top) + (f", and {', '.join(below)}" if below else "")


@main.command()
@click.argument("spec", type=SPEC)
def expand(spec: Path) -> None:
    """Print the spec with every joint's cuts written out, in mm."""
    from solids.spec.reader import read
    from solids.spec.written import written

    with plainly():
        piece = read(spec)
    try:
        click.echo(written(piece), nl=False)
    except ValueError as e:
        click.echo(f"dryfit: {spec}: {e}", err=True)
        raise SystemExit(UNREADABLE) from None


@main.command()
@click.argument("word", required=False)
def explain(word: str | None) -> None:
    """Print the manual page of a cut, a joint or a finding."""
    from solids.report import manual

    if word is None:
        click.echo("There is a page for each of these: dryfit explain WORD\n")
        click.echo("\n".join(f"  {w}" for w in manual.words()))
        return
    page = manual.page(word)
    if page is None:
        meant = manual.nearest(word)
        hint = f"; did you mean `{meant}`?" if meant else "; `dryfit explain` lists them all"
        click.echo(f"dryfit: there is no page for `{word}`{hint}", err=True)
        raise SystemExit(UNREADABLE)
    click.echo(page)


@main.command()
def schema() -> None:
    """Print the JSON Schema of specs, for editors.

    An editor that knows it offers keys and marks mistakes while you type.
    """
    import json

    from solids.spec.schema import schema as whole

    click.echo(json.dumps(whole(), indent=1))


@main.command()
@click.argument("file", type=SPEC)
@click.option("--like", type=click.Choice(LIKE), default="shelf", show_default=True, help="What to start from.")
def new(file: Path, like: str) -> None:
    """Write a small sound spec to start from.

    Never over a file that is there.
    """
    from importlib.resources import files

    text = files("solids.new").joinpath(f"{like}.yaml").read_text(encoding="utf-8")
    with plainly():
        try:
            with file.open("x", encoding="utf-8") as f:
                f.write(text)
        except FileExistsError:
            click.echo(f"dryfit: {file} is there already; name another file", err=True)
            raise SystemExit(UNREADABLE) from None
    click.echo(f"written: {file}. Next: dryfit check {file}")


for _command in (compare, vary, watch, seasons, tolerance):
    main.add_command(_command)
