# SPDX-License-Identifier: MIT
"""How a script says that it cannot run here: a skipped test is never a passed one."""
import os
import sys


def skip(reason, package):
    """Ends the script: skipped with a reason, or failed where nothing may be skipped."""
    must_run = os.environ.get("DOEWRIGHT_NO_SKIP") == "1"
    print(f"{'missing' if must_run else 'skipped'}: {reason}; package {package} brings it")
    sys.exit(1 if must_run else 77)
