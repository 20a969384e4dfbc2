"""How wide a text runs, from a table, so that a label is fitted before it is laid out.

The figures are the advance widths of DejaVu Sans 2.37 ("hmtx" tables of the upright or oblique
face, whichever is wider, and of the bold one; rounded up to 1/100 em), the widest of the usual
sans-serif faces in running text: what fits by them fits in Liberation Sans and its like as well.
Scripts outside the table are taken at the width of their widest common letter.
"""

import unicodedata
from functools import lru_cache
from typing import Final

_REGULAR_EM: Final = {
    0.28: "'ijlı͵ϳіј",
    0.29: "ł",
    0.30: "IJͿΙІЈ",
    0.32: " ,.\u00a0·‘’",
    0.34: "/:;\\|¦ι",
    0.35: "ŀ",
    0.36: "fſ",
    0.37: "-",
    0.40: "()[]tŧ",
    0.41: "!¡²³¹",
    0.42: "r",
    0.46: '"ϝ',
    0.48: "ªº",
    0.50: "*_`§¨¯°´¸ͺ΄–†",
    0.52: "“”",
    0.53: "szгѕ",
    0.54: "?¿ϯз",
    0.55: "cͻͼͽεζϲсэє",
    0.56: "LĳĿΓνξ",
    0.57: "Łͱ",
    0.58: "FkĸυϜ",
    0.59: "Ĳκςϛвть•",
    0.60: "vxyγλχухч",
    0.61: "PÞΡπτϩϷГРУкя",
    0.62: "TYaeo«»ðøŦΤΥδθοϐϑϙϧϭϮϵ϶Табео",
    0.63: "ßϡϫђ",
    0.64: "$0123456789ESbdghnpqu{}¢£¤¥µ¶þđŋΕΞΣβημρσϱϸϼЅЕлр",
    0.65: "ͳͷϚЗи",
    0.66: "KͰΚαφψϏϕϞϟϥϻнпћџ",
    0.67: "ϗϰ",
    0.69: "ABVXZΑΒΔΖΛΧϨАБВХЧЬц",
    0.70: "CRħϒϬϹϾЄСЭЯд",
    0.71: "ϽϿКъ",
    0.74: "U♀",
    0.75: "NŊͶΝИ",
    0.76: "HΗΠϤЏЛНПм",
    0.77: "ΩϪ",
    0.78: "&DGÐĐЦ",
    0.79: "OQØΘΟΦΨϘϴЂЋДОы",
    0.80: "Ϧ",
    0.82: "wŉ",
    0.84: "#+<=>^~¬±×÷ωϖϣЪ",
    0.85: "ю",
    0.86: "ф",
    0.87: "MͲΜϠϺМФ",
    0.89: "Ы",
    0.90: "њ♂",
    0.91: "жљ",
    0.92: "Ħш",
    0.94: "Ϣ",
    0.95: "щ",
    0.96: "%",
    0.97: "¼½¾",
    0.98: "mÆ",
    0.99: "W",
    1.00: "@©®æ—…",
    1.03: "œ",
    1.05: "Њ",
    1.07: "ŒШ",
    1.08: "ЖЮ",
    1.10: "ЉЩ",
}
_BOLD_EM: Final = {
    0.31: "'͵",
    0.35: " ijl\u00a0ıϳіј",
    0.37: "/\\|¦",
    0.38: ",.IJ·łͿΙІЈ‘’",
    0.39: "ι",
    0.40: ":;",
    0.42: "-",
    0.44: "f²³¹ſ",
    0.45: "΄",
    0.46: "!()[]¡",
    0.48: "tŧ",
    0.50: "_`r§¨¯°´¸ͺϝ–†",
    0.53: '"*г',
    0.55: "ͼͽ",
    0.56: "ŀε",
    0.57: "ªºͱ",
    0.58: "т",
    0.59: "?z¿ϯз",
    0.60: "csͻζξςϛϲсэєѕ",
    0.63: "ϡ",
    0.64: "L¤¶ĿΓΞλτГвь•",
    0.65: "x«»Łχϵ϶хя",
    0.66: "vyϐϟϩу“”",
    0.67: "kĸϑ",
    0.68: "aeυϫаек",
    0.69: "EFToðøĳŦΕΣΤαγδθνοϙϜϮЕТоч",
    0.70: "$0123456789¢£¥ͰϽϿбнпџ",
    0.71: "ͷϞи",
    0.72: "bdghnpqu{}ßþđŋβηκρϥϭϱϸϼЗрђ",
    0.73: "SYZΖΥЅ",
    0.74: "CPµÞΡμϚϨϷϹϻϾЄРСЭлћ♀",
    0.75: "Ĳϒϗϧϰц",
    0.76: "Ϭъ",
    0.77: "BΒБВЬ",
    0.78: "AKRVXΑΔΚΛΧσϏАУХЯ",
    0.79: "φϪ",
    0.80: "ħπψϕ",
    0.81: "Чд",
    0.82: "UКм",
    0.83: "G",
    0.84: "#+<=>DHN^~¬±Ð×÷ĐŊͳͶΗΝΠϣϤЏИЛНП",
    0.85: "Ψ",
    0.86: "OQØΘΟΦΩϘϴО",
    0.87: "ωϖ",
    0.88: "&ЂЋ",
    0.90: "Д♂",
    0.91: "ы",
    0.92: "Ϡ",
    0.93: "wϦЦ",
    0.94: "Ъ",
    0.96: "њ",
    0.98: "Ħю",
    0.99: "ŉ",
    1.00: "@M©®ΜϺМФжфљ—…",
    1.01: "%",
    1.03: "Ͳ",
    1.04: "¼½¾Ы",
    1.05: "mæ",
    1.07: "ш",
    1.09: "Æ",
    1.10: "œϢ",
    1.11: "Wщ",
    1.13: "Њ",
    1.16: "Љ",
    1.17: "Œ",
    1.18: "Ю",
    1.23: "Ж",
    1.24: "Ш",
    1.33: "Щ",
}
_WIDTH_EM: Final = {char: width for width, chars in _REGULAR_EM.items() for char in chars}
_BOLD_WIDTH_EM: Final = {char: width for width, chars in _BOLD_EM.items() for char in chars}
_DIGRAPHS: Final = frozenset("ǄǅǆǇǈǉǊǋǌǱǲǳ")

