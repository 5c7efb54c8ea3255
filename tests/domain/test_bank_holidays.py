import os
import subprocess
import sys
from datetime import date

import pytest
from holidays import country_holidays

from intake.domain.bank_holidays import Country, HolidaysUnknown, Part, bank_holidays, countries, known_until


def test_a_bank_holiday_has_its_name_in_english():
    assert bank_holidays("GB", "ENG", 2026)[date(2026, 12, 25)] == "Christmas Day"
    assert bank_holidays("DE", "BY", 2026)[date(2026, 11, 1)] == "All Saints' Day"


def test_a_substitute_day_is_called_so():
    assert bank_holidays("GB", "ENG", 2026)[date(2026, 12, 28)] == "Boxing Day (substitute day)"


def test_a_holiday_at_the_weekend_is_kept_beside_its_substitute():
    assert bank_holidays("GB", "ENG", 2026)[date(2026, 12, 26)] == "Boxing Day"


def test_names_do_not_depend_on_the_language_of_the_machine(tmp_path):
    ask = (
        "from datetime import date; from intake.domain.bank_holidays import bank_holidays;"
        "print(bank_holidays('DE', None, 2026)[date(2026, 1, 1)])"
    )
    told = {
        language: subprocess.run(
            [sys.executable, "-c", ask],
            capture_output=True,
            text=True,
            check=True,
            env=os.environ | {"LANG": language, "LANGUAGE": language, "LC_ALL": language},
        ).stdout.strip()
        for language in ("C.UTF-8", "de_DE.UTF-8")
    }
    assert set(told.values()) == {"New Year's Day"}


def test_the_holidays_of_a_year_cannot_be_changed_by_who_asks():
    with pytest.raises(TypeError):
        bank_holidays("GB", "ENG", 2026)[date(2026, 7, 1)] = "Picnic"


@pytest.mark.parametrize(
    ("country", "subdivision", "year", "says"),
    [
        pytest.param("XX", None, 2026, "country “XX”", id="no such country"),
        pytest.param("gb", None, 2026, "such as GB or IE", id="a code in small letters"),
        pytest.param("GB", "XYZ", 2026, "United Kingdom has no part “XYZ”", id="no such part"),
        pytest.param("GB", "XYZ", 2026, "ENG, NIR, SCT, WLS", id="no such part: the parts are named"),
        pytest.param("IE", "D", 2026, "Leave the part empty", id="a country without parts"),
        pytest.param("GB", "ENG", 2206, "not for 2206", id="a year too late"),
        pytest.param("GB", "ENG", 206, "not for 206", id="a year too early"),
    ],
)
def test_what_is_not_known_is_said_and_never_taken_for_no_holidays(country, subdivision, year, says):
    with pytest.raises(HolidaysUnknown) as refused:
        bank_holidays(country, subdivision, year)
    assert says in str(refused.value)


@pytest.mark.parametrize(
    ("country", "subdivision", "year", "says"),
    [
        # The dates of Diwali in the library end in 2035; it leaves the day out from then on, mostly without a word.
        pytest.param("FJ", None, 2036, "no date can be counted there; there is none for Diwali.", id="of one holiday"),
        pytest.param("IN", None, 2036, "Maha Shivaratri, Holi, Mahavira's Birthday and others.", id="of several"),
        pytest.param("US", "CA", 2036, "none for Diwali", id="of one part of a country"),
    ],
)
def test_a_year_in_which_a_holiday_has_no_date_is_not_known(country, subdivision, year, says):
    bank_holidays(country, subdivision, year - 1)
    with pytest.raises(HolidaysUnknown) as refused:
        bank_holidays(country, subdivision, year)
    assert says in str(refused.value)


def test_it_is_known_up_to_which_year_the_holidays_are_known():
    assert known_until("LK", None, 2026) == 2026
    assert known_until("IN", None, 2030) == 2035
    assert known_until("GB", "ENG", 2026, 3) == 2028
    assert known_until("XX", None, 2026) is None


def test_what_is_known_is_what_the_library_lists():
    for country, part in (("GB", "SCT"), ("IN", "KL"), ("IL", None), ("TR", None), ("DE", "BY")):
        listed = country_holidays(country, subdiv=part, years=2027, expand=False)
        assert set(bank_holidays(country, part, 2027)) == set(listed)


def test_a_country_without_days_off_has_none():
    # Ukraine: holidays are no days off under martial law (as the library has it).
    assert bank_holidays("UA", None, 2026) == {}


def test_the_first_run_screen_offers_countries_by_name_with_their_parts():
    offered = countries()
    assert Country("Ireland", "IE") in offered
    kingdom = next(country for country in offered if country.code == "GB")
    assert kingdom.name == "United Kingdom"
    assert kingdom.parts == (
        Part("England", "ENG"),
        Part("Northern Ireland", "NIR"),
        Part("Scotland", "SCT"),
        Part("Wales", "WLS"),
    )
    assert [country.name for country in offered] == sorted(country.name for country in offered)


def test_every_country_and_part_that_is_offered_can_be_asked_for():
    for country in countries():
        for part in (None, *(part.code for part in country.parts)):
            bank_holidays(country.code, part, 2026)


def test_the_library_is_loaded_only_when_a_holiday_is_asked_for():
    loaded = "import sys, intake.domain.bank_holidays; print('holidays' in sys.modules)"
    run = subprocess.run([sys.executable, "-c", loaded], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "False"
