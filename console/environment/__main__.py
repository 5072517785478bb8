"""``python -m console.environment``: the child that builds sun and weather tables."""

import sys

from console.environment.building import main

raise SystemExit(main(sys.argv[1:]))
