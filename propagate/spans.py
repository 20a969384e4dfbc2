"""The two ends of a range in words."""


def span(low: str, high: str) -> str:
    """12 to 24, or only 12 where both ends read alike."""
    return low if low == high else f"{low} to {high}"
