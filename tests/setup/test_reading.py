"""A lab setup read from its file, or everything that is wrong with it, each with its place."""

import re
import tomllib

import pytest

from intake.resources import demo, resource
from intake.setup.reading import SetupWrong, read_practices, read_setup, setup_of

DEFAULT = resource("setup", "default.toml").read_text(encoding="utf-8")


def written(tmp_path, text, name="setup.toml"):
    file = tmp_path / name
    file.write_text(text, encoding="utf-8")
    return file


def without_lines(told):
    """The message, without the numbers of the lines, which test_lines.py looks at."""
    return re.sub(r"Line [0-9]+: ", "", str(told.value))


def refused(text):
    """What is said of a setup's text, behind the file's name."""
    with pytest.raises(SetupWrong) as told:
        setup_of(text, "setup.toml")
    return without_lines(told).removeprefix("setup.toml cannot be used. ")


def with_change(old, new):
    assert DEFAULT.count(old) >= 1
    return DEFAULT.replace(old, new, 1)


@pytest.mark.parametrize("file", [resource("setup", "default.toml"), demo("lab.toml")], ids=["default", "demo"])
def test_what_is_shipped_can_be_used(file):
    assert read_setup(file).categories


def test_the_practices_of_the_demo_can_be_used():
    assert len(read_practices(demo("practices.toml"))) >= 12


CONTRADICTIONS = {
    "a category twice": ('id = "retainers"\nname', 'id = "splints"\nname', "categories: “splints” stands twice."),
    "a type twice": (
        'id = "occlusal-splint-soft"',
        'id = "occlusal-splint-hard"',
        "appliance types: “occlusal-splint-hard” stands twice.",
    ),
    "a box colour twice": (
        'colour = "Yellow"',
        'colour = "BLUE"',
        "boxes: “blue” stands twice.",
    ),
    "a type of no category": (
        'category = "whitening"',
        'category = "bleaching"',
        "appliance type “whitening-tray”: there is no category “bleaching”.",
    ),
    "a category without a bench": (
        'route = [{ bench = "Repairs", days = 1 }, { bench = "Checking", days = 1 }]',
        "route = []",
        "category “repairs”: its route has no bench.",
    ),
    "nobody works": ("weekdays = [0, 1, 2, 3, 4]", "weekdays = []", "calendar.weekdays: at least one weekday"),
    "nothing is delivered": (
        "delivery_weekdays = [0, 1, 2, 3, 4]",
        "delivery_weekdays = []",
        "deadlines.delivery_weekdays: at least one weekday",
    ),
    "a closure that ends before it begins": (
        "closures = []",
        'closures = [{ first = 2026-12-24, last = 2026-12-20, name = "Winter" }]',
        "closure “Winter”: its last day, 2026-12-20, is before its first, 2026-12-24.",
    ),
    "a time zone that is none": (
        'zone = "Europe/London"',
        'zone = "Europe/Ellerquay"',
        "calendar.zone: there is no time zone “Europe/Ellerquay”; write it as Europe/London.",
    ),
    "a time zone that is a path": ('zone = "Europe/London"', 'zone = "../etc"', "calendar.zone: there is no time zone"),
    "a letter with a strange name to fill in": (
        "{count} of your prescriptions",
        "{number} of your prescriptions",
        "letter.subject: “{number}” is not known here; known are count, lab, practice.",
    ),
    "a letter with the words of one case in its opening": (
        'opening = "Thank you',
        'opening = "By {reply_by}. Thank you',
        "letter.opening: “{reply_by}” is not known here; known are count, lab, practice.",
    ),
    "a letter with the words of the letter in what is said of one case": (
        'late = "The appointment',
        'late = "{practice}: the appointment',
        "letter.late: “{practice}” is not known here; known are appointment, earliest, reply_by.",
    ),
    "a name to fill in with more than the name": (
        "of the {arch} arch.",
        "of the {arch:>9} arch.",
        "rule “working-arch”: between the braces of “{arch}” stands the name alone.",
    ),
    "answers to a question that is never asked": (
        "[letter.answers]\n",
        '[letter.answers]\nsmell = ["yes", "no"]\n',
        "letter.answers: the rule book has no requirement “smell”.",
    ),
    "a disinfectant twice": (
        '{ name = "Quaternary ammonium spray", minutes = 10 }',
        '{ name = "sodium hypochlorite 0.5 %", minutes = 5 }',
        "disinfectants: “sodium hypochlorite 0.5 %” stands twice.",
    ),
    "no steps for what is sharp": (
        "[parcels]\n",
        "[parcels]\nsharps = []\n",
        "parcels.sharps: at least one step is needed for what is sharp or dangerous.",
    ),
    "hours of ringing that overlap": (
        'lab_hours = ["08:30-17:30"]',
        'lab_hours = ["08:30-13:00", "12:30-17:30"]',
        "ringing.lab_hours: two stretches overlap at 12:30.",
    ),
    "no hours at all": (
        'usual_hours = ["09:00-13:00", "14:00-17:00"]',
        "usual_hours = []",
        "ringing.usual_hours: at least one stretch of the day is needed, such as 09:00-13:00.",
    ),
    "a server without an address to send from": (
        '# server = "mail.example.com"',
        'server = "mail.example.com"',
        "mail.server: mails need an address that they are sent from; give mail.sender, or the laboratory’s email.",
    ),
    "a usual that is not asked for": (
        'usual = { thickness_mm = "2", bite_opening_mm = "2" }',
        'usual = { thickness_mm = "2", shade = "A2" }',
        "appliance type “occlusal-splint-hard”: its usual has shade, which it does not ask for.",
    ),
    "a usual that cannot be read": (
        'usual = { thickness_mm = "2", bite_opening_mm = "2" }',
        'usual = { thickness_mm = "two", bite_opening_mm = "2" }',
        "appliance type “occlusal-splint-hard”, usual thickness_mm: Type the measure in mm, such as 1.5.",
    ),
    "a reminder with a strange name to fill in": (
        'reminder = "Reminder {reminder}',
        'reminder = "Reminder {number}',
        "letter.reminder: “{number}” is not known here; known are count, first, lab, practice, reminder.",
    ),
    "an e-mail with the words of one case": (
        'mail = "Please find',
        'mail = "By {reply_by}: please find',
        "letter.mail: “{reply_by}” is not known here; known are count, lab, practice.",
    ),
    "a letter with a brace too many": (
        "{count} of your prescriptions",
        "{count of your prescriptions",
        "letter.subject: “Questions about {count of your prescriptions” has a brace too many or too few.",
    ),
}