_WIDE_EM: Final = 1.05  # one em square, and a little for faces that overhang it
_SYMBOL_EM: Final = 1.3
_LIGATURE_EM: Final = 1.5
_CAPITAL_EM: Final = 1.18  # Cyrillic, the widest of the alphabets in the face
_LETTER_EM: Final = 1.03
_SCRIPT_LETTER_EM: Final = {"GREEK": (0.94, 0.84), "CYRILLIC": (1.1, 0.95)}

# Bold letters are wider, thin ones most (DejaVu Sans Bold against DejaVu Sans, same table).
_THIN_EM: Final = 0.53
_BOLD_THIN: Final = 1.27
_BOLD: Final = 1.15


@lru_cache(maxsize=20_000)
def width_em(text: str, *, bold: bool = False) -> float:
    """Width of `text` [em], rather too much than too little."""
    plain = unicodedata.normalize("NFD", text)
    return sum(map(_bold_em if bold else _char_em, plain))


def _bold_em(char: str) -> float:
    known = _BOLD_WIDTH_EM.get(char)
    if known is not None:
        return known
    plain_em = _char_em(char)
    return plain_em * (_BOLD_THIN if plain_em <= _THIN_EM else _BOLD)


def _char_em(char: str) -> float:
    known = _WIDTH_EM.get(char)
    if known is not None:
        return known
    category = unicodedata.category(char)
    if category in ("Mn", "Me", "Cf"):
        return 0.0
    if unicodedata.east_asian_width(char) in "WF":
        return _WIDE_EM
    if char in _DIGRAPHS:
        return _LIGATURE_EM
    if not category.startswith("L"):
        return _SYMBOL_EM
    return _letter_em(char)


def _letter_em(char: str) -> float:
    script = unicodedata.name(char, "").partition(" ")[0]
    capital_em, letter_em = _SCRIPT_LETTER_EM.get(script, (_CAPITAL_EM, _LETTER_EM))
    return capital_em if char.isupper() else letter_em
