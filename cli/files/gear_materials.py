"""What gears are made of, as lists name it in six languages. Words of the trade, from memory."""

from __future__ import annotations

import re

from gearchest.catalogs.materials import tooth_strength
from gearchest.cli.files.amounts import folded

_WORDS: dict[str, str] = {
    "hardened steel": """case hardened, induction hardened, gehartet, stahl gehartet, acier trempe,
        acero templado, acciaio temprato, gehard staal""",
    "steel": """stahl, acier, acero, acciaio, staal, st, c45, c45e, s235, s355, 1 0503, en8, 1045,
        carbon steel, free cutting steel, automatenstahl""",
    "cast iron": "gusseisen, grauguss, guss, gg, gg25, fonte, fundicion, ghisa, gietijzer, ci",
    "bronze": "bronce, bronzo, brons, rotguss",
    "brass": "messing, laiton, laton, ottone, ms, ms58, cuzn39pb3, cz121",
    "aluminium": "alu, aluminum, alluminio, aluminio, al",
    "zinc alloy": "zinkdruckguss, zink, zinc, zinco, zamac",
    "acetal": "pom, pom c, acetalharz, acetal copolymer, poliacetal, resina acetalica",
    "nylon": "polyamid, polyamide, poliamida, poliammide, pa, pa6, pa66, pa 6, pa 6 g",
}

_NAMES = {
    " ".join(word.split()): name
    for name, words in _WORDS.items()
    for word in (name, *words.split(","))
}


def gear_material(text: str) -> str:
    """The name under which a material's strength is known; as written where it is not.

    >>> gear_material("Stahl C45"), gear_material("Messing (CuZn39Pb3)"), gear_material("oak")
    ('steel', 'brass', 'oak')
    """
    plain = " ".join(re.sub(r"[^a-z0-9]+", " ", folded(text)).split())
    known = tooth_strength().materials
    if plain in known:
        return plain
    if plain in _NAMES:
        return _NAMES[plain]
    words = plain.split()
    runs = {" ".join(words[i:j]) for i in range(len(words)) for j in range(i + 1, len(words) + 1)}
    named = {_NAMES.get(run, run) for run in runs if run in _NAMES or run in known}
    if named == {"steel", "hardened steel"}:
        return "hardened steel"
    return named.pop() if len(named) == 1 else text.strip()


def strength_known(material: str) -> bool:
    """Whether it is known what teeth of a material bear."""
    return material.strip().lower() in tooth_strength().materials
