"""Which jaw a scan shows, by the name of its file.

Only whole words of a name count, after accents are taken off and joined words are parted: `UpperJaw_2` says upper,
Upperton says nothing. Words that are common names of people or common words of another language, such as max, man, alt
or also, never count. The words are from memory, common practice, no source: of some languages that practices write in.
"""

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass

from intake.domain.scan_figures import JawKind

_UPPER = """
    upper upperjaw upperarch maxilla maxillary superior supérieur supérieure superiore maxila mascella oberkiefer
    bovenkaak overkæbe överkäke overkjeve yläleuka felső viršutinis augšžoklis ülalõug άνω верхняя верхний верхня
"""
_LOWER = """
    lower lowerjaw lowerarch mandible mandibula mandibular mandibule mandibola mandíbula inferior inférieur inférieure
    inferiore unterkiefer onderkaak underkæbe underkäke underkjeve alaleuka żuchwa apatinis apakšžoklis alalõug κάτω
    нижняя нижний нижня
"""
_BITE = """
    bite bitescan occlusion occlusione oclusión oclusão ocluzie biss bissregistrat kieferrelation buccal vestibular
    beetregistratie mordu mordida morso zgryz skus zagriz ugriz harapás purenta σύγκλειση прикус захапка
"""
# Short forms, and words that are names of people and places, too.
_WEAK_UPPER = "ok mx sup górna górny horní horná gornja zgornja горна uchaf"
_WEAK_LOWER = "uk md inf dolna dolny dolní dolná donja spodnja долна isaf"
_WEAK_BITE = "occlusal okklusal beet"
_APPLIANCES = frozenset("splint guard plate plane raiser block tray schiene".split())  # noqa: SIM905
"""Behind a word for the bite these make the name of an appliance: a bite splint is no bite."""
_QUIET = frozenset(("jaw", "arch", "scan"))
"""Words that the files of one delivery need not share."""


@dataclass(frozen=True)
class JawNamed:
    """What a name says; `sure` is False where it says it in a word that may mean something else."""

    jaw: JawKind | None
    sure: bool = True


def jaw_named(name: str) -> JawNamed:
    """The jaw that the name of a file says. A bite beats the jaws; a name that says both jaws says nothing."""
    words = _without_appliances(_words(name))
    for table, sure in ((_STRONG, True), (_WEAK, False)):
        said = {table[word] for word in words if word in table}
        if "bite" in said:
            return JawNamed("bite", sure)
        if said:
            return JawNamed(said.pop(), sure) if len(said) == 1 else JawNamed(None)
    return JawNamed(None)


def stem(name: str) -> str:
    """What is left of a name without its jaw, its numbering and its ending: what names of one delivery share."""
    rest = name.rpartition(".")[0] or name
    words = [word for word in _words(rest) if word not in _STRONG and word not in _WEAK and word not in _QUIET]
    return " ".join([*words, *re.findall(r"\d{3,}", rest)])


def _words(name: str) -> list[str]:
    """The words of a name in small letters without accents: `UpperJaw_2` is upper, jaw."""
    apart = unicodedata.normalize("NFKD", name)
    plain = "".join(sign for sign in apart if not unicodedata.combining(sign))
    parted = re.sub(r"(?<=[a-z])(?=[A-Z])|(?<=[A-Z])(?=[A-Z][a-z])", " ", plain)
    return re.findall(r"[^\W\d_]+", parted.casefold().replace("æ", "ae"))  # a letter, no accented a


def _without_appliances(words: list[str]) -> list[str]:
    behind = zip(words, [*words[1:], ""], strict=False)
    return [word for word, after in behind if not (_is_bite(word) and after in _APPLIANCES)]


def _is_bite(word: str) -> bool:
    return "bite" in (_STRONG.get(word), _WEAK.get(word))


def _table(upper: str, lower: str, bite: str) -> Mapping[str, JawKind]:
    said: tuple[tuple[JawKind, str], ...] = (("upper", upper), ("lower", lower), ("bite", bite))
    return {word: jaw for jaw, words in said for word in _words(words)}


_STRONG = _table(_UPPER, _LOWER, _BITE)
_WEAK = _table(_WEAK_UPPER, _WEAK_LOWER, _WEAK_BITE)
