"""Benchmarks, apart from the tests: `python -m tests.bench`."""
