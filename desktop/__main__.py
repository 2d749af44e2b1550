"""`python -m desktop` is the same as `riserbook`."""

import sys

from desktop.cli import main

sys.exit(main())
