"""Pictures of the places for what can be touched: parcels, boxes and the day, and of their sheets."""

from functools import partial
from pathlib import Path

from intake.desk.desk import Desk
from intake.domain.scan_codes import ScanCode
from intake.store.words import DocumentKind
from intake.ui.pictures import documents_of, page_picture, wait, window_picture
from intake.ui.places import DAY, HAND_OVER, PARCELS
from intake.ui.start import Start

STOPPED = "CD407169259IE"
LABEL = "RB582103745GB"
"""The label of a parcel that came this morning: scanned once more it was seen before."""
BENCH = "Casting"
SHEETS: tuple[DocumentKind, ...] = ("return-note", "stickers", "bench-codes", "pour-list", "day-sheet")


def of_parcels(desk: Desk, folder: Path) -> list[Path]:
    """The post of the morning: a parcel that is being opened, and one that is stopped."""
    return [
        window_picture(desk, folder / "parcels.png", _opening, "light", 100),
        window_picture(desk, folder / "parcels-stopped.png", _stopped, "light", 100),
    ]


def of_evening(desk: Desk, folder: Path) -> list[Path]:
    """Boxes at the benches, the day in numbers, the load of the benches, what to pour, and the sheets."""
    held, clear, gone = (_number(desk, state) for state in ("held", "clear", "gone"))
    return [
        window_picture(desk, folder / "hand-over.png", partial(_hand_over, numbers=(held, gone, clear)), "light", 100),
        window_picture(desk, folder / "hand-over-dark.png", partial(_hand_over, numbers=(gone, held)), "dark", 100),
        window_picture(desk, folder / "day.png", partial(_day, page="day-today"), "light", 100),
        window_picture(desk, folder / "day-load.png", partial(_day, page="day-load"), "light", 100),
        window_picture(desk, folder / "day-pour.png", partial(_day, page="day-pour"), "light", 100),
        window_picture(desk, folder / "day-closing.png", partial(_day, page="close-day"), "light", 100),
        *_sheets(desk, folder),
    ]


def _opening(start: Start) -> None:
    start.window.show_place(PARCELS)
    wait(start)
    start.places[PARCELS].take_code(ScanCode("parcel", LABEL))


def _stopped(start: Start) -> None:
    start.window.show_place(PARCELS)
    wait(start)
    desk = start.places[PARCELS].deeds.desk
    (parcel,) = desk.store.read.parcels_labelled(STOPPED)
    start.places[PARCELS].show_parcel(parcel.parcel_id)


def _hand_over(start: Start, numbers: tuple[str, ...]) -> None:
    start.window.show_place(HAND_OVER)
    wait(start)
    place = start.places[HAND_OVER]
    place.take_code(ScanCode("bench", BENCH))
    for number in numbers:
        place.take_code(ScanCode("ticket", number))
        wait(start)


def _day(start: Start, page: str) -> None:
    start.window.show_place(DAY)
    wait(start)
    start.room.keys.action(page).trigger()


def _number(desk: Desk, state: str) -> str:
    """A job in a state, of those that begin at the casting bench and may go there: the newest."""
    jobs = (job for job in desk.store.read.find("26", limit=500) if job.state == state and job.stream == "scan")
    return next(job.number for job in jobs if desk.lab.category_by_id[job.category].route[0].bench == BENCH)


def _sheets(desk: Desk, folder: Path) -> list[Path]:
    newest = {row.kind: row.document_id for row in documents_of(desk)}
    read = desk.store.read
    return [page_picture(read.pdf(newest[kind]) or b"", folder / f"{kind}.png") for kind in SHEETS]
