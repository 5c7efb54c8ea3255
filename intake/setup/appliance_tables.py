"""The tables of what the lab makes, and of the materials of impressions."""

from functools import partial
from typing import Any, get_args

from intake.domain.lab import Lab, OptionName
from intake.setup.entry_ids import id_column, with_id
from intake.setup.entry_tables import Column, Table
from intake.setup.model_fields import ValueRefused, checked
from intake.setup.renaming import rename_type
from intake.setup.taking_out import taking_out_type
from intake.setup.trying import Changeable
from intake.setup.typed import Kind, choice

_WORDS_HELP = "Other words by which a prescription or the desk names it, parted by commas."
OPTION_WORDS: dict[str, str] = {
    "teeth": "teeth",
    "thickness_mm": "thickness",
    "bite_opening_mm": "bite opening",
    "shade": "shade",
    "material": "material",
    "colour": "colour",
    "pontics": "pontics",
    "clasps": "clasps",
    "springs": "springs",
}
"""What the form can offer for an appliance, in words."""
_OPTIONS = {words: name for name, words in OPTION_WORDS.items()} | {name: name for name in OPTION_WORDS}
ASKED = "asked"
_ARCHES = choice([(ASKED, None), ("upper", "upper"), ("lower", "lower"), ("both", "both")])
_TEETH = choice(
    [("no", (False, False)), ("drawn", (True, False)), ("added", (False, True)), ("drawn, added", (True, True))]
)


def _categories(lab: Lab) -> Kind:
    return choice([(category.name, category.id) for category in lab.categories])


def _option(text: str) -> str:
    words = " ".join(text.replace("_", " ").split()).casefold().removesuffix(" mm")
    if words not in _OPTIONS:
        raise ValueRefused(f"The form has no “{text}”; it has {', '.join(OPTION_WORDS.values())}.")
    return _OPTIONS[words]


def _read_asks(text: str, lab: Lab, row: int | None) -> list[str]:
    return list(dict.fromkeys(_option(part.strip()) for part in text.split(",") if part.strip()))


def _show_usual(kind: Any, lab: Lab) -> str:
    return ", ".join(f"{OPTION_WORDS[name]} {value}" for name, value in kind.usual.items())


def _read_usual(text: str, lab: Lab, row: int | None) -> dict[str, str] | None:
    """`thickness 2, bite opening 2`; the words of an option, then its usual value."""
    usual: dict[str, str] = {}
    longest_first = sorted(OPTION_WORDS.values(), key=len, reverse=True)
    for part in filter(None, map(str.strip, text.split(","))):
        words = next((each for each in longest_first if part.casefold().startswith(f"{each} ")), None)
        if words is None:
            raise ValueRefused(f"“{part}” is unclear; write what it is and its value, such as thickness 2.")
        usual[_OPTIONS[words]] = part[len(words) :].strip()
    checked(("types", 0, "usual"), usual)
    return usual or None


assert set(OPTION_WORDS) == set(get_args(OptionName)), "every option that a form can offer has its words"


def _teeth_changed(setup: Changeable, row: int, value: tuple[bool, bool], lab: Lab) -> None:
    setup.put(("types", row, "shows_teeth"), value[0])
    setup.put(("types", row, "replaces_tooth"), value[1])


TYPES = Table(
    ("types",),
    "Appliance types",
    "appliance type",
    "What the lab makes: the words by which it is typed, its box, and what the form offers for it.",
    (
        Column(("name",), "Appliance", "Its name, as tickets and letters call it.", 7.6, needed=True),
        Column(("words",), "Other words", _WORDS_HELP, 7.6),
        Column(
            ("category",), "Category", "The kind of work, and so its box.", 6.4, of=_categories, needed=True, offer=True
        ),
        Column(
            ("arch",),
            "Arch",
            "The arch where the prescription does not say one; asked: the practice is asked for it.",
            4,
            kind=_ARCHES,
        ),
        Column(
            ("asks",),
            "Form asks",
            "What the form offers for it, in the order of the paper, parted by commas: "
            f"{', '.join(OPTION_WORDS.values())}.",
            6.9,
            show=lambda kind, lab: ", ".join(OPTION_WORDS[name] for name in kind.asks),
            read=_read_asks,
            offer=True,
        ),
        Column(
            ("usual",),
            "Usual",
            "What the lab takes when a practice says “your usual”, of what the form asks for: thickness 2, bite "
            "opening 2.",
            5.8,
            show=_show_usual,
            read=_read_usual,
        ),
        Column(
            ("shows_teeth",),
            "Teeth",
            "Drawn: the ticket draws its teeth. Added: it always carries a tooth, and so needs a shade.",
            4.8,
            kind=_TEETH,
            change=_teeth_changed,
            show=lambda kind, lab: _TEETH.show((kind.shows_teeth, kind.replaces_tooth)),
            read=lambda text, lab, row: _TEETH.read(text),
        ),
        id_column("types", rename_type, 6.4),
    ),
    goes=taking_out_type,
    adds=partial(with_id, "types", "type"),
)

# Impression materials.

MATERIALS = Table(
    ("materials",),
    "Impression materials",
    "impression material",
    "How long an impression keeps before it has to be poured. The maker’s figure for the product in use always wins.",
    (
        Column(("name",), "Material", "Its name.", 7.4, needed=True),
        Column(("words",), "Other words", _WORDS_HELP, 6.7),
        Column(
            ("usual_hours",), "Usual h", "Hours since it was taken after which it should be poured.", 4.7, needed=True
        ),
        Column(
            ("limit_hours",), "Limit h", "Hours after which it has to be poured; no less than usual.", 4.5, needed=True
        ),
        Column(("not_before_hours",), "Wait h", "Hours that it has to rest before it is poured.", 4.2),
        Column(("keep",), "Kept", "How it is to be kept until then, in a few words.", 7.8),
        Column(
            ("water_based",),
            "Water",
            "Whether the material takes up water, so that disinfecting it twice can distort it: yes or no.",
            4,
        ),
        id_column("materials"),
    ),
    adds=partial(with_id, "materials", "material"),
)
