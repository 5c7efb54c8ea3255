"""What the window says of the scans of an arrival, in few words."""

from typing import TYPE_CHECKING

from intake.domain.wording import counted
from intake.ui.keys import Keys

if TYPE_CHECKING:
    from intake.desk.scan_panel import ScanPanel, ScanShown

MOST = 140
"""Characters of a message that are shown in the strip."""
NOTHING_WRONG = "Nothing is wrong as far as can be told."


def head_words(panel: "ScanPanel", unseen: int, key: str) -> str:
    """How many scans there are: `6 scans, 2 more by Ctrl+PgDown`.

    Args:
        panel: The scans.
        unseen: How many of them there is no room for.
        key: The key that goes on to the next scan.
    """
    if not panel.shown:
        return "A message without scans" if panel.message is not None else "No scan"
    head = counted(len(panel.shown), "scan")
    if panel.scans.unchecked:
        head += f", {panel.scans.unchecked} being checked …"
    if unseen:
        head += f", {unseen} more" + (f" by {key}" if key else "")
    return head


def found_words(panel: "ScanPanel", current: "ScanShown | None") -> str:
    """What is wrong, of the current scan first, how the arches stand, and who sent them; a mere message itself."""
    sender = panel.message.sender if panel.message is not None else ""
    scans = sorted(panel.shown, key=lambda scan: scan is not current)
    wrong = [*filter(None, (scan.short for scan in scans)), *panel.problems]
    if not panel.shown:
        text = " ".join(panel.message.text.split()) if panel.message is not None else ""
        beginning = text if len(text) <= MOST else f"{text[:MOST]} …"
        return " ".join(filter(None, (*wrong, f"{sender}:" if sender and text else sender, beginning)))
    more = f"{len(wrong) - 1} more to look at." if len(wrong) > 1 else ""
    nothing = "" if wrong or panel.arches or panel.scans.unchecked else NOTHING_WRONG
    from_whom = f"From {sender}." if sender else ""
    return " ".join(filter(None, (*wrong[:1], more, panel.arches_short, nothing, from_whom)))


def all_found(panel: "ScanPanel") -> str:
    """All that was found, a line each, for the tip."""
    wrong = (*panel.problems, *(fault for scan in panel.shown for fault in scan.faults), panel.arches)
    return "\n".join(filter(None, wrong))


def asked_words(scan: "ScanShown | None", keys: Keys, several: bool) -> str:
    """What a person has to say of a scan, and by which keys; empty where nothing is asked, or nothing can be said here.

    Args:
        scan: The scan that the keys are about.
        keys: For the keys.
        several: Whether there are other scans in sight to go on to.
    """
    if scan is None or not is_asked(scan) or not keys.action("scan-unit").isEnabled():
        return ""
    shown, told = keys.shown, []
    if not scan.seen.jaw.sure:
        jaws = (f"{jaw}\u00a0{shown(f'scan-{jaw}')}" for jaw in ("upper", "lower", "bite"))
        told.append(f"Which jaw? {', '.join(jaws)}.")
    if scan.unit_offered:
        told.append(f"It is in {scan.unit_offered}: {shown('scan-unit')}.")
    if several:
        told.append(f"Next scan: {shown('next-scan')}.")
    return " ".join(told)


def scan_words(panel: "ScanPanel", scan: "ScanShown") -> str:
    """Which scan it is: `Scan 2 of 3, Which jaw?: scan 2.ply`."""
    return f"Scan {panel.shown.index(scan) + 1} of {len(panel.shown)}, {scan.name}: {scan.seen.file.name}"


def is_asked(scan: "ScanShown") -> bool:
    """Whether a person has to say something of a scan: it was read, and its jaw or its unit is not sure."""
    return bool(scan.size) and (not scan.seen.jaw.sure or bool(scan.unit_offered))
