/**
 * How a ferment goes, from its readings of sugar and the time alone: not yet moving, moving, slowing, sluggish, stuck, finished.
 *
 * The tests, and where they come from:
 * - sluggish: less than 1 °Bx a day above 1 °Bx, less than 0.5 °Bx a day below; stuck: no change in more than 24 hours (D.
 *   Pambianchi, Modern Home Winemaking, as on the author's page on stuck fermentation; read). In a cool white half of that
 *   is nothing to worry about, and 48 hours are given (common practice, no source): `cool` asks for that.
 * - a slow beginning is a fault of its own, beside a slow end and an abrupt stop (L. F. Bisson & C. E. Butzke, Am. J. Enol.
 *   Vitic. 51 (2000) 168–177; abstract read). A lag of half a day to two days is usual, up to five days without yeast added
 *   (common practice, no source): after five days it counts as sluggish.
 * - less than 0.1 % of sugar is left of a ferment that ends well (L. F. Bisson, Stuck and sluggish fermentations; summary
 *   read). A hydrometer does not show that: at −1.0 °Bx or below it counts as finished, and a test of glucose and fructose
 *   decides.
 *
 * All rates are compared with the error of reading in mind: a ferment is called sluggish only where its rate is below the
 * bound by more than its own standard error.
 */
import { type OddReading, oddReadings, type Reading, soakEnd } from './fit/odd-readings.ts';
import {
  fromBrix,
  type SugarScale,
  type SugarScaleKey,
  sugarChangeText,
  sugarScale,
  sugarText,
} from './fit/sugar-scales.ts';
import { refuse, type Worked } from './worked.ts';

export type PaceState = 'not yet moving' | 'moving' | 'slowing' | 'sluggish' | 'stuck' | 'finished';

export interface Pace {
  readonly state: PaceState;
  /** The reason in words and numbers, without a full stop. */
  readonly why: string;
  /** The newest sound reading, and the hours from it until now. */
  readonly newest: Reading;
  readonly hoursSince: number;
  /** How far it fell from the highest reading, in the unit of the scale. */
  readonly fallen: number;
  /** The fall a day over the last two days of readings, and its standard error; absent where one reading is all there is. */
  readonly perDay?: number;
  readonly standardError?: number;
  /** Readings passed over, and why. */
  readonly odd: readonly OddReading[];
}

export interface PaceOptions {
  /** A white that ferments cool (below about 16 °C): slower is usual, and a stand is given two days. */
  readonly cool?: boolean;
}

const SLUGGISH_BRIX_A_DAY = 1;
const LATE_SLUGGISH_BRIX_A_DAY = 0.5;
/** Below this reading, in °Bx, the lower bound holds. */
const LATE_BRIX = 1;
/** Below this one, in °Bx, a stand may be dryness already: what a hydrometer shows of the last sugar is lost in its error. */
const NEAR_DRY_BRIX = 0;
const STUCK_HOURS = 24;
const COOL_STUCK_HOURS = 48;
/** The rate is taken over the readings of so many hours, or over more where they hold too few. */
const WINDOW_HOURS = 48;
/** Two readings nearer than this tell no rate: a fall of 1 °Bx a day would be lost in their errors. */
const LEAST_SPAN_HOURS = 20;
/** Sugar has begun to fall once this many °Bx are gone. */
const BEGUN_BRIX = 1;
const USUAL_LAG_HOURS = 48;
const LONGEST_LAG_HOURS = 120;
/** While less than this share is gone and the first days are not over, a ferment is only getting going. */
const GETTING_GOING = 0.1;
/** Slowing: below this share of the fastest it went. */
const SLOWING = 0.5;
/** Readings older than this many hours say little of today. */
const STALE_HOURS = 48;

/**
 * How the ferment of one vessel goes at the hour `now`, on the clock of the readings.
 *
 * Slips against their neighbours are passed over; after a lasting change (sugar added, other wine) only what came later
 * counts. Refused where there is no reading, or the scale measures no sugar.
 */
export function paceOf(
  readings: readonly Reading[],
  scaleKey: SugarScaleKey,
  now: number,
  options: PaceOptions = {},
): Worked<Pace> {
  const scale = sugarScale(scaleKey);
  if (scale === undefined) return refuse(`${scaleKey} is no scale of sugar`);
  const odd = oddReadings(readings, scale.key);
  const passed = new Set(odd.filter(({ lasting }) => !lasting).map(({ index }) => index));
  const changed = odd.findLast(({ lasting }) => lasting)?.hours ?? Number.NEGATIVE_INFINITY;
  const order = readings
    .filter((reading, index) => Number.isFinite(reading.hours) && Number.isFinite(reading.value) && !passed.has(index))
    .filter(({ hours }) => hours >= changed)
    .sort((a, b) => a.hours - b.hours);
  const newest = order.at(-1);
  if (newest === undefined) return refuse('there is no reading of sugar');
  const recent = recentRate(order, scale);
  const highest = Math.max(...order.slice(0, soakEnd(order, scale) + 1).map(({ value }) => value));
  const fallen = Math.max(0, highest - newest.value);
  const [state, because] = judge({ order, newest, highest, fallen, recent, scale, cool: options.cool === true });
  const hoursSince = Math.max(0, now - newest.hours);
  const stale = hoursSince > STALE_HOURS ? `; last read ${daysText(hoursSince)} ago, read it again` : '';
  return {
    state,
    why: because + stale,
    newest: { hours: newest.hours, value: newest.value },
    hoursSince,
    fallen,
    ...(recent === undefined ? {} : { perDay: recent.perDay, standardError: recent.standardError }),
    odd,
  };
}

