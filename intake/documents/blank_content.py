"""What stands on a blank prescription, in the words to be printed."""

from dataclasses import dataclass
from pathlib import Path

from intake.domain.lab import OptionName
from intake.domain.printed.form import FormWords, NeedWords

_FORM, _NEEDS = FormWords(), NeedWords()
Menu = tuple[tuple[str, str], ...]
"""What the form keeps, and what is shown for it."""


@dataclass(frozen=True)
class BlankOption:
    """One line of the table of appliances."""

    name: OptionName
    label: str
    """"Thickness, mm"."""
    menu: tuple[str, ...] = ()
    """What can be chosen, where it is a choice; anything else can be written too."""


@dataclass(frozen=True)
class BlankNeeds:
    """What the lab asks for to make one kind of appliance."""

    appliance: str
    to_begin: tuple[str, ...] = ()
    """Without these no work starts."""
    also: tuple[str, ...] = ()
    """The practice is asked for these."""
    assumed: tuple[str, ...] = ()
    """What the practice has told the lab to assume."""


@dataclass(frozen=True)
class Blank:
    """A blank prescription of one practice; every text is final, what is empty is left out."""

    number: str
    """Of the form, of `intake.domain.blank_fields`."""
    code: str
    """Of the practice; its barcode is left out where it has letters that Code 128 cannot print."""
    practice: str
    lab: str
    date: str
    """Of the lab's rules that it was drawn from, with the weekday."""
    types: Menu
    options: tuple[BlankOption, ...]
    needs: tuple[BlankNeeds, ...]
    always: tuple[str, ...] = ()
    """What every prescription is to say."""
    address: tuple[str, ...] = ()
    lab_address: tuple[str, ...] = ()
    telephone: str = ""
    email: str = ""
    logo: Path | None = None
    prescribers: tuple[str, ...] = ()
    materials: Menu = ()
    """Of impressions."""
    caution: str = ""
    words: FormWords = _FORM
    """The fixed words of the form."""
    need_words: NeedWords = _NEEDS
    """The fixed words of what is asked for."""
