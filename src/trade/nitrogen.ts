/** Nitrogen that yeast can use: what a must has, what it wants, what a nutrient brings, and when to feed it. */
import { broughtShare, findSubstance, milligramsPerMole } from './substances.ts';
import { firstRefusal, outside, refuse, type Worked } from './worked.ts';

const MOST_NITROGEN = 1000;
const AMMONIA_SHARE = milligramsPerMole('N') / milligramsPerMole('NH3');

/** Nitrogen in mg N/L of ammonia given as NH3: × 14.007 / 17.031 (IUPAC abridged atomic weights, 2021). 0 to 1000 mg/L. */
export function nitrogenInAmmonia(ammoniaMilligrams: number): Worked {
  return outside(ammoniaMilligrams, 0, MOST_NITROGEN, 'ammonia', 'mg/L') ?? ammoniaMilligrams * AMMONIA_SHARE;
}

/**
 * Nitrogen that yeast can use, in mg N/L: that of the primary amino acids and that of ammonia, both as nitrogen. Proline
 * is in neither, and yeast leaves it. Each 0 to 1000 mg/L.
 */
export function nitrogenOfMust(aminoNitrogenMilligrams: number, ammoniaNitrogenMilligrams: number): Worked {
  return (
    firstRefusal(
      outside(aminoNitrogenMilligrams, 0, MOST_NITROGEN, 'amino nitrogen', 'mg/L'),
      outside(ammoniaNitrogenMilligrams, 0, MOST_NITROGEN, 'ammonia nitrogen', 'mg/L'),
    ) ?? aminoNitrogenMilligrams + ammoniaNitrogenMilligrams
  );
}

/**
 * Per cent of a pure nutrient's mass that is nitrogen yeast can use, from its formula. A mixed nutrient has no formula
 * and is refused: what it brings is on its label.
 */
export function percentNitrogenOf(nutrient: string): Worked {
  const substance = findSubstance(nutrient);
  if (substance === undefined) return refuse(`no substance of the table is called ${nutrient}`);
  const brought = broughtShare(substance, 'N');
  if (brought !== undefined) return (brought.num / brought.den) * 100;
  return refuse(
    substance.kind === 'nutrient'
      ? `what ${substance.name} brings differs from maker to maker: give the label's per cent of nitrogen, or the label's rate and the nitrogen it says that rate brings`
      : `${substance.name} brings no nitrogen that yeast can use`,
  );
}

/** Urea, the richest of all, has 47 % and no place in wine; the richest salt in use has 21 %. */
const MOST_PERCENT = 25;

/**
 * Per cent of nitrogen that a label means when it says that so much of the nutrient brings so much nitrogen a litre:
 * 30 g/hL for 30 mg N/L is 10 %. Refused above 25 %, which is no yeast nutrient but a slip of units.
 */
export function percentNitrogenOfLabel(nutrientMilligramsPerLitre: number, nitrogenMilligramsPerLitre: number): Worked {
  const refused = firstRefusal(
    outside(nutrientMilligramsPerLitre, 1, 10_000, 'a rate on a label', 'mg/L'),
    outside(nitrogenMilligramsPerLitre, 0.1, MOST_NITROGEN, 'nitrogen on a label', 'mg/L'),
  );
  if (refused !== undefined) return refused;
  const percent = (nitrogenMilligramsPerLitre / nutrientMilligramsPerLitre) * 100;
  return outside(percent, 0, MOST_PERCENT, 'nitrogen in a nutrient', '%') ?? percent;
}

/** Nitrogen in mg N/L that a dose of a nutrient brings: dose × per cent / 100. Nitrogen content up to 25 %. */
export function nitrogenBrought(nutrientMilligramsPerLitre: number, percentNitrogen: number): Worked {
  return (
    firstRefusal(
      outside(nutrientMilligramsPerLitre, 0, 10_000, 'a dose of nutrient', 'mg/L'),
      outside(percentNitrogen, 0.1, MOST_PERCENT, 'nitrogen in a nutrient', '%'),
    ) ?? (nutrientMilligramsPerLitre * percentNitrogen) / 100
  );
}

/** The dose of a nutrient in mg/L that brings so much nitrogen: mg N/L × 100 / per cent. The reverse of `nitrogenBrought`. */
export function nutrientForNitrogen(nitrogenMilligramsPerLitre: number, percentNitrogen: number): Worked {
  return (
    firstRefusal(
      outside(nitrogenMilligramsPerLitre, 0, MOST_NITROGEN, 'nitrogen to add', 'mg/L'),
      outside(percentNitrogen, 0.1, MOST_PERCENT, 'nitrogen in a nutrient', '%'),
    ) ?? (nitrogenMilligramsPerLitre * 100) / percentNitrogen
  );
}

/** How much nitrogen a yeast strain asks for, as its maker's sheet says. */
export const DEMANDS = ['medium', 'low', 'high'] as const;
export type Demand = (typeof DEMANDS)[number];

