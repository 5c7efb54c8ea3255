"""How long impressions keep, against published findings, over the changes of the clocks.

Hours from taking the impression, usual figure and outer limit:

  alginate                  0.5 / 24   accurate at 30 minutes, then shrinks: Walker et al., Angle Orthod 2010;80:1110-5.
                                       The limit of 24 hours is common practice, no source.
  extended-alginate         100 / 120  usable from 30 minutes to 100 hours: Walker 2010; makers claim up to 120 hours.
  addition-silicone         168 / 336  no change at 24 hours, 1 week, 15 days: Khan et al., J Int Soc Prev Community
                                       Dent 2020;10:736-42.
  vinyl-polyether-silicone  168 / 336  within the limit at 14 days: Nassar et al., J Adv Prosthodont 2017;9:182-7.
  condensation-silicone       1 / 6    shrinks from 30 minutes on: Khan 2020. The limit is common practice, no source.
  polyether                 168 / 336  no change up to 15 days: Khan 2020; to be kept dry (from memory).
  polysulfide                 1 / 1    pour within the hour: read in a summary, not at its source.

Changes of the clocks: the UK government's published data file, as read in August 2026.
"""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from intake.domain.case import Case, Item
from intake.domain.lab import CalendarRules, ImpressionMaterial, Lab
from intake.domain.pour_order import order, pour_work
from intake.domain.pouring import impression_ages, pour_by

LONDON = ZoneInfo("Europe/London")
FIGURES = {
    "alginate": (0.5, 24),
    "extended-alginate": (100, 120),
    "addition-silicone": (168, 336),
    "vinyl-polyether-silicone": (168, 336),
    "condensation-silicone": (1, 6),
    "polyether": (168, 336),
    "polysulfide": (1, 1),
}
LAB = Lab.model_construct(
    calendar=CalendarRules(zone="Europe/London", country="GB", subdivision="ENG"),
    materials=tuple(
        ImpressionMaterial(id=material, name=material, usual_hours=usual, limit_hours=limit)
        for material, (usual, limit) in FIGURES.items()
    ),
)


def a_case(material, taken):
    return Case(items=(Item(item="impression", arch="upper", material=material, taken=taken),))


@pytest.mark.parametrize(
    ("material", "usual", "by"),
    [
        ("alginate", "2026-11-24T16:00", "2026-11-25T15:30"),
        ("extended-alginate", "2026-11-28T19:30", "2026-11-29T15:30"),
        ("addition-silicone", "2026-12-01T15:30", "2026-12-08T15:30"),
        ("vinyl-polyether-silicone", "2026-12-01T15:30", "2026-12-08T15:30"),
        ("condensation-silicone", "2026-11-24T16:30", "2026-11-24T21:30"),
        ("polyether", "2026-12-01T15:30", "2026-12-08T15:30"),
        ("polysulfide", "2026-11-24T16:30", "2026-11-24T16:30"),
    ],
)
def test_an_impression_taken_on_a_winters_afternoon(material, usual, by):
    pour = pour_by(a_case(material, datetime(2026, 11, 24, 15, 30)), LAB)
    assert (pour.usual.isoformat(timespec="minutes"), pour.by.isoformat(timespec="minutes")) == (usual, by)


@pytest.mark.parametrize(
    ("material", "age_hours", "state"),
    [
        ("alginate", 0.5, "fresh"),  # Walker 2010: accurate at 30 minutes
        ("alginate", 10, "past-usual"),
        ("extended-alginate", 100, "fresh"),  # Walker 2010: usable to 100 hours
        ("extended-alginate", 119, "past-usual"),
        ("addition-silicone", 7 * 24, "fresh"),  # Khan 2020: no change at one week
        ("vinyl-polyether-silicone", 14 * 24, "past-usual"),  # Nassar 2017: within the limit at 14 days
        ("condensation-silicone", 2, "past-usual"),  # Khan 2020: shrinks from 30 minutes on
        ("polyether", 15 * 24, "past-limit"),  # the lab's limit is a day short of Khan's 15
        ("polysulfide", 2, "past-limit"),
    ],
)
def test_what_the_studies_call_usable_is_called_so(material, age_hours, state):
    taken = datetime(2026, 11, 3, 9, 0)
    (age,) = impression_ages(a_case(material, taken), LAB, taken + timedelta(hours=age_hours))
    assert age.state == state


def test_a_hundred_hours_over_the_clocks_going_forward_end_an_hour_later_by_the_clock():
    # Fri 27 Mar 2026 10:00 + 100 h = Tue 31 Mar 15:00, not 14:00 as by the clock. (Computed; clocks: 29 March.)
    usual = pour_by(a_case("extended-alginate", datetime(2026, 3, 27, 10, 0)), LAB).usual
    assert usual == datetime(2026, 3, 31, 15, 0)
    assert usual.replace(tzinfo=LONDON).astimezone(UTC) == datetime(2026, 3, 31, 14, 0, tzinfo=UTC)


def test_a_hundred_hours_over_the_clocks_going_back_end_an_hour_earlier_by_the_clock():
    # Fri 23 Oct 2026 10:00 (09:00 UTC) + 100 h = Tue 27 Oct 13:00 UTC and London. (Computed; clocks: 25 October.)
    usual = pour_by(a_case("extended-alginate", datetime(2026, 10, 23, 10, 0)), LAB).usual
    assert usual == datetime(2026, 10, 27, 13, 0)


def test_ages_are_elapsed_hours_too():
    (age,) = impression_ages(a_case("alginate", datetime(2026, 10, 24, 12, 0)), LAB, datetime(2026, 10, 25, 12, 0))
    assert (age.hours, age.state) == (25, "past-limit")


@pytest.mark.parametrize(
    ("day", "hours"),
    [(date(2026, 3, 29), 23), (date(2026, 10, 25), 25), (date(2027, 3, 28), 23), (date(2027, 10, 31), 25)],
)
def test_the_clocks_change_on_the_official_days(day, hours):
    midnight = datetime(day.year, day.month, day.day)
    (age,) = impression_ages(a_case("polyether", midnight), LAB, midnight + timedelta(days=1))
    assert age.hours == hours


@pytest.mark.parametrize(
    ("day", "ends"),
    [(date(2026, 3, 29), 13), (date(2026, 10, 25), 11), (date(2027, 3, 28), 13), (date(2027, 10, 31), 11)],
)
def test_24_hours_over_the_official_changes_are_24_hours_on_the_pour_list(day, ends):
    noon = datetime(day.year, day.month, day.day, 12) - timedelta(days=1)
    case = a_case("alginate", noon)
    first = pour_work(case, LAB, noon + timedelta(hours=1)).first
    assert first.by == datetime(day.year, day.month, day.day, ends)
    assert first.minutes_left == 23 * 60
    assert first.by.replace(tzinfo=LONDON).astimezone(UTC) - noon.replace(tzinfo=LONDON).astimezone(UTC) == timedelta(1)


def test_the_list_goes_by_hours_that_passed_where_the_clock_shows_the_same_hour_twice():
    # 25 Oct 2026: 24 hours after 01:30 and after 02:30 BST on Saturday both show 01:30; an hour lies between them.
    now = datetime(2026, 10, 24, 9, 0)
    later, sooner = (pour_work(a_case("alginate", datetime(2026, 10, 24, hour, 30)), LAB, now) for hour in (2, 1))
    assert later.first.by == sooner.first.by == datetime(2026, 10, 25, 1, 30)
    assert order([later, sooner]) == (sooner, later)
    assert later.first.minutes_left - sooner.first.minutes_left == 60
