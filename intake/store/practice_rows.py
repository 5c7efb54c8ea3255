"""What leaves the store of what belongs to a practice."""

from dataclasses import dataclass, fields


@dataclass(frozen=True)
class Belongings:
    """What stands under a practice's code beside the directory, by id; mail addresses as they are."""

    cases: tuple[int, ...] = ()
    documents: tuple[int, ...] = ()
    parcels: tuple[int, ...] = ()
    calls: tuple[int, ...] = ()
    replies: tuple[int, ...] = ()
    senders: tuple[str, ...] = ()

    @property
    def counts(self) -> dict[str, int]:
        """How much of each there is; what there is none of is left out."""
        found = {each.name: len(getattr(self, each.name)) for each in fields(self)}
        return {name: count for name, count in found.items() if count}
