"""``python -m forty_paces`` is ``fortypaces``."""

from forty_paces.cli import main

if __name__ == "__main__":  # a process of a pool imports this module again
    main(prog_name="fortypaces")
