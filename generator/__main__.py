"""``python -m generator`` is ``fortypaces``."""

from generator.cli import main

if __name__ == "__main__":  # a process of a pool imports this module again
    main(prog_name="fortypaces")
