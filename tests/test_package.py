"""The wheel: everything that the program reads travels in it, nothing else does."""

from __future__ import annotations

import os
import subprocess
import sys
import zipfile
from importlib.util import find_spec
from pathlib import Path

import pytest

from partsbin.schemas import documents

ROOT = Path(__file__).parents[1]


@pytest.fixture(scope="module")
def unpacked(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel, built and unpacked: a folder to import from."""
    folder = tmp_path_factory.mktemp("wheel")
    here = ["--no-build-isolation"] if find_spec("hatchling") else []  # else pip fetches the backend for the build
    command = [sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", *here, "-w", str(folder), str(ROOT)]
    subprocess.run(command, check=True, env={**os.environ, "PIP_DISABLE_PIP_VERSION_CHECK": "1"})
    (wheel,) = folder.glob("*.whl")
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(folder / "unpacked")
    return folder / "unpacked"


def files(folder: Path) -> set[str]:
    """Return the files below a folder, caches left out."""
    found = (file for file in folder.rglob("*") if file.is_file() and "__pycache__" not in file.parts)
    return {file.relative_to(folder).as_posix() for file in found}


def test_the_whole_package_is_in_it_with_the_data(unpacked: Path) -> None:
    """Modules, rules, tables, the type marker; the inventory and the schemas beside them."""
    data = {"data/demo_inventory.csv"} | {f"data/schemas/{name}" for name in documents()}
    assert files(unpacked / "partsbin") == files(ROOT / "partsbin") | data


def test_the_data_are_those_of_the_repository(unpacked: Path) -> None:
    """Byte for byte."""
    data = unpacked / "partsbin" / "data"
    assert (data / "demo_inventory.csv").read_bytes() == (ROOT / "demo_inventory.csv").read_bytes()
    for name in documents():
        assert (data / "schemas" / name).read_bytes() == (ROOT / "schemas" / name).read_bytes()


def test_nothing_else_is_installed(unpacked: Path) -> None:
    """No tests at the top level of somebody's environment."""
    assert {entry.name.split("-")[0] for entry in unpacked.iterdir()} == {"partsbin"}


def test_the_command_is_declared(unpacked: Path) -> None:
    """``partsbin`` on the path after the installation."""
    (entry_points,) = unpacked.glob("*.dist-info/entry_points.txt")
    assert "partsbin = partsbin.cli.main:main" in entry_points.read_text(encoding="utf-8")


def test_the_demonstration_plays_from_it_in_another_folder(unpacked: Path, tmp_path: Path) -> None:
    """Without the repository in sight."""
    ran = subprocess.run(
        [sys.executable, "-m", "partsbin.cli.main", "demo", "--db", "demo.sqlite"],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(unpacked), "PYTHONIOENCODING": "utf-8"},
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    assert (ran.returncode, ran.stderr) == (0, "")
    assert "REPAIR 2" in ran.stdout
    assert (tmp_path / "demo.sqlite").exists()
