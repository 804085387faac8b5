"""`python -m tests.mutations`, the same as `python tests/mutations/run.py`."""

from tests.mutations.run import main

raise SystemExit(main())
