"""Everything that the window can be told to do, in one table: its words, its place in the menus and its keys."""

from dataclasses import dataclass

# The fields of Arrivals need every letter that is left, so some menus have none: F10 and the arrow keys open them.
DESK, CASE, CALL, GO, VIEW, HELP = "&Desk", "&Case", "Ring up", "&Go", "&View", "&Help"
PARCEL = "Parcel"
BOX = "Box"
DAY = "Day"
SETUP = "Setup"
MENUS = (DESK, CASE, PARCEL, BOX, CALL, DAY, SETUP, GO, VIEW, HELP)

# Without Shift, the digit row of a French keyboard gives these. No layout needs Shift for both keys of a pair.
_FRENCH = dict(zip("1234567890", "&É\"'(-È_ÇÀ", strict=True))


@dataclass(frozen=True)
class Action:
    """One thing that the window can be told to do.

    Attributes:
        id: Its name in the settings and in the code.
        words: What it says in the menu; `&` before the letter that chooses it there.
        menu: The menu that lists it.
        keys: Its keys, as Qt writes them in every language; more than one only where keyboards differ.
        place: The place of the window in which it works; everywhere, when None.
        group: The menu inside the menu, if any.
    """

    id: str
    words: str
    menu: str
    keys: tuple[str, ...] = ()
    place: str | None = None
    group: str | None = None


_NINE = ("&1st", "&2nd", "&3rd", "&4th", "&5th", "&6th", "&7th", "&8th", "&9th")
_FINDINGS = tuple(
    Action(
        f"finding-{digit}",
        f"Fill in the {word}",
        CASE,
        (f"Alt+{digit}", f"Alt+{_FRENCH[str(digit)]}"),
        place="arrivals",
        group="&What is missing",
    )
    for digit, word in enumerate(_NINE, start=1)
)

# The French 6 is a minus sign, which makes text smaller: five of the usual answers have a key.
_OFFERS = tuple(
    Action(
        f"offer-{digit}",
        f"Take the {word}",
        CALL,
        (f"Ctrl+{digit}", f"Ctrl+{_FRENCH[str(digit)]}"),
        place="waiting",
        group="&Usual answers",
    )
    for digit, word in enumerate(_NINE[:5], start=1)
)

_LIES_IN_IT = tuple(
    Action(
        f"parcel-{name}",
        words,
        PARCEL,
        (f"Ctrl+{digit}", f"Ctrl+{_FRENCH[str(digit)]}"),
        place="parcels",
        group="What lies &in it",
    )
    for digit, (name, words) in enumerate(
        {
            "case": "A &case",
            "part": "&Part of a case",
            "repair": "An appliance for &repair",
            "nothing": "&Nothing",
            "other": "Something &else",
        }.items(),
        start=1,
    )
)

_PAGES = tuple(
    Action(name, words, DAY, (f"Ctrl+{digit}", f"Ctrl+{_FRENCH[str(digit)]}"), place="day")
    for digit, (name, words) in enumerate(
        {"day-today": "&Today", "day-load": "Bench &load", "day-pour": "To &pour"}.items(), start=1
    )
)

_BACK_FOR = tuple(
    Action(
        f"back-{name}",
        words,
        BOX,
        (f"Ctrl+{digit}", f"Ctrl+{_FRENCH[str(digit)]}"),
        place="hand-over",
        group="&Why it comes back",
    )
    for digit, (name, words) in enumerate(
        {
            "question": "A &question for the practice",
            "wrong-bench": "The &wrong bench",
            "damaged": "It is &damaged",
            "other": "&Another reason",
        }.items(),
        start=1,
    )
)

_SETUP_PAGES = tuple(
    Action(f"setup-{name}", words, SETUP, place="setup", group="Pa&ges")
    for name, words in {
        "laboratory": "&Laboratory",
        "directory": "&Directory",
        "work": "&Work and benches",
        "colours": "&Colours",
        "rules": "&Rule book",
        "calendar": "C&alendar",
        "texts": "&Texts",
        "people": "&People",
        "editions": "&Editions",
    }.items()
)

