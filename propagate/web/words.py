"""Words of the trade that pages take from the records and the ledger, marked for the catalogue.

A page asks the catalogue for them by the word itself; here they stand so that none is forgotten.
"""

from typing import Final

from propagate.web.speech import marked

ACCOUNTS: Final = (
    marked("waiting"),
    marked("rooting"),
    marked("rooted"),
    marked("re-establishing"),
    marked("re-established"),
    marked("sprouting"),
    marked("sprouted"),
    marked("germinating"),
    marked("up"),
    marked("potted"),
    marked("hardening"),
    marked("ready"),
    marked("planted"),
    marked("given"),
    marked("lost"),
    marked("miscounted"),
)
"""Where plants stand."""

ACTIONS: Final = (
    marked("check"),
    marked("pot on"),
    marked("lift and pot on"),
    marked("prick out"),
    marked("lift the rest"),
    marked("sever"),
    marked("harden off"),
    marked("plant out"),
    marked("move to the fridge"),
    marked("move to warmth"),
    marked("empty the tray"),
    marked("print a new label"),
    marked("make room"),
    marked("shelter from the cold"),
)
"""What is to be done."""

METHODS: Final = (
    marked("air layering"),
    marked("division"),
    marked("hardwood cutting"),
    marked("leaf-bud cutting"),
    marked("mound layering"),
    marked("offset"),
    marked("root cutting"),
    marked("runner"),
    marked("seed"),
    marked("semi-ripe cutting"),
    marked("simple layering"),
    marked("softwood cutting"),
    marked("tip layering"),
)
"""Ways of multiplying plants."""

LABELS: Final = (
    marked("Bed marker"),
    marked("Bed marker, roll"),
    marked("Mother-plant tag"),
    marked("Mother-plant tag, roll"),
    marked("Small tray label"),
    marked("Stake tag"),
    marked("Stake tag, roll"),
    marked("Strip, 12 mm roll"),
    marked("Strip, 18 mm roll"),
    marked("Strip, 24 mm roll"),
    marked("Strip, 36 mm roll"),
    marked("Strip, 62 mm roll"),
    marked("Tie-on tag"),
    marked("Tie-on tag, roll"),
    marked("Tray label"),
    marked("Tray label, roll"),
    marked("Wrap-around tag, fold"),
    marked("Wrap-around tag, loop"),
    marked("Wrap-around tag, loop, roll"),
)
"""Kinds of label."""

METHOD_IDS: Final = (
    marked("air-layering"),
    marked("hardwood-cutting"),
    marked("leaf-bud-cutting"),
    marked("mound-layering"),
    marked("root-cutting"),
    marked("semi-ripe-cutting"),
    marked("simple-layering"),
    marked("softwood-cutting"),
    marked("tip-layering"),
)
"""The same as the book writes them; those of one word are as above."""

CARD: Final = (
    marked("Length"),
    marked("Buds"),
    marked("Wound"),
    marked("Hormone"),
    marked("Depth"),
    marked("Medium"),
    marked("Base"),
    marked("Light"),
    marked("Spacing"),
    marked("Pot"),
    marked("Scarify"),
    marked("Soak"),
    marked("Warmth"),
    marked("Seeds"),
    marked("Storage"),
    marked("Yield"),
    marked("Mother"),
    marked("Hardiness"),
    marked("Numbers"),
)
"""What a method card tells of the material, the bed and the seed."""

BASES: Final = (
    marked("published"),
    marked("common practice"),
    marked("memory"),
)
"""What a figure rests on."""

CAUSES: Final = (
    marked("rot"),
    marked("dried out"),
    marked("mice"),
    marked("slugs"),
    marked("frost"),
    marked("dropped"),
)
"""Why plants are lost, as it is offered."""

SMALL: Final = (
    marked("severed"),
    marked("undone"),
    marked("place"),
    marked("bed"),
    marked("container"),
)
"""What an entry or a remark may say in one word."""

TROUBLES: Final = (
    marked("Too many attempts; wait a minute, then try again."),
    marked("That is not the code; look at the screen where the program was started."),
    marked("That is not a form of these pages."),
    marked("That form cannot be read; open the page again, please."),
)
"""What the way in may say."""
