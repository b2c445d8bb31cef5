/** What ferments now, or is about to: for each vessel its sugar on one scale, how it goes, and when it is foretold to be dry. */
import { findAnalyte } from '../../grammar/analytes.ts';
import type { Happening, LotRecord, VesselRecord } from '../cellar/book.ts';
import type { LotId, Measure, Minute, Place, VesselId } from '../journal/events.ts';
import { convertDensity, type DensityScale } from '../trade/density-reading.ts';
import { type Pace, paceOf } from '../trade/ferment-pace.ts';
import { type SugarScaleKey, sugarScale, sugarText } from '../trade/fit/sugar-scales.ts';
import { isRefused } from '../trade/worked.ts';
import type { CurvePoint } from './charted.ts';
import { happeningsOf, lotOf, type ReportContext } from './context.ts';
import { dayOf, MINUTES_A_DAY, shortDayText } from './dates.ts';
import { isFermenting } from './ferment.ts';
import { forecastsOf, NEAR_DRY, type VesselForecast } from './forecast.ts';
import { grouped } from './grouped.ts';
import { Known } from './known.ts';
import { type ReadingTaken, readingsIn } from './readings.ts';

/** A figure that was read, and the line it stands in. */
export interface Read {
  readonly minute: Minute;
  readonly value: number;
  readonly place: Place;
}

export interface ActiveFerment {
  readonly vessel: VesselRecord;
  readonly lot: LotRecord;
  /** What was done in the vessel since the wine, under whatever name, came into it. */
  readonly happenings: readonly Happening[];
  /** The one scale that all active ferments of the book are told on. */
  readonly scale: SugarScaleKey;
  /** In the order of time; readings on another scale are converted. */
  readonly sugar: readonly Read[];
  /** Whether some readings were taken on another scale. */
  readonly converted: boolean;
  readonly temperature: readonly Read[];
  /** How it goes; absent where sugar was never read. */
  readonly pace: Pace | undefined;
  /** Absent where it is dry already, or where nobody read it for days: what it does now, nobody knows. */
  readonly forecast: VesselForecast | undefined;
  /** The line of its newest reading answers for how slow it is: `sic`. */
  readonly answered: boolean;
  /**
   * The fall a day now, in the unit of the scale: from the curve or the last two days, whichever is surer; of a slow one from
   * the days it is called slow by, for a curve that levels off is surer of nothing than it should be.
   */
  readonly rate: Rate | undefined;
}

export interface Rate {
  readonly perDay: number;
  readonly standardError: number;
}

/** Scales on which the sugar of a must is read, in the order they win where several are in use equally often. */
const SCALES: readonly (DensityScale & SugarScaleKey)[] = ['brix', 'SG', 'density', 'oechsle', 'baume', 'plato'];

const isScale = (analyte: string): analyte is DensityScale & SugarScaleKey =>
  (SCALES as readonly string[]).includes(analyte);

/** A white must below this ferments cool: it is slow by intent (common practice, no source). */
const COOL_CELSIUS = 16;

const KNOWN = new Known<ReportContext, readonly ActiveFerment[]>(activeFerments);

/** Every vessel whose wine ferments or is about to; those that want looking at first, then the one that is dry last. */
export function activeFerments(context: ReportContext): readonly ActiveFerment[] {
  const known = KNOWN.get(context);
  if (known !== undefined) return known;
  const found = gather(context);
  KNOWN.set(context, found);
  return found;
}

const BY_LOT = new Known<ReportContext, ReadonlyMap<LotId, readonly ActiveFerment[]>>(activeByLot);

function activeByLot(context: ReportContext): ReadonlyMap<LotId, readonly ActiveFerment[]> {
  const known = BY_LOT.get(context);
  if (known !== undefined) return known;
  const lots = grouped(activeFerments(context), ({ lot }) => lot.facts.id);
  BY_LOT.set(context, lots);
  return lots;
}

/** Those of one lot, in the same order. */
export const activeFermentsOf = (context: ReportContext, lot: LotId): readonly ActiveFerment[] =>
  activeByLot(context).get(lot) ?? [];

interface Gathered {
  readonly vessel: VesselRecord;
  readonly lot: LotRecord;
  readonly happenings: readonly Happening[];
  readonly readings: readonly ReadingTaken[];
}

function gather(context: ReportContext): readonly ActiveFerment[] {
  const gathered = context.book.vessels.flatMap((vessel): Gathered[] => {
    const lot = lotOf(context, vessel.lot);
    if (lot === undefined || vessel.content.volume === 0 || !isFermenting(context, vessel.lot)) return [];
    const stays = staysOf(context, vessel);
    return [
      {
        vessel,
        lot,
        happenings: stays.filter((stay) => stay.vessel === vessel).flatMap((stay) => stay.happenings),
        readings: stays.flatMap((stay) => ofVessel(stay.vessel, readingsIn(stay.happenings))),
      },
    ];
  });
  const scale = commonest(gathered);
  const now = nowOf(context);
  return gathered.map((one) => fermentOf(context, one, scale, now)).sort(slowestFirst);
}

