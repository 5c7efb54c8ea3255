"""The places of the window: their names, what makes each, what the rail calls them, and what they are for."""

ARRIVALS, WAITING, LOOK_UP = "arrivals", "waiting", "look-up"
PARCELS, HAND_OVER, DAY, SETUP = "parcels", "hand-over", "day", "setup"
MADE_BY = {
    ARRIVALS: ("intake.ui.arrivals.place", "Arrivals"),
    PARCELS: ("intake.ui.parcels.place", "Parcels"),
    WAITING: ("intake.ui.waiting.place", "Waiting"),
    LOOK_UP: ("intake.ui.lookup.place", "LookUp"),
    HAND_OVER: ("intake.ui.handover.place", "HandOver"),
    DAY: ("intake.ui.day.place", "Day"),
    SETUP: ("intake.ui.setup.place", "LabSetup"),
}
"""The module and the class of each place, in the order of the rail; imported when it is made."""
RAIL = {
    ARRIVALS: "Arrivals",
    PARCELS: "Parcels",
    WAITING: "Waiting",
    LOOK_UP: "Look up",
    HAND_OVER: "Hand over",
    DAY: "The day",
    SETUP: "Lab setup",
}
PURPOSES = {
    ARRIVALS: "Arrivals is where a bag is opened and a scan is logged. One moment …",
    WAITING: "Waiting is where practices are rung and what they say is taken down. One moment …",
    LOOK_UP: "Look up answers whether a job is here and when it goes back. One moment …",
    PARCELS: "Parcels is where the post is opened. One moment …",
    HAND_OVER: "Hand over is where boxes go to the benches and come back. One moment …",
    DAY: "The day is where it is counted and closed. One moment …",
    SETUP: "Lab setup is where the laboratory says how it works. One moment …",
}
FIRST_ASKED = {
    WAITING: "Waiting is where practices are rung, once the first questions are answered: F2.",
    LOOK_UP: "Look up answers whether a job is here and when it goes back, once the first questions are answered: F2.",
    PARCELS: "Parcels is where the post is opened, once the first questions are answered: F2.",
    HAND_OVER: "Hand over is where boxes go to the benches, once the first questions are answered: F2.",
    DAY: "The day is where it is counted and closed, once the first questions are answered: F2.",
    SETUP: "Lab setup is where the laboratory says how it works, once the first questions are answered: F2.",
}
