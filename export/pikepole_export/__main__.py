"""`python -m pikepole_export` is `pikepole`."""

from pikepole_export.cli import main

if __name__ == "__main__":
    main()
