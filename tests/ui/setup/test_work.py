"""The page Work and benches by keys: cells are typed into, entries come and go, and the ticket follows."""

from intake.desk.lab_setup import setup_file


def category(person, name):
    return next(each for each in person.draft.lab.categories if each.name == name)


def line(person):
    return person.page.panels[person.page.part].line.text()


def cell(person):
    return person.page.panels[person.page.part].view.currentIndex().data()


def ticket(person):
    return person.page.ticket.paper.accessibleName()


def test_a_route_is_typed_and_the_ticket_of_an_example_shows_it_at_once(open_setup):
    person = open_setup("setup-work")
    assert ticket(person).startswith("Splints, Blue box. Hard occlusal splint, upper")
    assert person.page.ticket.paper.picture.width() > 300
    before = person.page.ticket.paper.picture.copy()
    person.press("Right", "Right", "Right").type("casting, Milling 2, Checking").press("Return")
    assert [(step.bench, step.days) for step in category(person, "Splints").route] == [
        ("Casting", 1),
        ("Milling", 2),
        ("Checking", 1),
    ]
    assert "Milling by" in ticket(person)
    assert person.page.ticket.paper.picture != before
    assert "Splints" not in person.draft.lab.bench_by_name, "no route goes to that bench any more"
    person.press("F8")
    assert category(person, "Splints").route[1].bench == "Splints"
    assert "Milling" not in ticket(person)
    assert person.draft.text == setup_file(person.page.ticket._desk).text, "undone to the last letter"


def test_a_cell_keeps_what_it_refuses_with_the_reason_and_esc_takes_it_back(open_setup):
    person = open_setup("setup-work")
    person.press("Right").type("lilac").press("Return")
    assert (cell(person), line(person)) == ("lilac", "lilac is the box of Whitening. Two boxes never share a name.")
    assert category(person, "Splints").box.colour == "Blue"
    person.press("Esc")
    assert cell(person) == "Blue"
    person.press("Return").type("x").press("Esc")
    assert cell(person) == "Blue", "Esc while typing leaves the cell as it was"
    person.type("Turquoise").press("Tab")
    assert category(person, "Splints").box.hex == "#1fa5a5"


def test_a_bench_gets_another_name_a_capacity_a_light_and_comes_into_another_route(open_setup):
    person = open_setup("setup-work")
    person.press("Ctrl+2").type("Plaster room").press("Return", "Right").type("120").press("Return", "Right", "Space")
    person.press("Right", "Return", "Down", "Return")
    bench = person.draft.lab.bench_by_name["Plaster room"]
    assert (bench.capacity, bench.pours, bench.light) == (120, False, "red")
    assert category(person, "Splints").route[0].bench == "Plaster room"
    person.press("Right", "Return", "End").type(", Repairs 2").press("Return")
    assert [step.bench for step in category(person, "Repairs").route] == ["Repairs", "Plaster room", "Checking"]


def test_a_new_category_comes_in_once_it_has_a_name_and_a_category_of_types_cannot_go(open_setup):
    person = open_setup("setup-work")
    person.press("Ctrl+N")
    assert line(person).startswith("A new category. Still needed: Category. Esc leaves it.")
    person.press("Esc")
    assert len(person.draft.lab.categories) == person.page.panels["work-categories"].entries.rowCount()
    person.press("Ctrl+N").type("Crowns").press("Return")
    new = category(person, "Crowns")
    assert (new.id, cell(person)) == ("crowns", "Crowns")
    assert ticket(person).startswith(f"Crowns, {new.box.colour} box. Appliance")
    person.press("Ctrl+Shift+Up")
    assert [each.name for each in person.draft.lab.categories[-2:]] == ["Crowns", "Repairs"]
    person.press("Ctrl+Shift+D")
    assert "Crowns" not in {each.name for each in person.draft.lab.categories}
    person.press("Ctrl+Shift+D")
    assert person.news.startswith("Repairs is the box of Repair. Give"), "it stands where Crowns stood"


def test_an_appliance_type_is_added_and_one_that_rules_name_goes_when_it_is_said_twice(open_setup):
    person = open_setup("setup-work")
    person.press("Ctrl+3", "Ctrl+N").type("Night guard").press("Return")
    kind = person.draft.lab.type_by_id["night-guard"]
    assert (kind.category, kind.asks[0]) == ("splints", "thickness_mm")
    assert ticket(person).startswith("Splints, Blue box. Night guard")
    person.press("Right").type("ng, guard for the night").press("Return", "Right", "Return", "Down", "Return")
    person.press("Right", "Right").type("teeth, thickness").press("Return")
    kind = person.draft.lab.type_by_id["night-guard"]
    assert (kind.words, kind.category, kind.asks) == (
        ("ng", "guard for the night"),
        "retainers",
        ("teeth", "thickness_mm"),
    )
    person.press("Up", "Ctrl+Shift+D")
    assert person.news.endswith("about it alone and goes with it. Take it out once more to do so.")
    assert "repair" in person.draft.lab.type_by_id
    person.press("Ctrl+Shift+D")
    assert "repair" not in person.draft.lab.type_by_id
    person.press("F8")
    assert "repair" in person.draft.lab.type_by_id


def test_the_usual_time_of_a_material_counts_once_its_limit_is_longer(open_setup):
    person = open_setup("setup-work")
    person.press("Ctrl+4", "Right", "Right").type("48").press("Return")
    assert line(person) == "Impression material “alginate”: its limit is shorter than its usual time."
    person.press("Right").type("72").press("Return")
    material = person.draft.lab.material_by_id["alginate"]
    assert (material.usual_hours, material.limit_hours) == (48, 72)
    person.press("Left")
    assert (cell(person), line(person).startswith("Hours since it was taken")) == ("48", True)


def test_shades_and_box_numbers_are_fields_and_one_key_shows_the_ticket_where_there_is_no_room_beside(open_setup):
    person = open_setup("setup-work", scale=200)
    person.press("Ctrl+5", "Ctrl+A").type("A1, A2").press("Tab", "Ctrl+A").type("7-3").press("Return")
    assert person.draft.lab.shades == ("A1", "A2")
    field = person.page.shades.fields["boxes"]
    assert field.wrong.text() == "Boxes: the first, 7, is more than the last, 3."
    person.press("Esc")
    assert field.text == "1-400"
    person.press("Ctrl+A").type("7-30").press("Return")
    assert (person.draft.lab.boxes.first, person.draft.lab.boxes.last) == (7, 30)
    assert not person.page.ticket.isVisible()
    person.press("Ctrl+L")
    assert person.page.ticket.isVisible()
    assert ticket(person).startswith("Splints, Blue box")


def test_what_is_being_typed_counts_when_the_changes_are_put_in_force(open_setup):
    person = open_setup("setup-work")
    person.press("Ctrl+2", "Right").type("77").press("Ctrl+Return")
    assert person.draft.lab.bench_by_name["Casting"].capacity == 77
    person.press("Esc").place.show_page("setup-laboratory")
    person.page.fields["name"].edit.setFocus()
    person.press("Ctrl+A").type("Another laboratory").press("Ctrl+Return")
    assert person.draft.lab.name == "Another laboratory"
    person.press("Return")
    assert person.in_force[-1].lab.bench_by_name["Casting"].capacity == 77
