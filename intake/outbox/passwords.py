"""The mail account's password, kept in the system's own keyring and nowhere else."""

from intake.outbox.mail import MailRefused

SERVICE = "Intake mail"


def password_of(account: str) -> str:
    """The password of a mail account. Raises MailRefused where there is none, or no keyring."""
    import keyring  # slow to import, and not needed at the start
    from keyring.errors import KeyringError

    try:
        kept = keyring.get_password(SERVICE, account)
    except KeyringError as problem:
        raise MailRefused(_no_keyring(problem)) from None
    if kept is None:
        raise MailRefused(f"No password is kept for the mail account {account}. Enter it once; the keyring keeps it.")
    return kept


def keep_password(account: str, password: str) -> None:
    """Keeps the password of a mail account in the system's keyring. Raises MailRefused where there is none."""
    import keyring  # slow to import, and not needed at the start
    from keyring.errors import KeyringError

    try:
        keyring.set_password(SERVICE, account, password)
    except KeyringError as problem:
        raise MailRefused(_no_keyring(problem)) from None


def _no_keyring(problem: Exception) -> str:
    return (
        f"This system offers no keyring to keep the mail password in ({str(problem).rstrip('.')}). "
        "Set one up, or write the mails as drafts."
    )
