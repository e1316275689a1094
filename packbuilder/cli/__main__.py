"""``python -m packbuilder.cli``."""

from packbuilder.cli.main import main

main()
