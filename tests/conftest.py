"""What every test run needs before anything is imported."""

import os

# The arrays are small: threads of numpy's linear algebra would only fight the test workers.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
