"""`python -m intake`."""

import sys

from intake.app import main

sys.exit(main())
