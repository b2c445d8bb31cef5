/** The page of a lot: what it is, where it came from, what happened to it and where it went. */
import type { LotRecord } from '../cellar/book.ts';
import type { LotId } from '../journal/events.ts';
import { mustYield } from '../trade/fruit-yield.ts';
import { type ActiveFerment, activeFermentsOf, drySoon, rateSaid, stateSaid } from './active-ferments.ts';
import { type AdditionsModel, additionsOf } from './additions.ts';
import { type CapModel, capWorkOf } from './cap-work.ts';
import { CAUTIONS, type Caution, type CautionKey } from './cautions.ts';
import { type ChemistryModel, chemistryOf } from './chemistry.ts';
import { claimsLink } from './claims.ts';
import { type CompositionModel, compositionOf } from './composition.ts';
import { type Fact, type Figure, figureAt, happeningsOf, lotOf, type ReportContext } from './context.ts';
import { ageText, dayOf, dayText } from './dates.ts';
import { type FermentModel, fermentOf, isFermenting } from './ferment.ts';
import { bottlesText, massText, volumeText } from './figures.ts';
import { mustOfFruit } from './fruit.ts';
import { perTonneText, yieldTexts } from './fruit-loads.ts';
import { outcomesByFruitLot, sumOutcomes } from './fruit-outcome.ts';
import { familyOf, type LineageModel, lineageOf } from './lineage.ts';
import type { Link } from './links.ts';
import { lossesOf } from './losses.ts';
import { type LotNote, notesOf } from './lot-notes.ts';
import { counted } from './names.ts';
import { type LatestReading, latestReadings, type ReadingTable, readingTable } from './readings.ts';
import { type RunsModel, runsOf } from './runs.ts';
import { cell, figures, type Sheet } from './sheet.ts';
import { stageWord } from './stages.ts';
import { type Sentence, storyOf } from './story.ts';
import { type TimelineDay, timelineOf } from './timeline.ts';
import { type VolumeModel, volumesOf } from './volumes.ts';
import { dueFactOfLot } from './work-due.ts';

export interface FlowRow {
  readonly lot: Link;
  readonly volume: string;
}

/** The parts of a lot's page, each with its anchor; they stand in the order in which they are asked for. */
const SECTIONS = {
  ferment: 'Ferment',
  'cap-work': 'Work on the cap',
  chemistry: 'Chemistry over time',
  additions: 'Additions',
  family: 'Where from, where to',
  runs: 'Free run and press run',
  composition: 'Composition',
  volume: 'Volume',
  readings: 'Readings',
  notes: 'Notes and tastings',
  history: 'Day by day',
} as const;
type SectionId = keyof typeof SECTIONS;

/** While it ferments the ferment is what is asked for; of a wine its chemistry, and what became of it. */
const FERMENTING: readonly SectionId[] = [
  'ferment',
  'cap-work',
  'additions',
  'chemistry',
  'notes',
  'volume',
  'family',
  'runs',
  'composition',
  'readings',
  'history',
];
const WINE: readonly SectionId[] = [
  'chemistry',
  'family',
  'volume',
  'additions',
  'composition',
  'runs',
  'notes',
  'ferment',
  'cap-work',
  'readings',
  'history',
];

export interface LotModel {
  readonly path: string;
  readonly name: string;
  readonly stage: string;
  readonly lead: string;
  readonly story: readonly Sentence[];
  readonly facts: readonly Fact[];
  readonly sections: readonly { readonly id: SectionId; readonly title: string }[];
  readonly cautions: readonly Caution[];
  readonly sulfurCaution: Caution;
  readonly claimsCaution: Caution;
  readonly stages: readonly { readonly name: string; readonly figure: Figure }[];
  readonly ferment: FermentModel | undefined;
  readonly forecasts: Sheet | undefined;
  readonly capWork: CapModel | undefined;
  readonly chemistry: ChemistryModel | undefined;
  readonly volumes: VolumeModel | undefined;
  readonly losses: Sheet | undefined;
  readonly composition: CompositionModel | undefined;
  readonly additions: AdditionsModel;
  readonly readings: ReadingTable;
  readonly readingsCaption: string;
  readonly latest: readonly LatestReading[];
  readonly parents: readonly FlowRow[];
  readonly children: readonly FlowRow[];
  readonly lineage: LineageModel | undefined;
  readonly runs: RunsModel | undefined;
  readonly notes: readonly LotNote[];
  /** In the order of time; of a long story the last. */
  readonly days: readonly TimelineDay[];
  /** The page that has all days, where this one has the last of them only. */
  readonly history: Link | undefined;
}

