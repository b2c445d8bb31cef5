/** Names the readings of one vessel that cannot be, beside their neighbours: a slip of the pen, another vessel, another unit. */
import { type SugarScale, sugarChangeText, sugarScale, sugarText } from './sugar-scales.ts';

/** One reading: hours since any fixed time, and the value on its scale. */
export interface Reading {
  readonly hours: number;
  readonly value: number;
}

export interface OddReading extends Reading {
  /** Its place among the readings given. */
  readonly index: number;
  /** Why it is odd, in words and numbers. */
  readonly why: string;
  /**
   * False: this one reading is off, its neighbours agree without it. True: at this reading the vessel changed for good
   * (sugar added, other wine, another instrument), for several readings stand behind it on either side.
   */
  readonly lasting: boolean;
}

/** What is read: a scale of sugar, or one of the two others a ferment is watched by. */
export type OddKind = SugarScale['key'] | 'temp' | 'pH';

/** By how much a reading may stand above and below one taken so many hours before. */
interface Play {
  readonly up: (hours: number) => number;
  readonly down: (hours: number) => number;
  readonly say: (value: number) => string;
  readonly change: (value: number) => string;
  readonly because: string;
}

/** Two readings of the same wine differ by more than this many times the deviation of one in about one case of twenty: 2 √2. */
export const SURE = 2 * Math.SQRT2;
/**
 * Falls of more °Bx a day are none of a ferment: a hot bin does 8 (common practice, no source), and the quickest published
 * ferment that was read 18 (162 g/L a day: Valle et al. 2024, agave juice at 28 °C).
 */
const MOST_BRIX_A_DAY = 20;
/** While nothing has fallen yet, sugar soaks out of skins and raisins and may rise by this many °Bx (common practice). */
const SOAK_BRIX = 3;
/** A must still soaks until this share of what it showed at its highest is gone. */
const GONE = 0.05;
/** So many odd readings in a row are no slips: something changed. Of sugar two are enough where they go on from a side. */
const LASTING = 3;
const LASTING_SUGAR = 2;

/**
 * The odd ones among readings of one vessel, in the order of time. Readings whose hours or value are not finite are passed
 * over. The largest set of readings that can follow one another is taken as sound, the rest is named.
 *
 * Sugar may rise by 2 √2 times the error of a reading (0.85 °Bx), by 3 °Bx while it still soaks, and fall by 20 °Bx a day
 * more; a temperature may move by 4 °C and 0.25 °C an hour more; a pH by 0.4 and 0.02 a day more. These bounds are common
 * practice, no source. That a figure is outside what can be at all is another test (`plausible` of the analytes).
 */
export function oddReadings(readings: readonly Reading[], kind: OddKind): OddReading[] {
  const order = readings
    .map((reading, index) => ({ ...reading, index }))
    .filter(({ hours, value }) => Number.isFinite(hours) && Number.isFinite(value))
    .sort((a, b) => a.hours - b.hours || a.index - b.index);
  const scale = sugarScale(kind);
  const play = scale === undefined ? PLAYS[kind as 'temp' | 'pH'] : playOfSugar(scale);
  const soaking = scale === undefined ? 0 : soakEnd(order, scale);
  const mayFollow = (before: number, after: number): boolean => {
    const from = order[before] as Reading;
    const to = order[after] as Reading;
    const change = to.value - from.value;
    if (change <= 0) return -change <= play.down(to.hours - from.hours);
    const soak = scale !== undefined && after <= soaking ? SOAK_BRIX * scale.perBrix : 0;
    return change <= Math.max(soak, play.up(to.hours - from.hours));
  };
  const sound = longestChain(order, mayFollow);
  /** Whether each reading from one place to another may follow the one before it. */
  const joins = (from: number, to: number): boolean => {
    for (let at = from; at < to; at++) if (!mayFollow(at, at + 1)) return false;
    return from >= 0 && to < order.length;
  };
  /** Where the vessel changed for good, if a run of odd readings tells of that: at its beginning, or behind its end. */
  const changeAt = (place: number, end: number): number | undefined => {
    const alike = scale === undefined ? LASTING : LASTING_SUGAR;
    if (end - place < alike) return undefined;
    if (end < order.length && joins(Math.max(0, place - 1), end - 1)) return end;
    if (place > 0 && joins(place, Math.min(end, order.length - 1))) return place;
    if (end - place < LASTING) return undefined;
    return place === 0 ? end : place;
  };
  const odd: OddReading[] = [];
  for (let place = 0; place < order.length; ) {
    if (sound.has(place)) {
      place++;
      continue;
    }
    let end = place;
    while (end < order.length && !sound.has(end)) end++;
    const before = order[place - 1];
    const after = order[end];
    const at = changeAt(place, end);
    const [from, to] = at === undefined ? [] : [order[at - 1], order[at]];
    if (from !== undefined && to !== undefined) {
      odd.push({ ...to, lasting: true, why: lastingWhy(from, to, play) });
    } else {
      for (const one of order.slice(place, end))
        odd.push({ ...one, lasting: false, why: why(one, before, after, play) });
    }
    place = end;
  }
  return odd;
}

