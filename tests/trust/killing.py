"""Builds and watches ended by kill -9 at random moments: what was there stays whole, and nothing is poisoned.

Run `python -m trust.killing 100 7` from `tests/` for a hundred of each from seed 7 on; a handful run with the tests.
"""

from __future__ import annotations

import hashlib
import os
import random
import shutil
import signal
import socket
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from pathlib import Path

from solids.kernel.cache import Cache
from solids.output import MARK
from solids.pipeline import build, check_file
from solids.watching.followed import Followed
from solids.watching.server import serving

ROOT = Path(__file__).parents[2]
SPEC = (ROOT / "solids/new/frame.yaml").read_text(encoding="utf-8")
OTHER = SPEC.replace("units: mm", "units: mm\ndrawing: {revision: B}")
KINDS = ("report", "step", "stl")
FILES = ("report.txt", "model.step")  # of each of those kinds that the folder must have


def ended(work: Callable[[], object], after: float) -> bool:
    """Whether a child that does the work, forked from here and so warm, was still at it when it was killed."""
    child = os.fork()
    if not child:
        os.dup2(os.open(os.devnull, os.O_WRONLY), 2)
        try:
            work()
        finally:
            os._exit(0)
    time.sleep(after)
    os.kill(child, signal.SIGKILL)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == -signal.SIGKILL


def is_whole(folder: Path) -> bool:
    """Whether a folder holds just what its sums say."""
    lines = (folder / MARK).read_text(encoding="utf-8").splitlines()
    listed = {line[66:]: line[:64] for line in lines}
    found = {p.relative_to(folder).as_posix(): p for p in folder.rglob("*") if p.is_file() and p.name != MARK}
    sums = {name: hashlib.sha256(path.read_bytes()).hexdigest() for name, path in found.items()}
    return listed == sums and all(name in listed for name in FILES)


def poisoned(folder: Path) -> list[str]:
    """Entries of a cache that would not be taken: a draft has another ending."""
    kept = Cache(folder)
    names = [p.name for p in folder.glob("*.bin")] if folder.is_dir() else []
    return [name for name in names if kept.get(*name.removesuffix(".bin").split(".")) is None]


def kill_a_build(place: Path, after: float) -> bool:
    """Kill one that writes over an older build; whether in time. AssertionError where something was lost."""
    spec, out = place / "s.yaml", place / "out"
    spec.write_text(OTHER, encoding="utf-8")
    shutil.rmtree(place / "cache")  # so that it is at work on that, too
    killed = ended(lambda: build(spec, out, only=KINDS), after)
    assert is_whole(out), "the output is neither the old nor the new one"
    assert not poisoned(place / "cache"), "an entry of the cache is damaged"
    spec.write_text(SPEC, encoding="utf-8")
    build(spec, out, only=KINDS)
    assert sorted(os.listdir(place)) == ["cache", "out", "s.yaml"], f"litter: {os.listdir(place)}"
    assert is_whole(out)
    return killed


def kill_a_watch(place: Path, after: float) -> bool:
    """Kill a watch while its spec is saved and asked for; raise AssertionError where it left anything behind."""
    spec = place / "s.yaml"
    with socket.socket() as any_free:
        any_free.bind(("127.0.0.1", 0))
        port = any_free.getsockname()[1]

    def work() -> None:
        with serving(Followed(spec), port):
            while True:
                for text in (OTHER, SPEC[: len(SPEC) // 2], SPEC):
                    spec.write_text(text, encoding="utf-8")
                    time.sleep(0.15)

    before = sorted(os.listdir(place))
    killed = ended(work, after)
    assert sorted(os.listdir(place)) == before, f"litter: {os.listdir(place)}"
    spec.write_text(SPEC, encoding="utf-8")
    with serving(Followed(spec), port) as address:  # the port is free again
        assert address.endswith(f":{port}/")
    return killed


def lasting(work: Callable[[], object]) -> float:
    """Seconds by the clock, once warm."""
    start = time.monotonic()
    work()
    return time.monotonic() - start


def prepared(place: Path) -> float:
    """Lay out a spec, its cache and its build; how long one takes."""
    os.environ["DRYFIT_CACHE"] = str(place / "cache")
    (place / "s.yaml").write_text(SPEC, encoding="utf-8")
    build(place / "s.yaml", place / "out", only=KINDS)
    check_file(place / "s.yaml")
    return lasting(lambda: build(place / "s.yaml", place / "out", only=KINDS))


def main(many: int, seed: int = 0) -> int:
    """Kill so many of each; 1 where something was lost."""
    dice, counts = random.Random(seed), Counter[str]()
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        takes = prepared(place)
        for what, kill, longest in (("build", kill_a_build, takes * 1.5), ("watch", kill_a_watch, 1.5)):
            for k in range(many):
                after = dice.uniform(0.0, longest)
                try:
                    counts[f"{what}, at work" if kill(place, after) else f"{what}, done"] += 1
                except (AssertionError, OSError) as e:
                    counts["lost"] += 1
                    print(f"{what} {k}, killed after {after:.3f} s: {e}", flush=True)
    print(f"{many} of each, seed {seed}: {dict(counts)}")
    return int(counts["lost"] > 0)


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:])))
