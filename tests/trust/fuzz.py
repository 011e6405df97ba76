"""What comes of mangled specs: each is told with its place, or checked; nothing else ever happens.

Run `python -m trust.fuzz 20000 7` from `tests/` for 20,000 inputs from seed 7 on, each with its own bound of seconds
and bytes, one in four with the search for causes; `python -m trust.fuzz 200 7 build` takes what can be read through the
whole build. A thousand run with the tests.
"""

from __future__ import annotations

import json
import multiprocessing
import os
import re
import resource
import signal
import sys
import tempfile
import time
import zlib
from collections import Counter
from collections.abc import Callable, Iterable
from pathlib import Path

from trust.mangle import ROOT, mangled

from solids.fit.check import Report, check
from solids.fit.dryfit import dry_fit
from solids.fit.rules import RULES
from solids.model.finding import Mistake, SpecError
from solids.model.piece import Piece
from solids.output import Refused
from solids.pipeline import KINDS, build
from solids.report.data import as_data
from solids.report.text import lines
from solids.spec.reader import from_text
from solids.spec.source import decode
from solids.spec.written import written

MOST_SECONDS = 10.0  # of the processor, for one input
MOST_WAITED = 180  # seconds by the clock, on a machine that others use too
MOST_BYTES = 2**30  # beyond what was in use before
MOST_PARTS, MOST_CUTS = 12, 60  # a piece that grew beyond is read, and not checked
TOLD = re.compile(r"[^:\n]+:[1-9]\d*:[1-9]\d*: .+")
BESIDE = ROOT / "specs"  # where files that a spec uses are looked for


def outcome(raw: bytes, whole: bool) -> str:
    """`told`, `checked` or `too big`; whatever else is raised is a fault."""
    piece = piece_of(raw)
    if not isinstance(piece, Piece):
        judged(piece, raw)
        return "told"
    if is_large(piece):
        return "too big"
    told_whole(piece, check(piece) if whole else measured(piece))
    return "checked"


def piece_of(raw: bytes) -> Piece | tuple[Mistake, ...]:
    """The piece, or every mistake."""
    try:
        return from_text(decode(raw, "s"), "s", BESIDE)
    except SpecError as e:
        return tuple(e.mistakes)


def judged(mistakes: tuple[Mistake, ...], raw: bytes) -> None:
    """Raise AssertionError where a message has no place in the text, or could not be shown on one line."""
    assert mistakes, "an error with no mistake"
    end = raw.count(b"\n") + raw.count(b"\r") + 2
    for m in mistakes:
        assert TOLD.fullmatch(str(m)), str(m)
        assert m.place.file != "s" or m.place.line <= end, str(m)
        assert m.message.isprintable() and len(m.message) < 1000, m.message


def is_large(piece: Piece) -> bool:
    """Whether checking it would take longer than a thousand others."""
    return len(piece.parts) > MOST_PARTS or sum(len(p.cuts) for p in piece.parts) > MOST_CUTS


def measured(piece: Piece) -> Report:
    """The check without its search for causes, which takes most of the time."""
    dry = dry_fit(piece)
    return Report(piece, tuple(f for rule in RULES for f in rule.check(dry)), dry, {})


def told_whole(piece: Piece, report: Report) -> None:
    """The report is finite numbers and printable lines, and the piece can be written out again or says why not."""
    json.dumps(as_data(report, "s"), allow_nan=False)
    for line in lines(report, "s"):
        assert line.isprintable(), line
    try:
        text = written(piece)
    except ValueError as e:
        if "can't be written with `lean`" not in str(e):
            raise
        return
    assert len(from_text(text, "s").parts) == len(piece.parts)


