"""What holds for all tests: one line at the end tells which readers were not there."""

from __future__ import annotations

from typing import Any

from readers import LEFT_OUT


def pytest_terminal_summary(terminalreporter: Any) -> None:
    """Say once which outside readers were missing, and how to have them."""
    reasons = [str(report.longrepr[2]) for report in terminalreporter.stats.get("skipped", []) if report.longrepr]
    found = sorted({r.split(LEFT_OUT, 1)[1] for r in reasons if LEFT_OUT in r})
    if found:
        terminalreporter.write_line(f"Left out, for want of a reader: {'; '.join(found)}")
