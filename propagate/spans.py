"""The two ends of a range in words."""

from propagate.worded import worded


def span(low: str, high: str) -> str:
    """12 to 24, or only 12 where both ends read alike."""
    return low if low == high else worded("{low} to {high}", low=low, high=high)


def rounded(number: float) -> str:
    """A number of plants to three figures, its thousands set apart: 736, 8,700, 1,280,000."""
    whole = round(number)
    digits = len(str(abs(whole)))
    return f"{round(whole, -max(0, digits - 3)):,}"
