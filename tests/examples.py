"""Texts of files that several tests lay into a folder."""

RUNNER = """
name = "Runner"
summary = "Peg runners down."
propagule = "runner"
propagules = "runners"
waiting = "not rooted"
taken = "rooted"
pot_on_words = "sever and pot"
steps = ["Peg it down."]
medium = "compost"
[season]
stages = ["soft growth"]
months = [6, 7]
[[stage]]
name = "root"
role = "take"
weeks = { low = 3, high = 6, basis = "memory" }
take = { low = 0.7, high = 0.95, basis = "memory" }
"""

LOGGER = """
[weather.files.probe]
path = "probe.csv"
place = "cold frame"
unit = "C"
date = "day"
min = "low"
max = "high"
"""
