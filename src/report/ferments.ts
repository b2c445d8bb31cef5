/** The ferments side by side: every vessel that ferments, the slowest first, with its forecast; those lately finished below. */
import type { Happening, LotRecord } from '../cellar/book.ts';
import type { LotId, Minute } from '../journal/events.ts';
import {
  type ActiveFerment,
  activeFerments,
  dryAt,
  drySaid,
  drySoon,
  pointsOf,
  type Read,
  rateSaid,
  stateSaid,
  sugarSaid,
  sugarUnit,
} from './active-ferments.ts';
import { capDoneIn, capWorkOn, lastCapWork } from './cap-work.ts';
import { CAUTIONS, type Caution } from './cautions.ts';
import type { Ferments, ForecastPoint } from './charted.ts';
import { type Figure, figureAt, happeningsOf, type ReportContext, vesselNames } from './context.ts';
import { dayOf, daySpanText, dayText, MINUTES_A_DAY, shortDayText, timeText } from './dates.ts';
import { analyteUnit, valueText, withUnit } from './figures.ts';
import { type Span, sentenceOf } from './finding-list.ts';
import { NEAR_DRY } from './forecast.ts';
import type { Link } from './links.ts';
import { capital, counted, nameList } from './names.ts';
import { readingsIn } from './readings.ts';

export interface FermentRow {
  readonly vessel: Link;
  readonly lot: Link;
  readonly state: string;
  readonly grave: boolean;
  readonly sugar: Figure;
  readonly sugarAt: string;
  readonly rate: string;
  readonly dry: string;
  readonly warmth: Figure;
  readonly yesterday: string;
  readonly today: string;
  readonly last: Figure;
  /** Days since the wine came into the vessel. */
  readonly age: number;
  /** Why it is called what it is called, and what else a reader of its forecast has to know. */
  readonly remarks: readonly (readonly Span[])[];
}

export interface FinishedRow {
  readonly lot: Link;
  readonly where: string;
  readonly from: Figure;
  readonly until: Figure;
  readonly days: number;
  readonly highest: Figure;
  readonly last: Figure;
  readonly warmest: Figure;
  readonly capWork: string;
}

export interface FermentsModel {
  readonly path: string;
  readonly lead: string;
  readonly cautions: readonly Caution[];
  readonly chart: Ferments | undefined;
  /** Ferments the chart has no room for: the table has all. */
  readonly undrawn: number;
  readonly rows: readonly FermentRow[];
  /** Vessels beyond those of the table, which goes by what wants looking at, and the lots whose pages tell them. */
  readonly further: { readonly count: number; readonly lots: readonly Link[] };
  /** What a day of dryness means here, and what the figures behind ± are. */
  readonly method: string;
  readonly finished: readonly FinishedRow[];
  readonly finishedSince: string;
}

/** Panels of one drawing: more would make a page too heavy for a phone. */
const MOST_PANELS = 16;
/** Rows of one table, for the same reason. */
const MOST_ROWS = 60;
/** Points of a forecast that a panel of this size can show. */
const MOST_POINTS = 9;
/** Ferments that ended within so many days are told. */
const LATELY = 45;
const MOST_FINISHED = 40;

export function fermentsModel(context: ReportContext): FermentsModel {
  const ferments = activeFerments(context);
  const scale = ferments[0]?.scale ?? 'brix';
  const read = ferments.filter(({ sugar }) => sugar.length > 0);
  const drawn = read.slice(0, MOST_PANELS);
  const converted = ferments.filter((ferment) => ferment.converted).map(({ vessel }) => vessel.facts.name);
  const finished = finishedOf(context);
  return {
    path: 'ferments.html',
    lead: leadOf(ferments),
    cautions: ferments.length === 0 ? [] : [CAUTIONS['carbon dioxide'], CAUTIONS.entry],
    chart:
      drawn.length === 0
        ? undefined
        : {
            title: 'Every ferment, the one to look at first',
            unit: sugarUnit(scale),
            dryAt: NEAR_DRY[scale],
            panels: drawn.map((ferment) => panelOf(context, ferment)),
          },
    undrawn: read.length - drawn.length,
    rows: ferments.slice(0, MOST_ROWS).map((ferment) => rowOf(context, ferment)),
    further: furtherOf(context, ferments.slice(MOST_ROWS)),
    method:
      `The day named is when the curve through the readings is foretold to pass ${drySaid(scale)}, if the ferment goes on as it went; ` +
      'in brackets the days between which it lies 19 times out of 20. The last sugar goes after it: glucose and fructose decide. ' +
      'A rate is given ± two standard errors.' +
      (converted.length === 0 ? '' : ` Readings of ${nameList(converted)} on another scale are converted.`),
    finished,
    finishedSince: dayText(context.book.on - LATELY),
  };
}

