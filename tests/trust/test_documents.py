"""Every command that README.md, specs/README.md and DEVELOPERS.md name is run as it stands there, with real files."""

from __future__ import annotations

import re
import shlex
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from itertools import chain
from pathlib import Path

import pytest
from click.testing import CliRunner

from solids.cli import main

ROOT = Path(__file__).parents[2]
PAGES = {name: (ROOT / name).read_text(encoding="utf-8") for name in ("README.md", "specs/README.md", "DEVELOPERS.md")}
SHELF = str(ROOT / "specs/wall-shelf.yaml")
MEANT = {
    "SPEC...": SHELF, "SPEC": SHELF, "OLD": SHELF, "NEW": SHELF, "FILE": "file", "DIR": "out", "KIND": "report",
    "WORD": "rabbet", "N": "0", "NAME=FROM:TO:STEP": "depth=7:8:1/2",
}  # fmt: skip
SAID = "seasons: {humidity: [40, 50]}\nshop: {true_to: {length: 0.2 mm, angle: 0.1}}\n"  # what two commands ask for
BARE = ("build", "check", "expand", "vary")
QUICK = {"build": ["--only", "report"]}  # the other kinds have tests of their own


def spans() -> list[str]:
    """Every `dryfit ...` that stands in a sentence or a table."""
    found = chain.from_iterable(re.findall(r"`(dryfit [a-z][^`\n]*)`", page) for page in PAGES.values())
    return sorted({span.removeprefix("dryfit ") for span in found})


def tries(span: str) -> Iterator[list[str]]:
    """The command without its options, then once with each value of each option."""
    options = re.findall(r"\[(-[^\]]*)\]", span)
    command, *words = shlex.split(re.sub(r"\[[^\]]*\]", "", span))
    plain = [MEANT.get(w, str(ROOT / w) if w.startswith("specs/") else w) for w in words]
    plain = plain or [SHELF] * (command in BARE)
    if command in ("seasons", "tolerance"):
        plain = ["said.yaml"]
    if command == "vary" and "--size" not in plain:
        plain += ["--size", MEANT["NAME=FROM:TO:STEP"]]
    yield [command, *plain]
    for option in options:
        name, _, values = option.partition(" ")
        for value in values.split(", "):
            yield [command, *plain, name, MEANT.get(value, value)]


def test_the_commands_are_found() -> None:
    assert {span.split()[0] for span in spans()} == set(main.commands)
    assert [" ".join(words) for words in tries("new FILE [--like shelf, tray]")] == [
        "new file", "new file --like shelf", "new file --like tray",
    ]  # fmt: skip


@pytest.mark.parametrize("span", [s for s in spans() if not s.startswith("watch")])
def test_every_command_runs_as_the_page_says(span: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("DRYFIT_CACHE", "off")
    Path("said.yaml").write_text(Path(SHELF).read_text(encoding="utf-8") + SAID, encoding="utf-8")
    if span == "check shelf.yaml":
        CliRunner().invoke(main, ["new", "shelf.yaml"])
    for k, words in enumerate(tries(span)):
        if words[0] == "new":
            words[1] = f"{k}.yaml"  # never over one that is there
        done = CliRunner().invoke(main, [*words, *QUICK.get(words[0], [])])
        assert (done.exit_code, done.stderr) == (0, ""), (words, done.output)
        assert done.stdout


def test_watch_serves_until_it_is_stopped() -> None:
    command = [sys.executable, "-m", "solids", "watch", SHELF, "--port", "0"]
    run = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    assert run.stdout
    assert re.match(r".* is shown at http://127\.0\.0\.1:\d+/ ", run.stdout.readline())
    time.sleep(0.1)
    run.send_signal(signal.SIGINT)
    assert run.communicate(timeout=60)[1] == "dryfit: stopped\n"
    assert run.returncode == 130


# What developers are told ------------------------------------------------------------------------


def shell_lines(page: str) -> list[str]:
    blocks = re.findall(r"^```\n(.*?)^```", PAGES[page], re.M | re.S)
    return [line.partition("#")[0].strip() for block in blocks for line in block.splitlines() if ".venv/bin/" in line]


def test_what_developers_are_to_run_can_be_run() -> None:
    lines = shell_lines("DEVELOPERS.md")
    assert len(lines) >= 3
    for tool in {w.removeprefix(".venv/bin/") for line in lines for w in line.split() if w.startswith(".venv/bin/")}:
        assert re.search(rf'"{tool}[>=]', (ROOT / "pyproject.toml").read_text(encoding="utf-8")), tool
    for line in lines:
        for word in line.split():
            assert not word.startswith("tests/") or (ROOT / word).exists(), line
    assert subprocess.run(["bash", "-n", ".ci/run"], cwd=ROOT, check=False).returncode == 0


@pytest.mark.parametrize(
    "module", sorted({m for page in PAGES.values() for m in re.findall(r"`python -m (\S+?)[` ]", page)})
)
def test_every_module_that_is_to_be_run_is_there(module: str) -> None:
    path = module.replace(".", "/") + ".py"
    assert (ROOT / path).is_file() or (ROOT / "tests" / path).is_file()


def test_every_path_that_developers_are_told_of_is_there() -> None:
    named = set(re.findall(r"`((?:solids|tests|specs)/[\w./-]+)`", PAGES["DEVELOPERS.md"]))
    assert len(named) > 15
    assert {name for name in named if "NAME" not in name and not (ROOT / name).exists()} == set()
