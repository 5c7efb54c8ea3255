"""What Lab setup asks of the desk, on the threads of the job runner."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.lab_setup import InForce, SetupFile
    from intake.desk.setup_changes import Weighed
    from intake.desk.setup_drafts import KeptDraft
    from intake.domain.lab import Lab
    from intake.setup.editing import SetupText


@dataclass(frozen=True)
class Begun:
    """What a draft begins with: the setup in force, read and parsed, and what was being changed at this desk before."""

    file: "SetupFile"
    parsed: "SetupText"
    lab: "Lab"
    kept: "KeptDraft | None" = None


def begin(desk: "Desk") -> Begun:
    """The setup that is in force."""
    from intake.desk.lab_setup import read_draft, setup_file
    from intake.setup.editing import SetupText

    file = setup_file(desk)
    return Begun(file, SetupText(file.text), read_draft(desk, file.text))


def begin_first(desk: "Desk") -> Begun:
    """The setup that is in force, and what was being changed when the program ended."""
    from dataclasses import replace

    from intake.desk.setup_drafts import kept_draft

    return replace(begin(desk), kept=kept_draft(desk))


def weigh(desk: "Desk", text: str, begun_with: int | None) -> "Weighed":
    """What a changed setup would change, and what speaks against it."""
    from intake.desk.people import only_leads
    from intake.desk.setup_changes import weigh

    only_leads(desk, "setup")
    return weigh(desk, text, begun_with)


def put_in_force(desk: "Desk", text: str, note: str, of: int | None) -> "InForce":
    """Puts a changed setup in force; what was kept of the draft is of no use any more."""
    from intake.desk.lab_setup import put_in_force
    from intake.desk.setup_drafts import clear_draft

    done = put_in_force(desk, text, note, of)
    clear_draft(desk)
    return done


def keep_draft(desk: "Desk", text: str | None, edition: int | None) -> None:
    """Keeps what is being changed; nothing, where nothing is changed."""
    from intake.desk.setup_drafts import clear_draft, keep_draft

    if text is None:
        clear_draft(desk)
    else:
        keep_draft(desk, text, edition)


def newer(desk: "Desk") -> "InForce | None":
    """The setup that another desk has put in force."""
    from intake.desk.lab_setup import newer

    return newer(desk)


def put_back(desk: "Desk", edition: int, note: str, of: int) -> "InForce":
    """Puts an older edition in force again, as it was."""
    from intake.desk.lab_setup import edition_text, put_in_force

    return put_in_force(desk, edition_text(desk, edition), note, of)
