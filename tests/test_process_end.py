"""The program as a process: what it prints and its exit codes arrive although it leaves without tidying up."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

SAMPLES = Path(__file__).parents[1] / "sample_designs"
RUN = "from hullcut.cli import main; main()"


def run(*words: str) -> subprocess.CompletedProcess[str]:
    """hullcut in a process of its own."""
    return subprocess.run([sys.executable, "-c", RUN, *words], capture_output=True, text=True, check=False)


def test_all_that_is_printed_arrives_through_a_pipe() -> None:
    done = run("parts", str(SAMPLES / "ten_lines.toml"), "--json")
    assert done.returncode == 0, done.stderr
    assert len(done.stdout) > 70_000  # more than a pipe holds at once
    assert len(json.loads(done.stdout)) > 30


def test_a_mistake_leaves_with_its_own_exit_code_and_its_words(tmp_path: Path) -> None:
    done = run("check", str(tmp_path / "nowhere.toml"))
    assert done.returncode == 2
    assert "nowhere.toml" in done.stderr
    assert len(done.stderr.splitlines()) == 1
    assert done.stdout == ""


def test_help_leaves_without_a_fault() -> None:
    done = run("--help")
    assert done.returncode == 0
    assert "make" in done.stdout


def test_a_reader_who_has_gone_is_no_traceback() -> None:
    command = [sys.executable, "-c", RUN, "parts", str(SAMPLES / "ten_lines.toml"), "--json"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        told = process.stderr.read()
        assert process.wait() != 0
    assert "Traceback" not in told
