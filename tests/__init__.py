"""All tests.

NumPy's matrices stay in one thread, as where clips are measured: two give other last digits, and take turns with the tests beside.
"""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
