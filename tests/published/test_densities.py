"""The densities that ship as suggestions, against the table they were taken from."""

from __future__ import annotations

from decimal import Decimal

import pytest

from tests.published.buying import table
from webapp.costing.densities import WATER, Suggestion, outside, published, suggestions

D = Decimal
ROWS = table("densities.csv")
#: not suggested: a figure that is wrong on purpose, and a slope
LEFT_OUT = ("outlier", "temperature slope")
SUGGESTED = [row for row in ROWS if not any(word in row["material"] for word in LEFT_OUT)]
STANDING = {"seen": "seen", "memory": "from memory"}


def ends(row: dict[str, str]) -> tuple[str, str]:
    return (row["point"], row["point"]) if row["point"] else (row["low"], row["high"])


def printed(suggestion: Suggestion) -> tuple[str, str]:
    """The figures that the suggestion says its source prints."""
    low, _, high = suggestion.figure.partition(" to ")
    return low, high or low


def test_every_published_row_is_shipped_once_with_its_figure_and_standing() -> None:
    """Pharmacopoeias, Codex Alimentarius, ISO, handbooks. Standing: each row's own, kept as it is."""
    shipped = sorted((one.inci, printed(one), one.standing) for one in published())
    assert shipped == sorted((row["inci_or_kind"], ends(row), STANDING[row["seen_or_memory"]]) for row in SUGGESTED)


@pytest.mark.parametrize(
    ("name", "low", "high", "temperature"),
    [
        # on paper, with water at 0.99821 (20 C), 0.99705 (25 C), 0.99902 (15.5 C)
        ("Grapeseed oil", "0.9184", "0.9243", "20"),  # 0.920 and 0.926, 20/20: 0.9183532, 0.92434246
        ("Cottonseed oil", "0.9123", "0.9183", "25"),  # 0.915 and 0.921, 25/25: 0.91230075, 0.91828305
        ("Palm oil", "0.8894", "0.8974", "50"),  # 0.891 and 0.899, 50 C over water at 20 C: 0.88940511, 0.89739079
    ],
)
def test_a_relative_density_is_taken_times_that_of_its_water(name: str, low: str, high: str, temperature: str) -> None:
    """Codex CXS 210 table 2 and USP28-NF23 (seen); water by CIPM/ITS-90 (from memory). Figures reckoned on paper."""
    (only,) = suggestions(name)
    assert (only.low, only.high, only.temperature) == (D(low), D(high), D(temperature))


def test_a_density_in_grams_per_millilitre_is_taken_as_it_is() -> None:
    """Merck Index by a copy, and CRC Handbook quoted by CAMEO. Standing: seen."""
    copied, quoted = suggestions("Golden jojoba")
    assert (copied.low, copied.high, copied.temperature) == (D("0.8642"), D("0.8642"), D(25))
    assert (quoted.low, quoted.high, quoted.temperature) == (D("0.864"), D("0.899"), None)


@pytest.mark.parametrize("celsius", ["20", "25"])
def test_water_is_as_tabled(celsius: str) -> None:
    """CIPM/ITS-90 water tables. Standing: from memory."""
    (row,) = (one for one in ROWS if one["material"] == "Water" and one["temperature_basis"] == f"{celsius} C")
    assert WATER[celsius] == D(row["point"])


def test_the_published_outlier_is_pointed_out() -> None:
    """A seller's page gave coconut oil 0.880 at 40 C, below Codex CXS 210 (0.908 to 0.921). Standing: seen, both."""
    (row,) = (one for one in ROWS if "outlier" in one["material"])
    warning = outside(D(row["point"]), "Coconut oil", temperature=D(40))
    assert warning == (
        "Published figures for coconut oil are between 0.9064 and 0.9194 g/mL. "
        "Check the density and the temperature it was read at; it is kept as typed."
    )


