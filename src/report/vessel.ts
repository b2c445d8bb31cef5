/** The page of a vessel: what is in it, what was in it, and what was done. */
import type { VesselRecord } from '../cellar/book.ts';
import type { VesselId } from '../journal/events.ts';
import { type AdditionsModel, additionsOf } from './additions.ts';
import { type Ago, barrelOf, fillsText, firstFill, isBarrel, stripOf, yearsText } from './barrels.ts';
import { CAUTIONS, type Caution } from './cautions.ts';
import type { BarrelStrip, Fullness } from './charted.ts';
import { type Fact, type Figure, figureAt, happeningsOf, lotOf, type ReportContext, vesselOf } from './context.ts';
import { ageText, dayOf, dayText } from './dates.ts';
import { isFermenting } from './ferment.ts';
import { volumeText } from './figures.ts';
import { fillText, fullnessOf } from './fill.ts';
import type { Link } from './links.ts';
import { capital } from './names.ts';
import { type ReadingTable, readingTable } from './readings.ts';
import { stageWord } from './stages.ts';
import { type TimelineDay, timelineOf } from './timeline.ts';
import { dueFactOfVessel } from './work-due.ts';

export interface VesselModel {
  readonly path: string;
  readonly name: string;
  readonly lead: string;
  readonly fullness: Fullness;
  readonly facts: readonly Fact[];
  readonly cautions: readonly Caution[];
  readonly sulfurCaution: Caution;
  /** The years of a barrel. */
  readonly strip: BarrelStrip | undefined;
  readonly fills: readonly {
    readonly lot: Link;
    readonly from: string;
    readonly until: string;
    readonly length: string;
  }[];
  readonly additions: AdditionsModel;
  readonly earlierAdditions: number;
  readonly earlierFills: number;
  readonly readings: ReadingTable;
  readonly days: readonly TimelineDay[];
  /** Days, and rows of readings, before those shown: the lots that were in it tell them. */
  readonly earlierDays: number;
  readonly earlierReadings: number;
}

/** A vessel outlives its lots by decades: its page shows the last of what was done and read. */
const MOST_DAYS = 80;
const MOST_ENTRIES = 110;
const MOST_READINGS = 60;
const MOST_ADDITIONS = 60;
const MOST_FILLS = 120;

export function vesselModel(context: ReportContext, id: VesselId): VesselModel | undefined {
  const vessel = vesselOf(context, id);
  const path = context.links.vesselPages[id];
  if (vessel === undefined || path === undefined) return undefined;
  const happenings = happeningsOf(context, vessel.happenings);
  const days = timelineOf(context, vessel.happenings);
  const shown = lastDays(days);
  const additions = additionsOf(context, happenings, (added) => added.vessel === id, undefined);
  const readings = readingTable(context, happenings);
  const fermenting = vessel.content.volume > 0 && isFermenting(context, vessel.lot);
  return {
    path,
    name: vessel.facts.name,
    lead: leadOf(context, vessel),
    fullness: fullnessOf(context, vessel),
    facts: [...dueFactOfVessel(context, id), ...factsOf(context, vessel)],
    cautions: fermenting ? [CAUTIONS['carbon dioxide'], CAUTIONS.entry] : [],
    sulfurCaution: CAUTIONS['sulfur dioxide'],
    strip:
      isBarrel(vessel) && vessel.fills.length > 0 ? stripOf(context, vessel, firstFill(context, vessel)) : undefined,
    earlierFills: Math.max(0, vessel.fills.length - MOST_FILLS),
    fills: vessel.fills.slice(-MOST_FILLS).map(({ lot, from, until }) => ({
      lot: context.links.lot(lot),
      from: dayText(dayOf(from)),
      until: until === undefined ? 'still in it' : dayText(dayOf(until)),
      length: lengthText((until === undefined ? context.book.on : dayOf(until)) - dayOf(from)),
    })),
    additions: { ...additions, rows: additions.rows.slice(-MOST_ADDITIONS) },
    earlierAdditions: Math.max(0, additions.rows.length - MOST_ADDITIONS),
    readings: { columns: readings.columns, rows: readings.rows.slice(-MOST_READINGS) },
    earlierReadings: Math.max(0, readings.rows.length - MOST_READINGS),
    days: shown,
    earlierDays: days.length - shown.length,
  };
}

