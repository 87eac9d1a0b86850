"""Run the program as `python -m synclint`."""

if __name__ == "__main__":
    from synclint.cli.main import main

    raise SystemExit(main())
