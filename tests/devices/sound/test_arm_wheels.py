"""64-bit ARM Linux: everything that installs there comes as a wheel, no compiler is needed."""

from __future__ import annotations

import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[3]
PLATFORMS = ("manylinux2014_aarch64", "manylinux_2_17_aarch64", "manylinux_2_28_aarch64")
ELSEWHERE = {"sys_platform": "linux", "platform_machine": "aarch64"}


def needed() -> list[str]:
    """Return the dependencies that apply on 64-bit ARM Linux, without their markers."""
    packaging = pytest.importorskip("packaging.requirements", reason="packaging reads the markers")
    listed = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]["dependencies"]
    found = []
    for line in listed:
        requirement = packaging.Requirement(line)
        if requirement.marker is None or requirement.marker.evaluate(ELSEWHERE):
            requirement.marker = None
            found.append(str(requirement))
    return found


def test_the_library_without_a_wheel_is_not_asked_for() -> None:
    """miniaudio has no wheel for 64-bit ARM Linux and is left out there; a system player takes its place."""
    names = " ".join(needed())
    assert "textual" in names
    assert "miniaudio" not in names


@pytest.mark.network
def test_every_dependency_has_a_wheel(tmp_path: Path) -> None:
    """pip finds a wheel for every dependency, and theirs, on 64-bit ARM Linux."""
    command = [
        sys.executable, "-m", "pip", "download", "--quiet", "--only-binary=:all:", "--python-version", "3.11",
        "--implementation", "cp", "--dest", str(tmp_path),
        *(word for platform in PLATFORMS for word in ("--platform", platform)),
    ]  # fmt: skip
    probe = subprocess.run(
        [*command, "platformdirs"], capture_output=True, text=True, check=False, timeout=60
    )
    if probe.returncode != 0:
        pytest.skip("the package index cannot be reached")
    done = subprocess.run([*command, *needed()], capture_output=True, text=True, check=False, timeout=180)
    assert done.returncode == 0, done.stderr[-1000:]
    wheels = [path.name for path in tmp_path.iterdir()]
    assert all(name.endswith(".whl") for name in wheels)
    assert any("aarch64" in name for name in wheels)
