"""Heads of a maker's own price sheets, as they are known whole, and what stands below each."""

from __future__ import annotations

import re

#: what a column of materials holds -> its heads, without case, accents, marks and what stands in brackets
MATERIAL_HEADS = {
    "name": "name, material, ingredient, ingredients, item, item name, product, product name, description, "
    "article, raw material, raw materials, goods, what, material name, ingredient name, common name, "
    "bezeichnung, rohstoff, artikel, zutat, matiere, matieres, matiere premiere, matieres premieres, ingredient nom, "
    "nom, produit, nombre, "
    "producto, materia prima, ingrediente, nome, prodotto, materiale, grondstof, naam, "
    "container, containers, packaging, packaging item, bottle, bottles, jar, jars, verpackung, emballage, envase",
    "inci": "inci, inci name, inci bezeichnung, nom inci, nombre inci, nome inci",
    "kind": "kind, type, category, group, ingredient or packaging, art, kategorie, type de produit, categorie, "
    "tipo, categoria, soort",
    "supplier": "supplier, supplier name, vendor, vendor name, seller, from, bought from, bought at, purchased from, "
    "purchased at, ordered from, got from, i get it from, shop, store, shop name, source, where, where from, "
    "from where, where i get it, where i got it, where i buy, where i buy it, where i bought it, where bought, "
    "where to buy, where purchased, lieferant, lieferanten, handler, bezugsquelle, quelle, verkaufer, gekauft bei, "
    "bestellt bei, anbieter, fournisseur, fournisseurs, vendeur, magasin, achete chez, achete a, proveedor, "
    "proveedores, tienda, vendedor, comprado en, fornitore, fornitori, negozio, acquistato da, leverancier, winkel, "
    "gekocht bij",
    "code": "code, item code, product code, sku, ref, reference, item no, item number, article no, "
    "article number, part no, cat no, artikelnummer, art nr, codigo, codice",
    "packs": "packs, qty, quantity, number, count, how many, no of packs, number of packs, qty bought, "
    "quantity bought, qty purchased, quantity purchased, qty ordered, quantity ordered, packs bought, packs ordered, "
    "units bought, units ordered, units purchased, number bought, number ordered, dozen, dozens, anzahl, anz, stk, "
    "stuck, stuckzahl, packungen, anzahl packungen, bestellmenge, quantite, quantite achetee, quantite commandee, "
    "qte, qte achetee, qte commandee, nb, nbre, nombre achete, nb de paquets, cantidad, quantita, aantal, stuks",
    "pack": "pack, pack size, size, amount, content, contents, weight, net weight, volume, pack weight, in a "
    "pack, how much, how much bought, amount purchased, size purchased, "
    "weight purchased, weight bought, how i buy it, how we buy it, how it is bought, how bought, how it comes, "
    "comes in, bought as, bought in, sold as, sold in, "
    "package, package size, size bought, amount bought, purchase size, "
    "pack of, box of, case of, pieces, pcs, pieces per pack, pieces in a pack, units per pack, qty per "
    "pack, quantity per pack, number in a pack, gebinde, menge, inhalt, packung, packungsgrosse, "
    "conditionnement, contenance, poids, tamano, contenido, peso, confezione, verpakking, inhoud",
    "unit": "unit, uom, measure, units, per, purchase unit, einheit, unite, unidad, unita, eenheid",
    "price": "price, cost, pack price, price per pack, per pack, price a pack, price paid, paid, amount paid, "
    "pack cost, cost per pack, cost paid, total, total price, total cost, total paid, total amount, amount total, "
    "price total, cost total, line total, "
    "purchase price, list price, price each, cost each, each, price per item, cost per item, new price, price now, "
    "current price, latest price, last price, last paid, buy price, buying price, what i paid, spent, "
    "price ea, cost ea, ea, rate, case price, case cost, price per case, cost per case, per case, carton price, "
    "carton cost, price per carton, bag price, box price, price per box, price per bag, price per bottle, "
    "ext cost, ext price, extended cost, extended price, extended, line cost, line price, "
    "last paid pack, last paid per pack, paid pack, paid per pack, last price pack, last price per pack, "
    "price pack, cost pack, price bag, cost bag, price box, cost box, price case, cost case, price bottle, "
    "cost bottle, preis packung, preis pack, preis gebinde, prix paquet, prix pack, prix sachet, precio paquete, "
    "precio envase, prezzo confezione, prijs verpakking, "
    "ep, e preis, gp, g preis, preis, kosten, gesamt, gesamtpreis, gesamtkosten, gesamtbetrag, summe, stuckpreis, "
    "packungspreis, einzelpreis, einkaufspreis, ek, ek preis, "
    "prix, cout, prix d achat, prix total, montant, montant total, cout total, pu, p u, prix u, "
    "prix unit, prix unitaire, prix paye, precio, coste, importe, "
    "importe total, precio total, precio unitario, precio de compra, costo, prezzo, prezzo totale, prezzo d acquisto, "
    "totale, prijs, inkoopprijs, totaal, totaalprijs",
    "unit_price": "price per kg, price a kg, cost per kg, cost a kg, price per kilo, cost per kilo, price per g, "
    "cost per g, cost per gram, price per gram, price per lb, cost per lb, cost per oz, price per oz, "
    "price per ounce, cost per ounce, price per litre, price per l, cost per ml, price per ml, "
    "cost per l, price per unit, cost per unit, unit price, unit cost, price per piece, cost per piece, "
    "preis pro kg, kilopreis, preis kg, prix au kg, prix kg, precio por kg, precio kg, prezzo al kg, "
    "prezzo kg, kiloprijs, kg price, kg cost",
    "currency": "currency, money, wahrung, devise, moneda, valuta",
    "tax_rate": "tax, tax rate, vat, vat rate, sales tax, gst, mwst, ust, steuer, tva, iva, btw, vat percent, "
    "tax percent, vat %, tax %, gst %, mwst %, ust %, tva %, iva %, btw %, % vat, % tax, "
    "sales tax %, % sales tax, % mwst, % ust, % gst, % tva, % iva, % btw",
    "day": "date, day, bought on, order date, purchase date, price date, date bought, last bought, bought, "
    "date purchased, purchased, purchased on, when, when bought, date ordered, ordered, ordered on, date paid, "
    "invoice date, updated, last updated, last update, date updated, price checked, as of, datum, kaufdatum, "
    "einkauf, einkaufsdatum, eingekauft am, gekauft am, bestelldatum, date d achat, achete le, date achat, achete, "
    "fecha, fecha de compra, comprado, comprado el, data, data di acquisto, acquistato il, aankoopdatum",
    "density": "density, specific gravity, sg, g ml, dichte, densite, densidad, densita, dichtheid",
}
#: heads of packs whose numbers are pieces
OF_PIECES = frozenset(
    "pack of, box of, case of, pieces, pcs, pieces per pack, pieces in a pack, units per pack, qty per pack, "
    "quantity per pack, number in a pack".split(", ")
)
#: heads of columns that hold notes, whatever most of their cells look like
NOTE_HEAD = re.compile(
    r"note|notiz|remark|comment|bemerk|anmerk|remarque|commentaire|\bnota|observ|opmerk|info", re.IGNORECASE
)
#: heads of days in languages in which the day stands before the month
DAY_FIRST = frozenset(
    "datum, kaufdatum, einkauf, einkaufsdatum, eingekauft am, gekauft am, bestelldatum, date d achat, achete le, "
    "date achat, achete, fecha, fecha de compra, comprado, comprado el, data, data di acquisto, acquistato il, "
    "aankoopdatum".split(", ")
)
