/** Grape varieties with the colour of their berries and the other names they go by: plain trade facts, from memory. */

/** The colour of the ripe berry: what the fruit looks like, which need not be the colour of the wine. */
export type BerryColour = 'red' | 'white' | 'grey';

export interface Variety {
  readonly name: string;
  readonly colour: BerryColour;
  readonly synonyms: readonly string[];
}

type Row = readonly [name: string, ...synonyms: string[]];

const RED: readonly Row[] = [
  ['Aglianico'],
  ['Alicante Bouschet', 'Alicante Henri Bouschet', 'Garnacha Tintorera'],
  ['Baga'],
  ['Barbera'],
  ['Blaufränkisch', 'Lemberger', 'Limberger', 'Kékfrankos', 'Frankovka'],
  ['Bonarda', 'Charbono', 'Corbeau', 'Douce Noire'],
  ['Cabernet Franc', 'Bouchet', 'Breton'],
  ['Cabernet Sauvignon'],
  ['Carignan', 'Carignane', 'Cariñena', 'Mazuelo', 'Carignano'],
  ['Carmenère', 'Grande Vidure'],
  ['Chambourcin'],
  ['Cinsault', 'Cinsaut', 'Hermitage Noir'],
  ['Concord'],
  ['Corvina', 'Corvina Veronese'],
  ['Counoise'],
  ['Dolcetto', 'Ormeasco'],
  ['Dornfelder'],
  ['Durif', 'Petite Sirah', 'Petite Syrah'],
  ['Frappato'],
  ['Freisa'],
  ['Gamay', 'Gamay Noir', 'Gamay Noir à Jus Blanc'],
  ['Graciano', 'Morrastel', 'Tinta Miúda'],
  ['Grenache', 'Grenache Noir', 'Garnacha', 'Garnacha Tinta', 'Cannonau'],
  ['Grignolino'],
  ['Lagrein'],
  ['Malbec', 'Côt', 'Auxerrois Noir'],
  ['Maréchal Foch', 'Foch'],
  ['Marquette'],
  ['Marselan'],
  ['Mencía', 'Jaen'],
  ['Merlot', 'Merlot Noir'],
  ['Montepulciano'],
  ['Mourvèdre', 'Monastrell', 'Mataro'],
  ['Nebbiolo', 'Spanna', 'Chiavennasca'],
  ['Negroamaro'],
  ["Nero d'Avola", 'Calabrese'],
  ['Norton', 'Cynthiana'],
  ['Petit Verdot'],
  ['Pinot Meunier', 'Meunier', 'Schwarzriesling', 'Müllerrebe'],
  ['Pinot Noir', 'Spätburgunder', 'Blauburgunder', 'Pinot Nero'],
  ['Pinotage'],
  ['Refosco', 'Refosco dal Peduncolo Rosso'],
  ['Ruby Cabernet'],
  ['Sagrantino'],
  ['Sangiovese', 'Brunello', 'Prugnolo Gentile', 'Morellino', 'Nielluccio'],
  ['Saperavi'],
  ['St. Laurent', 'Saint Laurent', 'Sankt Laurent'],
  ['Syrah', 'Shiraz'],
  ['Tannat'],
  ['Tempranillo', 'Tinta Roriz', 'Aragonez', 'Tinto Fino', 'Tinta del País', 'Cencibel', 'Ull de Llebre'],
  ['Tinta Barroca'],
  ['Tinto Cão'],
  ['Touriga Franca', 'Touriga Francesa'],
  ['Touriga Nacional'],
  ['Trousseau', 'Bastardo'],
  ['Xinomavro'],
  ['Zinfandel', 'Primitivo', 'Tribidrag', 'Crljenak Kaštelanski'],
  ['Zweigelt', 'Rotburger', 'Blauer Zweigelt'],
];

