"""Which carriers' services the practices of the directory have."""

from collections.abc import Mapping

from intake.desk.desk import Desk
from intake.domain.lab import Lab


def services_used(desk: Desk) -> Mapping[str, tuple[str, ...]]:
    """The codes of the practices that have each service, by its name as their entries write it."""
    used: dict[str, list[str]] = {}
    for practice in desk.practices():
        if name := (practice.service or "").strip():
            used.setdefault(name, []).append(practice.code)
    return {name: tuple(codes) for name, codes in sorted(used.items())}


def having(used: Mapping[str, tuple[str, ...]], service: str) -> int:
    """How many practices have a service, in whatever letters their entries write it."""
    return sum(len(codes) for name, codes in used.items() if name.casefold() == service.casefold())


def unknown(used: Mapping[str, tuple[str, ...]], lab: Lab) -> Mapping[str, tuple[str, ...]]:
    """The services that practices have and the setup does not; to them the usual way is counted."""
    known = {service.name.casefold() for service in lab.deadlines.services}
    return {name: codes for name, codes in used.items() if name.casefold() not in known}
