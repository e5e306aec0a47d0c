"""For all tests: no property test fails because a machine is slow."""

from hypothesis import settings

settings.register_profile("suite", deadline=None)
settings.load_profile("suite")
