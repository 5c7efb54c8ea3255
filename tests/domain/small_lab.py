"""A small invented lab for tests: few types, few materials, and names that overlap as real ones do."""

from pydantic import BaseModel

from intake.domain.lab import (
    ApplianceType,
    Box,
    CalendarRules,
    Category,
    CautionTexts,
    ImpressionMaterial,
    Lab,
    LetterTexts,
    OptionName,
    Step,
)

SHADES = ("A1", "A2", "A3", "A3.5", "A4", "B1", "BL2", "0M1", "2L1.5")


def _type(key: str, name: str, *words: str, asks: tuple[OptionName, ...] = ()) -> ApplianceType:
    return ApplianceType(id=key, name=name, words=words, category="all", asks=asks)


def _material(key: str, name: str, *words: str) -> ImpressionMaterial:
    return ImpressionMaterial(id=key, name=name, words=words, usual_hours=1, limit_hours=2)


def _blank(texts: type[BaseModel]) -> dict[str, str]:
    return {name: "" for name, text in texts.model_fields.items() if text.is_required()}


SMALL_LAB = Lab(
    name="Ashby Bridge Appliances",
    calendar=CalendarRules(zone="Europe/London", country="GB"),
    letter=LetterTexts(**_blank(LetterTexts)),
    cautions=CautionTexts(**_blank(CautionTexts)),
    categories=(Category(id="all", name="All", box=Box(colour="Blue", hex="#1f6fb4"), route=(Step(bench="Bench"),)),),
    types=(
        _type("hard", "Hard occlusal splint", "hard splint", "hs", asks=("thickness_mm", "bite_opening_mm", "colour")),
        _type("soft", "Soft occlusal splint", "soft splint", "ss", asks=("thickness_mm",)),
        _type("dual", "Dual-laminate splint", "hard soft splint", asks=("thickness_mm", "bite_opening_mm")),
        _type("anterior", "Anterior splint", asks=("teeth", "thickness_mm")),
        _type("formed", "Vacuum-formed retainer", "retainer", "clear retainer", asks=("thickness_mm", "pontics")),
        _type("wire", "Wire retainer", "removable wire retainer", asks=("clasps", "colour")),
        _type("bonded", "Bonded retainer", "br", asks=("teeth",)),
        _type("tray", "Whitening tray", "bleaching tray"),
        _type("guard", "Sports mouthguard", "mouthguard", "mg", asks=("thickness_mm", "colour")),
        _type("advance", "Mandibular advancement appliance", "advancement", asks=("material",)),
        _type("springs", "Removable spring appliance", "removable appliance", asks=("springs", "clasps")),
        _type("plate", "Partial plate with tooth", "partial plate", "pp", asks=("teeth", "shade", "clasps")),
        _type("opening", "Bite raiser", asks=("bite_opening_mm",)),
        _type("repair", "Repair", "mend"),
    ),
    materials=(
        _material("alginate", "Alginate", "alg"),
        _material("extended-alginate", "Extended-storage alginate", "ext alg"),
        _material("addition-silicone", "Addition silicone", "as", "a silicone"),
        _material("condensation-silicone", "Condensation silicone", "cs", "c silicone"),
        _material("polyether", "Polyether", "pe"),
    ),
    shades=SHADES,
)