_DIRECTORY = tuple(
    Action(f"directory-{name}", words, SETUP, (key,), place="setup", group="&Directory")
    for name, words, key in (
        ("take-in", "&Take practices in from a file …", "Ctrl+I"),
        ("write", "&Write the directory to a file …", "Ctrl+Shift+F"),
        ("merge", "&Merge the practice into another …", "Ctrl+Shift+M"),
        ("stickers", "Print its &stickers …", "Ctrl+T"),
        ("blank", "Print its &blank prescription", "Ctrl+Shift+B"),
    )
)

# The French 6 is a minus sign, as above: the ticket, which stands beside the tables where there is room, has a letter.
_WORK = tuple(
    Action(f"work-{name}", words, SETUP, keys, place="setup", group="Wor&k and benches")
    for name, words, keys in (
        *(
            (name, words, (f"Ctrl+{digit}", f"Ctrl+{_FRENCH[str(digit)]}"))
            for digit, (name, words) in enumerate(
                {
                    "categories": "&Categories",
                    "benches": "&Benches",
                    "types": "&Appliance types",
                    "materials": "Impression &materials",
                    "shades": "&Shades and box numbers",
                }.items(),
                start=1,
            )
        ),
        ("ticket", "The &ticket of an example", ("Ctrl+L",)),
    )
)

