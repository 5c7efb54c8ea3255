"""A case with the scans that came for it: what was looked at takes the place of what was only said to be there."""

from collections.abc import Iterable, Sequence

from intake.domain.case import Case, Item, SeenArches, SeenScan


def with_scans(case: Case, scans: Sequence[SeenScan], arches: SeenArches | None) -> Case:
    """The case with its scans as they were seen; itself where none came.

    A scan that is said to be enclosed and is not among the files, or cannot be read, is no longer among what came. When
    a scan was taken and the position of a bite are kept as the prescription says them. What can be held in the hand is
    left as it is.
    """
    if not scans:
        return case
    said = [item for item in case.items if _is_scan(item)]
    kept = [item for item in case.items if not _is_scan(item)]
    usable = [scan for scan in scans if not any(fault.fault == "unreadable" for fault in scan.faults)]
    seen = [*_arches(usable, said), *_bites(usable, said)]
    return case.model_copy(update={"items": (*kept, *seen), "scans": tuple(scans), "arches": arches})


def _is_scan(item: Item) -> bool:
    return item.item == "scan" or (item.item == "bite-record" and item.source == "scan")


def _arches(scans: Iterable[SeenScan], said: Sequence[Item]) -> list[Item]:
    """An item for each scan of a jaw, or of one that is not known yet."""
    return [_arch(scan, said) for scan in scans if scan.shows != "bite"]


def _arch(scan: SeenScan, said: Sequence[Item]) -> Item:
    plain = Item(item="scan", arch=scan.shows if scan.shows != "bite" else None)
    fitting = (item for item in said if item.item == "scan" and item.arch in (scan.shows, "both"))
    found = next(fitting, plain) if scan.shows else plain
    return found.model_copy(update={"arch": plain.arch})


def _bites(scans: Sequence[SeenScan], said: Sequence[Item]) -> list[Item]:
    """The bite records that were said to be scanned, no more than came; one bite is often scanned from both cheeks.

    One that was said stays while a scan whose jaw nobody chose may be it: only the prescription knows its position.
    """
    bites = sum(scan.shows == "bite" for scan in scans)
    perhaps = sum(scan.shows is None for scan in scans)
    records = [item for item in said if item.item == "bite-record"][: bites + perhaps]
    return records or [Item(item="bite-record", source="scan")] * min(bites, 1)
