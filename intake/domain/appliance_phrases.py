"""An appliance as the desk types it: “hard splint upper 3mm”, “retainers both 1”, “bonded ret lower 3-3”."""

import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, replace

from intake.domain.case import Appliance, Arch, Options
from intake.domain.form_fields import normal_shade
from intake.domain.lab import Lab
from intake.domain.phrase_patterns import (
    BARE_NUMBER,
    COLOUR_LIST,
    COLOURS,
    NAMED_COLOURS,
    NUMBERS,
    OPENINGS,
    QUOTED,
    SHADE,
    TEETH_LIST,
    TEETH_OPTION,
    THICKNESS,
    colours_of,
    plain_spelling,
)
from intake.domain.teeth import (
    TEETH,
    Notation,
    arch_of,
    describe_teeth,
    quadrant_name,
    read_teeth,
    teeth_between,
)
from intake.domain.vocabulary import Choice, Sheet, arch_of_all, arch_said, choose

TEETH_OPTIONS = {"clasp": "clasps", "spring": "springs", "pontic": "pontics"}
THICKNESSES = (0.3, 10.0)
"""Between these a bare number can be a thickness in mm."""
_SAYS_NOTHING = frozenset(("arch", "arches", "tooth", "teeth"))
_OTHER_WORDS = (*COLOURS, *TEETH_OPTIONS, "opening", "shade", "thickness", "tooth", "teeth")


@dataclass(frozen=True)
class AppliancePhrase:
    """What a phrase says of one appliance, and what of it was not understood."""

    type: str | None = None
    candidates: tuple[str, ...] = ()
    """Types that fit equally: to be asked about."""
    arch: Arch | None = None
    teeth: tuple[str, ...] = ()
    unclear_teeth: tuple[str, ...] = ()
    options: Options = field(default_factory=Options)
    understood: tuple[str, ...] = ()
    """What was understood, in words: “Hard occlusal splint”, “upper”, “3 mm”."""
    left_over: tuple[str, ...] = ()

    @property
    def appliance(self) -> Appliance | None:
        """The appliance, once its type is known."""
        if self.type is None:
            return None
        return Appliance(
            type=self.type, arch=self.arch, teeth=self.teeth, unclear_teeth=self.unclear_teeth, options=self.options
        )


@dataclass
class _Found:
    """What has been taken out of the phrase so far."""

    teeth: list[str] = field(default_factory=list)
    unclear: list[str] = field(default_factory=list)
    options: dict[str, str | float | tuple[str, ...]] = field(default_factory=dict)

    def wants(self, option: str, asks: Collection[str]) -> bool:
        return option in asks and option not in self.options


def read_appliance(text: str, lab: Lab, notation: Notation) -> AppliancePhrase:
    """Read one appliance, its words in any order, with the lab's own names of its types.

    A number with mm is a thickness; so is a bare one from 0.3 to 10 where the type asks for a thickness and the number
    is no tooth. “3-3” is canine to canine in the arch that is said (common practice, no source).
    """
    sheet = Sheet(text)
    found = _Found()
    _take_quoted(sheet, found)
    sheet.rest = plain_spelling(sheet.rest)
    _take_colours(sheet, found, NAMED_COLOURS)
    _take_measures(sheet, found)
    _take_shade(sheet, found, lab)
    _take_teeth_options(sheet, found, notation)
    choice = _take_type(sheet, lab)
    asks = _asked(choice, lab)
    _take_teeth(sheet, found, asks, notation)
    arch = _take_arch(sheet)
    _take_numbers(sheet, found, asks, notation, arch)
    _take_colours(sheet, found, COLOUR_LIST)
    if asks and "thickness_mm" not in asks and "bite_opening_mm" in asks and "thickness_mm" in found.options:
        found.options.setdefault("bite_opening_mm", found.options.pop("thickness_mm"))
    teeth = tuple(dict.fromkeys(found.teeth))
    arch = arch or arch_of_all(arch_of(tooth) for tooth in teeth)
    phrase = AppliancePhrase(
        type=choice.only,
        candidates=() if choice.only else choice.ids,
        arch=arch,
        teeth=teeth,
        unclear_teeth=tuple(dict.fromkeys(found.unclear)),
        options=Options.model_validate(found.options),
        left_over=sheet.left_over(_SAYS_NOTHING),
    )
    return replace(phrase, understood=_understood(phrase, choice, lab))