@pytest.mark.parametrize(("old", "new", "said"), CONTRADICTIONS.values(), ids=CONTRADICTIONS)
def test_what_contradicts_itself_is_told(old, new, said):
    assert said in refused(with_change(old, new))


def test_a_limit_shorter_than_the_usual_time_is_told():
    material = tomllib.loads(DEFAULT)["materials"][0]
    lines = f"limit_hours = {material['limit_hours']}"
    assert "its limit is shorter than its usual time" in refused(with_change(lines, "limit_hours = 0.1"))


def test_a_rule_for_an_appliance_that_is_not_made_is_told():
    gone = DEFAULT.replace('id = "study-model"', 'id = "plaster-model"')
    said = refused(gone)
    assert "there is no appliance type “study-model”" in said
    assert said.startswith("rule “")


def test_a_rule_with_a_strange_name_to_fill_in_is_told():
    rule = tomllib.loads(DEFAULT)["rules"][0]
    assert f"rule “{rule['id']}”: “{{tooth}}” is not known here" in refused(
        with_change(f'question = "{rule["question"]}"', 'question = "Which {tooth}?"')
    )


def test_everything_is_told_at_once():
    twice = with_change('zone = "Europe/London"', 'zone = "Nowhere"').replace('colour = "Yellow"', 'colour = "blue"')
    said = refused(twice)
    assert "boxes: “blue” stands twice." in said
    assert "no time zone “Nowhere”" in said


