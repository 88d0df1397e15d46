"""Property tests are never judged by how long one example took: the machine may be doing something else."""

from hypothesis import settings

settings.register_profile("house", deadline=None)
settings.load_profile("house")
