"""Check characters against ISO/IEC 7064 MOD 37,36 as in python-stdnum (stdnum.iso7064)."""

from stdnum.iso7064 import mod_37_36

from propagate import codes


def test_every_code_is_valid_by_the_standard() -> None:
    assert all(mod_37_36.is_valid(codes.code(number)) for number in range(8000))


def test_check_characters_are_those_of_the_standard() -> None:
    alphabet = codes.STANDARD_ALPHABET
    serials = ["", *alphabet, *(a + b for a in alphabet for b in alphabet), "A12425GABC1234002"]
    for serial in serials:
        assert codes.check_character(serial) == mod_37_36.calc_check_digit(serial)


def test_the_worked_example_of_a_global_release_identifier() -> None:
    """A12425GABC1234002 has M: GRid standard of the recording industry, after ISO/IEC 7064."""
    assert codes.check_character("A12425GABC1234002") == "M"


def test_short_codes_are_all_serials_that_the_standard_lets_us_use() -> None:
    letters = codes.SERIAL_ALPHABET
    serials = (a + b + c for a in letters for b in letters for c in letters)
    checked = (serial + mod_37_36.calc_check_digit(serial) for serial in serials)
    usable = {code for code in checked if code[-1] in letters}
    assert {codes.code(number) for number in range(len(usable))} == usable
