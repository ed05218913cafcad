"""``python -m pointsleft.cli``."""

from pointsleft.cli.main import main

main()
