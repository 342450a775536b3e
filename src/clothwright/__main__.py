"""Run the command line with `python -m clothwright`."""

from clothwright.cli import main

if __name__ == "__main__":
    main()
