"""What comes from outside, read with care: returned forms, mails, files in the watched folder. Nothing is guessed."""
