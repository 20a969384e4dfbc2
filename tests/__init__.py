"""Tests, benchmarks, and the one command that runs them: `python -m tests`."""
