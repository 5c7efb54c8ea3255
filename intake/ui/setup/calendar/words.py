"""What the fields of the calendar are called, and the help of each."""

PICTURE_HELP = (
    "A year of the laboratory’s calendar. The arrow keys choose a day, with Shift several; its reason stands below. "
    "Enter closes an open day, and works one that is closed; a second time takes that back. Page Up and Page Down go "
    "to another month, with Shift to another year; Home goes to today, Esc leaves a stretch of days."
)
NAMES = {
    "country": "Country",
    "subdivision": "Part of the country",
    "zone": "Time zone",
    "weekdays": "Weekdays worked",
    "cut_off": "Cut-off",
    "days_before": "Days with the practice",
    "transit_days": "Days on the way",
    "delivery_weekdays": "Carrier delivers on",
    "slack_days": "Tight below",
    "reply_hour": "Reply by, at",
}
LABELS = {
    "country": "Co&untry, for its bank holidays",
    "subdivision": "&Part of the country",
    "zone": "Time &zone",
    "weekdays": "&Weekdays worked",
    "cut_off": "Arrivals count un&til",
    "days_before": "&Open days there before it",
    "transit_days": "Days on the wa&y",
    "delivery_weekdays": "Carrier delivers o&n",
    "slack_days": "Fewer &spare days: tight",
    "reply_hour": "&Reply by, at",
}
HELP = {
    "country": (
        "The bank holidays of this country close the laboratory and its carrier, and every practice whose entry names "
        "no other. They come with Intake; a day that was decreed later is entered as a closure."
    ),
    "subdivision": "A part of the country with bank holidays of its own; without one, what all its parts share counts.",
    "zone": "The laboratory’s own clock: every time on screen and paper is by it.",
    "weekdays": "The weekdays on which the laboratory works, such as Mon-Fri, or Mon-Thu, Sat.",
    "cut_off": "What arrives later than this counts from the next working day.",
    "days_before": (
        "So many of its open days before the appointment the work is in the practice’s hands. With 0 it may come on "
        "the day itself."
    ),
    "transit_days": (
        "Delivery days on the way by the usual carrier; a service, and the practice’s own entry, go before it."
    ),
    "delivery_weekdays": "The weekdays on which the usual carrier delivers, such as Mon-Fri.",
    "slack_days": "A job with fewer working days to spare before its latest start is called tight.",
    "reply_hour": "The hour of “reply by”, on the working day before the latest start.",
}
HINTS = {"weekdays": "Mon-Fri", "cut_off": "12:00", "delivery_weekdays": "Mon-Fri", "reply_hour": "12:00"}
WHOLE_COUNTRY = "none: what all parts share"
GROUPS = {
    "country": "Where the laboratory is",
    "weekdays": "When it works",
    "days_before": "Before the appointment",
}
"""The headings, over the fields with which they begin."""

CLOSURES = "Closed &by the laboratory"
CLOSURES_HELP = (
    "Days on which the laboratory is shut, first and last included, with the reason that stands beside the dates. The "
    "carrier and the practices are not shut by them."
)
NO_CLOSURES = "None yet. Choose a day in the picture and press Enter, or add one here with {key}."
WORKED = "Worked &although closed"
WORKED_HELP = "Days on which the laboratory works though they would be closed, such as the Saturday before a holiday."
NO_WORKED = "None yet. Choose a closed day in the picture and press Enter."
SERVICES = "Carriers’ serv&ices"
SERVICES_HELP = (
    "Ways that work takes instead of the usual one, each with its delivery days. A practice has one by its name, which "
    "its entry in the directory says; changed here, the name has to be changed there too."
)
NO_SERVICES = "None yet: everything goes the usual way. {key} adds one."
KINDS = {
    "weekday": "weekday off",
    "holiday": "bank holiday",
    "closure": "closed by the laboratory",
    "worked": "worked nevertheless",
    "unknown": "not known",
}
"""What the marks of the picture mean."""
ESTIMATED = "Days marked (estimated) go by the moon, and can come a day sooner or later."
DUE = "The dates of the open jobs are not all counted by the setup in force."