SHAPES = {
    "a colour that is none": ('hex = "#1f6fb4"', 'hex = "blue"', "categories[0].box.hex (“splints”): "),
    "a word for a number": ("slack_days = 2 ", 'slack_days = "two" ', "deadlines.slack_days: "),
    "a key that nobody knows": ("slack_days = 2", "slak_days = 2", "deadlines.slak_days: this is no part of the file"),
    "a name that is missing": ('name = "Our laboratory"', "", "name: this is missing."),
    "a ticket of another size": ('size = "A6"', 'size = "A7"', "ticket.size: "),
    "a name that is blank": ('name = "Our laboratory"', 'name = " "', "name: this is empty."),
    "a time of day that would be seconds": ("cut_off = 12:00:00", "cut_off = 12", "calendar.cut_off: write the time"),
    "a bench that takes centuries": ("days = 3 }", "days = 99999 }", "categories[0].route[1].days (“splints”): "),
    "a rule for what is neither": (
        'types = "case"',
        'types = "cases"',
        "rules[0].types (“practice”): “cases” is neither",
    ),
    "a rule for nobody": (
        'types = "case"',
        "types = []",
        "rules[0].types (“practice”): the list names no appliance type",
    ),
    "a circumstance that nobody knows": (
        "when = [{ tooth_replaced = true }]",
        "when = [{ full_moon = true }]",
        "(“shade”): this is no circumstance that is known; known are arch, under_18, ",
    ),
    "a way to meet it that nobody knows": (
        '{ prescribed = "practice" }',
        "{ guessed = true }",
        "(“practice”): this is no way to meet a requirement that is known; known are received,",
    ),
    "a range the wrong way round": (
        "least = 0.5, most = 12",
        "least = 12, most = 0.5",
        "the least, 12, is more than the most, 0.5",
    ),
    "a rule for the case that looks at an appliance": (
        '{ prescribed = "practice" }',
        '{ prescribed = "shade" }',
        "rules[0] (“practice”): this is for the case as a whole, and “shade” is about one appliance",
    ),
    "a stretch of the day that is none": (
        'lab_hours = ["08:30-17:30"]',
        'lab_hours = ["08:30"]',
        "ringing.lab_hours[0]: “08:30” is no stretch of a day; write it as 09:00-13:00.",
    ),
    "an hour that no clock has": (
        'lab_hours = ["08:30-17:30"]',
        'lab_hours = ["08:30-24:00"]',
        "ringing.lab_hours[0]: “08:30-24:00” is not on the clock; write it as 09:00-13:00, to 23:59 at the latest.",
    ),
    "mail on an open line": ('security = "starttls"', 'security = "none"', "mail.security: "),
    "nobody tried before writing": ("tries_before_writing = 3", "tries_before_writing = 0", "ringing.tries_before_"),
    "a type of another shape": ('id = "occlusal-splint-soft"', 'id = "Soft Splint"', "types[1].id (“Soft Splint”): "),
}


@pytest.mark.parametrize(("old", "new", "said"), SHAPES.values(), ids=SHAPES)
def test_what_has_the_wrong_shape_is_told_with_its_place_and_what_it_belongs_to(old, new, said):
    assert said in refused(with_change(old, new))


def test_the_keys_of_a_table_may_stand_in_any_order_and_a_colour_in_capitals():
    turned = DEFAULT.replace(
        '{ received = ["impression", "model", "scan"], arch = "working" }',
        '{ arch = "working", received = ["impression", "model", "scan"] }',
    )
    turned = turned.replace("#1f6fb4", "#1F6FB4")
    assert turned != DEFAULT
    assert setup_of(turned, "setup.toml") == setup_of(DEFAULT, "setup.toml")


def test_a_file_that_is_not_there_is_told(tmp_path):
    with pytest.raises(SetupWrong, match="There is no file"):
        read_setup(tmp_path / "none.toml")


def test_a_folder_in_the_place_of_a_file_is_told(tmp_path):
    with pytest.raises(SetupWrong, match="cannot be read"):
        read_setup(tmp_path)


def test_a_file_that_is_no_toml_is_told_with_its_line(tmp_path):
    with pytest.raises(SetupWrong, match=r"is not TOML: .*line 2"):
        read_setup(written(tmp_path, 'name = "Our laboratory"\n[calendar\n'))


