"""Builds maps: ``python -m console.properties R134a R410A``, one line of progress each.

This is what `store.build_in_child` runs. Each line is ``["key", share]``.
"""

import json
import sys

from console.properties import store


def _tell(key: str, share: float) -> None:
    print(json.dumps([key, share]), flush=True)


if __name__ == "__main__":
    store.prepare(sys.argv[1:], _tell)
