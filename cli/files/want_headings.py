"""What the columns of a table of wants are called, in six languages.

From memory: English, German, French, Spanish, Italian and Dutch words of the trade.
"""

from __future__ import annotations

import re

from gearchest.cli.files.headings import phrases, plain

_PHRASES = phrases({
    "series": "series, serie, reihe, gewindereihe, serie de filetage, serie di filetti, reeks",
    "from": "from, von, ab, de, desde, da, van, vanaf, depuis",
    "to": "to, bis, jusqu a, jusque, hasta, fino a, tot",
    "pitch": """pitch, thread, threads, size, thread size, thread pitch, steigung, gewinde, grosse,
        gewindesteigung, gewindegrosse, pas, filetage, filet, taille, pas de filetage, pas du filet,
        paso, rosca, tamano, medida, paso de rosca, passo, filettatura, filetto, misura,
        passo della filettatura, passo filettatura, spoed, draad, schroefdraad, maat, draadmaat""",
    "name": """name, part, bezeichnung, benennung, teil, nom, designation, piece, nombre,
        denominacion, pieza, nome, denominazione, pezzo, naam, benaming, onderdeel""",
    "use": """use, verwendung, zweck, einsatz, usage, utilisation, emploi, uso, utilizacion,
        impiego, utilizzo, gebruik, toepassing""",
    "diameter": """diameter, dia, o, durchmesser, aussendurchmesser, nenndurchmesser, diametre,
        diametre exterieur, diametre nominal, diametro, diametro exterior, diametro esterno,
        diametro nominal, diametro nominale, buitendiameter, middellijn""",
    "tolerance": """tolerance, toleranz, zulassige abweichung, tolerancia, tolleranza, tolerantie,
        toelaatbare afwijking""",
    "weight": """weight, gewicht, gewichtung, wichtigkeit, poids, importance, peso, importancia,
        importanza, belang""",
    "left": """left, left hand, links, linksgewinde, gauche, pas a gauche, filetage a gauche,
        izquierda, rosca izquierda, sinistra, filettatura sinistra, linkse draad""",
    "inside": """inside, internal, innen, innengewinde, interieur, taraudage, filetage interieur,
        interior, rosca interior, interna, interno, filettatura interna, binnen, binnendraad""",
    "engaged": """engaged, engaged length, einschraublange, tragende lange, longueur en prise,
        longitud de acoplamiento, lunghezza di avvitamento, inschroeflengte""",
    "mating": "mating, gegenstuck, piece conjuguee, contrapieza, controparte, tegenstuk",
    "grade": """grade, genauigkeitsklasse, classe de precision, clase de precision,
        classe di precisione, nauwkeurigheidsklasse""",
})  # fmt: skip

_UNITS = {
    "mm": "mm",
    "in": "in",
    "inch": "in",
    "zoll": "in",
    "pouces": "in",
    "pulgadas": "in",
    "pollici": "in",
    "duim": "in",
    "tpi": "tpi",
    "%": "%",
    "ppm": "ppm",
}
_IN_BRACKETS = re.compile(r"[(\[]\s*(.*?)\s*[)\]]")


def want_column(heading: str) -> tuple[str, str] | None:
    """The column of a wants file that a heading means, and the unit it names for bare numbers
    below it ("" for none); None where it means none.

    >>> want_column("Steigung [mm]"), want_column("Gewichtung"), want_column("Farbe")
    (('pitch', 'mm'), ('weight', ''), None)
    """
    named = _IN_BRACKETS.search(heading)
    unit = _UNITS.get(named[1].casefold()) if named else ""
    column = _PHRASES.get(plain(heading))
    return None if column is None or unit is None else (column, unit)
