"""Readers that are not ours: a test that needs one is left out where it isn't there, and fails where all must be.

`.ci/run` sets DRYFIT_READERS=required, after it has put every one of them in place.
"""

from __future__ import annotations

import importlib
import json
import os
import shutil
import subprocess
from functools import cache
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[1]
LEFT_OUT = "reader left out: "
HOW = {
    "gltf-validator": "npm install --no-save gltf-validator",
    "chromium": "apt-get install chromium",
}
_VALIDATE = """
const fs = require("fs"), validator = require("gltf-validator");
const told = (report) => process.stdout.write(JSON.stringify(report));
const wrong = (error) => { process.stderr.write(String(error)); process.exit(1); };
validator.validateBytes(new Uint8Array(fs.readFileSync(process.argv[1])), {maxIssues: 0}).then(told, wrong);
"""


def missing(name: str) -> None:
    """Leave the test out, or fail it where every reader must be there."""
    how = HOW.get(name, f"pip install {name}")
    if os.environ.get("DRYFIT_READERS") == "required":
        pytest.fail(f"{name} is not here: {how}")
    pytest.skip(f"{LEFT_OUT}{name} ({how})")


def library(module: str, package: str) -> Any:
    """A Python library that a test reads with."""
    try:
        return importlib.import_module(module)
    except ImportError:
        return missing(package)


@cache
def _has_validator() -> bool:
    if not shutil.which("node"):
        return False
    asked = ["node", "-e", "require('gltf-validator')"]
    return subprocess.run(asked, cwd=ROOT, capture_output=True).returncode == 0


def gltf_report(path: Path) -> dict[str, Any]:
    """What the Khronos glTF validator says of a file."""
    if not _has_validator():
        missing("gltf-validator")
    asked = ["node", "-e", _VALIDATE, str(path)]
    done = subprocess.run(asked, cwd=ROOT, capture_output=True, text=True, check=True)
    report: dict[str, Any] = json.loads(done.stdout)
    return report


def chromium() -> str:
    """The path of a Chromium that can be driven."""
    for name in ("chromium", "chromium-browser", "google-chrome"):
        if path := shutil.which(name):
            return path
    missing("chromium")
    raise AssertionError
