"""What all tests share; beside it lie ``worlds``, ``rig`` and ``published``, which tests import by these names."""

from hypothesis import settings

# The first example of a law waits for its kernel to compile; the same examples in every run.
settings.register_profile("windrode", deadline=None, derandomize=True)
settings.load_profile("windrode")