interface Stay {
  readonly vessel: VesselRecord;
  readonly happenings: readonly Happening[];
}

/** A ferment is moved once or twice at most; a record that goes round in a circle ends here. */
const MOST_STAYS = 6;

/**
 * Where the wine of a vessel lay since it was must, the oldest stay first: a lot that was set apart or named anew where it
 * lay, and wine that came from one other vessel, go on with the ferment they had.
 */
function staysOf(context: ReportContext, last: VesselRecord): Stay[] {
  const stays: Stay[] = [];
  let vessel = last;
  let until = Number.POSITIVE_INFINITY;
  for (let turn = 0; turn < MOST_STAYS; turn += 1) {
    const fill = vessel.fills.findLast(({ from }) => from < until);
    const from = fill?.from ?? Number.NEGATIVE_INFINITY;
    const all = happeningsOf(context, vessel.happenings);
    stays.unshift({ vessel, happenings: all.filter(({ event }) => event.minute >= from && event.minute < until) });
    const before = cameFrom(vessel, all, from);
    const source = before === undefined ? undefined : context.book.vessels[before];
    if (source === undefined) break;
    vessel = source;
    until = from;
  }
  return stays;
}

/** The one vessel that what a vessel held from a minute on came from: itself, where it was only named anew. */
function cameFrom(vessel: VesselRecord, happenings: readonly Happening[], minute: Minute): VesselId | undefined {
  const { id } = vessel.facts;
  const sources = new Set<VesselId | undefined>();
  for (const { event, movements } of happenings) {
    if (event.minute !== minute) continue;
    for (const movement of movements) {
      if (movement.kind === 'renamed' && movement.vessel === id) sources.add(id);
      else if (movement.kind === 'across' && movement.to === id) sources.add(movement.from);
      else if (movement.kind === 'in' && movement.vessel === id && movement.how !== 'liquid') sources.add(undefined);
    }
  }
  const [only] = sources;
  return sources.size === 1 ? only : undefined;
}

/** The moment the book tells of: its last entry, or the end of its day where the record ends before that. */
export function nowOf({ book }: ReportContext): Minute {
  const last = book.happenings.reduce((latest, { event }) => Math.max(latest, event.minute), 0);
  return dayOf(last) === book.on ? last : (book.on + 1) * MINUTES_A_DAY;
}

/** Readings of the vessel itself; of the lot where it lies in this vessel alone, or where the vessel was never read by name. */
function ofVessel(vessel: VesselRecord, readings: readonly ReadingTaken[]): readonly ReadingTaken[] {
  const { id } = vessel.facts;
  const own = readings.filter(
    ({ event, vessels }) =>
      vessels.length === 1 || event.targets.some((target) => target.kind === 'vessel' && target.vessel === id),
  );
  return own.length === 0 ? readings : own;
}

const usable = ({ mark, value }: Measure): boolean => (mark === '' || mark === '~') && Number.isFinite(value);

function commonest(gathered: readonly Gathered[]): DensityScale & SugarScaleKey {
  const counts = new Map<string, number>();
  for (const { readings } of gathered) {
    for (const { event } of readings) {
      for (const { analyte } of event.measures) counts.set(analyte, (counts.get(analyte) ?? 0) + 1);
    }
  }
  const count = (scale: string): number => counts.get(scale) ?? 0;
  return SCALES.reduce((best, scale) => (count(scale) > count(best) ? scale : best), 'brix');
}

function fermentOf(
  context: ReportContext,
  { vessel, lot, happenings, readings }: Gathered,
  scale: DensityScale & SugarScaleKey,
  now: Minute,
): ActiveFerment {
  const sugar: Read[] = [];
  const temperature: Read[] = [];
  let converted = false;
  let answered = false;
  for (const { event, minute } of readings) {
    for (const measure of event.measures) {
      if (!usable(measure)) continue;
      const { analyte, value } = measure;
      if (analyte === 'temp') temperature.push({ minute, value, place: event.place });
      if (!isScale(analyte)) continue;
      const on = analyte === scale ? value : convertedTo(scale, analyte, value);
      if (on === undefined) continue;
      if (analyte !== scale) converted = true;
      sugar.push({ minute, value: on, place: event.place });
      answered = event.sic;
    }
  }
  const origin = sugar[0]?.minute ?? 0;
  const warmth = temperature.at(-1)?.value ?? Number.POSITIVE_INFINITY;
  const pace = paceOf(
    sugar.map(({ minute, value }) => ({ hours: (minute - origin) / 60, value })),
    scale,
    (now - origin) / 60,
    { cool: lot.colour !== 'red' && warmth < COOL_CELSIUS },
  );
  const [forecast] = forecastsOf([{ name: vessel.facts.name, points: pointsOf(sugar) }], scale, context.book.on);
  const known = isRefused(pace) ? undefined : pace;
  return {
    vessel,
    lot,
    happenings,
    scale,
    sugar,
    converted,
    temperature,
    pace: known,
    forecast,
    answered,
    rate: known !== undefined && isSlow(known) ? surer(known) : surer(forecast, known),
  };
}

