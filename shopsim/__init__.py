"""shopsim: will this shop send its printed textiles out on time, and what would change that."""

__version__ = "0.1.0"

__all__ = ["__version__"]
