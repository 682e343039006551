"""``python -m generator`` is ``fortypaces``."""

from generator.cli import main

main(prog_name="fortypaces")
