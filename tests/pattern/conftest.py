"""Random cases here may take as long as they need: a busy machine is no fault."""

from hypothesis import settings

settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")
