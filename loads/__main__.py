"""``python -m casingloads``."""

import sys

from casingloads.cli import main

sys.exit(main())