/** As many of the last days as a page holds: so many days at most, so many entries on them, and the last day in any case. */
function lastDays(days: readonly TimelineDay[]): readonly TimelineDay[] {
  let entries = 0;
  let from = days.length;
  while (from > 0 && days.length - from < MOST_DAYS) {
    entries += days[from - 1]?.entries.length ?? 0;
    if (entries > MOST_ENTRIES && from < days.length) break;
    from -= 1;
  }
  return days.slice(from);
}

function lengthText(days: number): string {
  return days <= 0 ? 'less than a day' : ageText(days);
}

function leadOf(context: ReportContext, { facts, retired }: VesselRecord): string {
  const room = volumeText(facts.capacity, context.settings);
  const where = facts.at === undefined ? '' : `, ${facts.at}`;
  return `${capital(facts.kind)} of ${room}${where}${retired ? ', retired' : ''}`;
}

function factsOf(context: ReportContext, vessel: VesselRecord): Fact[] {
  const { facts, content } = vessel;
  const rows: Fact[] = [];
  const add = (name: string, ...figures: Figure[]): void => {
    rows.push({ name, figures });
  };
  add('declared', figureAt(context, volumeText(facts.capacity, context.settings), facts.place));
  if (content.volume > 0 && vessel.lot !== undefined) {
    const lot = lotOf(context, vessel.lot);
    add('holds', context.links.lot(vessel.lot));
    add('how full', { text: fillText(context, vessel), href: '#history' });
    if (lot !== undefined) add('stage', { text: stageWord(lot.stage) });
    if (vessel.since !== undefined) add('since', { text: dayText(dayOf(vessel.since)), href: '#fills' });
    if (content.slack > 0) add('may be off by', { text: volumeText(content.slack, context.settings) });
  } else {
    add('holds', { text: 'nothing' });
  }
  if (facts.details.length > 0) add('made of', { text: facts.details.join(', ') });
  if (facts.firstUsed !== undefined) {
    const age = yearsText(context, vessel);
    add('first used', { text: `${facts.firstUsed}${age === '' ? '' : ` (${age})`}` });
  }
  if (isBarrel(vessel)) rows.push(...barrelFacts(context, vessel));
  if (facts.gauge !== undefined) {
    // Microlitres a metre: a hundredth of it is a centimetre.
    add('gauge', { text: `${volumeText(Math.round(facts.gauge / 100), context.settings)}/cm` });
  }
  add('fills so far', { text: fillsText(vessel) || 'none', href: '#fills' });
  if (vessel.doubtful) add('in doubt', { text: 'a line that could not be read may have touched it' });
  return rows;
}

/** How long since a barrel was topped and its free sulfur dioxide read, or since it was cleaned where it is empty. */
function barrelFacts(context: ReportContext, vessel: VesselRecord): Fact[] {
  const { topped, untopped, sulfur, evaporated, tended } = barrelOf(context, vessel);
  const told: Fact[] = [];
  const add = (name: string, ago: Ago | undefined, never: string): void => {
    const figures =
      ago === undefined
        ? [{ text: never }]
        : [{ text: `${ageText(ago.days)}${ago.days > 0 ? ' ago' : ''}` }, ago.figure];
    told.push({ name, figures });
  };
  if (untopped !== undefined) {
    add('topped', topped, 'not since it was filled');
    add('free SO2 read', sulfur, 'not since it was filled');
    if (evaporated > 0)
      told.push({ name: 'evaporated in this fill', figures: [{ text: volumeText(evaporated, context.settings) }] });
  } else if (tended !== undefined) add('cleaned or gassed', tended, '');
  return told;
}