@pytest.mark.parametrize("row", SUGGESTED, ids=lambda row: f"{row['material']} {ends(row)[0]}")
def test_no_published_figure_is_pointed_out_for_its_own_material(row: dict[str, str]) -> None:
    """Every row against all rows of its INCI name. Standing: each row's own."""
    found = [one for one in suggestions("", row["inci_or_kind"]) if printed(one) == ends(row)]
    assert found
    for one in found:
        assert outside(one.low, "", one.inci) is None
        assert outside(one.high, "", one.inci) is None


def test_a_material_is_known_by_its_inci_before_its_name() -> None:
    assert {one.name for one in suggestions("Sweet almond oil")} == {"Almond oil, refined", "Almond oil"}
    assert {one.inci for one in suggestions("Almond oil", "CERA ALBA")} == {"Cera Alba"}
    assert {one.name for one in suggestions("Palm kernel oil")} == {"Palm kernel oil"}
    assert {one.name for one in suggestions("Oil of lavender")} == {"Lavender oil"}
    assert {one.name for one in suggestions("Coconut oil, fractionated")} == {"Medium-chain triglycerides"}
    assert suggestions("Moonlight", "Unheard Of") == ()


def test_what_is_not_published_is_never_pointed_out() -> None:
    assert outside(D(5), "Moonlight") is None


def test_the_temperature_narrows_what_is_compared() -> None:
    """Shea butter by Codex CXS 325R-2017: 0.91 to 0.98 relative at 20 C, 0.89 to 0.93 g/mL at 40 C. Seen."""
    assert outside(D("0.97"), "Shea butter") is None
    assert outside(D("0.97"), "Shea butter", temperature=D(20)) is None
    assert outside(D("0.97"), "Shea butter", temperature=D(40)) is not None
    assert outside(D("0.97"), "Shea butter", temperature=D(100)) is None
    # ten degrees away is near, eleven is not: then all of them count again
    assert outside(D("0.97"), "Shea butter", temperature=D(50)) is not None
    assert outside(D("0.97"), "Shea butter", temperature=D(51)) is None


def test_one_figure_alone_is_taken_for_about() -> None:
    """Jojoba, Merck Index: 0.8642 at 25 C (seen, copied). What "about" spans is ours, no source."""
    assert outside(D("0.868"), "Jojoba", temperature=D(25)) is None
    assert outside(D("0.880"), "Jojoba", temperature=D(25)) == (
        "Published figures for jojoba are about 0.8642 g/mL. "
        "Check the density and the temperature it was read at; it is kept as typed."
    )


@pytest.mark.parametrize(
    ("name", "figure"),
    [
        ("Jojoba", "0.8642"),  # the other one names no temperature
        ("Castor oil, virgin", "0.958"),  # the British Pharmacopoeia's for that sort, at 20 C
        ("Shea butter", "0.91 to 0.98"),  # at 20 C; the other one at 40 C, molten
        ("Sunflower oil", ""),  # two at 20 C, both seen: none is preferred
        ("Coconut oil", ""),  # read at 40 C, and of virgin oil at 30 C
    ],
)
def test_the_usual_choice_has_its_ground_in_the_source(name: str, figure: str) -> None:
    """Densities of liquids are stated at 20 or 25 degrees C (pharmacopoeias, Codex): common practice, no source."""
    found = suggestions(name)
    assert [one.figure for one in found if one.usual] == ([figure] if figure else [])
    assert not figure or found[0].usual


@pytest.mark.parametrize(
    ("name", "meant"),
    [
        ("Lavender EO", "Lavender oil"),
        ("EO peppermint", "Peppermint oil"),
        ("Tea Tree EO (organic)", "Tea tree oil"),
        ("Lavendelöl (äth.)", "Lavender oil"),
        ("Teebaumöl", "Tea tree oil"),
        ("Rosmarinöl", "Rosemary oil"),
        ("Huile essentielle de menthe poivrée", "Peppermint oil"),
    ],
)
def test_an_essential_oil_is_known_as_makers_write_it(name: str, meant: str) -> None:
    """Common practice, no source: EO for essential oil, and what the oils are called elsewhere."""
    assert [one.name for one in suggestions(name)] == [meant]
