"""The command line."""

import gc

gc.set_threshold(
    500_000
)  # a short process makes much and drops little: collecting while it imports costs a tenth of its time
