"""What every test run needs before anything is imported."""

import os

# The arrays are small: threads of numpy's linear algebra would only fight the test workers.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from hypothesis import settings

settings.register_profile("usual", max_examples=50)
settings.register_profile("thorough", max_examples=1_000)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "usual"))
