"""Golf analytics for clubs and coaching groups."""

import os

# The matrices here have a few hundred rows. A second thread of linear algebra gains nothing for them, and where
# workers share the cores it costs a fit ten times its processor time (measured: 1.1 s against 13 s on two busy
# cores). Here, because the library reads it when NumPy is first imported.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
