"""The words for what came and what is asked, said once for screen, letter and ticket."""

from collections.abc import Sequence

from intake.domain.arches import BOTH, OneArch, opposing_arches, working_arches
from intake.domain.case import Appliance, Item
from intake.domain.facts import Facts
from intake.domain.lab import Lab
from intake.domain.printed.work import ItemWords
from intake.domain.rulebook import Prescribed, Requirement

ITEM_WORDS = {
    "impression": "impression",
    "model": "model",
    "scan": "scan",
    "bite-record": "bite record",
    "photo": "photo",
    "shade-tab": "shade tab",
    "appliance": "appliance sent in",
    "prescription-sheet": "prescription sheet",
}
FIELD_WORDS = {
    "practice": "practice",
    "prescriber": "prescriber",
    "patient": "patient label or reference",
    "arch": "arch",
    "teeth": "teeth",
    "appointment": "appointment date",
    "thickness_mm": "thickness",
    "bite_opening_mm": "bite opening",
    "protrusion_mm": "protrusion",
    "shade": "shade",
    "material": "material",
    "colour": "colour",
}
OUTLOOK_WORDS = {"comfortable": "comfortable", "tight": "tight", "late": "too late for the appointment"}
_PLACES = {
    "spoken-answer": "notes",
    "appointment-feasible": "appointment",
    "hygiene-status": "hygiene",
    "allergy": "patient.allergies",
    "name-found-differs": "patient.found",
    "name-found-near": "patient.found",
    "raised": "raised",
}
_PLACES_OF_FIELDS = {"patient": "patient.label"}


_REQUIREMENTS = {"raised": "the laboratory’s question"}


def requirement_name(requirement: str) -> str:
    """What a requirement asks for, inside a sentence, from its id: `bite record`."""
    return _REQUIREMENTS.get(requirement) or requirement.replace("-", " ")


def counted(number: int, what: str) -> str:
    """So many of something: `1 working day`, `3 working days`."""
    return f"{number} {what}" if number == 1 else f"{number} {what}s"


def measure(value: float) -> str:
    """A measure in mm as it is written: `3 mm`, `1.5 mm`."""
    return f"{value:g} mm"


_ENGLISH = ItemWords()


def item_words(item: Item, words: ItemWords = _ENGLISH) -> str:
    """One item in words: `upper impression`, `scanned protrusive bite record of 6 mm`."""
    told = words.whole.format(
        arch=getattr(words, item.arch) if item.arch else "",
        scanned=words.scanned if item.source == "scan" and item.item != "scan" else "",
        kind=getattr(words, item.kind) if item.kind else "",
        item=words.of_kind(item.item),
        measure=words.of.format(value=f"{item.mm:g}") if item.mm else "",
    )
    return " ".join(told.split())


def items_received(items: Sequence[Item]) -> str:
    """What came, behind what did not: ` among the 2 items received (upper impression, lower impression)`."""
    if not items:
        return ": nothing is entered as received"
    if len(items) == 1:
        return f": only the {item_words(items[0])} came"
    return f" among the {len(items)} items received ({', '.join(item_words(item) for item in items)})"


def listed(words: Sequence[str], last: str = "and") -> str:
    """Words drawn together: `a`, `a and b`, `a, b and c`."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} {last} {words[-1]}"


def with_article(words: str) -> str:
    """Words with their article: `an upper impression`, `a bite record`."""
    return f"{'an' if words[:1].lower() in 'aeiou' else 'a'} {words}"


def in_sentence(name: str) -> str:
    """A name as it stands inside a sentence: `hard occlusal splint`; abbreviations keep their capitals."""
    return name[:1].lower() + name[1:] if name[1:2].islower() else name


def capital(text: str) -> str:
    """A text that begins with a capital: `Upper impression`."""
    return text[:1].upper() + text[1:]


def sentence(parts: Sequence[str]) -> str:
    """Parts joined to one sentence with a capital and a full stop; empty for no parts."""
    text = "; ".join(parts)
    return f"{capital(text)}{'' if text.endswith('.') else '.'}" if text else ""


def appliance_name(appliance: Appliance | None, lab: Lab) -> str:
    """An appliance in the lab's words, small enough for a sentence: `upper hard occlusal splint`.

    What is always made on both arches is one thing and needs no arch; anything else for both arches is two.
    """
    if appliance is None:
        return "appliance"
    kind = lab.type_by_id.get(appliance.type)
    words = lab.words.work
    name = kind.name if kind else appliance.type
    name = in_sentence(name) if words.small_names else name
    arches = working_arches(appliance, lab)
    if not arches or (kind and kind.arch == "both" and arches == BOTH):
        return name
    made = words.made_on_both if arches == BOTH else words.made
    return made.format(arch=words.arches(arches), name=name, several=_several(name))


def _several(name: str) -> str:
    head, joint, tail = name.partition(" with ")
    return f"{head if head.endswith('s') else f'{head}s'}{joint}{tail}"


def fill_in(
    text: str, appliance: Appliance | None, facts: Facts, lab: Lab, missing: Sequence[OneArch] = (), question: str = ""
) -> str:
    """A text of the rule book with its placeholders filled; `question` is what was raised at a bench or at the desk.

    Where only some of the arches that are wanted are missing, `{arch}` and `{opposing}` are those.
    """
    if "{" not in text:
        return text
    words = lab.words.work
    return text.format_map(
        {
            "appliance": appliance_name(appliance, lab),
            "arch": words.arches(missing or (working_arches(appliance, lab) if appliance else ()), words.both_arches),
            "opposing": words.arches(
                missing or (opposing_arches(appliance, lab) if appliance else ()), words.both_arches
            ),
            "practice": facts.practice.name if facts.practice else words.the_practice,
            "earliest": lab.words.dates.shown_day(facts.earliest) if facts.earliest else words.a_later_day,
            "question": question or words.a_question,
        }
    )


def place_of(requirement: Requirement, index: int | None) -> str:
    """The place in the prescription that would answer a requirement."""
    prescribed = next((s.prescribed for s in requirement.satisfied_by if isinstance(s, Prescribed)), None)
    if index is None:
        return _PLACES.get(requirement.id) or _PLACES_OF_FIELDS.get(prescribed or "", prescribed or "items")
    if prescribed in ("teeth", "arch"):
        return f"appliances[{index}].{prescribed}"
    if prescribed:
        return f"appliances[{index}].options.{prescribed}"
    return _PLACES.get(requirement.id) or _place_of_circumstance(requirement, index)


def _place_of_circumstance(requirement: Requirement, index: int) -> str:
    for circumstance in requirement.when:
        key = next(iter(type(circumstance).model_fields))
        place = {
            "arch": f"appliances[{index}].arch" if not requirement.satisfied_by else None,
            "teeth_unclear": f"appliances[{index}].teeth",
            "teeth_of_other_arch": f"appliances[{index}].teeth",
            "shade_unknown": f"appliances[{index}].options.shade",
            "out_of_range": f"appliances[{index}].options.{getattr(circumstance, 'out_of_range', '')}",
            "appliance_twice": f"appliances[{index}]",
            "under_18": "patient.under_18",
            "spoken": f"appliances[{index}]",
        }.get(key)
        if place:
            return "items" if place.endswith("protrusion_mm") else place
    return "items"
