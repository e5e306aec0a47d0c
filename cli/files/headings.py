"""What the columns of a price list are called, in six languages.

From memory: English, German, French, Spanish, Italian and Dutch words of the trade and of shops.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from gearchest.cli.files.amounts import folded

_WORDS: dict[str, str] = {
    "teeth": """teeth, tooth, tooth count, no of teeth, number of teeth, num teeth, nr teeth, z,
        t, zahne, zahnezahl, zahnzahl, anzahl zahne, zahn, dents, nombre de dents, nb dents,
        nb de dents, nbre de dents, nbre dents, n dents, dientes, numero de dientes, n dientes,
        no dientes, num dientes, denti, numero denti, numero di denti, n denti, tanden,
        aantal tanden, tandental""",
    "price": """price, unit price, price each, cost, preis, stuckpreis, einzelpreis, verkaufspreis,
        vk, vk preis, brutto, bruttopreis, netto, nettopreis, prix, prix unitaire, tarif, pu,
        pu ttc, pu ht, precio, precio unitario, pvp, importe, prezzo, prezzo unitario, costo, prijs,
        stukprijs, eenheidsprijs, verkoopprijs, kosten""",
    "module": "module, mod, m, modul, modulo, moduul",
    "dp": """dp, d p, diametral pitch, pas diametral, paso diametral, passo diametrale,
        diametrale steek""",
    "bore": """bore, bore diameter, bore dia, bore size, hole, bohrung, bohrungsdurchmesser,
        innendurchmesser, bohrungs o, alesage, diametre d alesage, o alesage, diametro interior,
        agujero, taladro, diametro de agujero, foro, alesaggio, diametro foro, diametro del foro,
        boring, asgat, boorgat, gat, inwendige diameter""",
    "keyway": """keyway, key, keyslot, key slot, nut, passfedernut, passfeder, keilnut, rainure,
        rainure de clavette, clavette, chavetero, chaveta, chiavetta, sede chiavetta,
        cava chiavetta, cava, spiebaan, spie, spiegleuf""",
    "face_width": """face width, face, width, thickness, tooth width, breite, zahnbreite,
        radbreite, dicke, b, largeur, largeur de denture, epaisseur, ancho, anchura,
        ancho de cara, espesor, larghezza, larghezza dente, fascia, spessore, breedte,
        tandbreedte, dikte""",
    "pressure_angle": """pressure angle, pa, angle, eingriffswinkel, druckwinkel, angle de pression,
        angulo de presion, angolo di pressione, drukhoek, ingrijphoek""",
    "copies": """copies, stock, in stock, qty, quantity, qty available, available, availability,
        lager, lagerbestand, bestand, verfugbar, verfugbarkeit, menge, anzahl, stuck, stk, vorrat,
        lieferbar, quantite, qte, qte stock, disponibilite, disponible, dispo, en stock,
        existencias, cantidad, disponibilidad, uds, unidades, giacenza, quantita, qta,
        disponibilita, disponibile, magazzino, voorraad, aantal, beschikbaar, beschikbaarheid,
        hoeveelheid""",
    "material": "material, werkstoff, materiel, matiere, materiau, materiale, materiaal",
    "how": "how",
    "note": """note, notes, remark, remarks, comment, shop, supplier, source, bemerkung,
        anmerkung, hinweis, handler, lieferant, fournisseur, remarque, proveedor, nota,
        observaciones, fornitore, osservazioni, leverancier, opmerking""",
}  # fmt: skip


def phrases(words: dict[str, str]) -> dict[str, str]:
    """The name of a column by each of the phrases that say it, separated by commas."""
    return {" ".join(phrase.split()): name for name, said in words.items()
            for phrase in said.split(",")}  # fmt: skip


PHRASES = phrases(_WORDS)
"""Column of an offers file by what a heading says, without accents and signs."""

_GROSS = {
    "brutto",
    "bruttopreis",
    "gross",
    "inc",
    "incl",
    "inkl",
    "ttc",
    "pvp",
    "ivato",
    "incluido",
    "inclusa",
}
_NET = {"netto", "nettopreis", "net", "ex", "excl", "exkl", "ht", "sin", "zzgl", "esclusa", "ohne"}
_GREATER = {"ab", "from", "desde", "da", "vanaf", "partir"}


@dataclass(frozen=True)
class Understood:
    """Which column of a price list is what: its place and its heading by the name of the column
    of an offers file; headings that are `unused`; `passed_over` for another that says the same."""

    places: dict[str, int]
    headings: dict[str, str]
    unused: tuple[str, ...]
    passed_over: tuple[str, ...]


def meaning(heading: str) -> str | None:
    """The column of an offers file that a heading means; None where it means none.

    >>> meaning("Zähnezahl"), meaning("Bohrung Ø [mm]"), meaning("Preis pro Stück"), meaning("SKU")
    ('teeth', 'bore', 'price', None)
    """
    said = plain(heading)
    if said in PHRASES:
        return PHRASES[said]
    words = said.split()
    runs = [
        " ".join(words[i:j])
        for i in range(len(words))
        for j in range(i + 1, len(words) + 1)
        if j - i == len(words) or j - i > 1 or len(words[i]) > 2
    ]
    found = {PHRASES[run]: run for run in sorted(runs, key=len) if run in PHRASES}
    for name in ("teeth", "price"):  # what is counted or paid for stands beside it
        if name in found:
            return name
    return max(found, key=lambda name: len(found[name]), default=None)


def understand(cells: Sequence[str]) -> Understood:
    """Match the headings of a row."""
    by_name: dict[str, list[int]] = {}
    unused = []
    for place, cell in enumerate(cells):
        name = meaning(cell) if cell and len(cell) <= 60 else None
        if name:
            by_name.setdefault(name, []).append(place)
        elif cell:
            unused.append(cell)
    chosen = {
        name: min(places, key=lambda at: _rank(cells[at])) for name, places in by_name.items()
    }
    over = [cells[at] for name, places in by_name.items() for at in places if at != chosen[name]]
    return Understood(
        chosen, {name: cells[at] for name, at in chosen.items()}, tuple(unused), tuple(over)
    )


def _rank(heading: str) -> int:
    """What is paid for one gear comes first: with tax, before prices without, or for many."""
    words = set(plain(heading).split())
    if words & _GREATER or any(word.isdigit() for word in words):
        return 3
    return 0 if words & _GROSS else 2 if words & _NET else 1


def plain(heading: str) -> str:
    """A heading in small letters, without accents, signs and what stands in brackets."""
    text = re.sub(r"[(\[].*?[)\]]", " ", folded(heading.replace("ø", "o").replace("Ø", "o")))
    return " ".join(re.sub(r"[^a-z0-9]+", " ", text).split())
