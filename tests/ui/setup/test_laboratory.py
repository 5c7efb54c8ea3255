"""The page Laboratory by keys: a setting is found by a word of it, changed, and refused with what would be right."""

from PySide6.QtWidgets import QApplication

from intake.ui.help_panel import help_of


def test_a_setting_is_found_by_a_word_and_counts_when_its_field_is_left(open_setup):
    person = open_setup("setup-laboratory")
    person.type("retry").press("Esc").type("again within").press("Tab", "Ctrl+A").type("25")
    assert person.draft.lab.ringing.least_minutes == 10, "nothing counts while it is typed"
    person.press("Tab")
    assert person.draft.lab.ringing.least_minutes == 25
    assert "least_minutes = 25 " in person.draft.text, "the remark behind it is kept"
    assert sum(field.isVisible() for field in person.page.fields.values()) < 5
    person.press("F8")
    assert person.page.fields["ringing.least_minutes"].text == "10"

    person.page.search.setFocus()
    person.press("Ctrl+A").type("no such words")
    assert person.page.nothing.isVisible()
    person.press("Esc")
    assert not person.page.nothing.isVisible()
    assert person.page.fields["name"].isVisible()


def test_what_a_field_refuses_stays_typed_and_counts_once_the_other_fits(open_setup):
    person = open_setup("setup-laboratory")
    person.type("whole arch, mm")
    least = person.page.fields["scans.arch_least_mm"]
    least.edit.setFocus()
    person.press("Ctrl+A").type("99").press("Tab")
    assert least.wrong.text() == "“Whole arch, from”, 99, is more than “Whole arch, up to”, 95."
    assert (least.text, person.draft.lab.scans.arch_least_mm) == ("99", 45)
    person.press("Ctrl+A").type("120").press("Return")
    scans = person.draft.lab.scans
    assert (scans.arch_least_mm, scans.arch_most_mm, least.wrong.isVisible()) == (99, 120, False)


def test_choices_ticks_and_lines_count_and_what_is_empty_is_left_to_the_default(open_setup):
    person = open_setup("setup-laboratory")
    person.type("tickets paper").press("Tab", "Down")
    assert person.draft.lab.ticket.size == "A5"
    person.press("Shift+Tab", "Esc").type("pictures of the scans").press("Tab", "Space")
    assert person.draft.lab.ticket.scan_pictures is True
    person.press("Shift+Tab", "Esc").type("handed over at most").press("Tab", "Ctrl+A").type("3").press("Return")
    assert person.draft.lab.hand_over.ahead_days == 3
    person.press("Ctrl+A", "Del", "Return")
    assert person.draft.lab.hand_over.ahead_days is None
    person.press("Shift+Tab", "Esc").type("laboratory address").press("Tab", "Ctrl+A").type("1 New Quay").press("Tab")
    assert person.draft.lab.address == ("1 New Quay",)


def test_a_disinfectant_is_added_in_the_list_and_a_key_for_lists_says_where_they_are(open_setup):
    person = open_setup("setup-laboratory")
    person.press("Ctrl+N")
    assert person.news.startswith("Go to one of the lists first")
    person.type("disinfectants").press("Tab", "Ctrl+N").type("Peracetic acid").press("Tab").type("5").press("Return")
    assert [(agent.name, agent.minutes) for agent in person.draft.lab.parcels.agents][-1] == ("Peracetic acid", 5)


def test_every_field_has_a_name_and_help_and_none_is_cut_at_double_size(open_setup, desk):
    person = open_setup("setup-laboratory", scale=200)
    seen = {}
    for _ in range(len(person.page.fields) + 10):
        person.press("Tab")
        field = QApplication.focusWidget()
        if not person.page.isAncestorOf(field):
            break
        name, text = help_of(field)
        assert name
        assert len(text) > 10
        right = field.mapTo(person.page, field.rect().topRight()).x()
        assert right <= person.page.width(), name
        seen[name] = text
    assert len(seen) >= len(person.page.fields), "Tab goes through all of them, each with a name of its own"


def test_the_logo_is_chosen_from_anywhere(open_setup, desk, tmp_path):
    from PIL import Image

    picture = tmp_path / "elsewhere" / "our mark.png"
    picture.parent.mkdir()
    Image.new("RGB", (40, 20), "#1f6fb4").save(picture)
    person = open_setup("setup-laboratory")
    person.page.take_logo(person.page.fields["logo"], str(picture))
    person.wait()
    assert (desk.folder / person.draft.lab.logo).read_bytes() == picture.read_bytes()
    person.page.take_logo(person.page.fields["logo"], str(desk.folder / "setup.toml"))
    person.wait()
    assert person.page.fields["logo"].wrong.text() == "setup.toml is no PNG or JPEG picture that can be read."
