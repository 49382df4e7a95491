"""Published densities, as suggestions: a figure outside its range is pointed out and never refused.

Pure data. A relative density was read against water at a stated temperature and becomes g/mL by that water's own
density; where the source does not name the water, the same temperature as the oil is taken, and 20 °C where none is
named at all. Sources disagree in places, which is why a material's density is the person's own setting.
`standing` is "seen" (read in a copy of the source) or "from memory" (to be confirmed).
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import lru_cache

from webapp.costing.amounts import half_up, plain
from webapp.costing.book import Material
from webapp.costing.limits import name_key

PLACES = 4
#: how far from a lone published figure ("about") is still called the same: g/mL, and °C between temperatures
ABOUT = Decimal("0.005")
NEAR = Decimal(10)
#: °C between which an oil is poured and bought: most sources read densities at 20 or 25
ROOM = (Decimal(15), Decimal(25))
#: g/mL of water by °C: CIPM and ITS-90 tables, from memory
WATER: dict[str, Decimal] = {
    "15": Decimal("0.99910"),
    "15.5": Decimal("0.99902"),
    "20": Decimal("0.99821"),
    "25": Decimal("0.99705"),
    "30": Decimal("0.99565"),
}

_CODEX = "Codex Alimentarius CXS 210-1999, table 2"
_CODEX_SHEA = "Codex CXS 325R-2017, table 2"
_EXCIPIENTS = "Handbook of Pharmaceutical Excipients"

# name, words it is known by (all must stand in a name; others after /), INCI, figure or range, what it is in (g/mL, or
# relative to water at so many °C), °C it was read at, source, standing
_TABLE = f"""
Water | water | Aqua | 0.99821 | g/mL | 20 | CIPM/ITS-90 water tables | from memory
Water | water | Aqua | 0.99705 | g/mL | 25 | CIPM/ITS-90 water tables | from memory
Almond oil, refined | almond oil | Prunus Amygdalus Dulcis Oil | 0.916 | 20 | 20 | BP 2025, Refined Almond Oil | seen
Almond oil | almond oil | Prunus Amygdalus Dulcis Oil | 0.910 0.915 | 25 | 25 | USP29-NF24, Almond Oil | seen
Almond oil | almond oil | Prunus Amygdalus Dulcis Oil | 0.911 0.929 | 25 | 25 | {_CODEX} | from memory
Argan oil | argan oil | Argania Spinosa Kernel Oil | 0.908 0.918 | 20 | 20 | supplier specification | seen
Argan oil | argan oil | Argania Spinosa Kernel Oil | 0.906 0.919 | 20 | 20 | NM 08.5.090 | from memory
Avocado oil | avocado oil | Persea Gratissima Oil | 0.910 0.920 | 25 | 25 | {_CODEX} | from memory
Babassu oil | babassu oil | Orbignya Oleifera Seed Oil | 0.914 0.917 | 20 | 25 | {_CODEX} | from memory
Cocoa butter | cocoa butter/cacao butter | Theobroma Cacao Seed Butter | 0.858 0.865 | 15.5 | 99 | \
Knapp, Cocoa and Chocolate (1920), molten | seen
Cocoa butter | cocoa butter/cacao butter | Theobroma Cacao Seed Butter | 0.973 0.980 | 25 | 25 | \
older handbooks, solid | from memory
Castor oil, virgin | castor oil | Ricinus Communis Seed Oil | 0.958 | 20 | 20 | BP 2025, Virgin Castor Oil | seen
Castor oil | castor oil | Ricinus Communis Seed Oil | 0.957 0.961 | 25 | 25 | USP29-NF24, Castor Oil | seen
Castor oil | castor oil | Ricinus Communis Seed Oil | 0.952 0.965 | 20 | 20 | supplier specification | seen
Coconut oil | coconut oil | Cocos Nucifera Oil | 0.908 0.921 | 20 | 40 | {_CODEX} | seen
Coconut oil, virgin | coconut oil | Cocos Nucifera Oil | 0.915 0.920 | 30 | 30 | supplier specification | seen
Maize oil | maize oil/corn oil | Zea Mays Oil | 0.917 0.925 | 20 | 20 | {_CODEX} | seen
Cottonseed oil | cottonseed oil | Gossypium Herbaceum Seed Oil | 0.915 0.921 | 25 | 25 | \
USP28-NF23, Cottonseed Oil | seen
Grapeseed oil | grapeseed oil/grape seed oil | Vitis Vinifera Seed Oil | 0.920 0.926 | 20 | 20 | {_CODEX} | seen
Jojoba | jojoba | Simmondsia Chinensis Seed Oil | 0.8642 | g/mL | 25 | Merck Index, copied | seen
Jojoba | jojoba | Simmondsia Chinensis Seed Oil | 0.864 0.899 | g/mL | - | CRC Handbook, 61st ed., quoted | seen
Medium-chain triglycerides | mct/medium chain triglycerides/fractionated coconut oil | Caprylic/Capric Triglyceride | \
0.93 0.96 | 20 | 20 | Ph. Eur., Triglycerides, medium-chain | from memory
Olive oil | olive oil | Olea Europaea Fruit Oil | 0.910 0.916 | 20 | 20 | Codex CXS 33-1981 | from memory
Olive oil | olive oil | Olea Europaea Fruit Oil | 0.913 0.916 | 20 | 20 | oil mill's table | seen
Palm oil | palm oil | Elaeis Guineensis Oil | 0.891 0.899 | 20 | 50 | {_CODEX} | seen
Palm kernel oil | palm kernel oil | Elaeis Guineensis Kernel Oil | 0.899 0.914 | 20 | 40 | {_CODEX} | from memory
Peanut oil | peanut oil/arachis oil/groundnut oil | Arachis Hypogaea Oil | 0.912 0.920 | 20 | 20 | {_CODEX} | seen
Rapeseed oil | rapeseed oil/canola oil | Brassica Campestris Seed Oil | 0.910 0.920 | 20 | 20 | {_CODEX} | seen
Rice bran oil | rice bran oil | Oryza Sativa Bran Oil | 0.910 0.929 | 20 | 20 | {_CODEX} | from memory
Safflower oil | safflower oil | Carthamus Tinctorius Seed Oil | 0.922 0.927 | 20 | 20 | {_CODEX} | seen
Safflower oil | safflower oil | Carthamus Tinctorius Seed Oil | 0.915 0.920 | 30 | 30 | AGMARK grade | seen
Sesame oil, refined | sesame oil | Sesamum Indicum Seed Oil | 0.919 | 20 | 20 | BP 2025, Refined Sesame Oil | seen
Sesame oil | sesame oil | Sesamum Indicum Seed Oil | 0.915 0.924 | 20 | 20 | {_CODEX} | from memory
Shea butter | shea butter | Butyrospermum Parkii Butter | 0.91 0.98 | 20 | 20 | {_CODEX_SHEA} | seen
Shea butter | shea butter | Butyrospermum Parkii Butter | 0.89 0.93 | g/mL | 40 | {_CODEX_SHEA} | seen
Soya bean oil | soya oil/soybean oil/soya bean oil | Glycine Soja Oil | 0.919 0.925 | 20 | 20 | {_CODEX} | seen
Sunflower oil | sunflower oil | Helianthus Annuus Seed Oil | 0.916 0.923 | 20 | 20 | {_CODEX}, 2022 | seen
Sunflower oil | sunflower oil | Helianthus Annuus Seed Oil | 0.918 0.923 | 20 | 20 | \
{_CODEX}, before 2022 | seen
Sunflower oil, refined | sunflower oil | Helianthus Annuus Seed Oil | 0.921 | 20 | 20 | \
BP 2025, Refined Sunflower Oil | seen
Beeswax, white | beeswax | Cera Alba | 0.960 | 20 | 20 | Ph. Eur., White Beeswax, supplier's copy | seen
Beeswax, white | beeswax | Cera Alba | 0.95 0.96 | g/mL | - | {_EXCIPIENTS}, White Wax | seen
Beeswax, yellow | beeswax | Cera Flava | 0.955 0.967 | 20 | - | US pharmacopoeia of about 1900, copied | seen
Candelilla wax | candelilla wax | Euphorbia Cerifera Wax | 0.982 0.993 | 15 | 15 | wax handbooks | from memory
Carnauba wax | carnauba wax | Copernicia Cerifera Wax | 0.97 | 20 | 20 | Ph. Eur., Carnauba Wax | from memory
Carnauba wax | carnauba wax | Copernicia Cerifera Wax | 0.990 0.999 | g/mL | 25 | {_EXCIPIENTS} | from memory
Vitamin E | vitamin e/tocopherol | Tocopherol | 0.947 0.951 | g/mL | 25 | {_EXCIPIENTS}, 20-25 °C | from memory
Lanolin | lanolin/wool fat | Lanolin | 0.932 0.945 | g/mL | 15 | {_EXCIPIENTS} | from memory
Vetiver oil, Reunion | vetiver oil | Vetiveria Zizanoides Root Oil | 0.990 1.015 | 20 | 20 | \
ISO 4716:2002, abstract | seen
Vetiver oil, Haiti | vetiver oil | Vetiveria Zizanoides Root Oil | 0.986 0.998 | 20 | 20 | \
ISO 4716:2002, abstract | seen
Lavender oil | lavender oil | Lavandula Angustifolia Oil | 0.878 0.892 | 20 | 20 | \
Ph. Eur., Lavender oil | from memory
Peppermint oil | peppermint oil | Mentha Piperita Oil | 0.900 0.916 | 20 | 20 | Ph. Eur., Peppermint oil | from memory
Rosemary oil | rosemary oil | Rosmarinus Officinalis Leaf Oil | 0.895 0.920 | 20 | 20 | \
Ph. Eur., Rosemary oil | from memory
Sweet orange oil | orange oil | Citrus Aurantium Dulcis Peel Oil | 0.842 0.850 | 20 | 20 | \
Ph. Eur., Sweet orange oil | from memory
Tea tree oil | tea tree oil | Melaleuca Alternifolia Leaf Oil | 0.885 0.906 | 20 | 20 | ISO 4730 | from memory
"""

#: what the trade calls them in German, French, Spanish, Italian and Dutch; all words of one must stand in a name
_ELSEWHERE = {
    "water": "wasser destilliert/eau distillée/eau déminéralisée/agua destilada/acqua distillata",
    "almond oil": "mandelöl/huile amande/aceite almendras/olio mandorle/amandelolie",
    "argan oil": "arganöl/huile argan/aceite argan/olio argan/arganolie",
    "avocado oil": "avocadoöl/huile avocat/aceite aguacate/olio avocado/avocado-olie",
    "cocoa butter/cacao butter": "kakaobutter/beurre cacao/manteca cacao/burro cacao/cacaoboter",
    "castor oil": "rizinusöl/huile ricin/aceite ricino/olio ricino/ricinusolie",
    "coconut oil": "kokosöl/huile coco/aceite coco/olio cocco/kokosolie",
    "grapeseed oil/grape seed oil": "traubenkernöl/huile pepins raisin/aceite uva/olio vinaccioli/druivenpitolie",
    "jojoba": "jojobaöl/jojobaolie",
    "mct/medium chain triglycerides/fractionated coconut oil": "kokosöl fraktioniert/huile coco fractionnée/"
    "aceite coco fraccionado/olio cocco frazionato/kokosolie gefractioneerd",
    "olive oil": "olivenöl/huile olive/aceite oliva/olio oliva/olijfolie",
    "rapeseed oil/canola oil": "rapsöl/huile colza/aceite colza/olio colza/koolzaadolie",
    "sesame oil": "sesamöl/huile sésame/aceite sésamo/olio sesamo/sesamolie",
    "shea butter": "sheabutter/beurre karité/manteca karité/burro karité/sheaboter",
    "sunflower oil": "sonnenblumenöl/huile tournesol/aceite girasol/olio girasole/zonnebloemolie",
    "lavender oil": "lavendelöl/huile essentielle lavande/aceite esencial lavanda/olio essenziale lavanda/lavendelolie",
    "peppermint oil": "pfefferminzöl/huile essentielle menthe poivrée/aceite esencial menta piperita/pepermuntolie",
    "rosemary oil": "rosmarinöl/huile essentielle romarin/aceite esencial romero/olio essenziale rosmarino/"
    "rozemarijnolie",
    "orange oil": "orangenöl/huile essentielle orange/aceite esencial naranja/olio essenziale arancio/sinaasappelolie",
    "tea tree oil": "teebaumöl/huile essentielle arbre thé/aceite árbol té/olio essenziale tea tree/theeboomolie",
    "beeswax": "bienenwachs/cire abeille/cera abejas/cera api/bijenwas",
}


@dataclass(frozen=True, slots=True)
class Suggestion:
    """One published figure: `low` to `high` g/mL (equal where one figure is given), at `temperature` °C if stated.

    `figure` is what the source prints, `basis` what it is relative to.
    """

    name: str
    inci: str
    low: Decimal
    high: Decimal
    temperature: Decimal | None
    figure: str
    basis: str
    source: str
    standing: str
    known_as: tuple[frozenset[str], ...]
    usual: bool = False
    """Whether it is the usual choice among those that are suggested with it."""

    @property
    def sort(self) -> str:
        """What sort of the material it is of, as the source says: refined, virgin, white; "" where it says none."""
        return self.name.partition(", ")[2]

    @property
    def at_room(self) -> bool:
        """Whether it was read at room temperature, 15 to 25 °C."""
        return self.temperature is not None and ROOM[0] <= self.temperature <= ROOM[1]

    @property
    def middle(self) -> Decimal:
        """The middle of the range, g/mL; of one figure that figure."""
        return half_up((self.low + self.high) / 2, PLACES)


def suggestions(name: str, inci: str = "") -> tuple[Suggestion, ...]:
    """Published figures for a material: by its INCI name where one is known here, else by the words of its name.

    The usual choice, where there is one, stands first.
    """
    found = _found(name, inci)
    first = usual(found, name)
    marked = (replace(row, usual=True) if row is first else row for row in found)
    return tuple(sorted(marked, key=lambda row: not row.usual))


def suggested_for(material: Material) -> tuple[Suggestion, ...]:
    """Published figures for a material of the book; none where it is counted by the piece."""
    return () if material.by_piece else suggestions(material.name, material.inci)


def warning(material: Material) -> str | None:
    """What `outside` says of the density that a material has; None where it has none, or is counted by the piece."""
    held = material.density
    if held is None or material.by_piece:
        return None
    return outside(held.value, material.name, material.inci, held.temperature)


def _found(name: str, inci: str) -> tuple[Suggestion, ...]:
    by_inci = tuple(row for row in published() if inci and name_key(row.inci) == name_key(inci))
    if by_inci:
        return by_inci
    words = _words(name)
    closest = max((_likeness(row, words) for row in published()), default=0)
    return tuple(row for row in published() if closest and _likeness(row, words) == closest)


def usual(found: Sequence[Suggestion], name: str) -> Suggestion | None:
    """The one of several figures that its source gives a ground for; None where two have the same ground, or none has.

    The ground: it says that it was read at room temperature, it was seen in its source, and it is of no other sort
    (refined, virgin, white) than `name` says.
    """
    words = _words(name)
    sound = [row for row in found if row.at_room and row.standing == "seen" and _words(row.sort) <= words]
    ours = [row for row in sound if row.sort] or sound
    return ours[0] if len(ours) == 1 and len(found) > 1 else None


def outside(value: Decimal, name: str, inci: str = "", temperature: Decimal | None = None) -> str | None:
    """A sentence where `value` (g/mL) lies outside every published figure for the material; it warns, never blocks.

    Figures within 10 °C of `temperature` are preferred, since an oil is about 0.007 g/mL lighter 10 °C warmer.
    """
    rows = _near(suggestions(name, inci), temperature)
    if not rows:
        return None
    low, high = min(row.low for row in rows), max(row.high for row in rows)
    about = ABOUT if low == high else Decimal(0)
    if low - about <= value <= high + about:
        return None
    between = f"between {plain(low)} and {plain(high)}" if low != high else f"about {plain(low)}"
    return (
        f"Published figures for {rows[0].name.split(',')[0].lower()} are {between} g/mL. "
        "Check the density and the temperature it was read at; it is kept as typed."
    )


def _near(rows: tuple[Suggestion, ...], temperature: Decimal | None) -> tuple[Suggestion, ...]:
    if temperature is None:
        return rows
    near = tuple(row for row in rows if row.temperature is not None and abs(row.temperature - temperature) <= NEAR)
    return near or rows


def _words(text: str) -> frozenset[str]:
    words = frozenset(re.findall(r"[^\W\d_]+", name_key(text)))
    return words | {"essential", "oil"} if "eo" in words else words  # as makers write it


def _likeness(row: Suggestion, words: frozenset[str]) -> int:
    return max((len(known) for known in row.known_as if known <= words), default=0)


@lru_cache(maxsize=1)
def published() -> tuple[Suggestion, ...]:
    """The whole table, in g/mL."""
    return tuple(_row(line) for line in _TABLE.strip().splitlines())


def _row(line: str) -> Suggestion:
    name, known_as, inci, figure, against, temperature, source, standing = line.split(" | ")
    factor = Decimal(1) if against == "g/mL" else WATER[against]
    ends = [half_up(Decimal(end) * factor, PLACES) for end in figure.split()]
    return Suggestion(
        name=name,
        inci=inci,
        low=ends[0],
        high=ends[-1],
        temperature=None if temperature == "-" else Decimal(temperature),
        figure=" to ".join(figure.split()),
        basis="g/mL" if against == "g/mL" else f"relative to water at {against} °C",
        source=source,
        standing=standing,
        known_as=tuple(_words(words) for words in f"{known_as}/{_ELSEWHERE.get(known_as, known_as)}".split("/")),
    )