const isSlow = ({ state }: Pace): boolean => state === 'stuck' || state === 'sluggish';

/** A curve through many readings tells the rate better than two days do; through few it tells next to nothing. */
function surer(
  ...ways: readonly ({ readonly [K in keyof Rate]?: number | undefined } | undefined)[]
): Rate | undefined {
  const told = ways.flatMap((way): Rate[] =>
    way?.perDay === undefined || way.standardError === undefined
      ? []
      : [{ perDay: way.perDay, standardError: way.standardError }],
  );
  return told.reduce<Rate | undefined>(
    (best, way) => (best === undefined || way.standardError < best.standardError ? way : best),
    undefined,
  );
}

function convertedTo(scale: DensityScale, from: DensityScale, value: number): number | undefined {
  const worked = convertDensity(value, from, scale);
  return isRefused(worked) ? undefined : worked.value;
}

/** A ferment's readings as a chart takes them. */
export function pointsOf(sugar: readonly Read[]): CurvePoint[] {
  return sugar.map(({ minute, value }) => ({ minute, value }));
}

/** What stands still comes before what is slow, and what nobody has read before all that goes as it should. */
const GRAVITY: Readonly<Record<Pace['state'], number>> = {
  stuck: 0,
  sluggish: 1,
  moving: 3,
  slowing: 3,
  'not yet moving': 4,
  finished: 5,
};

const gravityOf = ({ pace }: ActiveFerment): number => (pace === undefined ? 2 : GRAVITY[pace.state]);

/** Of those that go as they should the one that will be dry last comes first; of which no day is known, the sweetest. */
function slowestFirst(a: ActiveFerment, b: ActiveFerment): number {
  const dry = (one: ActiveFerment): number => one.forecast?.dryAt ?? Number.MAX_SAFE_INTEGER;
  const sweet = (one: ActiveFerment): number => one.sugar.at(-1)?.value ?? 0;
  return gravityOf(a) - gravityOf(b) || dry(b) - dry(a) || sweet(b) - sweet(a) || a.vessel.facts.id - b.vessel.facts.id;
}

/** How it goes in a word or three; one reading alone says nothing of that. */
export function stateSaid({ pace, sugar }: ActiveFerment): string {
  if (pace === undefined) return 'not read';
  return sugar.length === 1 && pace.state === 'not yet moving' ? 'read once' : pace.state;
}

/** When it is foretold to be dry; of one that stands still no curve that goes on falling tells that. */
export function dryAt({ pace, forecast }: ActiveFerment): Minute | undefined {
  return pace?.state === 'stuck' ? undefined : forecast?.dryAt;
}

/** The day it is foretold to be dry, in short; why none is named is told elsewhere. */
export function drySoon(ferment: ActiveFerment): string {
  const { pace, forecast } = ferment;
  if (pace?.state === 'finished') return 'reads dry';
  if (pace?.state === 'stuck') return 'stands still';
  if (forecast === undefined) return '';
  const minute = dryAt(ferment);
  if (minute !== undefined) return `dry about ${shortDayText(dayOf(minute))}`;
  const reason = forecast.dry.split(':')[0] ?? '';
  return /^(?:too early|about there)/u.test(reason) ? reason : 'no day named';
}

/** Ferments somebody should look at: they stand, they crawl, or nobody has read them for so many hours. */
const STALE_HOURS = 36;

export function wantsLooking({ pace, answered }: ActiveFerment): boolean {
  if (pace === undefined) return false;
  return (!answered && isSlow(pace)) || isStale(pace);
}

const isStale = ({ state, hoursSince }: Pace): boolean => state !== 'finished' && hoursSince > STALE_HOURS;

/** `0.2 °Bx`, as people read it on the scale. */
export function sugarSaid(value: number, scale: SugarScaleKey): string {
  const known = sugarScale(scale);
  return (known === undefined ? String(value) : sugarText(value, known)).replace('-', '−').replaceAll(' ', '\u00A0');
}

/** `1.3 ± 0.4 °Bx a day`: the rate with twice its standard error; what has not begun to fall has none. */
export function rateSaid({ rate, scale, pace }: ActiveFerment): string {
  if (rate === undefined || pace?.state === 'not yet moving') return '';
  const decimals = scale === 'SG' ? 4 : 1;
  const figure = `${rate.perDay.toFixed(decimals)} ± ${(2 * rate.standardError).toFixed(decimals)}`;
  return `${figure.replace(/^-/u, '−')} ${sugarUnit(scale)} a day`
    .replaceAll(' ', '\u00A0')
    .replace(/\u00A0a\u00A0day$/u, ' a\u00A0day');
}

/** What counts as dry where a day is foretold: `0 °Bx`. */
export function drySaid(scale: SugarScaleKey): string {
  const unit = sugarUnit(scale);
  const level = NEAR_DRY[scale];
  return scale === 'SG' ? `SG ${level.toFixed(4)}` : `${level} ${unit}`;
}

/** The unit of a scale as charts write it. */
export function sugarUnit(scale: SugarScaleKey): string {
  return findAnalyte(scale)?.unit ?? scale;
}
