"""The front end: thin pages over `shopsim`. Start at `main.py`; nothing here computes a result."""
