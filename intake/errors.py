"""What the person at the desk can act on. Everything else that is raised is a bug."""


class IntakeError(Exception):
    """Something that a person can put right.

    The message is one or two sentences in the user's words: what is wrong, where, and what would be right.
    """