ACTIONS = (
    Action("undo", "&Undo what was just done", DESK, ("F8",)),
    Action("send-again", "&Send the waiting tickets again", DESK, ("F9",)),
    Action("letters-due", "Write all l&etters that are due", DESK, ("Ctrl+Shift+L",)),
    Action("printer", "&Printer …", DESK, ("Ctrl+Shift+P",)),
    Action("mail-password", "Mail pass&word …", DESK),
    Action("mailbox-password", "Password of the scans’ mail&box …", DESK),
    Action("look-into-mailbox", "Look into the mailbo&x now", DESK, ("Ctrl+Shift+K",)),
    Action("stickers", "&Stickers of a practice …", DESK, group="Stickers and &codes"),
    Action("bench-codes", "Codes of all &benches", DESK, group="Stickers and &codes"),
    Action("box-labels", "&Labels of the boxes …", DESK, group="Stickers and &codes"),
    Action("scanner-gun", "Scanner &gun …", DESK, group="Stickers and &codes"),
    Action("open-again", "&Open the data again", DESK, ("F5",)),
    Action("initials", "Who is at the &desk", DESK, ("Ctrl+Shift+I",)),
    Action("lock", "Loc&k the window", DESK, ("Shift+F9",)),
    Action("my-pin", "My P&IN …", DESK),
    Action("leave", "&Leave Intake", DESK, ("Ctrl+Q",)),
    Action("take-in", "&Take files in …", DESK, ("Ctrl+O",), place="arrivals"),
    Action("save", "&Save and print the ticket", CASE, ("Ctrl+Enter", "Ctrl+Return"), place="arrivals"),
    Action("another-appliance", "&Another appliance", CASE, ("Ctrl+J",), place="arrivals"),
    Action("why-dates", "Wh&y these dates", CASE, ("F7",), place="arrivals"),
    Action("set-down", "Set it &down for later", CASE, ("Ctrl+D",), place="arrivals"),
    Action("new-form", "&New, empty form", CASE, ("Ctrl+N",), place="arrivals"),
    Action("waiting", "&Between what waits and the form", CASE, ("F6",), place="arrivals"),
    Action("open-waiting", "&Open what is chosen", CASE, ("F4",), place="arrivals"),
    Action("next-of-parcel", "Ne&xt of the parcel, or the next parcel", CASE, ("F12",), place="arrivals"),
    Action("dismiss", "Take it off the l&ist", CASE, ("Ctrl+Shift+D",), place="arrivals"),
    Action("join-promised", "It &goes with a job that waits for it", CASE, ("Ctrl+G",), place="arrivals"),
    Action("open-likely", "&Look at it", CASE, ("Ctrl+Shift+O",), place="arrivals", group="&May be here"),
    Action("not-the-same", "It is &not the same", CASE, ("Ctrl+Shift+N",), place="arrivals", group="&May be here"),
    Action("scan-upper", "The scan is the &upper", CASE, ("Ctrl+Up",), place="arrivals", group="&The scans"),
    Action("scan-lower", "The scan is the &lower", CASE, ("Ctrl+Down",), place="arrivals", group="&The scans"),
    Action("scan-bite", "The scan is a &bite", CASE, ("Ctrl+Shift+B",), place="arrivals", group="&The scans"),
    Action("scan-unit", "Take the un&it that is offered", CASE, ("Ctrl+I",), place="arrivals", group="&The scans"),
    Action("next-scan", "&Next scan", CASE, ("Ctrl+PgDown",), place="arrivals", group="&The scans"),
    Action("look-at-scans", "Look &closer …", CASE, ("Ctrl+L",), place="arrivals", group="&The scans"),
    Action(
        "look-at-case-scans",
        "Look clos&er at the scans of the case …",
        CASE,
        ("Ctrl+L",),
        place="look-up",
        group="&The scans",
    ),
    Action(
        "ticket-with-pictures",
        "&Print the ticket with their pictures",
        CASE,
        ("Ctrl+Shift+A",),
        place="look-up",
        group="&The scans",
    ),
    Action("stop-checks", "&Stop checking scans", CASE, group="&The scans"),
    Action("check-again", "Check scans &again", CASE, group="&The scans"),
    *_FINDINGS,
    Action("reprint", "&Print the ticket again …", CASE, ("Ctrl+P",), place="look-up"),
    Action("change-case", "&Change the prescription", CASE, ("Ctrl+R",), place="look-up"),
    Action("letter-now", "Write the practice’s &letter now", CASE, ("Ctrl+T",), place="look-up"),
    Action("withdraw", "Withdraw the cas&e …", CASE, ("Ctrl+Shift+W",), place="look-up"),
    Action("send-back", "Send it &back to the practice …", CASE, ("Ctrl+Shift+B",), place="look-up", group="&Further"),
    Action("split-off", "&Split it …", CASE, ("Ctrl+Shift+S",), place="look-up", group="&Further"),
    Action("merge", "&Merge it with another case …", CASE, ("Ctrl+Shift+M",), place="look-up", group="&Further"),
    Action("remake", "Make it &again …", CASE, ("Ctrl+Shift+R",), place="look-up", group="&Further"),
    Action("keep-parcel", "&Keep it, and on to its case", PARCEL, ("Ctrl+Enter", "Ctrl+Return"), place="parcels"),
    Action("parcel-later", "Keep it, its cases &later", PARCEL, ("Ctrl+D",), place="parcels"),
    Action("parcel-new", "&New, empty parcel", PARCEL, ("Ctrl+N",), place="parcels"),
    *_LIES_IN_IT,
    Action("parcel-out", "&Take it out again", PARCEL, ("Ctrl+Shift+D",), place="parcels", group="What lies &in it"),
    Action("parcel-danger", "&Stop: something in it can hurt", PARCEL, ("F7",), place="parcels"),
    Action("parcel-by-hand", "Handed in, not by &post", PARCEL, ("Ctrl+B",), place="parcels"),
    Action("parcel-declared", "It is declared as &disinfected", PARCEL, ("Ctrl+H",), place="parcels"),
    Action("parcel-disinfect", "Disinfected &here …", PARCEL, ("Ctrl+Shift+H",), place="parcels"),
    Action("parcel-accept", "&Accept it in spite of what was seen", PARCEL, ("Ctrl+I",), place="parcels"),
    Action("parcel-refuse", "&Refuse it and send it back …", PARCEL, ("Ctrl+Shift+R",), place="parcels"),
    Action("parcel-change", "&Change what is said of it", PARCEL, ("Ctrl+R",), place="parcels"),
    Action("parcel-next", "&Open its case", PARCEL, ("F4",), place="parcels"),
    Action("parcel-why", "Say &why it has no case …", PARCEL, ("Ctrl+Shift+W",), place="parcels"),
    Action("parcel-go-on", "Go on with what was stopp&ed …", PARCEL, ("Ctrl+G",), place="parcels"),
    Action("parcel-list", "&Between the list and the parcel", PARCEL, ("F6",), place="parcels"),
    Action("photo-file", "From a &file …", PARCEL, ("Ctrl+O",), place="parcels", group="Pho&tographs"),
    Action("photo-paste", "&Paste one", PARCEL, ("Ctrl+Shift+V",), place="parcels", group="Pho&tographs"),
    Action("photo-camera", "With the &camera …", PARCEL, ("Ctrl+Shift+C",), place="parcels", group="Pho&tographs"),
    Action("photo-look", "&Look closer …", PARCEL, ("Ctrl+L",), place="parcels", group="Pho&tographs"),
    Action("photo-out", "Take one &out", PARCEL, place="parcels", group="Pho&tographs"),
    Action("single-keys", "Single ke&ys work outside of fields", PARCEL, place="parcels"),
    Action("hand-boxes-over", "&Hand boxes over", BOX, ("Ctrl+G",), place="hand-over"),
    Action("take-boxes-in", "Take boxes &in at the bench", BOX, ("Ctrl+I",), place="hand-over"),
    Action("send-boxes-on", "Send boxes &on from the bench", BOX, ("Ctrl+O",), place="hand-over"),
    Action("bring-boxes-back", "&Bring boxes back", BOX, ("Ctrl+R",), place="hand-over"),
    *_BACK_FOR,
    Action("choose-bench", "&Choose the bench", BOX, ("F6",), place="hand-over"),
    Action("dial", "Di&al the number on file", CALL, ("Ctrl+Shift+T",), place="waiting"),
    Action("copy-number", "&Copy the number on file", CALL, ("Ctrl+Shift+C",), place="waiting"),
    Action("no-answer", "&No answer", CALL, ("Ctrl+Shift+N",), place="waiting"),
    Action("engaged", "En&gaged", CALL, ("Ctrl+Shift+G",), place="waiting"),
    Action("message-left", "&Message left", CALL, ("Ctrl+Shift+M",), place="waiting"),
    Action("ring-back", "&Ring back …", CALL, ("Ctrl+Shift+R",), place="waiting"),
    Action("wrong-number", "&Wrong number", CALL, ("Ctrl+Shift+X",), place="waiting"),
    Action("speaker-role", "In what r&ole they speak", CALL, ("F12",), place="waiting"),
    Action("speaker-way", "By which wa&y they speak", CALL, ("Shift+F12",), place="waiting"),
    *_OFFERS,
    Action("make-standing", "Make the answer &standing", CALL, ("Ctrl+Shift+S",), place="waiting"),
    Action("all-disinfected", "All they send is &disinfected", CALL, ("Ctrl+Shift+H",), place="waiting"),
    Action("write-now", "Write to them now, by &post", CALL, ("Ctrl+B",), place="waiting"),
    Action("mail-now", "Write to them now, by &e-mail", CALL, ("Ctrl+M",), place="waiting"),
    Action("send-forms", "Send them blank &forms", CALL, ("Ctrl+Shift+F",), place="waiting"),
    *_PAGES,
    Action("day-print", "P&rint the day sheet", DAY, ("Ctrl+P",), place="day"),
    Action("day-pdf", "Keep the day sheet as P&DF …", DAY, ("Ctrl+S",), place="day"),
    Action("day-other", "&Another day …", DAY, ("Ctrl+D",), place="day"),
    Action("day-before", "The day &before", DAY, ("Ctrl+PgUp",), place="day"),
    Action("day-after", "The day a&fter", DAY, ("Ctrl+PgDown",), place="day"),
    Action("poured", "These impressions are po&ured", DAY, ("Ctrl+Enter", "Ctrl+Return"), place="day"),
    Action("print-pour-list", "Pri&nt the pour list", DAY, ("Ctrl+Shift+O",), place="day"),
    Action("close-day", "&Close the day", DAY, ("F4",), place="day"),
    Action("day-go", "&Go there", DAY, ("Ctrl+G",), place="day"),
    Action("day-same-reason", "The same reason for all of its &kind", DAY, ("Ctrl+L",), place="day"),
    *_SETUP_PAGES,
    Action("setup-pages", "Between the list of pages &and the page", SETUP, ("F6",), place="setup"),
    Action("setup-page-before", "The page bef&ore", SETUP, ("Ctrl+PgUp",), place="setup"),
    Action("setup-page-after", "The page a&fter", SETUP, ("Ctrl+PgDown",), place="setup"),
    Action("setup-in-force", "&Put the changes in force …", SETUP, ("Ctrl+Enter", "Ctrl+Return"), place="setup"),
    Action("setup-throw-away", "Leave the setup as it &was", SETUP, ("Ctrl+Shift+X",), place="setup"),
    Action("colour-pick", "&Choose a colour …", SETUP, ("Ctrl+Shift+C",), place="setup", group="Box &colours"),
    Action("colour-propose", "&Take the proposal", SETUP, ("F4",), place="setup", group="Box &colours"),
    *_DIRECTORY,
    *_WORK,
    Action("dates-would-change", "&What would change …", SETUP, ("Ctrl+Shift+O",), place="setup", group="Open &jobs"),
    Action("dates-recount", "&Count the dates of open jobs", SETUP, ("F12",), place="setup", group="Open &jobs"),
    Action("edition-back", "&Put the edition back …", SETUP, ("Ctrl+B",), place="setup", group="Ed&itions"),
    Action("edition-keep", "&Keep the setup as a file …", SETUP, ("Ctrl+S",), place="setup", group="Ed&itions"),
    Action("edition-open", "&Open a setup file …", SETUP, ("Ctrl+O",), place="setup", group="Ed&itions"),
    Action("row-new", "&New entry", SETUP, ("Ctrl+N",), place="setup", group="&Entries"),
    Action("row-out", "&Take the entry out", SETUP, ("Ctrl+Shift+D",), place="setup", group="&Entries"),
    Action("row-up", "Move it &up", SETUP, ("Ctrl+Shift+Up",), place="setup", group="&Entries"),
    Action("row-down", "Move it &down", SETUP, ("Ctrl+Shift+Down",), place="setup", group="&Entries"),
    Action("rules-try", "&Try the changed rule book …", SETUP, ("F7",), place="setup", group="The rule &book"),
    Action("go-arrivals", "&Arrivals", GO, ("F2",)),
    Action("go-waiting", "&Waiting", GO, ("F11",)),
    Action("go-look-up", "&Look up", GO, ("F3",)),
    Action("go-parcels", "&Parcels", GO, ("Shift+F2",)),
    Action("go-hand-over", "&Hand over", GO, ("Shift+F3",)),
    Action("go-day", "The &day", GO, ("Shift+F4",)),
    Action("go-setup", "Lab &setup", GO, ("Shift+F11",)),
    Action("larger", "&Larger text", VIEW, ("Ctrl++", "Ctrl+=")),
    Action("smaller", "&Smaller text", VIEW, ("Ctrl+-",)),
    Action("usual-size", "&Usual size of text", VIEW, ("Ctrl+0", f"Ctrl+{_FRENCH['0']}")),
    Action("scheme-system", "Light or dark as the s&ystem", VIEW),
    Action("scheme-light", "L&ight", VIEW),
    Action("scheme-dark", "&Dark", VIEW),
    Action("help", "&Help for this field", HELP, ("F1",)),
    Action("keys", "&Keys …", HELP, ("Shift+F1",)),
)
