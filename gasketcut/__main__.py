"""`python -m gasketcut`."""

from gasketcut.cli import main

if __name__ == "__main__":
    main(prog_name="gasketcut")
