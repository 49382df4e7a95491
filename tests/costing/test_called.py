"""A material by what people type for it: its names are taken, a slip of the fingers is only offered."""

from __future__ import annotations

import pytest

from webapp.costing.called import Known, Names
from webapp.costing.slips import slips_in

SHEA, MANGO, JOJOBA, TIN = "Shea butter, refined", "Mango butter", "Jojoba", "Screw tin 60 mL"
NAMES = Names(
    (
        Known("1", SHEA, ("Butyrospermum Parkii Butter", "karit\u00e9", "RW-1180")),
        Known("2", MANGO, ("Mangifera Indica Seed Butter",)),
        Known("3", "Coconut oil", ("Cocos Nucifera Oil",)),
        Known("4", JOJOBA, ("Simmondsia Chinensis Seed Oil",)),
        Known("5", "Beeswax, yellow", ("Cera Alba",)),
        Known("6", "Lavender essential oil", ("Lavandula Angustifolia Oil", "Blue field lavender")),
        Known("7", TIN),
        Known("8", "Screw tin 100 mL"),
        Known("9", "Old clay", hidden=True),
    )
)
#: more than twenty of them, typed by hand: two letters changed places, one is missing, doubled, another one; of names,
#: INCI names, an alias, a supplier's own name and code -> what must stand first among what is offered
SLIPS = {
    "shae butter": SHEA,
    "shea buter": SHEA,
    "sheea butter": SHEA,
    "Butyrospermun Parkii Buter": SHEA,
    "kariet": SHEA,
    "RW-1108": SHEA,
    "RW 118": SHEA,
    "mangoo butter": MANGO,
    "magno butter": MANGO,
    "Mangifera Indca Seed Butter": MANGO,
    "coconut oli": "Coconut oil",
    "cocnut oil": "Coconut oil",
    "Cocos Nucefira": "Coconut oil",
    "jojba": JOJOBA,
    "Simondsia chinensis": JOJOBA,
    "bees wax yelow": "Beeswax, yellow",
    "Cera abla": "Beeswax, yellow",
    "lavander": "Lavender essential oil",
    "lavender esential-oil": "Lavender essential oil",
    "blue feild lavender": "Lavender essential oil",
    "screw tinn 60": TIN,
}
TAKEN = {
    "SHEA BUTTER REFINED": "1",
    "butyrospermum-parkii butter": "1",
    "KARITE": "1",
    "rw1180": "1",
    "B\u00e9eswax yellow": "5",
    "blue field lavender": "6",
    "screw tin 60ml": "7",
}


@pytest.mark.parametrize(("typed", "name"), SLIPS.items())
def test_a_slip_is_offered_and_never_taken(typed: str, name: str) -> None:
    meant = NAMES.meant(typed)
    assert meant.value == ""
    assert meant.near[0] == name


@pytest.mark.parametrize(("typed", "value"), TAKEN.items())
def test_case_accents_spaces_and_marks_are_no_slips(typed: str, value: str) -> None:
    assert NAMES.meant(typed).value == value


def test_four_letters_are_a_slip_of_a_whole_word_and_of_no_part_of_a_longer_one() -> None:
    """ "Shea" is in none of Shampoo, Baby shampoo, though it is one letter away from the beginning of that."""
    names = Names((Known("1", "Shampoo"), Known("2", "Baby shampoo"), Known("3", "Shea butter"), Known("4", "Guar")))
    assert names.meant("Shea").near == ("Shea butter",)
    assert Names(names.all[:2]).meant("Shea").near == ()
    assert [names.meant(typed).near for typed in ("shae", "sheab", "gaur", "Gum")] == [
        ("Shea butter",), ("Shea butter",), ("Guar",), (),
    ]  # fmt: skip


def test_several_words_are_no_slip_of_one_word_of_a_name_that_has_none_of_them() -> None:
    """Vit E, four letters, is none of "white"; of a whole name, or of one that has one of its words, it may be."""
    names = Names((Known("1", "Beeswax, white pellets"), Known("2", "Vit F"), Known("3", "Vitte"), Known("4", "Jar 8")))
    assert names.meant("Vit E").near == ("Vit F", "Vitte")
    assert names.meant("whit").near == ("Beeswax, white pellets",)
    assert names.meant("Jar 7").near == ("Jar 8",)
    assert names.meant("Ja r8").value == "4"


@pytest.mark.parametrize("typed", ["Marula oil", "Rose oil", "Hemp seed", "Salt", "Old clya", "xq", "Kraft box"])
def test_another_thing_is_not_offered(typed: str) -> None:
    assert NAMES.meant(typed) == NAMES.meant("zzzz")


@pytest.mark.parametrize(
    ("asked", "word", "slips"),
    [
        ("butter", "sheabutter", 0),
        ("buter", "sheabutter", 1),
        ("buttter", "sheabutter", 1),
        ("bugter", "sheabutter", 1),
        ("buttre", "sheabutter", 1),
        ("botur", "sheabutter", 3),  # another letter twice, and one too few
        ("wax", "sheabutter", 2),  # two too many beside the a
    ],
)
def test_slips_are_counted(asked: str, word: str, slips: int) -> None:
    assert slips_in(asked, word, 3) == slips
    assert (slips_in(asked, word, slips - 1) > slips - 1) or slips == 0


@pytest.mark.parametrize(
    ("typed", "value"),
    [
        ("shea", "1"),
        ("Bees", "5"),
        ("karit", "1"),  # an alias, without its accent
        ("essential", "6"),  # a word of a name
        ("coco", "3"),
        ("butter", ""),  # two have it
        ("screw tin", ""),
        ("sen", ""),  # inside a word
        ("je", ""),  # too short to be sure of
        ("old", ""),  # put away
        ("shae", ""),  # a slip
    ],
)
def test_a_part_of_a_name_is_taken_only_where_one_has_it(typed: str, value: str) -> None:
    found = NAMES.meant_in_part(typed)
    assert (found.value, found.partly) == (value, bool(value))
    assert NAMES.meant(typed).value == ""


def test_three_letters_are_enough_to_be_offered_something_and_two_are_not() -> None:
    assert TIN in NAMES.meant("tin").near
    assert (NAMES.meant_in_part("joj").value, NAMES.meant_in_part("jo").value) == ("4", "")
    assert NAMES.meant("ti") == NAMES.meant_in_part("ti") == NAMES.meant("zzzz")


def test_all_that_a_part_can_mean_is_offered() -> None:
    assert set(NAMES.meant_in_part("butter").near) == {SHEA, MANGO}
    assert NAMES.meant_in_part("shea butter refined") == NAMES.meant("shea butter refined")
