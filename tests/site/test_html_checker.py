"""Every page before the Nu HTML checker, the W3C's own (npm package vnu-jar, needs Java)."""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path

import pytest

NU = (
    Path(__file__).parent.parent.parent / ".venv/nu-checker/node_modules/vnu-jar/build/dist/vnu.jar"
)
CAN_RUN = bool(shutil.which("java") and shutil.which("npm"))

if not NU.is_file() and not (os.environ.get("CI") and CAN_RUN):
    pytest.skip("needs npm and java for the Nu HTML checker", allow_module_level=True)


def test_no_page_has_an_error(demo_site: Path) -> None:
    # It ends too soon for code to be tuned; what isn't tuned needs a higher stack.
    quickly = ("-XX:TieredStopAtLevel=1", "-XX:+UseSerialGC", "-Xss4m")
    words = ["java", *quickly, "-jar", str(NU), "--skip-non-html", "--format", "gnu"]
    said = subprocess.run([*words, str(demo_site)], capture_output=True, text=True, check=False)
    assert said.stderr.strip() == ""
