"""The columns of a list of practices: what each field is called, and which column of a spreadsheet holds it."""

import re
from collections.abc import Sequence

from intake.domain.folding import fold

NAMES = {
    "code": "Code",
    "name": "Name",
    "address": "Address",
    "postcode": "Postcode",
    "telephone": "Telephone",
    "email": "E-mail",
    "prescribers": "Prescribers",
    "open_weekdays": "Open on",
    "hours": "Telephone answered",
    "service": "Service",
    "transit_days": "Days on the way",
    "country": "Country",
    "subdivision": "Part of the country",
    "zone": "Time zone",
    "language": "Language",
    "notation": "Tooth numbers",
    "notes": "Notes",
    "former": "Former codes",
}
"""The fields of a practice in the order of the columns, and what their columns are called when they are written."""
SEVERAL = frozenset({"address", "prescribers", "former"})
"""Fields that may stand in several columns, one part in each."""
_ALSO = {
    "code": "practice code; short code; code of the practice; practice id; customer code; customer number; "
    "customer no; account; account code; account number; account no; client code; id; kennung; kürzel; "
    "kundennummer; kunden nr; code client; numéro client; codice; codice cliente; código; klantnummer; kod; kundnummer",
    "name": "practice name; name of the practice; practice; surgery; surgery name; clinic; clinic name; "
    "dental practice; customer; customer name; client; client name; account name; company; praxis; praxisname; "
    "name der praxis; kunde; firma; "
    "cabinet; nom; nom du cabinet; studio; nome; nome studio; clínica; nombre; praktijk; praktijknaam; naam; "
    "nazwa; gabinet; namn; klinik; klinikk; navn; klinikka; nimi",
    "address": "address line; street; street address; road; house; building; town; city; locality; county; district; "
    "place; anschrift; adresse; straße; strasse; ort; stadt; rue; ville; indirizzo; città; comune; dirección; "
    "calle; ciudad; localidad; adres; straat; plaats; ulica; miasto; miejscowość; adress; gata; gatuadress; postort; "
    "poststed; osoite",
    "postcode": "post code; postal code; zip; zip code; postleitzahl; plz; code postal; cap; código postal; cp; "
    "kod pocztowy; postnummer; postnr; eircode; postinumero",
    "telephone": "phone; phone number; telephone number; tel; tel no; telefon; telefonnummer; téléphone; telefono; "
    "teléfono; telefoon; telefoonnummer; puhelin",
    "email": "mail; e mail address; email address; mail address; e mail adresse; courriel; correo; correo electrónico; "
    "e post; sähköposti",
    "prescribers": "prescriber; dentist; dentists; dentist name; clinician; clinicians; doctor; doctors; practitioner; "
    "practitioners; orthodontist; signs; behandler; zahnarzt; zahnärzte; praticien; praticiens; dentiste; dentistes; "
    "odontoiatra; dentista; dentistas; dentisti; tandarts; tandartsen; dentysta; tandläkare",
    "open_weekdays": "open weekdays; open days; opening days; days open; delivery days of the practice; öffnungstage; "
    "jours d'ouverture; giorni di apertura",
    "hours": "opening hours; hours; opening times; office hours; phone hours; telephone hours; surgery hours; "
    "sprechzeiten; öffnungszeiten; horaires; orari; horario; openingstijden",
    "service": "delivery service; carrier service; versandweg",
    "transit_days": "transit days; transit; days in transit; postal days; laufzeit; versandtage",
    "country": "country code; land; pays; paese; país; kraj; maa",
    "subdivision": "subdivision; holiday region; state; bundesland; kanton",
    "zone": "timezone; zone; zeitzone; fuseau horaire; fuso orario; zona horaria; tijdzone",
    "language": "language of letters; correspondence language; sprache; langue; lingua; idioma; taal; język; språk",
    "notation": "notation; tooth notation; tooth numbering; zahnschema; numérotation",
    "notes": "note; remark; remarks; comment; comments; bemerkung; bemerkungen; notiz; notizen; remarques; "
    "notas; opmerkingen; uwagi",
    "former": "former code; old code; old codes; previous code; previous codes",
}
_NUMBER_BEHIND = re.compile(r" ?\d{1,2}$")


def _plain(header: str) -> str:
    """A column's name for comparing: letters and digits, single spaces."""
    return " ".join("".join(sign if sign.isalnum() else " " for sign in fold(header)).split())


def _known() -> dict[str, tuple[str, int]]:
    """Each name that a column may have: the field, and how far down its list, the likeliest first."""
    known: dict[str, tuple[str, int]] = {}
    for field, name in NAMES.items():
        for rank, words in enumerate((name, field, *_ALSO[field].split(";"))):
            known.setdefault(_plain(words), (field, rank))
    return known


_FIELDS = _known()


def columns_of(headers: Sequence[str]) -> tuple[str | None, ...]:
    """The field that each column holds; None for one that is not known, or whose field a likelier column holds.

    Of columns for an address, for prescribers and for former codes each is taken, in their order.
    """
    found = [_field(header) for header in headers]
    best: dict[str, int] = {}
    for at, fits in enumerate(found):
        if fits is not None and (fits[0] not in best or fits[1] < _rank(found[best[fits[0]]])):
            best[fits[0]] = at
    return tuple(
        fits[0] if fits is not None and (fits[0] in SEVERAL or best[fits[0]] == at) else None
        for at, fits in enumerate(found)
    )


def names_columns(cells: Sequence[str]) -> int:
    """How much a row looks like the names of columns: so many fields, if the name of the practice is among them."""
    fields = {field for field in columns_of(cells) if field is not None}
    return len(fields) if "name" in fields and len(fields) > 1 else 0


def one_line_each(headers: Sequence[str], fields: Sequence[str | None]) -> frozenset[str]:
    """The fields that stand in several columns: there a comma is part of what is said."""
    held = [field for field in fields if field is not None]
    numbered = {field for header, field in zip(headers, fields, strict=True) if field and header.strip()[-1:].isdigit()}
    return frozenset(field for field in SEVERAL if held.count(field) > 1 or field in numbered)


def _field(header: str) -> tuple[str, int] | None:
    plain = _plain(header)
    return _FIELDS.get(plain) or _FIELDS.get(_NUMBER_BEHIND.sub("", plain))


def _rank(fits: tuple[str, int] | None) -> int:
    assert fits is not None, "only columns that fit are compared"
    return fits[1]
