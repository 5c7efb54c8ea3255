"""What the desk was told, kept: tables, the unit of work, search, history, migrations, backup.

`intake.store.opening.Store` opens it. Nothing is imported here, so that the plain rows load without SQLAlchemy.
"""