def built(raw: bytes, only: Iterable[str] = KINDS) -> str:
    """`told`, `refused`, `built` or `too big`: the folder is whole, or there is none."""

    piece = piece_of(raw)
    if not isinstance(piece, Piece) or is_large(piece):
        return "told" if isinstance(piece, tuple) else "too big"
    with tempfile.TemporaryDirectory() as folder:
        spec, out = Path(folder) / "s.yaml", Path(folder) / "out"
        spec.write_bytes(raw)
        try:
            files = build(spec, out, only=only, cached=False).files
        except (SpecError, Refused):  # it uses files that are not beside it, or nothing is left of a part
            assert sorted(os.listdir(folder)) == ["s.yaml"]
            return "refused"
        assert sorted(os.listdir(folder)) == ["out", "s.yaml"]
        assert all((out / name).stat().st_size for name in files)
    return "built"


def run(seeds: range, whole: int) -> Counter[str]:
    """What came of every seed, each `whole`th checked in full; raises at the first fault, its seed in the message."""
    counts: Counter[str] = Counter()
    for seed in seeds:
        start = time.process_time()
        try:
            counts[outcome(mangled(seed), seed % whole == 0)] += 1
        except BaseException as e:
            raise AssertionError(f"seed {seed}: {type(e).__name__}: {e}") from e
        seconds = time.process_time() - start
        assert seconds < MOST_SECONDS, f"seed {seed}: {seconds:.1f} s"
    return counts


# Outside the tests: in a process that may be ended ------------------------------------------------


def at_length(first: int, many: int, judge: Callable[[bytes], str], slower: int = 1) -> Counter[str]:
    """What came of so many seeds, every fault printed: also those that end the process, or would never end.

    `slower` is how many times as long one may take.
    """
    counts: Counter[str] = Counter()
    fork = multiprocessing.get_context("fork")
    seed = first
    while seed < first + many:
        ours, theirs = fork.Pipe(duplex=False)
        worker = fork.Process(target=_work, args=(range(seed, first + many), judge, theirs, slower))
        worker.start()
        theirs.close()
        done = 0
        try:
            while True:
                counts[ours.recv()] += 1
                done += 1
        except EOFError:
            worker.join()
        seed += done
        if seed < first + many:
            counts["fault"] += 1
            print(f"seed {seed}: {_ended(worker.exitcode, slower)}", flush=True)
            seed += 1
    return counts


def _work(seeds: range, judge: Callable[[bytes], str], tell: object, slower: int) -> None:
    """Send what came of each seed, until one is a fault, takes too long, or asks for too much."""
    in_use = int(Path("/proc/self/statm").read_text().split()[0]) * resource.getpagesize()
    resource.setrlimit(resource.RLIMIT_AS, (in_use + MOST_BYTES,) * 2)
    for seed in seeds:
        signal.setitimer(signal.ITIMER_PROF, MOST_SECONDS * slower)  # ends the process, where no one answers the signal
        signal.alarm(MOST_WAITED)
        try:
            told = judge(mangled(seed))
        except BaseException as e:
            print(f"seed {seed}: {type(e).__name__}: {str(e)[:300]}", flush=True)
            os._exit(3)
        tell.send(told)  # type: ignore[attr-defined]
    os._exit(0)


def _ended(code: int | None, slower: int) -> str:
    if code == -signal.SIGPROF:
        return f"over {MOST_SECONDS * slower:g} s"
    if code == -signal.SIGALRM:
        return f"still waiting after {MOST_WAITED} s"
    return f"the process ended with {code}"


def main(many: int, first: int = 0, what: str = "check") -> int:
    """Run so many seeds; 1 where there was a fault."""
    if what == "build":
        import solids.export.step  # what its libraries take is in use before
        import solids.picture.write  # noqa: F401

        counts = at_length(first, many, built, 6)
    else:
        counts = at_length(first, many, lambda raw: outcome(raw, zlib.crc32(raw) % 4 == 0))
    grown = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    print(f"{many} inputs from seed {first}: {dict(counts)}; the largest process held {grown:.0f} MiB")
    return int(counts["fault"] > 0)


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]), *map(int, sys.argv[2:3]), *sys.argv[3:4]))
