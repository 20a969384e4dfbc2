"""The text of a new nursery.toml."""

import json
from typing import Any

from propagate.records.nursery import MonthDay

COMMON_FROSTS: dict[str, dict[str, MonthDay]] = {
    "north": {
        "last_frost": (5, 10),
        "first_frost": (10, 20),
        "leaf_fall": (11, 5),
        "bud_break": (3, 25),
    },
    "south": {
        "last_frost": (11, 10),
        "first_frost": (4, 20),
        "leaf_fall": (5, 5),
        "bud_break": (9, 25),
    },
}
"""Where a grower gives no dates: a cool temperate garden (common practice)."""

SETTINGS_TEXT = """\
# The settings of this nursery. Edit with any text editor; lines after # are remarks.
name = {name}
hemisphere = "{hemisphere}"

# Days as month-day. Frosts: when the risk has passed in spring, and when it is back.
last_frost = "{last_frost}"
first_frost = "{first_frost}"
# With five winters of a weather station's file (below), the frost days are taken from there:
# frost_risk = 0.1          # the chance of a frost after planting out that you can bear
# Between leaf fall and bud break woody plants may be lifted bare-rooted.
leaf_fall = "{leaf_fall}"
bud_break = "{bud_break}"

# The chance with which a count of plants falls inside the range that is shown.
chance = 0.8
check_every_weeks = 4
# Varieties under breeders' rights or a plant patent, which sheets and show then say:
# protected = ["raspberry 'Some Variety'"]

# Where batches stand. A cold place (a fridge) counts as the cold spell of seed.
[places."greenhouse bench"]
temp_c = [8, 25]
[places."cold frame"]
temp_c = [-2, 20]
# size_m2 = 3                # so much bench there is; due warns before it is overfull
[places."sand bed"]
# pots_to = "cold frame"     # where its plants go once they are potted
[places."nursery bed"]
[places.fridge]
cold = true
temp_c = [2, 5]

# What you pot into. Of a tray with cells, say what one cell takes. On the bench a container
# covers size_cm = [length, width]; of round or square pots say across_cm.
[containers."9 cm pot"]
litres = 0.5
across_cm = 9
[containers."1 litre pot"]
litres = 1
across_cm = 13
# [containers."plug tray"]
# litres = 0.025
# cells = 84
# size_cm = [54, 28]

# What you have already, so that propagate materials says what to buy:
# [in_hand]
# "9 cm pot" = 200
# "potting compost" = 120    # litres
# What a plant is worth, in your money, for propagate worth:
# [prices]
# "any plant" = 2
# blackcurrant = 3.5

# Beds to fill, by a number of plants or by their measure and a spacing; what is wanted in
# them when is said with: propagate want. For example:
# [beds."south hedge"]
# plants_wanted = 60
# [beds."herb row"]
# length = "6 m"               # or: area = "12 m2" for a bed of any shape
# width = "1.2 m"
# spacing = "40 cm"            # rows = "60 cm" if they stand further apart
# pattern = "triangle"         # or square

# What a plan may use, and what you know better than the usual figures. For example:
# [plan]
# hours_per_week = 6
# [plan.places]                # where batches of a method stand
# hardwood-cutting = "sand bed"
# [plan.mothers]               # how many plants stand under a mother's short name
# jet-bush = 3
# [plan.per_mother]            # propagules that one mother gives in a year
# hardwood-cutting = 40

# Temperatures, where you have them: a logger in a place (name its columns once), a public
# weather station's daily file for the open air, the monthly normals. For example:
# [weather.files.logger]
# path = "logger.csv"
# place = "cold frame"
# unit = "C"                 # C, F or tenths of C
# time = "Date"              # or: date, min and max
# temperature = "Temp"
# [weather.files.station]
# path = "station.dly"
# [weather.normals]
# min_c = [-1, -1, 1, 4, 8, 11, 13, 13, 10, 7, 3, 0]
# max_c = [4, 5, 9, 13, 18, 21, 23, 23, 19, 14, 8, 5]
# spread_c = 1.5

[labels]
sheet = "{sheet}"          # a4 or letter
# format = "stake-a4"       # propagate labels --formats shows them all
# label_url = "HTTP://BENCH.LOCAL/T/"   # put before the code in the QR square
# What labels are made of, and how they are printed: the book then tells when they fade
# (propagate labels --lasting).
# material = "polyester"
# print = "resin-transfer"
# What your printer does to a page, as measured on: propagate labels --calibrate -o sheet.pdf
# [labels.printer]
# left_mm = [20, 20]         # planned, measured

# Who writes from this folder and on which device, unless the command says (--by, or the
# environment: PROPAGATE_BY, PROPAGATE_DEVICE); where the book is kept, if not in a file here.
# [book]
# by = "Ann"
# device = "shed laptop"
# url = "postgresql://user@server/book"   # one book for several sites
"""


def settings_text(name: str, hemisphere: str, sheet: str = "a4", **days: MonthDay | None) -> str:
    """The text of a new nursery.toml; days not given are the hemisphere's common ones."""
    chosen: dict[str, Any] = dict(COMMON_FROSTS[hemisphere])
    chosen.update({key: day for key, day in days.items() if day is not None})
    written = {key: f"{month:02d}-{day:02d}" for key, (month, day) in chosen.items()}
    # A basic string of TOML is a JSON string, but for the one control character JSON leaves.
    # What is no character (a folder name in another encoding) becomes a question mark.
    name = name.encode("utf-8", "replace").decode("utf-8")
    quoted = json.dumps(name, ensure_ascii=False).replace("\x7f", "\\u007f")
    return SETTINGS_TEXT.format(name=quoted, hemisphere=hemisphere, sheet=sheet, **written)
