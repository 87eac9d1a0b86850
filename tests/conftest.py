"""What all tests share: how Hypothesis searches."""

import os

from hypothesis import settings

# no deadline: a busy machine is no fault of the code
settings.register_profile("search", deadline=None)
# in CI the same examples each time, so that a red run is about the change in it
settings.register_profile("ci", deadline=None, derandomize=True, database=None, print_blob=True)
settings.load_profile("ci" if os.environ.get("CI") else "search")
