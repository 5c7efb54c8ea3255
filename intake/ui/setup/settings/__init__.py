"""Single settings of the setup as the fields of a form."""