interface Recent {
  readonly perDay: number;
  readonly standardError: number;
  /** The hours it was taken over. */
  readonly span: number;
}

interface Looked {
  readonly order: readonly Reading[];
  readonly newest: Reading;
  readonly highest: number;
  readonly fallen: number;
  readonly recent: Recent | undefined;
  readonly scale: SugarScale;
  readonly cool: boolean;
}

function judge(looked: Looked): [PaceState, string] {
  const { order, newest, highest, fallen, recent, scale, cool } = looked;
  const value = sugarText(newest.value, scale);
  if (newest.value <= scale.finished) {
    return ['finished', `${value}, which counts as dry; glucose and fructose decide`];
  }
  const since = newest.hours - (order[0] as Reading).hours;
  if (order.length === 1) return ['not yet moving', `${value} is the only reading`];
  if (fallen < BEGUN_BRIX * scale.perBrix) return notMoving(since, fallen, value, scale);
  if (recent === undefined) return ['moving', `${value}, fallen by ${sugarChangeText(fallen, scale)} in all`];
  const { perDay, standardError, span } = recent;
  const rate = `${sugarChangeText(perDay, scale)} a day (± ${sugarChangeText(standardError, scale)}) over ${daysText(span)}`;
  const patience = cool ? COOL_STUCK_HOURS : STUCK_HOURS;
  // No change: over the readings looked at, less than the error of one of them.
  if (span >= patience && (perDay * span) / 24 <= scale.error) {
    return newest.value <= fromBrix(NEAR_DRY_BRIX, scale)
      ? ['slowing', `stands at ${value}, which may be dry already: measure glucose and fructose`]
      : ['stuck', `stands at ${value}: ${rate}, no more than the error of a reading`];
  }
  const gone = fallen / (highest - scale.dry);
  if (gone < GETTING_GOING && since < LONGEST_LAG_HOURS) return ['moving', `has begun: ${value}, falling ${rate}`];
  const late = newest.value < fromBrix(LATE_BRIX, scale);
  const bound = (late ? LATE_SLUGGISH_BRIX_A_DAY : SLUGGISH_BRIX_A_DAY) * scale.perBrix * (cool ? 0.5 : 1);
  if (perDay + standardError < bound) {
    return ['sluggish', `falls by ${rate} at ${value}, where less than ${sugarChangeText(bound, scale)} is slow`];
  }
  const fastest = fastestRate(order);
  if (perDay < SLOWING * fastest) {
    return ['slowing', `falls by ${rate} at ${value}, after ${sugarChangeText(fastest, scale)} a day at its fastest`];
  }
  return ['moving', `falls by ${rate}, now ${value}`];
}

function notMoving(since: number, fallen: number, value: string, scale: SugarScale): [PaceState, string] {
  const so = `${value}, fallen by ${sugarChangeText(fallen, scale)} in ${daysText(since)} of readings`;
  if (since > LONGEST_LAG_HOURS) return ['sluggish', `${so}: longer than a ferment takes to begin`];
  if (since > USUAL_LAG_HOURS) return ['not yet moving', `${so}: more than the usual lag of half a day to two days`];
  return ['not yet moving', so];
}

/** The straight line through the readings of the last two days, or the last two that lie far enough apart. */
function recentRate(order: readonly Reading[], scale: SugarScale): Recent | undefined {
  const newest = order.at(-1);
  if (newest === undefined) return undefined;
  let first = order.findIndex(({ hours }) => hours >= newest.hours - WINDOW_HOURS);
  while (first > 0 && newest.hours - (order[first] as Reading).hours < LEAST_SPAN_HOURS) first--;
  const window = order.slice(first);
  const span = newest.hours - (window[0] as Reading).hours;
  if (span < LEAST_SPAN_HOURS) return undefined;
  const meanHours = window.reduce((sum, { hours }) => sum + hours, 0) / window.length;
  const meanValue = window.reduce((sum, { value }) => sum + value, 0) / window.length;
  let squares = 0;
  let products = 0;
  for (const { hours, value } of window) {
    squares += (hours - meanHours) ** 2;
    products += (hours - meanHours) * (value - meanValue);
  }
  return { perDay: (-24 * products) / squares, standardError: (24 * scale.error) / Math.sqrt(squares), span };
}

/** The fastest fall a day between two readings about a day apart. */
function fastestRate(order: readonly Reading[]): number {
  let fastest = 0;
  for (const [place, to] of order.entries()) {
    const from = order.slice(0, place).findLast(({ hours }) => to.hours - hours >= LEAST_SPAN_HOURS);
    if (from !== undefined) fastest = Math.max(fastest, (24 * (from.value - to.value)) / (to.hours - from.hours));
  }
  return fastest;
}

/** The rate between two readings, a day: how much the first exceeds the second. */
export function ratePerDay(before: number, after: number, hours: number): Worked {
  if (!(Number.isFinite(before) && Number.isFinite(after))) return refuse('both readings have to be numbers');
  if (!(hours >= 1 && hours <= 24 * 60)) return refuse('between two readings lie from an hour to sixty days');
  return (24 * (before - after)) / hours;
}

function daysText(hours: number): string {
  const days = (hours / 24).toFixed(1);
  return `${days} ${days === '1.0' ? 'day' : 'days'}`;
}