/** The place of the last reading in the order of time before sugar has fallen at all. */
export function soakEnd(order: readonly Reading[], { dry }: SugarScale): number {
  let most = Number.NEGATIVE_INFINITY;
  for (const [place, { value }] of order.entries()) {
    if (most - value > GONE * (most - dry)) return place - 1;
    most = Math.max(most, value);
  }
  return order.length - 1;
}

function playOfSugar(scale: SugarScale): Play {
  const slack = SURE * scale.error;
  return {
    up: () => slack,
    down: (hours) => slack + (MOST_BRIX_A_DAY * scale.perBrix * hours) / 24,
    say: (value) => sugarText(value, scale),
    change: (value) => sugarChangeText(value, scale),
    because: `sugar does not rise in a ferment, nor fall by more than ${sugarChangeText(MOST_BRIX_A_DAY * scale.perBrix, scale)} a day`,
  };
}

const steady = (most: number, anHour: number, decimals: number, unit: string, because: string): Play => {
  const within = (hours: number): number => most + anHour * hours;
  const say = (value: number): string => `${value.toFixed(decimals)}${unit}`;
  return { up: within, down: within, say, change: say, because };
};

const PLAYS: Readonly<Record<'temp' | 'pH', Play>> = {
  temp: steady(4, 0.25, 1, ' °C', 'a vessel warms and cools more slowly'),
  pH: steady(0.4, 0.02 / 24, 2, '', 'pH moves by tenths'),
};

/** The places of the largest set in which each reading may follow the one before; of several, the smoothest. */
function longestChain(order: readonly Reading[], mayFollow: (before: number, after: number) => boolean): Set<number> {
  const best: Chain[] = [];
  let end = -1;
  for (const [place, to] of order.entries()) {
    let here: Chain = { count: 1, bends: 0, before: -1 };
    for (const [earlier, there] of best.entries()) {
      if (!mayFollow(earlier, place)) continue;
      const from = order[earlier] as Reading;
      // Squares of changes over their time: the same fall bends least where it is spread evenly.
      const bends = there.bends + (to.value - from.value) ** 2 / Math.max(1, to.hours - from.hours);
      const through = { count: there.count + 1, bends, before: earlier };
      if (isBetter(through, here)) here = through;
    }
    best.push(here);
    const last = best[end];
    if (last === undefined || isBetter(here, last)) end = place;
  }
  const chain = new Set<number>();
  for (let place = end; place >= 0; place = best[place]?.before ?? -1) chain.add(place);
  return chain;
}

/** A chain up to one reading: how many it holds, how much it bends, and the place before its last. */
interface Chain {
  readonly count: number;
  readonly bends: number;
  readonly before: number;
}

const isBetter = (a: Chain, b: Chain): boolean => a.count > b.count || (a.count === b.count && a.bends < b.bends);

function why(one: Reading, before: Reading | undefined, after: Reading | undefined, play: Play): string {
  const beside = (other: Reading | undefined, when: string): string => {
    if (other === undefined) return '';
    const off = one.value - other.value;
    return `${play.change(Math.abs(off))} ${off > 0 ? 'above' : 'below'} the one ${when} (${play.say(other.value)})`;
  };
  const parts = [beside(before, 'before'), beside(after, 'after')].filter((part) => part !== '').join(' and ');
  const alone = before === undefined || after === undefined ? '; which of the two is wrong, a next reading tells' : '';
  return `${play.say(one.value)} is ${parts}: ${play.because}${alone}`;
}

function lastingWhy(from: Reading, at: Reading, play: Play): string {
  return `${play.say(at.value)} after ${play.say(from.value)}, and it stayed so: ${play.because}; something was added, another wine came in, or another instrument was used`;
}