const WHITE: readonly Row[] = [
  ['Albariño', 'Alvarinho'],
  ['Aligoté'],
  ['Arneis'],
  ['Assyrtiko'],
  ['Auxerrois'],
  ['Bacchus'],
  ['Bourboulenc'],
  ['Chardonnay'],
  ['Chasselas', 'Gutedel', 'Fendant'],
  ['Chenin Blanc', 'Chenin', 'Steen', 'Pineau de la Loire'],
  ['Clairette', 'Clairette Blanche'],
  ['Colombard', 'French Colombard'],
  ['Cortese'],
  ['Falanghina'],
  ['Fiano'],
  ['Folle Blanche', 'Gros Plant'],
  ['Friulano', 'Sauvignonasse', 'Tocai Friulano'],
  ['Furmint'],
  ['Garganega'],
  ['Godello', 'Gouveio'],
  ['Greco', 'Greco di Tufo'],
  ['Grenache Blanc', 'Garnacha Blanca'],
  ['Grüner Veltliner'],
  ['Gros Manseng'],
  ['Kerner'],
  ['La Crescent'],
  ['Macabeo', 'Viura', 'Macabeu'],
  ['Malvasia Bianca', 'Malvasia'],
  ['Marsanne'],
  ['Melon', 'Melon de Bourgogne'],
  ['Müller-Thurgau', 'Rivaner'],
  ['Muscat Blanc', 'Muscat Blanc à Petits Grains', 'Muscat Canelli', 'Moscato Bianco', 'Muscat'],
  ['Muscat of Alexandria', "Muscat d'Alexandrie", 'Zibibbo', 'Moscatel'],
  ['Niagara'],
  ['Palomino', 'Palomino Fino', 'Listán Blanco'],
  ['Parellada'],
  ['Pedro Ximénez', 'PX'],
  ['Petit Manseng'],
  ['Picpoul', 'Picpoul Blanc', 'Piquepoul Blanc'],
  ['Pinot Blanc', 'Weissburgunder', 'Weißburgunder', 'Pinot Bianco'],
  ['Glera', 'Prosecco'],
  ['Ribolla Gialla', 'Rebula'],
  ['Riesling', 'White Riesling', 'Rhine Riesling', 'Johannisberg Riesling'],
  ['Roussanne'],
  ['Sauvignon Blanc', 'Sauvignon', 'Blanc Fumé'],
  ['Sémillon'],
  ['Seyval Blanc', 'Seyval'],
  ['Silvaner', 'Sylvaner', 'Grüner Silvaner'],
  ['Torrontés'],
  ['Traminette'],
  ['Trebbiano', 'Trebbiano Toscano', 'Ugni Blanc'],
  ['Verdejo'],
  ['Verdelho'],
  ['Vermentino', 'Rolle', 'Favorita', 'Pigato'],
  ['Vidal Blanc', 'Vidal'],
  ['Vignoles'],
  ['Viognier'],
  ['Welschriesling', 'Graševina', 'Laški Rizling', 'Olaszrizling'],
  ['Xarel-lo', 'Xarello'],
];

/** Berries between: grey, pink or copper. Most are pressed as whites. */
const GREY: readonly Row[] = [
  ['Delaware'],
  ['Gewürztraminer', 'Traminer', 'Roter Traminer', 'Traminer Aromatico'],
  ['Grenache Gris', 'Garnacha Roja'],
  ['Koshu'],
  ['Moschofilero'],
  ['Pinot Gris', 'Pinot Grigio', 'Grauburgunder', 'Ruländer'],
  ['Sauvignon Gris', 'Fié'],
];

const rows = (colour: BerryColour, list: readonly Row[]): Variety[] =>
  list.map(([name, ...synonyms]) => ({ name, colour, synonyms }));

export const VARIETIES: readonly Variety[] = [...rows('red', RED), ...rows('white', WHITE), ...rows('grey', GREY)];

const byName = new Map<string, Variety>();
for (const variety of VARIETIES) {
  for (const name of [variety.name, ...variety.synonyms]) byName.set(plainName(name), variety);
}

/** A name without case, accents, hyphens, points or apostrophes; `ß` is `ss`. */
function plainName(name: string): string {
  return name
    .normalize('NFD')
    .replace(/\p{M}+/gu, '')
    .toLowerCase()
    .replace(/ß/gu, 'ss')
    .replace(/['’]/gu, ' ')
    .replace(/[\s\-_.]+/gu, ' ')
    .trim();
}

/** The variety a name or synonym means, without regard to case or accents; `undefined` if unknown. */
export function findVariety(name: string): Variety | undefined {
  return byName.get(plainName(name));
}

/** The colour of a variety's berries, or `undefined` for a variety the table does not hold. */
export function varietyColour(name: string): BerryColour | undefined {
  return findVariety(name)?.colour;
}
