"""Which arches an appliance is made on, and which oppose it."""

from collections.abc import Sequence
from typing import Literal

from intake.domain.case import Appliance, Arch, Item
from intake.domain.lab import Lab

OneArch = Literal["upper", "lower"]
BOTH: tuple[OneArch, ...] = ("upper", "lower")
OTHER: dict[OneArch, OneArch] = {"upper": "lower", "lower": "upper"}


def arch_meant(appliance: Appliance, lab: Lab) -> Arch | None:
    """The arch prescribed, or the one the setup takes for this type when nothing is said."""
    kind = lab.type_by_id.get(appliance.type)
    return appliance.arch or (kind.arch if kind else None)


def working_arches(appliance: Appliance, lab: Lab) -> tuple[OneArch, ...]:
    """The arches the appliance is made on; empty when nobody says."""
    return _single(arch_meant(appliance, lab))


def opposing_arches(appliance: Appliance, lab: Lab) -> tuple[OneArch, ...]:
    """The arches that bite against the appliance."""
    return tuple(OTHER[arch] for arch in working_arches(appliance, lab))


def arch_words(arches: Sequence[str]) -> str:
    """Arches in words: `upper`, `upper and lower`."""
    return " and ".join(arches)


def shows_arch(item: Item, arch: OneArch) -> bool:
    """Whether an impression, model or scan shows this arch."""
    return item.arch in (arch, "both")


def _single(arch: Arch | None) -> tuple[OneArch, ...]:
    if arch is None:
        return ()
    return BOTH if arch == "both" else (arch,)
