"""Starts Intake with the demo: `python3 demo/start.py`.

Opens the window where there is a display; elsewhere runs the demo's day into a folder and names it. Words after
the command are handed on to `intake demo`, such as `--out DIR`.
"""

import subprocess
import sys
from datetime import datetime

import machine


def main() -> int:
    """Makes the machine ready, starts the demo and returns its exit code."""
    words = sys.argv[1:]
    window = machine.has_display() and not any(word.startswith("--out") for word in words)
    machine.ready(window=window)
    if not window and not words:
        folder = machine.ROOT / "demo-day" / datetime.now().strftime("%Y-%m-%d-%H%M%S")
        words = ["--out", str(folder)]
        machine.say(f"There is no display here: running the demo’s day into {folder}")
    elif window:
        machine.say("Opening Intake with the demo")
    return subprocess.run([str(machine.script("intake")), "demo", *words], check=False).returncode


if __name__ == "__main__":
    sys.exit(main())
