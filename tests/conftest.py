"""What holds for all tests."""

from hypothesis import settings

#: Timing never decides a test, and the same tree gives the same answer twice.
settings.register_profile("steady", deadline=None, derandomize=True)
settings.load_profile("steady")
