"""A desk killed while it takes a list of practices in has taken all of it in, or nothing."""

import os
import random
import subprocess
import sys
from pathlib import Path

from intake.store.backup import check
from intake.store.opening import Store

ROOT = Path(__file__).parents[2]
MANY = 2_000
KILLS = 3


def test_an_import_that_is_killed_leaves_all_of_it_or_nothing(sqlite_place, tmp_path, often):
    file, chance = tmp_path / "list.csv", random.Random(6)
    rows = [f"H{n},Harbour {n},{n} Row,XQ{n} 4AA,Dr A. Bell" for n in range(MANY)]
    file.write_text("\n".join(("Code,Name,Street,Postcode,Dentist", *rows)), encoding="utf-8")
    command = [sys.executable, str(Path(__file__).parent / "importer.py"), sqlite_place, str(tmp_path), str(file)]
    environment = os.environ | {"PYTHONPATH": str(ROOT)}
    stopped_within = 0
    for _ in range(often(KILLS)):
        desk = subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=environment, cwd=ROOT)
        said = [desk.stdout.readline() for _ in range(chance.randrange(2, 5))]
        desk.kill()
        said += desk.stdout.readlines()
        desk.wait()
        desk.stdout.close()
        store = Store.open(sqlite_place)
        found, sound = len(store.read.practices()), check(store)
        store.close()
        assert sound.problems == ()
        assert found in (0, MANY)
        assert found == MANY or "taken\n" not in said, "what was said to be taken in is there"
        if found:
            break
        stopped_within += any(line.startswith("begun") for line in said)
    assert stopped_within
