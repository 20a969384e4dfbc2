"""Plant names: read what people type, keep it in fields, set it as the codes ask.

The rules are those of the International Code of Nomenclature for Cultivated Plants (ICNCP, 9th
edition 2016) and of the code for wild plants (ICN). Names are formatted here, never judged.
"""

from propagate.names.advice import remarks
from propagate.names.name import PlantName
from propagate.names.parse import parse, split_cultivar
from propagate.names.typeset import Span

__all__ = ["PlantName", "Span", "parse", "remarks", "split_cultivar"]
