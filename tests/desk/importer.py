"""A desk that takes a list of practices in until it is killed: `importer.py PLACE FOLDER LIST`.

It says `begun` with each part that is written, and `taken` only once the desk has said so.
"""

import sys
from pathlib import Path

from intake.desk.directory_import import preview, take_in
from intake.store.opening import Store
from tests.desk.desks import open_desk

place, folder, file = sys.argv[1:]
desk = open_desk(Store.open(place), folder)
shown = preview(desk, Path(file))
print("looked", flush=True)
take_in(desk, shown, progress=lambda done, of: print("begun", done, flush=True))
print("taken", flush=True)
