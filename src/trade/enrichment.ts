/** What brings must to another strength: sugar, water, concentrate; and the figures of the law on it. */
import { sucroseDensity } from './sucrose.ts';
import { andThen, firstRefusal, outside, refuse, type Worked } from './worked.ts';

/** Litres a kilogram of dissolved sugar takes up: 13.5 lb to the US gallon, 27 CFR 24.181. */
export const LITRES_PER_KILOGRAM_SUGAR = 3.785411784 / (13.5 * 0.45359237);

/** The wine-growing zones of the EU. */
export type Zone = 'A' | 'B' | 'C';

/** Caps on enrichment in one zone. */
export interface EnrichmentCap {
  /** How far alcohol may be raised, % vol. */
  readonly percentVolume: number;
  /** The same in a year the authority has found unfavourable. */
  readonly inBadYears: number;
  /** How far concentrated must may raise the volume, per cent. */
  readonly concentratePercent: number;
}

/** Regulation (EU) No 1308/2013, annex VIII, part I, sections A and B. The text in force and the authority decide. */
export const EU_CAPS: Readonly<Record<Zone, EnrichmentCap>> = {
  A: { percentVolume: 3, inBadYears: 3.5, concentratePercent: 11 },
  B: { percentVolume: 2, inBadYears: 2.5, concentratePercent: 8 },
  C: { percentVolume: 1.5, inBadYears: 2, concentratePercent: 6.5 },
};

/** The most °Brix United States law lets sugar or concentrate bring juice to: 27 CFR 24.177 (2015 edition). */
export const US_MOST_BRIX_ENRICHED = 25;

/**
 * What United States law lets water bring juice to, and how far it lets thin juice fall: 27 CFR 24.176(a) (2015
 * edition).
 */
const US_LEAST_BRIX = 22;
const US_THIN_BRIX = 23;
const US_THIN_MAY_FALL = 1;

/**
 * Amelioration: the least fixed acid after it in g/L, and the largest part of the whole. 26 U.S.C. 5383(b); 27 CFR
 * 24.178.
 */
const US_LEAST_FIXED_ACID = 5;
const US_MOST_AMELIORATION = 0.35;

const volumeFits = (litres: number) => outside(litres, 0.001, 10_000_000, 'a volume', 'L');

/** What is added to a must, and what becomes of it. */
export interface Addition {
  readonly kilograms: number;
  /** What the addition itself measures; for sugar, what it takes up dissolved. */
  readonly litres: number;
  readonly finalLitres: number;
}

/**
 * Dry sugar that raises the alcohol of a must by so many % vol, a litre of must as it is: V × rise × k / 1000 kg.
 *
 * V in litres; the rise 0 to 5 % vol; k the sugar that gives 1 % vol, 15.4 to 20 g/L (17: common practice; 16.83: EU
 * and OIV). The volume the sugar adds, 0.618 L/kg, dilutes what was there: the alcohol of the wine rises by less (see
 * `sugarForWine`).
 */
export function sugarForMust(litres: number, risePercentVolume: number, gramsPerPercent: number): Worked<Addition> {
  const wrong = enrichmentFits(litres, risePercentVolume, gramsPerPercent);
  return wrong ?? withSugar(litres, (litres * risePercentVolume * gramsPerPercent) / 1000);
}

/**
 * Dry sugar after which the whole, with the volume the sugar adds, has so many % vol more than the must promised.
 *
 * m = V d / (1000/k − 0.618 (A + d)) kg: V in litres, d the rise (0 to 5 % vol), A the potential alcohol before (0 to
 * 17 % vol), k the sugar for 1 % vol. Follows from A V + 1000 m/k = (A + d) (V + 0.618 m); 0.618 L/kg from 27 CFR
 * 24.181.
 */
export function sugarForWine(
  litres: number,
  risePercentVolume: number,
  gramsPerPercent: number,
  potentialBefore: number,
): Worked<Addition> {
  const wrong =
    enrichmentFits(litres, risePercentVolume, gramsPerPercent) ??
    outside(potentialBefore, 0, 17, 'potential alcohol', '% vol');
  if (wrong !== undefined) return wrong;
  const given = 1000 / gramsPerPercent - LITRES_PER_KILOGRAM_SUGAR * (potentialBefore + risePercentVolume);
  return withSugar(litres, (litres * risePercentVolume) / given);
}

