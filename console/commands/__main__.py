"""``python -m console.commands``: the same as ``boat-console``."""

from console.commands import main

main()