def appliance_words(appliance: Appliance, lab: Lab) -> str:
    """Write an appliance as a phrase that reads back to the same; its notes are left out."""
    options = appliance.options
    parts = [
        _type_words(appliance.type, lab),
        appliance.arch or "",
        _quadrants(appliance.teeth),
        *appliance.unclear_teeth,
    ]
    if options.thickness_mm is not None:
        parts.append(f"{options.thickness_mm:g} mm")
    if options.bite_opening_mm is not None:
        parts.append(f"opening {options.bite_opening_mm:g} mm")
    parts += [f"{name} {_quadrants(teeth)}" for name, teeth in _teeth_options(options).items()]
    if options.shade is not None:
        parts.append(options.shade if options.shade in lab.shades else f"shade “{options.shade}”")
    if options.colour is not None:
        plain = colours_of(options.colour) == options.colour
        parts.append(f"colour {options.colour}" if plain else f"colour “{options.colour}”")
    if options.material is not None:
        parts.append(f"material “{options.material}”")
    return " ".join(filter(None, parts))


def _take_quoted(sheet: Sheet, found: _Found) -> None:
    while quoted := sheet.take(QUOTED):
        what = "colour" if quoted["what"].casefold().startswith("colo") else quoted["what"].casefold()
        found.options[what] = quoted["value"].strip()


def _take_measures(sheet: Sheet, found: _Found) -> None:
    for option, patterns in (("bite_opening_mm", OPENINGS), ("thickness_mm", THICKNESS)):
        measure = next(filter(None, (pattern.search(sheet.rest) for pattern in patterns)), None)
        if measure and (value := float(measure["mm"].replace(",", "."))) > 0:
            sheet.cut(*measure.span())
            found.options[option] = value


def _take_shade(sheet: Sheet, found: _Found, lab: Lab) -> None:
    if "shade" in found.options:
        return
    shades = {normal_shade(shade): shade for shade in lab.shades}
    for written in SHADE.finditer(sheet.rest):
        if shade := shades.get(normal_shade(written["shade"])):
            sheet.cut(*written.span())
            found.options["shade"] = shade
            return


def _take_teeth_options(sheet: Sheet, found: _Found, notation: Notation) -> None:
    for written in list(TEETH_OPTION.finditer(sheet.rest)):
        read = read_teeth(written["teeth"], notation)
        if not read.wrong:
            sheet.cut(*written.span())
            name = TEETH_OPTIONS[written["option"].casefold()]
            before = found.options.get(name, ())
            found.options[name] = (*(before if isinstance(before, tuple) else ()), *read.teeth)
            found.unclear.extend(unclear.written for unclear in read.unclear)


def _choose_type(sheet: Sheet, lab: Lab) -> Choice:
    return choose(sheet.words(), {kind.id: (kind.name, *kind.words) for kind in lab.types}, _OTHER_WORDS)


def _take_type(sheet: Sheet, lab: Lab) -> Choice:
    choice = _choose_type(sheet, lab)
    for word in choice.words:
        sheet.cut(word.start, word.end)
    return choice


def _asked(choice: Choice, lab: Lab) -> frozenset[str]:
    """The options that every type still possible asks for."""
    asked = [frozenset(lab.type_by_id[key].asks) for key in choice.ids]
    return frozenset[str]().union(*asked[:1]).intersection(*asked)


def _take_teeth(sheet: Sheet, found: _Found, asks: Collection[str], notation: Notation) -> None:
    """Takes the teeth that are written with their quadrant, and what is listed behind them."""
    wants_thickness = found.wants("thickness_mm", asks)
    for written in list(TEETH_LIST.finditer(sheet.rest)):
        text = written.group()
        if wants_thickness and re.fullmatch(r"ul\s+\d", text, re.IGNORECASE):
            # “ul 1” may be the tooth, or both arches and 1 mm.
            found.unclear.append(text)
        elif wants_thickness and re.match(r"[a-z]{2}\d.*\D\d", text, re.IGNORECASE):
            text = re.sub(r"(?<=[\da-z])\s+\d{1,2}$", "", text, flags=re.IGNORECASE)
            _read_teeth(text, found, notation)
        else:
            _read_teeth(text, found, notation)
        sheet.cut(written.start(), written.start() + len(text))