const enrichmentFits = (litres: number, rise: number, gramsPerPercent: number) =>
  firstRefusal(
    volumeFits(litres),
    outside(rise, 0, 5, 'a rise of alcohol', '% vol'),
    outside(gramsPerPercent, 15.4, 20, 'sugar for one % vol', 'g/L'),
  );

function withSugar(litres: number, kilograms: number): Addition {
  const dissolved = kilograms * LITRES_PER_KILOGRAM_SUGAR;
  return { kilograms, litres: dissolved, finalLitres: litres + dissolved };
}

/**
 * Water at 20 °C that brings a must from one °Brix to a lower one.
 *
 * The sugar stays, the mass grows: water = M (from/to − 1), M = V × density. Densities of sucrose solutions (ICUMSA
 * SPS-4), so that a must's own, about a thousandth higher, changes nothing of note. From 1 to 40 °Bx.
 */
export function waterToBrix(litres: number, from: number, to: number): Worked<Addition> {
  const wrong =
    volumeFits(litres) ??
    outside(from, 1, 40, 'sugar before', '°Bx') ??
    outside(to, 1, 40, 'sugar after', '°Bx') ??
    (to > from ? refuse('water only brings sugar down: the °Brix after is above the °Brix before') : undefined);
  return wrong ?? mixed(litres, from, 0, to);
}

/**
 * The least °Brix to which United States law lets water to ease the ferment bring juice: 22, or 1 less than it has
 * where that is under 23. 27 CFR 24.176(a), 2015 edition.
 */
export const leastBrixWatered = (brix: number): number =>
  brix < US_THIN_BRIX ? brix - US_THIN_MAY_FALL : US_LEAST_BRIX;

/**
 * Concentrate that brings a must from one °Brix to a higher one: mass of must × (to − from) / (concentrate − to).
 *
 * The cross by mass, with densities of sucrose solutions at 20 °C (ICUMSA SPS-4). Must 5 to 35 °Bx, concentrate to 70.
 */
export function concentrateToBrix(litres: number, from: number, to: number, concentrate: number): Worked<Addition> {
  const wrong =
    volumeFits(litres) ??
    outside(from, 5, 35, 'sugar before', '°Bx') ??
    outside(to, 5, 35, 'sugar after', '°Bx') ??
    outside(concentrate, 5, 70, 'sugar of the concentrate', '°Bx') ??
    (to < from ? refuse('concentrate only brings sugar up: the °Brix after is below the °Brix before') : undefined) ??
    (concentrate <= to ? refuse('the concentrate must be sweeter than the must is to become') : undefined);
  return wrong ?? mixed(litres, from, concentrate, to);
}

/** The cross by mass of a must and what is added to it, both and their mixture taken as sucrose solutions at 20 °C. */
function mixed(litres: number, from: number, added: number, to: number): Worked<Addition> {
  return andThen(sucroseDensity(from, 20), (mustDensity) =>
    andThen(sucroseDensity(added, 20), (addedDensity) =>
      andThen(sucroseDensity(to, 20), (mixedDensity) => {
        const must = (litres * mustDensity) / 1000;
        const kilograms = must * ((to - from) / (added - to));
        return {
          kilograms,
          litres: (1000 * kilograms) / addedDensity,
          finalLitres: (1000 * (must + kilograms)) / mixedDensity,
        };
      }),
    ),
  );
}

/**
 * The most water, sugar or both that United States law lets go into so many litres of a juice with too much acid, in
 * litres.
 *
 * V × (acid/5 − 1), so that 5.0 g/L fixed acid (as tartaric, 3 to 30 g/L before) are left; at most 35 % of the whole:
 * 538.4 in 1000. None where the acid is 5.0 g/L or less. 26 U.S.C. 5383(b); 27 CFR 24.178 (2015 edition).
 */
export function ameliorationLimit(litres: number, fixedAcidGramsPerLitre: number): Worked {
  const wrong = firstRefusal(volumeFits(litres), outside(fixedAcidGramsPerLitre, 3, 30, 'fixed acid', 'g/L'));
  const byAcid = fixedAcidGramsPerLitre / US_LEAST_FIXED_ACID - 1;
  const byPart = US_MOST_AMELIORATION / (1 - US_MOST_AMELIORATION);
  return wrong ?? litres * Math.max(0, Math.min(byAcid, byPart));
}
