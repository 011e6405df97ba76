"""How every command speaks: exit statuses, what goes wrong in one line, and progress on a terminal."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path

import click

from solids.model.finding import SpecError

FITS, MISFITS, UNREADABLE, STOPPED = 0, 1, 2, 130
SPEC = click.Path(dir_okay=False, path_type=Path)
JSON = click.Path(path_type=Path, allow_dash=True)


@contextmanager
def plainly() -> Iterator[None]:
    """Tell what can't be read or written on standard error, and leave with its status."""
    from solids.output import Refused

    try:
        yield
    except SpecError as e:
        for mistake in e.mistakes:
            click.echo(str(mistake), err=True)
        raise SystemExit(UNREADABLE) from None
    except Refused as e:
        click.echo(f"dryfit: {e}", err=True)
        raise SystemExit(UNREADABLE) from None
    except OSError as e:
        raise refused_by_disk(e) from None


def refused_by_disk(error: OSError) -> SystemExit:
    """Why a file could not be read or written, told; the exit is to be raised."""
    where = f"{error.filename}: " if error.filename else ""
    click.echo(f"dryfit: {where}{error.strerror or error}", err=True)
    return SystemExit(UNREADABLE)


def show(lines: Iterable[str]) -> None:
    """The answer, with the gravity of each finding in colour on a terminal."""
    colours = {": stop: ": "red", ": warn: ": "yellow", ": note: ": "blue"}
    for line in lines:
        for mark, colour in colours.items():
            if mark in line and not line.startswith(" "):
                line = line.replace(mark, click.style(mark, fg=colour, bold=True), 1)
                break
        click.echo(line)


def hand_over(text: str, file: Path) -> None:
    """Text to a file, whole or not at all; to standard output where that is `-`."""
    if str(file) == "-":
        click.echo(text, nl=False)
        return
    fresh = file.with_name(f".{file.name}.part")
    try:
        fresh.write_text(text, encoding="utf-8")
        fresh.replace(file)
    finally:
        fresh.unlink(missing_ok=True)


@contextmanager
def progress() -> Iterator[Callable[[str, int, int], None]]:
    """A bar on a terminal; nothing at all in a pipe."""
    if not sys.stderr.isatty():
        yield lambda stage, done, total: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn

    console = Console(stderr=True)
    with Progress(TextColumn("{task.description:<18}"), BarColumn(), console=console, transient=True) as bars:
        task = bars.add_task("reading", total=None)

        def say(stage: str, done: int, total: int) -> None:
            bars.update(task, description=stage, completed=done, total=total)

        yield say