/** Milligrams of nitrogen a litre for every degree Brix. Common practice: the rule of a supplier's chart, as read. */
const PER_BRIX: Readonly<Record<Demand, number>> = { low: 7.5, medium: 9, high: 12.5 };

/**
 * Nitrogen a must wants at the start, in mg N/L, by the yeast's demand: °Brix × 7.5 (low), 9 (medium), 12.5 (high).
 *
 * For 15 to 30 °Bx. Common practice, no standard: a supplier's chart, so an order of magnitude. A ferment kept below
 * 12 °C is said there to want a fifth more.
 */
export function targetByDemand(brix: number, demand: Demand): Worked {
  return outside(brix, 15, 30, 'sugar', '°Bx') ?? brix * PER_BRIX[demand];
}

/** The taught table's first and last row, and its slope. */
const TAUGHT = { from: 21, to: 27, atFrom: 200, perBrix: 25 } as const;

/**
 * Nitrogen a must wants at the start, in mg N/L, by its sugar alone: 200 at 21 °Bx, 250 at 23, 300 at 25, 350 at 27, and
 * the straight line between. Common practice: often taught, credited to a university course, no print of it read.
 */
export function targetByBrix(brix: number): Worked {
  return outside(brix, TAUGHT.from, TAUGHT.to, 'sugar', '°Bx') ?? TAUGHT.atFrom + (brix - TAUGHT.from) * TAUGHT.perBrix;
}

export interface Feed {
  /** What the hydrometer reads when this feed is due. */
  readonly brix: number;
  /** The part of the whole amount that goes in. */
  readonly share: number;
}

export interface FeedingPlan {
  readonly feeds: readonly Feed[];
  /** Below this reading nothing is fed: half of the sugar is gone. */
  readonly lastBrix: number;
}

/** What a hydrometer reads in dry wine, common practice. */
const DRY_BRIX = -1.5;
/** The part of the sugar that is gone at the last feed, and after which nothing is fed: common practice. */
const LAST_FEED = 1 / 3;
const TOO_LATE = 1 / 2;
export const MOST_FEEDS = 4;

/**
 * When to feed: equal parts, the first when the ferment starts, the last when a third of the sugar is gone, any between
 * at even steps. Nothing after half of it is gone. The reading falls from the start to −1.5 °Bx when the sugar does from
 * all to none, so a third of the sugar is a third of that fall.
 *
 * For 1 to 4 feeds and must of 15 to 30 °Bx. Common practice, no standard; two feeds, at the start and at a third, as a
 * supplier's chart has it.
 */
export function feedingPlan(startBrix: number, feeds: number): Worked<FeedingPlan> {
  const refused = firstRefusal(
    outside(startBrix, 15, 30, 'sugar at the start', '°Bx'),
    outside(feeds, 1, MOST_FEEDS, 'a number of feeds', ''),
  );
  if (refused !== undefined) return refused;
  if (!Number.isInteger(feeds)) return refuse('a number of feeds is a whole number');
  const reading = (gone: number): number => startBrix - gone * (startBrix - DRY_BRIX);
  const step = feeds === 1 ? 0 : LAST_FEED / (feeds - 1);
  return {
    feeds: Array.from({ length: feeds }, (_, index) => ({ brix: reading(index * step), share: 1 / feeds })),
    lastBrix: reading(TOO_LATE),
  };
}

/** What is still to be added to reach a target, in mg N/L; nothing where the must has it already. */
export function nitrogenToAdd(targetMilligrams: number, presentMilligrams: number): Worked {
  const refused = firstRefusal(
    outside(targetMilligrams, 0, MOST_NITROGEN, 'a target of nitrogen', 'mg/L'),
    outside(presentMilligrams, 0, MOST_NITROGEN, 'nitrogen in the must', 'mg/L'),
  );
  return refused ?? Math.max(0, targetMilligrams - presentMilligrams);
}

/** Per cent of nitrogen as the cellar gives it: by the label's per cent, else the label's rate, else the formula. */
export function percentNitrogenGiven(given: {
  readonly nutrient: string;
  readonly percent: number | undefined;
  readonly labelMilligramsPerLitre: number | undefined;
  readonly labelNitrogenMilligramsPerLitre: number | undefined;
}): Worked {
  const { percent, labelMilligramsPerLitre, labelNitrogenMilligramsPerLitre } = given;
  if (percent !== undefined) return outside(percent, 0.1, MOST_PERCENT, 'nitrogen in a nutrient', '%') ?? percent;
  if (labelMilligramsPerLitre === undefined && labelNitrogenMilligramsPerLitre === undefined) {
    return percentNitrogenOf(given.nutrient);
  }
  if (labelMilligramsPerLitre === undefined || labelNitrogenMilligramsPerLitre === undefined) {
    return refuse("a label's rate and the nitrogen it brings belong together: give both");
  }
  return percentNitrogenOfLabel(labelMilligramsPerLitre, labelNitrogenMilligramsPerLitre);
}
