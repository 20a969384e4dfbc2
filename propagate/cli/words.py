"""How answers are put in words, the same in every command."""

from propagate.days import written
from propagate.records.answers import BatchForecast, PlantCount, PotOn


def range_words(plants: PlantCount) -> str:
    """A count with its spread: 28 likely (22 to 33, 8 times in 10)."""
    if plants.low == plants.high:
        return f"{plants.likely}"
    times = f"{plants.chance * 10:.2g} times in 10"
    return f"{plants.likely} likely ({plants.low} to {plants.high}, {times})"


def range_short(plants: PlantCount) -> str:
    """A count with its spread for a table's cell: 22 – 28 – 33."""
    if plants.low == plants.high:
        return str(plants.likely)
    return f"{plants.low} – {plants.likely} – {plants.high}"


def window_words(window: PotOn) -> str:
    """A window of days; one day where early, likely and late fall together."""
    if window.early == window.late:
        return written(window.likely)
    return f"{written(window.early)} – likely {written(window.likely)} – {written(window.late)}"


def accounts_words(accounts: dict[str, int]) -> str:
    """Where the plants stand: 20 rooting, 12 rooted, 3 lost."""
    return ", ".join(f"{count} {name}" for name, count in accounts.items() if count) or "none left"


def batch_words(answer: BatchForecast, method_name: str) -> list[str]:
    """A batch's answer in a few lines."""
    return [
        f"{answer.batch}  {answer.plant}  {method_name}, {answer.count} started "
        f"{written(answer.started)}",
        f"  stands   {accounts_words(answer.accounts)}",
        f"  pot on   {window_words(answer.pot_on)}",
        f"           {answer.pot_on.why}",
        f"  plants   {range_words(answer.plants)}; free to plant or give: "
        f"{range_words(answer.free)}",
    ]