def test_a_file_that_is_no_text_is_told(tmp_path):
    file = tmp_path / "setup.toml"
    file.write_bytes(b"\xff\xfename")
    with pytest.raises(SetupWrong, match="not a text file in UTF-8"):
        read_setup(file)


def test_the_mark_that_an_editor_put_in_front_does_no_harm(tmp_path):
    assert read_setup(written(tmp_path, f"\ufeff{DEFAULT}")).name == "Our laboratory"


TWO = '[[practices]]\ncode = "MILL"\nname = "Mill Lane"\n\n[[practices]]\ncode = "{code}"\nname = "Mill Road"\n'


def test_two_practices_of_one_code_are_told_whatever_its_letters(tmp_path):
    with pytest.raises(SetupWrong, match="two practices share the code “mill”"):
        read_practices(written(tmp_path, TWO.format(code="mill")))


def test_a_practice_with_a_wrong_entry_is_told_by_its_code(tmp_path):
    text = TWO.format(code="ROAD") + "open_weekdays = [0, 7]\n"
    with pytest.raises(SetupWrong, match=r"practices\[1\]\.open_weekdays\[1\] \(“ROAD”\): "):
        read_practices(written(tmp_path, text))


def test_days_in_transit_are_not_counted_below_nothing(tmp_path):
    file = written(tmp_path, '[[practices]]\ncode = "MILL"\nname = "Mill Lane"\ntransit_days = -1\n', "practices.toml")
    with pytest.raises(SetupWrong, match=r"practices\[0\]\.transit_days \(“MILL”\)"):
        read_practices(file)


def test_a_directory_without_a_practice_is_empty(tmp_path):
    assert read_practices(written(tmp_path, "")) == ()


def test_a_directory_that_is_no_list_is_told(tmp_path):
    with pytest.raises(SetupWrong, match="practices: "):
        read_practices(written(tmp_path, "practices = 3"))


def with_hours(tmp_path, lines):
    """What is said of a practice with these lines."""
    file = written(tmp_path, f'[[practices]]\ncode = "MILL"\nname = "Mill Lane"\n{lines}\n', "practices.toml")
    with pytest.raises(SetupWrong) as told:
        read_practices(file)
    return without_lines(told).removeprefix(f"{file} cannot be used. ")


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        (
            'hours = [{ weekdays = [0], open = ["09:00-13:00", "12:00-17:00"] }]',
            "practice “MILL”, hours: two stretches overlap at 12:00.",
        ),
        (
            'hours = [{ weekdays = [0, 1], open = ["09:00-13:00"] }, { weekdays = [1], open = ["14:00-17:00"] }]',
            "practice “MILL”, hours: Tuesday stands twice.",
        ),
        (
            'hours = [{ weekdays = [4, 5], open = ["09:00-13:00"] }]',
            "practice “MILL”, hours: Saturday is not among its open_weekdays.",
        ),
        (
            'hours = [{ weekdays = [0], open = ["13:00-09:00"] }]',
            "practices[0].hours[0].open[0] (“MILL”): “13:00-09:00” ends before it begins.",
        ),
        (
            'zone = "Ellerquay"',
            "practice “MILL”: there is no time zone “Ellerquay”; write it as Europe/London.",
        ),
    ],
    ids=["overlap", "weekday-twice", "closed-weekday", "backward", "zone"],
)
def test_hours_and_a_time_zone_that_cannot_be_are_told(tmp_path, lines, said):
    assert with_hours(tmp_path, lines) == said


def test_everything_that_is_wrong_with_a_practices_hours_is_told_at_once(tmp_path):
    lines = 'zone = "Nowhere"\nhours = [{ weekdays = [0, 0], open = ["09:00-13:00", "10:00-11:00"] }]'
    assert with_hours(tmp_path, lines).count("practice “MILL”") == 3


def test_stretches_that_touch_do_not_overlap(tmp_path):
    hours = 'hours = [{ weekdays = [0], open = ["09:00-13:00", "13:00-17:00"] }]'
    text = f'[[practices]]\ncode = "MILL"\nname = "Mill Lane"\n{hours}\n'
    assert read_practices(written(tmp_path, text))[0].hours[0].open == ("09:00-13:00", "13:00-17:00")