export function lotModel(context: ReportContext, id: LotId): LotModel | undefined {
  const lot = lotOf(context, id);
  const path = context.links.lotPages[id];
  if (lot === undefined || path === undefined) return undefined;
  const happenings = happeningsOf(context, lot.happenings);
  const ferment = fermentOf(context, `The ferment of ${lot.facts.name}`, happenings);
  const active = activeFermentsOf(context, id);
  const chemistry = chemistryOf(context, lot, happenings);
  const days = timelineOf(context, lot.happenings);
  const long = isLong(context, lot);
  const cautions: CautionKey[] = isFermenting(context, id) ? ['carbon dioxide', 'entry'] : [];
  const capWork = capWorkOf(context, lot, happenings);
  const additions = additionsOf(context, happenings, (added) => added.lot === id, lot);
  const lineage = familyLineage(context, lot);
  const runs = runsOf(context, lot);
  const composition = compositionOf(context, lot);
  const volumes = volumesOf(context, lot);
  const above = new Set([...(ferment?.analytes ?? []), ...(chemistry?.analytes ?? [])]);
  const readings = readingTable(context, happenings, above);
  const notes = notesOf(context, happenings);
  const there: Readonly<Record<SectionId, boolean>> = {
    ferment: ferment !== undefined,
    'cap-work': capWork !== undefined,
    chemistry: chemistry !== undefined,
    additions: additions.rows.length > 0 || additions.totals.length > 0,
    family: lineage !== undefined,
    runs: runs !== undefined,
    composition: composition !== undefined,
    volume: volumes !== undefined,
    readings: readings.rows.length > 0,
    notes: notes.length > 0,
    history: days.length > 0,
  };
  return {
    path,
    name: lot.facts.name,
    stage: stageWord(lot.stage),
    lead: leadOf(context, lot),
    story: storyOf(context, lot, happenings, active, chemistry?.malolactic),
    facts: [...dueFactOfLot(context, id), ...factsOf(context, lot), ...chemistryFacts(lot, chemistry)],
    sections: (active.length > 0 || lot.stage === 'fruit' ? FERMENTING : WINE)
      .filter((section) => there[section])
      .map((section) => ({ id: section, title: SECTIONS[section] })),
    cautions: cautions.map((key) => CAUTIONS[key]),
    sulfurCaution: CAUTIONS['sulfur dioxide'],
    claimsCaution: CAUTIONS['label claims'],
    stages: stagesOf(context, lot),
    ferment,
    forecasts: ferment === undefined ? undefined : forecastSheet(context, ferment, active),
    capWork,
    chemistry,
    volumes,
    losses: lossesOf(context, lot, happenings),
    composition,
    additions,
    readings,
    readingsCaption: above.size === 0 ? 'Readings, the oldest first' : 'Readings beside those above, the oldest first',
    latest: latestReadings(context, happenings, 6, true),
    parents: flows(context, lot.parents),
    children: flows(context, lot.children),
    lineage,
    runs,
    notes,
    days: long ? days.slice(-SHOWN_DAYS) : days,
    history: long ? { text: `all ${days.length} days`, href: historyPage(path) } : undefined,
  };
}

/** Days, and entries, beyond which a lot's story has a page of its own, and its page the last days only. */
const MOST_DAYS = 30;
const FEW_DAYS = 10;
const MOST_ENTRIES = 80;
const SHOWN_DAYS = 8;

function isLong(context: ReportContext, lot: LotRecord): boolean {
  const days = new Set(happeningsOf(context, lot.happenings).map(({ event }) => dayOf(event.minute)));
  return days.size > MOST_DAYS || (days.size > FEW_DAYS && lot.happenings.length > MOST_ENTRIES);
}

