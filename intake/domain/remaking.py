"""A case made again: the same prescription as a new case, so that nobody types it twice. Common practice, no source."""

from collections.abc import Collection

from intake.domain.case import Case, Item
from intake.domain.lab import Lab
from intake.domain.splitting import split

REMAKE_OF = "Remake of "
"""How the notes of a remake begin; the ticket says it so at the bench."""


def remade(case: Case, chosen: Collection[int], lab: Lab, before: str, reason: str, models_here: bool) -> Case:
    """The prescription of a case for making some of its appliances again.

    The appointment and what was seen of the parcel are left out, since both are others now. Scans are always here.
    An impression that is still here was poured: what counts is its model.

    Args:
        case: The case.
        chosen: The places of the appliances that are made again.
        lab: The lab setup.
        before: The number of the job before, as it is shown.
        reason: Why it is made again.
        models_here: Whether the models and whatever else came are still in the laboratory.
    """
    part = case if len(set(chosen)) >= len(case.appliances) else split(case, chosen, lab).leaves
    items = tuple(_kept(item) for item in part.items if models_here or _is_scan(item))
    notes = [line for line in part.notes.strip().splitlines() if not line.startswith(REMAKE_OF)]
    return part.model_copy(
        update={
            "items": tuple(item for item in items if item is not None),
            "hygiene": part.hygiene if any(map(_is_held, items)) else "unknown",
            "appointment": None,
            "posted": None,
            "arrived": None,
            "condition": None,
            "raised": (),
            "notes": "\n".join([f"{REMAKE_OF}{before}: {reason.strip().rstrip('.')}.", *notes]),
        }
    )


def _is_scan(item: Item) -> bool:
    return item.item == "scan" or item.source == "scan"


def _is_held(item: Item | None) -> bool:
    return item is not None and not _is_scan(item) and item.item != "photo"


def _kept(item: Item) -> Item | None:
    """What is left of an item after the first making; an appliance that was sent in went back with the work."""
    if item.item == "appliance":
        return None
    if item.item == "impression":
        return Item(item="model", arch=item.arch, source=item.source)
    return item
