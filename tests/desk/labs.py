"""A lab setup with something changed."""

from intake.domain.lab import Lab


def lab_with(lab, **changed):
    """The setup anew: a copy would keep what it has worked out of its benches and categories."""
    return Lab(**({name: getattr(lab, name) for name in Lab.model_fields} | changed))
