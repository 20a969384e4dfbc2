"""A grower's propagation book that does the arithmetic."""

__version__ = "0.1.0"