const daysOf = (minute: Minute | undefined): number[] => (minute === undefined ? [] : [dayOf(minute)]);

function furtherOf(context: ReportContext, ferments: readonly ActiveFerment[]): FermentsModel['further'] {
  const lots = new Set(ferments.map(({ lot }) => lot.facts.id));
  return { count: ferments.length, lots: [...lots].map((lot) => context.links.lot(lot)) };
}

function leadOf(ferments: readonly ActiveFerment[]): string {
  if (ferments.length === 0) return '';
  const slow = ferments.filter(({ pace }) => pace?.state === 'stuck' || pace?.state === 'sluggish').length;
  const days = ferments.flatMap((ferment) => daysOf(dryAt(ferment)));
  const span = days.length === 0 ? '' : ` Of ${days.length} a day of dryness is foretold: ${daySpanText(days)}.`;
  const lots = new Set(ferments.map(({ lot }) => lot.facts.id)).size;
  return (
    `${counted(ferments.length, 'vessel')} of ${counted(lots, 'lot')} with must, juice or a ferment.${span}` +
    (slow === 0 ? '' : ` ${capital(counted(slow, 'ferment'))} ${slow === 1 ? 'is' : 'are'} slow or stuck.`)
  );
}

function panelOf(context: ReportContext, ferment: ActiveFerment): Ferments['panels'][number] {
  const { vessel, lot, sugar, scale, forecast, pace } = ferment;
  const last = sugar.at(-1);
  const drawn = pace?.state === 'stuck' ? undefined : forecast?.drawn;
  const slow = pace?.state === 'stuck' || pace?.state === 'sluggish';
  const said = slow || forecast === undefined ? stateSaid(ferment) : drySoon(ferment);
  const ahead = drawn === undefined ? [] : thinned(drawn.points.filter(({ minute }) => minute >= (last?.minute ?? 0)));
  return {
    name: `${vessel.facts.name} ${lot.facts.name}`,
    ...hrefOf(context.links.vessel(vessel.facts.id)),
    start: sugar[0]?.minute ?? 0,
    points: pointsOf(sugar),
    ...(ahead.length < 2 ? {} : { forecast: ahead }),
    last: last === undefined ? '' : `${sugarSaid(last.value, scale)} on ${shortDayText(dayOf(last.minute))}`,
    ...(said === '' ? {} : { dry: said }),
  };
}

function hrefOf({ href }: Link): { href?: string } {
  return href === undefined ? {} : { href };
}

/** As many points of a smooth curve as show at the size of a panel, its ends among them. */
function thinned(points: readonly ForecastPoint[]): readonly ForecastPoint[] {
  if (points.length <= MOST_POINTS) return points;
  return Array.from({ length: MOST_POINTS }, (_, index) => {
    const at = Math.round((index * (points.length - 1)) / (MOST_POINTS - 1));
    return points[at];
  }).filter((point) => point !== undefined);
}

function rowOf(context: ReportContext, ferment: ActiveFerment): FermentRow {
  const { vessel, lot, happenings, scale, sugar, temperature, pace, forecast } = ferment;
  const { id } = vessel.facts;
  const newest = sugar.at(-1);
  const last = lastCapWork(context, happenings, id);
  const done = capDoneIn(ferment);
  const { on } = context.book;
  return {
    vessel: context.links.vessel(id),
    lot: context.links.lot(lot.facts.id),
    state: stateSaid(ferment),
    grave: pace?.state === 'stuck' || pace?.state === 'sluggish',
    sugar: newest === undefined ? { text: '' } : figureAt(context, sugarSaid(newest.value, scale), newest.place),
    sugarAt: newest === undefined ? '' : `${shortDayText(dayOf(newest.minute))} ${timeText(newest.minute)}`.trim(),
    rate: rateSaid(ferment),
    dry: forecast === undefined || dryAt(ferment) === undefined ? drySoon(ferment) : forecast.dry,
    warmth: warmthFigure(context, temperature.at(-1)),
    yesterday: done ? capWorkOn(happenings, id, on - 1) : '',
    today: done ? capWorkOn(happenings, id, on) : '',
    last: last === undefined ? { text: '' } : { ...last.line, text: last.text },
    age: vessel.since === undefined ? 0 : on - dayOf(vessel.since),
    remarks: [
      pace === undefined ? `nobody has read its sugar yet: \`reading ${vessel.facts.name} brix 22.4\` does` : pace.why,
      ...(forecast === undefined || forecast.dryAt !== undefined ? [] : [`no day is named: ${forecast.dry}`]),
      ...(forecast?.remarks ?? []),
    ].map(sentenceOf),
  };
}

function warmthFigure(context: ReportContext, read: Read | undefined): Figure {
  if (read === undefined) return { text: '' };
  const { settings } = context;
  return figureAt(
    context,
    withUnit(valueText('temp', read.value, settings), analyteUnit('temp', settings)),
    read.place,
  );
}

