"""Words of stock lists: headings in other languages than English, and shapes that are no tube.

General trade words from MEMORY; no list of any seller was looked at.
"""

from __future__ import annotations

import re
import unicodedata

__all__ = ["NOT_ROUND", "PER_LENGTH", "UNIT_WORDS", "heading_role"]

_ROLES = {
    "od": "aussendurchmesser, aussen ø, ø aussen, aussen, ad, ø a, da, diametre exterieur, "
    "diametre ext, ø exterieur, ø ext, diam ext, diametro exterior, ø exterior, "
    "diametro esterno, ø esterno, ø est, diam est, diametro externo, buitendiameter, buiten ø, "
    "ø buiten, buiten, ytterdiameter",
    "id": "innendurchmesser, innen ø, ø innen, innen, bohrung, ø i, di, diametre interieur, "
    "diametre int, ø interieur, ø int, diam int, alesage, diametro interior, ø interior, "
    "diametro interno, ø interno, binnendiameter, binnen ø, ø binnen, binnen, innerdiameter",
    "wall": "wandstarke, wandstaerke, wanddicke, wand, s, epaisseur, epaisseur paroi, ep, "
    "espesor, espesor pared, spessore, wanddikte, espessura, vaggtjocklek, godstjocklek",
    "length": "lange, laenge, stablange, stablaenge, longueur, longueurs, long, longitud, largo, "
    "lunghezza, lengte, comprimento, langd, lengths",
    "quantity": "available, verfugbar, disponible, menge, stuck, stueck, stk, anzahl, bestand, "
    "vorrat, lagerbestand, quantite, qte, cantidad, cant, existencias, quantita, qta, "
    "giacenza, aantal, voorraad, quantidade, antal",
    "price": "preis, stuckpreis, stueckpreis, einzelpreis, listenpreis, prix, prix unitaire, "
    "prix ht, precio, precio unitario, prezzo, prezzo unitario, prijs, stukprijs, preco, pris",
    "currency": "wahrung, waehrung, devise, moneda, valuta",
    "ref": "ref, artikel, artikelnr, artikelnummer, artikel nr, art nr, artnr, bestellnr, "
    "bestell nr, teilenummer, teilenr, code article, referencia, codigo, codice, articulo, "
    "articolo, bestelnr",
    "description": "bezeichnung, beschreibung, abmessung, abmessungen, designation, descripcion, "
    "medidas, descrizione, misure, omschrijving, afmeting, afmetingen, descricao",
    "construction": "typ, werkstoff, bauart, aufbau, ausfuhrung, ausfuehrung, legierung, "
    "materiau, matiere, alliage, nuance, tipo, materiale, aleacion, lega, materiaal, legering, "
    "soort",
    "note": "bemerkung, bemerkungen, hinweis, anmerkung, zustand, remarque, remarques, statut, "
    "observaciones, nota, estado, stato, opmerking, opmerkingen",
    "diameter": "durchmesser, diametre, diametro",
    "shape": "shape, form, profile, profil, querschnitt, cross section, forme, forma, vorm",
    "unit": "unit, units, uom, size unit, unit of size, einheit, unite, unidad, unita, eenheid",
    "length unit": "length unit, unit of length, unit length",
}
UNIT_WORDS = {  # behind a number, beside what the table of units knows
    r"mils?": "thou",  # of an inch; elsewhere an angle
    r"lfm|meters?|metres?|m[eè]tres?|metros?|metri|mtrs?": "m",
    r"zoll|pouces?|pulgadas?|pollici|duim": "in",
}
_BY_WORD = {word: role for role, words in _ROLES.items() for word in words.split(", ")}

PER_LENGTH = re.compile(
    r"(price|cost|preis|prix|precio|prezzo|prijs|[€£$]).*?(/|\b(per|pro|je|par|por|al)\b)\s*(lfm|mm|cm|m|mtr|metres?|meters?|ft|foot|in|inch|kg|lb)\b",
    re.IGNORECASE,
)  # a price for a length or a mass, not for a piece

NOT_ROUND = re.compile(
    r"\b(square(?![- ]*(cut|end|edge))|rect(angular|angle)?|rhs|shs|box|hex(agon(al)?)?|"
    r"oct(agon(al)?)?|oval|ellip\w*|flat|rod|solid|bar(?!\s*length)|"
    r"vierkant\w*|quadrat\w*|rechteck\w*|sechskant\w*|flach\w*|\w*stab|vollmaterial|"
    r"carr[eé]e?|rectangulaire|barre|jonc|plat|cuadrad\w*|varilla|quadr[oa]|rettangolare|"
    r"staaf|rechthoek\w*)\b",
    re.IGNORECASE,
)


def heading_role(text: str) -> str:
    """Role of a heading that is not English.

    Parameters
    ----------
    text : str
        Heading in lower case without its unit.

    Returns
    -------
    str
        "" where the words are not known.

    Examples
    --------
    >>> heading_role("wandstärke"), heading_role("außen-ø"), heading_role("colour")
    ('wall', 'od', '')
    """
    plain = unicodedata.normalize("NFKD", text.casefold())  # casefold spells the German sharp s
    plain = "".join(c for c in plain if not unicodedata.combining(c))
    return _BY_WORD.get(" ".join(re.split(r"[\s\-]+", plain.strip(" -"))), "")
