"""The mail account's password, kept in the system's own keyring and nowhere else."""

from intake.outbox.mail import MailRefused

SERVICE = "Intake mail"


def password_of(account: str) -> str:
    """The password of a mail account. Raises MailRefused where there is none, or no keyring."""
    import keyring  # slow to import, and not needed at the start

    try:
        kept = keyring.get_password(SERVICE, account)
    except Exception as problem:  # keyrings are other people's programs: they raise what they like
        raise MailRefused(_no_keyring(problem)) from None
    if kept is None:
        raise MailRefused(f"No password is kept for the mail account {account}. Enter it once; the keyring keeps it.")
    return kept


def keep_password(account: str, password: str) -> None:
    """Keeps the password of a mail account in the system's keyring. Raises MailRefused where there is none."""
    import keyring  # slow to import, and not needed at the start

    try:
        keyring.set_password(SERVICE, account, password)
    except Exception as problem:  # as above
        raise MailRefused(_no_keyring(problem)) from None


def _no_keyring(problem: Exception) -> str:
    why = str(problem).rstrip(".") or type(problem).__name__
    return (
        f"This system offers no keyring to keep the mail password in ({why}). Set one up, or write the mails as drafts."
    )
