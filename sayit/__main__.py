"""``python -m sayit``."""

from sayit.commands import main

if __name__ == "__main__":
    raise SystemExit(main())
