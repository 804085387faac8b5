"""A package, so that another distribution's top-level `tests` (ciw installs one) cannot stand before it."""
