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
   * (sugar added, other wine, another instrument), for three readings or more stand behind it on either side.
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
/** Falls of more °Bx a day are none of a ferment: the trade knows up to 8 in a hot bin (common practice, no source). */
const MOST_BRIX_A_DAY = 10;
/** While nothing has fallen yet, sugar soaks out of skins and raisins and may rise by this many °Bx (common practice). */
const SOAK_BRIX = 3;
/** A must still soaks while it stands within this share of the highest it showed. */
const SOAKING = 0.95;
/** So many odd readings in a row are no slips: something changed. */
const LASTING = 3;

/**
 * The odd ones among readings of one vessel, in the order of time. Readings whose hours or value are not finite are passed
 * over. The largest set of readings that can follow one another is taken as sound, the rest is named.
 *
 * Sugar may rise by 2 √2 times the error of a reading (0.85 °Bx), by 3 °Bx while it still soaks, and fall by 10 °Bx a day
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
  const soaking = scale === undefined ? 0 : soakEnd(order);
  const mayFollow = (before: number, after: number): boolean => {
    const from = order[before] as Reading;
    const to = order[after] as Reading;
    const change = to.value - from.value;
    if (change <= 0) return -change <= play.down(to.hours - from.hours);
    const soak = scale !== undefined && after <= soaking ? SOAK_BRIX * scale.perBrix : 0;
    return change <= Math.max(soak, play.up(to.hours - from.hours));
  };
  const sound = longestChain(order, mayFollow);
  const goesOn = (place: number, end: number): boolean => {
    for (let at = place; at < end; at++) if (!mayFollow(at, at + 1)) return false;
    return scale !== undefined && (order[place] as Reading).value > (order[place - 1] as Reading).value;
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
    // Sugar that rose and went on falling from there was raised, even where later readings happen to fit the earlier ones.
    const raised = end - place > 1 && before !== undefined && after !== undefined && goesOn(place, end);
    if (end - place >= LASTING || raised) {
      // The larger part was taken as sound; the change is where the smaller one begins, or where it ends.
      const at = before === undefined ? after : order[place];
      const from = before ?? order[end - 1];
      if (at !== undefined && from !== undefined) odd.push({ ...at, lasting: true, why: lastingWhy(from, at, play) });
    } else {
      for (const one of order.slice(place, end))
        odd.push({ ...one, lasting: false, why: why(one, before, after, play) });
    }
    place = end;
  }
  return odd;
}

/** The place of the last reading in the order of time before sugar has fallen at all. */
export function soakEnd(order: readonly Reading[]): number {
  let most = Number.NEGATIVE_INFINITY;
  for (const [place, { value }] of order.entries()) {
    if (value < most * SOAKING) return place - 1;
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

/** The places of the largest set in which each reading may follow the one before; of several, the one that moves least. */
function longestChain(order: readonly Reading[], mayFollow: (before: number, after: number) => boolean): Set<number> {
  const best: { count: number; moved: number; before: number }[] = [];
  let end = -1;
  for (const [place, { value }] of order.entries()) {
    let here = { count: 1, moved: 0, before: -1 };
    for (const [earlier, there] of best.entries()) {
      if (!mayFollow(earlier, place)) continue;
      const moved = there.moved + Math.abs(value - (order[earlier] as Reading).value);
      if (there.count + 1 > here.count || (there.count + 1 === here.count && moved < here.moved)) {
        here = { count: there.count + 1, moved, before: earlier };
      }
    }
    best.push(here);
    const last = best[end];
    if (last === undefined || here.count > last.count || (here.count === last.count && here.moved < last.moved))
      end = place;
  }
  const chain = new Set<number>();
  for (let place = end; place >= 0; place = best[place]?.before ?? -1) chain.add(place);
  return chain;
}

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