def _read_teeth(text: str, found: _Found, notation: Notation) -> None:
    read = read_teeth(text, notation)
    found.teeth.extend(read.teeth)
    found.unclear.extend((*(u.written for u in read.unclear), *(w.written for w in read.wrong)))


def _take_arch(sheet: Sheet) -> Arch | None:
    said: list[Arch] = []
    for word in sheet.words():
        if arch := arch_said(word.text):
            said.append(arch)
            sheet.cut(word.start, word.end)
    return arch_of_all(said)


def _take_numbers(sheet: Sheet, found: _Found, asks: Collection[str], notation: Notation, arch: Arch | None) -> None:
    """Takes bare numbers, each as teeth or as the thickness; one that could be either is unclear."""
    for written in list(NUMBERS.finditer(sheet.rest)):
        text = written.group()
        across = re.fullmatch(r"([1-8])\s*(?:[-–—]|to)\s*\1", text, re.IGNORECASE)
        thick = text.isdigit() and _may_be_thickness(text) and found.wants("thickness_mm", asks)
        tooth = bool(across) or _may_be_tooth(text, notation)
        if across and arch:
            found.teeth.extend(_across(across[1], arch))
        elif tooth and thick and "teeth" in asks:
            found.unclear.append(text)
        elif thick:
            found.options["thickness_mm"] = float(text)
        elif tooth:
            _read_teeth(text, found, notation)
        else:
            continue
        sheet.cut(*written.span())
    if found.wants("thickness_mm", asks):
        _take_decimal(sheet, found)


def _take_decimal(sheet: Sheet, found: _Found) -> None:
    for written in BARE_NUMBER.finditer(sheet.rest):
        if re.search(r"[.,]", written.group()) and _may_be_thickness(written.group()):
            found.options["thickness_mm"] = float(written.group().replace(",", "."))
            sheet.cut(*written.span())
            return


def _may_be_thickness(text: str) -> bool:
    return THICKNESSES[0] <= float(text.replace(",", ".")) <= THICKNESSES[1]


def _may_be_tooth(text: str, notation: Notation) -> bool:
    numbers = re.findall(r"\d+", text)
    if notation == "iso":
        return all(number in TEETH for number in numbers)
    return all(number in TEETH or 1 <= int(number) <= 32 for number in numbers)


def _across(number: str, arch: Arch) -> tuple[str, ...]:
    upper, lower = teeth_between(f"1{number}", f"2{number}"), teeth_between(f"3{number}", f"4{number}")
    return {"upper": upper, "lower": lower, "both": upper + lower}[arch]


def _take_colours(sheet: Sheet, found: _Found, pattern: re.Pattern[str]) -> None:
    if "colour" not in found.options and (written := sheet.take(pattern)):
        found.options["colour"] = colours_of(written["colours"])


def _teeth_options(options: Options) -> Mapping[str, tuple[str, ...]]:
    named = {"clasps": options.clasps, "springs": options.springs, "pontics": options.pontics}
    return {name: teeth for name, teeth in named.items() if teeth}


def _quadrants(teeth: Collection[str]) -> str:
    return ", ".join(quadrant_name(tooth) for tooth in teeth)


def _type_words(type_id: str, lab: Lab) -> str:
    """The first of a type's names that means this type alone."""
    kind = lab.type_by_id[type_id]
    names = (kind.name, *kind.words)
    return next((name for name in names if _choose_type(Sheet(name), lab).only == type_id), kind.name)


def _understood(phrase: AppliancePhrase, choice: Choice, lab: Lab) -> tuple[str, ...]:
    options = phrase.options
    return tuple(
        filter(
            None,
            (
                lab.type_by_id[phrase.type].name if phrase.type else "",
                *(f"“{typed}” read as “{meant}”" for typed, meant in choice.slips.items()),
                phrase.arch or "",
                describe_teeth(phrase.teeth),
                *(f"“{written}” unclear" for written in phrase.unclear_teeth),
                f"{options.thickness_mm:g} mm" if options.thickness_mm else "",
                f"opened {options.bite_opening_mm:g} mm" if options.bite_opening_mm else "",
                *(f"{name} {describe_teeth(teeth)}" for name, teeth in _teeth_options(options).items()),
                f"shade {options.shade}" if options.shade else "",
                options.colour or "",
                options.material or "",
            ),
        )
    )
