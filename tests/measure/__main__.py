"""`python -m tests.measure` runs every measurement of the live bench."""

import sys

from tests.measure.run import main

sys.exit(main(sys.argv[1:]))
