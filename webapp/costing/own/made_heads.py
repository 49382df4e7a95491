"""What heads of a maker's own sheets say of formulas and of products, in a few languages."""

from __future__ import annotations

from webapp.costing.own.sold_heads import SOLD_AT

FORMULA_HEADS = {
    "formula": "formula, formula name, recipe, recipe name, product, product name, name, blend, rezept, rezeptur, "
    "rezeptname, formel, formule, recette, nom de la recette, receta, formulacion, ricetta, recept, receptuur",
    "ingredient": "ingredient, ingredients, material, raw material, raw materials, item, ingredient name, inci, "
    "inci name, what, zutat, zutaten, rohstoff, matiere premiere, matiere, matieres, ingrediente, "
    "ingredientes, ingredienti, materia prima, grondstof",
    "percent": "%, percent, percentage, pct, % w w, w w, share, in %, weight %, % by weight, anteil, prozent, "
    "anteil %, anteil in %, pourcentage, porcentaje, percentuale, aandeel",
    "grams": "g, grams, gram, weight, weight g, weight in g, amount g, amount in g, gramm, gewicht, grammes, "
    "poids, gramos, peso, grammi, grams per batch, g per batch, grams a batch, weight per batch, gramm pro charge, "
    "gramm je charge, g pro charge, grammes par lot, gramos por lote, grammi per lotto, gram per batch",
    "parts": "parts, part, teile, parties, partes, parti, delen",
    "amount": "amount, quantity, qty, how much, use, menge, quantite, cantidad, quantita, hoeveelheid",
    "unit": "unit, uom, measure, units, einheit, unite, unidad, unita, eenheid",
    "batch": "batch, batch size, batch g, batch grams, total batch, makes, yield, ansatz, ansatzgrosse, charge, "
    "lot, taille du lot, lote, lotto",
    "stage": "stage, phase, step, fase",
}
PRODUCT_HEADS = {
    "name": "name, product, products, product name, item, article, title, jar, produkt, artikel, produit, producto, "
    "prodotto, naam",
    "formula": FORMULA_HEADS["formula"].replace("product, product name, name, ", "")
    + ", made from, filling, contents of",
    "part": "container, vessel, vessels, contenant, contenants, contained in, comes in, packed in, behalter, gefass, "
    "contenitore, tin, bottle, pot, tube, lid, cap, closure, pump, dropper, label, labels, front label, back "
    "label, sticker, seal, box, carton, bag, packaging, package, tiegel, dose, flasche, deckel, verschluss, "
    "etikett, aufkleber, karton, verpackung, flacon, couvercle, bouchon, etiquette, emballage, tarro, frasco, tapa, "
    "etiqueta, envase, barattolo, flacone, coperchio, etichetta, imballaggio, potje, fles, deksel, dop, "
    "etiket, verpakking",
    "minutes": "minutes, minutes per jar, minutes a jar, minutes each, min per jar, min jar, min, mins, labour "
    "minutes, labor minutes, work minutes, filling minutes, minutes of work, labour, labor, labour time, "
    "labor time, working time, work time, time, time per jar, filling time, minuten, arbeitszeit, "
    "arbeitsminuten, zeit, minuten pro stuck, temps, temps de travail, minutos, tiempo, minuti, tempo, "
    "tijd, arbeidstijd",
    "makes": "makes, yield, yields, jars made, batch makes, batch yield, makes jars, yield jars, number of jars, "
    "no of jars, number made, how many jars, makes per batch, yield per batch, ergibt, rendement, rendimiento, resa, "
    "opbrengst",
    "size": "size, jar size, container size, net content, net contents, net weight, net, content, contents, fill, "
    "fill weight, fill size, fill volume, fill amount, filled, weight, volume, amount, inhalt, nettoinhalt, "
    "netto inhalt, fullmenge, abfullmenge, nettofullmenge, netto fullmenge, nennfullmenge, fullgewicht, "
    "abfullgewicht, nettogewicht, fullvolumen, grosse, contenance, contenu, contenu net, quantite nette, poids net, "
    "contenido, contenido neto, peso neto, contenuto, contenuto netto, peso netto, inhoud, netto inhoud, vulgewicht, "
    "vulhoeveelheid, nettogewicht",
    "unit": "unit, uom, measure, units, einheit, unite, unidad, unita, eenheid",
    "price": ", ".join((*sorted(SOLD_AT), "price, preis, prix, precio, prezzo, prijs")),
}
