/** The loads of fruit by vintage, and what the fruit of a block or a lot gave. */
import type { Book } from '../cellar/book.ts';
import type { Receive } from '../journal/events.ts';
import type { Origin, Settings } from '../journal/register.ts';
import { formatYield } from '../trade/convert.ts';
import { formatScaled } from '../trade/decimal.ts';
import { fruitOutcomes, type Outcome, type OutcomeSum, sumOutcomes, yieldsOf } from './fruit-outcome.ts';
import { Known } from './known.ts';

export interface Load {
  readonly event: Receive;
  readonly origin: Origin | undefined;
}

/** A year, or undefined where the journal does not tell it. */
export type Vintage = number | undefined;

export interface VintageLoads {
  readonly vintage: Vintage;
  /** In the order of time. */
  readonly loads: readonly Load[];
}

const KNOWN = new Known<Book, readonly VintageLoads[]>(loadsByVintage);

/** The loads of each vintage, the newest vintage first, those without one last. */
export function loadsByVintage(book: Book): readonly VintageLoads[] {
  const known = KNOWN.get(book);
  if (known !== undefined) return known;
  const vintages = new Map<Vintage, Load[]>();
  for (const { event } of book.happenings) {
    if (event.kind !== 'receive') continue;
    const origin = book.origins[event.origin];
    const load = { event, origin };
    const already = vintages.get(origin?.vintage);
    if (already === undefined) vintages.set(origin?.vintage, [load]);
    else already.push(load);
  }
  const found = [...vintages]
    .map(([vintage, loads]) => ({ vintage, loads }))
    .sort((a, b) => (b.vintage ?? Number.NEGATIVE_INFINITY) - (a.vintage ?? Number.NEGATIVE_INFINITY));
  KNOWN.set(book, found);
  return found;
}

export const growerOf = (origin: Origin | undefined): string =>
  origin?.estate === true ? 'estate' : (origin?.grower ?? '');

/** Where fruit came from, told without its lot and without its run. */
export function groundOf(origin: Origin | undefined): string {
  return JSON.stringify([
    origin?.block ?? '',
    origin?.variety ?? '',
    origin?.region ?? '',
    growerOf(origin),
    origin?.vintage ?? '',
  ]);
}

const BY_GROUND = new Known<Book, ReadonlyMap<string, readonly Outcome[]>>(outcomesByGround);

function outcomesByGround(book: Book): ReadonlyMap<string, readonly Outcome[]> {
  const known = BY_GROUND.get(book);
  if (known !== undefined) return known;
  const grounds = new Map<string, Outcome[]>();
  for (const outcome of fruitOutcomes(book)) {
    const { kind, origin } = outcome.source;
    if (kind !== 'fruit' || origin === undefined) continue;
    const ground = groundOf(book.origins[origin]);
    const already = grounds.get(ground);
    if (already === undefined) grounds.set(ground, [outcome]);
    else already.push(outcome);
  }
  BY_GROUND.set(book, grounds);
  return grounds;
}

/** What became of the fruit of loads: of all that grew where they grew, in their vintage. */
export function outcomeOf(book: Book, loads: readonly Load[]): OutcomeSum {
  const grounds = new Set(loads.map(({ origin }) => groundOf(origin)));
  const outcomes = outcomesByGround(book);
  return sumOutcomes([...grounds].flatMap((ground) => outcomes.get(ground) ?? []));
}

/** `743 L/t`, or US gallons a short ton; empty where there is none. */
export function perTonneText(perKilogram: number | undefined, settings: Settings): string {
  return perKilogram === undefined ? '' : formatYield(perKilogram, settings.mass === 'lb' ? 'gal/short-ton' : 'L/t');
}

/** Must and wine yield as a page words them; the wine's says why it is not there yet. */
export function yieldTexts(sum: OutcomeSum, settings: Settings): { readonly must: string; readonly wine: string } {
  const { must, wine } = yieldsOf(sum);
  return {
    must: perTonneText(must, settings),
    wine: sum.onSkins > 0 ? 'on its skins' : perTonneText(wine, settings),
  };
}

const MICROGRAMS_A_KILOGRAM = 1_000_000_000;
/** Exact: 907.18474 kg a short ton (NIST Handbook 44, appendix C); 0.40468564 ha an acre, in round figures. */
const KILOGRAMS_A_SHORT_TON = 907.18474;
const HECTARES_AN_ACRE = 0.404_685_64;

/** The crop of an area: `5840 kg/ha`, or short tons an acre where weights are in pounds; empty where no area is declared. */
export function cropText(mass: number, hectares: number | undefined, settings: Settings): string {
  if (hectares === undefined || hectares <= 0) return '';
  const perHectare = mass / MICROGRAMS_A_KILOGRAM / hectares;
  if (settings.mass === 'lb')
    return `${((perHectare / KILOGRAMS_A_SHORT_TON) * HECTARES_AN_ACRE).toFixed(2)} short tons/acre`;
  return `${formatScaled(Math.round(perHectare), 1n, 1n, 0, { grouped: true })} kg/ha`;
}
