"""`python -m intake`."""

import sys

from intake.app import main

if __name__ == "__main__":  # the process that checks scans imports this module too
    sys.exit(main())