/** `history/syr.html` beside `lots/syr.html`. */
function historyPage(lotPage: string): string {
  return lotPage.replace(/^lots\//u, 'history/');
}

export interface HistoryModel {
  readonly path: string;
  readonly name: string;
  readonly lot: Link;
  readonly stages: LotModel['stages'];
  readonly days: readonly TimelineDay[];
}

/** The path of the page that has all days of a lot; `undefined` where its own page has them. */
export function historyPath(context: ReportContext, id: LotId): string | undefined {
  const lot = lotOf(context, id);
  const path = context.links.lotPages[id];
  return lot !== undefined && path !== undefined && isLong(context, lot) ? historyPage(path) : undefined;
}

export function historyModel(context: ReportContext, id: LotId): HistoryModel | undefined {
  const lot = lotOf(context, id);
  const path = historyPath(context, id);
  if (lot === undefined || path === undefined) return undefined;
  return {
    path,
    name: lot.facts.name,
    lot: context.links.lot(id),
    stages: stagesOf(context, lot),
    days: timelineOf(context, lot.happenings),
  };
}

function stagesOf(context: ReportContext, lot: LotRecord): LotModel['stages'] {
  return lot.stages.map(({ minute, stage, happening }) => ({
    name: stageWord(stage),
    figure: figureAt(context, dayText(dayOf(minute)), context.book.happenings[happening]?.event.place),
  }));
}

/** The newest figures in short; the section on chemistry tells what each rests on. */
function chemistryFacts(lot: LotRecord, chemistry: ChemistryModel | undefined): Fact[] {
  if (chemistry === undefined) return [];
  const facts: Fact[] = [];
  const add = (name: string, text: string): void => {
    facts.push({ name, figures: [{ text, href: '#chemistry' }] });
  };
  const { strength, sulfur, malolactic } = chemistry;
  if (strength !== undefined) add('alcohol', strength.text);
  if (sulfur?.newest !== undefined) add('SO2', sulfur.newest.text);
  if (malolactic !== undefined && (lot.onHand > 0 || malolactic.finished)) add('malolactic', malolactic.stage);
  return facts;
}

function forecastSheet(
  context: ReportContext,
  { forecasts }: FermentModel,
  active: readonly ActiveFerment[],
): Sheet | undefined {
  const byName = new Map(active.map((ferment) => [ferment.vessel.facts.name, ferment]));
  // A reading of a must that lies in several vessels foretells nothing of any of them.
  const told = active.length > 1 ? forecasts.filter(({ name }) => byName.has(name)) : forecasts;
  if (told.length === 0) return undefined;
  return {
    label: 'Forecasts',
    caption:
      'How fast each falls, ± two standard errors, and the day it is foretold to be dry if it goes on as it went, with the days between which that lies 19 times out of 20',
    columns: [
      { name: 'Vessel' },
      { name: 'How it goes' },
      { name: 'Falls', kind: 'number' },
      { name: 'Dry about' },
      { name: 'Remarks', kind: 'words' },
    ],
    rows: told.map(({ name, rate, dry, remarks }) => {
      const ferment = byName.get(name) ?? (active.length === 1 ? active[0] : undefined);
      return {
        cells: [
          ferment === undefined ? cell(name) : figures([context.links.vessel(ferment.vessel.facts.id)]),
          cell(ferment === undefined ? '' : stateSaid(ferment)),
          cell(ferment === undefined ? rate : rateSaid(ferment)),
          cell(ferment?.pace?.state === 'stuck' ? drySoon(ferment) : dry),
          cell(remarks.join('; ')),
        ],
      };
    }),
    sort: false,
  };
}

/** Its family drawn, where there is more to it than the lot and its fruit. */
function familyLineage(context: ReportContext, lot: LotRecord): LineageModel | undefined {
  if (lot.parents.length === 0 && lot.children.length === 0) return undefined;
  const title = `What ${lot.facts.name} came from and became`;
  return lineageOf(context, familyOf(context, lot.facts.id), title, 'other lots');
}

function flows(context: ReportContext, rows: LotRecord['parents']): FlowRow[] {
  return rows.map(({ lot, volume }) => ({
    lot: context.links.lot(lot),
    volume: volumeText(volume, context.settings),
  }));
}

function leadOf(context: ReportContext, lot: LotRecord): string {
  const sorts = new Set<string>();
  const vintages = new Set<string>();
  for (const { origin } of lot.composition) {
    const facts = context.book.origins[origin];
    if (facts === undefined) continue;
    sorts.add(facts.variety);
    if (facts.vintage !== undefined) vintages.add(String(facts.vintage));
  }
  const named = [...sorts];
  const what = named.length === 0 ? '' : named.length > 4 ? `${named.length} varieties` : named.join(', ');
  const years = [...vintages].sort().join(' and ');
  const kind = lot.facts.bottling ? 'A bottling' : lot.colour === undefined ? 'A lot' : `A ${lot.colour} lot`;
  return [`${kind}${what === '' ? '' : ` of ${what}`}`, years, ageWords(context, lot)]
    .filter((part) => part !== '')
    .join(', ');
}

function ageWords(context: ReportContext, lot: LotRecord): string {
  const days = context.book.on - dayOf(lot.facts.since);
  const age = ageText(days);
  return age === 'today' ? 'begun today' : `begun ${age} ago`;
}

function factsOf(context: ReportContext, lot: LotRecord): Fact[] {
  const { settings, links } = context;
  const facts: Fact[] = [];
  const add = (name: string, ...figures: Figure[]): void => {
    if (figures.length > 0) facts.push({ name, figures });
  };
  const { fruit, account } = lot;
  const said = lot.facts.place;
  add('begun', figureAt(context, dayText(dayOf(lot.facts.since)), said));
  if (fruit.received > 0) add('fruit received', { text: massText(fruit.received, settings), href: '#history' });
  if (fruit.sorted > 0) add('sorted out', { text: massText(fruit.sorted, settings), href: '#history' });
  if (fruit.stems > 0) add('stems', { text: massText(fruit.stems, settings), href: '#history' });
  if (fruit.waiting > 0) add('fruit waiting', { text: massText(fruit.waiting, settings), href: '#history' });
  const must = mustOfFruit(context, lot.facts.id);
  if (must > 0) {
    const yielded = perTonneText(mustYield({ used: fruit.used, made: must }), settings);
    const text = `${volumeText(must, settings)}${yielded === '' ? '' : ` (${yielded})`}`;
    // Juice pressed from its fruit may have taken other names.
    if (must === account.made) add('must', { text, href: '#volume' });
    else add('must of its fruit', { text, href: '#history' });
    const { wine } = yieldTexts(sumOutcomes(outcomesByFruitLot(context.book).get(lot.facts.id) ?? []), settings);
    if (wine !== '') add('wine yield', { text: wine, href: 'method.html#wine-yield' });
  }
  if (account.made > 0 && account.made !== must)
    add('must', { text: volumeText(account.made, settings), href: '#volume' });
  if (fruit.pomace > 0) add('pomace', { text: massText(fruit.pomace, settings), href: '#history' });
  if (lot.facts.bottling) {
    add('bottles filled', { text: bottlesText(lot.bottlesFilled), href: '#history' });
    add('bottles on hand', { text: bottlesText(lot.bottles), href: links.bottling(lot.facts.id).href ?? '#history' });
  } else {
    const most = lot.steps.reduce((high, { volume }) => Math.max(high, volume), 0);
    const first = lot.steps.find(({ volume }) => volume === most);
    add('on hand', figureOfStep(context, volumeText(lot.onHand, settings, lot.estimated), lot.steps.at(-1)));
    if (most > lot.onHand) add('at most', figureOfStep(context, volumeText(most, settings), first));
  }
  if (lot.vessels.length > 0) {
    const shown = lot.vessels.slice(0, 12).map((vessel) => links.vessel(vessel));
    const rest = lot.vessels.length - shown.length;
    add(counted(lot.vessels.length, 'vessel'), ...shown, ...(rest > 0 ? [{ text: `and ${rest} more` }] : []));
  }
  const label = claimsLink(context, lot);
  if (label !== undefined) add('label', label);
  if (lot.facts.style !== undefined) add('meant for', { text: lot.facts.style });
  if (lot.facts.formerly.length > 0) add('formerly', { text: lot.facts.formerly.join(', ') });
  return facts;
}

function figureOfStep(context: ReportContext, text: string, step: LotRecord['steps'][number] | undefined): Figure {
  const place = step === undefined ? undefined : context.book.happenings[step.happening]?.event.place;
  return figureAt(context, text, place);
}
