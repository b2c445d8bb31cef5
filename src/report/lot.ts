/** The page of a lot: what it is, where it came from, what happened to it and where it went. */
import type { LotRecord } from '../cellar/book.ts';
import type { LotId } from '../journal/events.ts';
import { type AdditionsModel, additionsOf } from './additions.ts';
import { CAUTIONS, type Caution, type CautionKey } from './cautions.ts';
import { type CompositionModel, compositionOf } from './composition.ts';
import { type Fact, type Figure, figureAt, happeningsOf, lotOf, type ReportContext } from './context.ts';
import { ageText, dayOf, dayText } from './dates.ts';
import { type FermentModel, fermentOf, isFermenting } from './ferment.ts';
import { bottlesText, massText, volumeText, yieldText } from './figures.ts';
import { mustOfFruit } from './fruit.ts';
import type { Link } from './links.ts';
import { type MalolacticModel, malolacticOf } from './malolactic.ts';
import { counted } from './names.ts';
import { type LatestReading, latestReadings, type ReadingTable, readingTable } from './readings.ts';
import { stageWord } from './stages.ts';
import { type Strength, strengthOf } from './strength.ts';
import { type SulfurModel, sulfurOf } from './sulfur.ts';
import { type TimelineDay, timelineOf } from './timeline.ts';
import { type VolumeModel, volumesOf } from './volumes.ts';

export interface FlowRow {
  readonly lot: Link;
  readonly volume: string;
}

export interface LotModel {
  readonly path: string;
  readonly name: string;
  readonly stage: string;
  readonly lead: string;
  readonly facts: readonly Fact[];
  readonly cautions: readonly Caution[];
  readonly sulfurCaution: Caution;
  readonly claimsCaution: Caution;
  readonly stages: readonly { readonly name: string; readonly figure: Figure }[];
  readonly ferment: FermentModel | undefined;
  readonly sulfur: SulfurModel | undefined;
  readonly malolactic: MalolacticModel | undefined;
  readonly volumes: VolumeModel | undefined;
  readonly composition: CompositionModel | undefined;
  readonly additions: AdditionsModel;
  readonly readings: ReadingTable;
  readonly latest: readonly LatestReading[];
  readonly parents: readonly FlowRow[];
  readonly children: readonly FlowRow[];
  readonly days: readonly TimelineDay[];
}

export function lotModel(context: ReportContext, id: LotId): LotModel | undefined {
  const lot = lotOf(context, id);
  const path = context.links.lotPages[id];
  if (lot === undefined || path === undefined) return undefined;
  const happenings = happeningsOf(context, lot.happenings);
  const ferment = fermentOf(context, `The ferment of ${lot.facts.name}`, happenings);
  const sulfur = sulfurOf(context, lot.facts.name, happenings);
  const malolactic = malolacticOf(context, lot.facts.name, happenings);
  const cautions: CautionKey[] = isFermenting(context, id) ? ['carbon dioxide', 'entry'] : [];
  return {
    path,
    name: lot.facts.name,
    stage: stageWord(lot.stage),
    lead: leadOf(context, lot),
    facts: [...factsOf(context, lot), ...chemistryFacts(strengthOf(context, happenings), sulfur, malolactic)],
    cautions: cautions.map((key) => CAUTIONS[key]),
    sulfurCaution: CAUTIONS['sulfur dioxide'],
    claimsCaution: CAUTIONS['label claims'],
    stages: lot.stages.map(({ minute, stage, happening }) => ({
      name: stageWord(stage),
      figure: figureAt(context, dayText(dayOf(minute)), context.book.happenings[happening]?.event.place),
    })),
    ferment,
    sulfur,
    malolactic,
    volumes: volumesOf(context, lot),
    composition: compositionOf(context, lot),
    additions: additionsOf(context, happenings, (added) => added.lot === id, lot),
    readings: readingTable(context, happenings, ferment?.analytes),
    latest: latestReadings(context, happenings, 6, true),
    parents: flows(context, lot.parents),
    children: flows(context, lot.children),
    days: timelineOf(context, lot.happenings),
  };
}

/** What the readings come to, each with what it rests on. */
function chemistryFacts(
  strength: Strength | undefined,
  sulfur: SulfurModel | undefined,
  malolactic: MalolacticModel | undefined,
): Fact[] {
  const facts: Fact[] = [];
  const add = (name: string, text: string, line: Link): void => {
    facts.push({ name, figures: [line.href === undefined ? { text } : { text, href: line.href }] });
  };
  if (strength !== undefined) add('alcohol', `${strength.text} (${strength.from})`, strength.line);
  if (sulfur?.newest !== undefined) add('SO2', `${sulfur.newest.text} (${sulfur.newest.from})`, sulfur.newest.line);
  if (malolactic !== undefined) add('malolactic', malolactic.state, malolactic.line);
  return facts;
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
    const yielded = yieldText(must, fruit.used, settings);
    const text = `${volumeText(must, settings)}${yielded === undefined ? '' : ` (${yielded})`}`;
    // Juice pressed from its fruit may have taken other names.
    if (must === account.made) add('must', { text, href: '#volume' });
    else add('must of its fruit', { text, href: '#history' });
  }
  if (account.made > 0 && account.made !== must)
    add('must', { text: volumeText(account.made, settings), href: '#volume' });
  if (fruit.pomace > 0) add('pomace', { text: massText(fruit.pomace, settings), href: '#history' });
  if (lot.facts.bottling) {
    add('bottles filled', { text: bottlesText(lot.bottlesFilled), href: '#history' });
    add('bottles on hand', { text: bottlesText(lot.bottles), href: '#history' });
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
  if (lot.facts.style !== undefined) add('meant for', { text: lot.facts.style });
  if (lot.facts.formerly.length > 0) add('formerly', { text: lot.facts.formerly.join(', ') });
  return facts;
}

function figureOfStep(context: ReportContext, text: string, step: LotRecord['steps'][number] | undefined): Figure {
  const place = step === undefined ? undefined : context.book.happenings[step.happening]?.event.place;
  return figureAt(context, text, place);
}
