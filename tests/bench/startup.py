"""How long `synclint --version` takes beside a bare interpreter that imports argparse and yaml.

    python tests/bench/startup.py [--runs 30]

The two run in turn; the medians are of the runs, the ratio is the median of the pairs' ratios.
"""

import argparse
import os
import subprocess
import sys
import time
from pathlib import Path
from statistics import median


def program() -> list[str]:
    """The installed console script where it lies beside this Python, else the module."""
    script = Path(sys.executable).with_name("synclint")
    return [str(script)] if script.exists() else [sys.executable, "-m", "synclint"]


def timed(command: list[str]) -> float:
    """Milliseconds of wall time of a run."""
    start = time.perf_counter()
    subprocess.run(command, stdout=subprocess.DEVNULL, check=True)
    return (time.perf_counter() - start) * 1000


def main() -> None:
    """Print both medians and their ratio."""
    parser = argparse.ArgumentParser(description="Time `synclint --version` beside a bare import of argparse and yaml.")
    parser.add_argument("--runs", type=int, default=30)
    runs = parser.parse_args().runs
    ours = [*program(), "--version"]
    bare = [sys.executable, "-c", "import argparse, yaml"]
    for command in (ours, bare):  # the first run of each writes byte code and fills the disk's cache
        timed(command)
    pairs = [(timed(ours), timed(bare)) for _ in range(runs)]
    print(f"Python {sys.version.split()[0]}, {os.cpu_count()} cores, {runs} pairs")
    print(f"synclint --version                  {median(a for a, _ in pairs):7.1f} ms")
    print(f"python -c 'import argparse, yaml'   {median(b for _, b in pairs):7.1f} ms")
    print(f"ratio                               {median(a / b for a, b in pairs):7.2f}")


if __name__ == "__main__":
    main()