/** Lots whose ferment ended of late, the newest first. */
function finishedOf(context: ReportContext): FinishedRow[] {
  const { book } = context;
  const active = new Set(activeFerments(context).map(({ lot }) => lot.facts.id));
  return book.lots
    .flatMap((lot) => {
      const span = active.has(lot.facts.id) ? undefined : spanOf(lot);
      if (span === undefined || dayOf(span.until) <= book.on - LATELY) return [];
      return [{ lot, span }];
    })
    .sort((a, b) => b.span.until - a.span.until || a.lot.facts.id - b.lot.facts.id)
    .slice(0, MOST_FINISHED)
    .map(({ lot, span }) => finishedRow(context, lot, span));
}

export interface FermentSpan {
  readonly from: Minute;
  readonly until: Minute;
  /** Indexes into the happenings. */
  readonly began: number;
  readonly ended: number;
}

/** From when to when a lot fermented; a lot that came into being while its wine still fermented tells its own part. */
export function spanOf(lot: LotRecord): FermentSpan | undefined {
  const at = lot.stages.findIndex(({ stage }) => stage === 'fermenting');
  const began = lot.stages[at];
  const ended = lot.stages[at + 1];
  if (began === undefined || ended === undefined || ended.minute - began.minute < MINUTES_A_DAY) return undefined;
  return { from: began.minute, until: ended.minute, began: began.happening, ended: ended.happening };
}

function finishedRow(context: ReportContext, lot: LotRecord, span: FermentSpan): FinishedRow {
  const happenings = happeningsOf(context, lot.happenings);
  const during = happenings.filter(({ event }) => event.minute <= span.until);
  const placeOf = (happening: number) => context.book.happenings[happening]?.event.place;
  const vessels = new Set(during.flatMap((happening) => heldOf(lot.facts.id, happening)));
  const read = figuresOf(during);
  return {
    lot: context.links.lot(lot.facts.id),
    where: nameList(vesselNames(context, [...vessels]), 6),
    from: figureAt(context, dayText(dayOf(span.from)), placeOf(span.began)),
    until: figureAt(context, dayText(dayOf(span.until)), placeOf(span.ended)),
    days: dayOf(span.until) - dayOf(span.from),
    highest: figureAt(context, said(context, read.highest), read.highest?.place),
    last: figureAt(context, said(context, read.last), read.last?.place),
    warmest: figureAt(context, said(context, read.warmest), read.warmest?.place),
    capWork: capSum(during),
  };
}

const heldOf = (lot: LotId, { movements }: Happening): number[] =>
  movements.flatMap((movement) => {
    if (movement.kind === 'in' && movement.lot === lot) return [movement.vessel];
    if (movement.kind === 'across' && movement.toLot === lot) return [movement.to];
    if (movement.kind === 'renamed' && movement.toLot === lot) return [movement.vessel];
    return [];
  });

interface Found extends Read {
  readonly analyte: string;
}

const SUGAR: readonly string[] = ['brix', 'SG', 'density', 'oechsle', 'baume', 'plato'];

/** The highest and the last reading of sugar on the scale read first, and the warmest. */
function figuresOf(happenings: readonly Happening[]): Record<'highest' | 'last' | 'warmest', Found | undefined> {
  let highest: Found | undefined;
  let last: Found | undefined;
  let warmest: Found | undefined;
  for (const { event, minute } of readingsIn(happenings)) {
    for (const { analyte, value, mark } of event.measures) {
      if (mark === '<' || mark === '>') continue;
      const found = { analyte, value, minute, place: event.place };
      if (analyte === 'temp' && (warmest === undefined || value > warmest.value)) warmest = found;
      if (!SUGAR.includes(analyte) || (last !== undefined && last.analyte !== analyte)) continue;
      if (highest === undefined || value > highest.value) highest = found;
      last = found;
    }
  }
  return { highest, last, warmest };
}

function said({ settings }: ReportContext, found: Found | undefined): string {
  if (found === undefined) return '';
  const figure = withUnit(valueText(found.analyte, found.value, settings), analyteUnit(found.analyte, settings));
  return found.analyte === 'temp' ? figure : `${figure} on ${shortDayText(dayOf(found.minute))}`;
}

/** Rounds of each kind: an entry that tells of several vessels is one. */
function capSum(happenings: readonly Happening[]): string {
  const rounds = new Map<string, Set<Minute>>();
  for (const { event } of happenings) {
    if (event.kind !== 'cap') continue;
    const minutes = rounds.get(event.verb) ?? new Set<Minute>();
    minutes.add(event.minute);
    rounds.set(event.verb, minutes);
  }
  return [...rounds]
    .map(([verb, minutes]) => counted(minutes.size, `round of ${verb}`, `rounds of ${verb}`))
    .join(', ');
}
