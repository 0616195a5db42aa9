"""What all tests share: this folder on the import path, so that ``worlds``, ``rig`` and ``published`` can be imported."""

from hypothesis import settings

# The first example of a law waits for its kernel to compile; the same examples in every run.
settings.register_profile("windrode", deadline=None, derandomize=True)
settings.load_profile("windrode")
