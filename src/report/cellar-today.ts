/** The cellar on the day the journal tells of: every vessel with what is in it, by place and kind. */
import { CODES } from '../../grammar/codes.ts';
import type { Movement, VesselRecord } from '../cellar/book.ts';
import type { VesselId } from '../journal/events.ts';
import { CAUTIONS, type Caution } from './cautions.ts';
import type { Fullness } from './charted.ts';
import { type Figure, figureAt, happeningsOf, lotOf, type ReportContext } from './context.ts';
import { ageText, dayOf, fullDayText } from './dates.ts';
import { isFermenting } from './ferment.ts';
import { bottlesText, massText, percentText, volumeText } from './figures.ts';
import { fillText, fullnessOf, shareFull } from './fill.ts';
import { type Span, sentenceOf } from './finding-list.ts';
import type { Link } from './links.ts';
import { counted, nameList } from './names.ts';
import { type LatestReading, latestReadings } from './readings.ts';
import { stageWord } from './stages.ts';

export interface VesselCard {
  readonly vessel: Link;
  readonly lot: Link;
  readonly fullness: Fullness;
  readonly fill: Figure;
  readonly stage: string;
  readonly age: string;
  readonly doubtful: boolean;
  readonly readings: readonly LatestReading[];
}

/** Many small vessels with one lot: a picture each, the words once. */
export interface CaskRun {
  readonly lot: Link;
  readonly stage: string;
  readonly age: string;
  readonly volume: string;
  readonly readings: readonly LatestReading[];
  readonly casks: readonly { readonly vessel: Link; readonly fullness: Fullness; readonly text: string }[];
}

export interface VesselGroup {
  readonly title: string;
  readonly cards: readonly VesselCard[];
  readonly runs: readonly CaskRun[];
  readonly empty: string;
  /** Empty vessels with a page each, where there are not too many to name. */
  readonly emptyLinks: readonly Link[];
}

export interface FindingStrip {
  readonly severity: 'error' | 'warning';
  readonly count: string;
  readonly rows: readonly { readonly title: string; readonly message: readonly Span[]; readonly href: string }[];
  readonly further: number;
}

export interface CellarModel {
  readonly path: string;
  readonly title: string;
  readonly totals: readonly { readonly name: string; readonly text: string }[];
  readonly strip: FindingStrip | undefined;
  readonly cautions: readonly Caution[];
  readonly groups: readonly VesselGroup[];
  readonly bottlings: readonly { readonly lot: Link; readonly bottles: string; readonly age: string }[];
  readonly fruit: readonly { readonly lot: Link; readonly mass: string }[];
}

/** Kinds of which a cellar has rows rather than pieces. */
const CASKS: ReadonlySet<string> = new Set(['barrel', 'puncheon', 'keg', 'carboy', 'drum']);
/** Pieces beyond which a group is told in rows too, so that the page of a large cellar stays small. */
const MOST_CARDS = 60;
/** From so many vessels of one lot on they are told as a run. */
const FEWEST_IN_RUN = 3;
const MOST_IN_STRIP = 5;
const MOST_EMPTY_LINKS = 24;

export function cellarModel(context: ReportContext): CellarModel {
  const { book } = context;
  const fermenting = book.vessels.some(({ lot, content }) => content.volume > 0 && isFermenting(context, lot));
  return {
    path: 'index.html',
    title: `The cellar on ${fullDayText(book.on)}`,
    totals: totalsOf(context),
    strip: stripOf(context),
    cautions: fermenting ? [CAUTIONS['carbon dioxide'], CAUTIONS.entry] : [],
    groups: groupsOf(context),
    bottlings: book.lots.flatMap(({ facts, bottles }) =>
      facts.bottling && bottles.some(({ count }) => count !== 0)
        ? [
            {
              lot: context.links.lot(facts.id),
              bottles: bottlesText(bottles),
              age: ageText(book.on - dayOf(facts.since)),
            },
          ]
        : [],
    ),
    fruit: book.lots.flatMap(({ facts, fruit }) =>
      fruit.waiting > 0 ? [{ lot: context.links.lot(facts.id), mass: massText(fruit.waiting, context.settings) }] : [],
    ),
  };
}

function totalsOf(context: ReportContext): { name: string; text: string }[] {
  const { book, settings } = context;
  const full = book.vessels.filter(({ content }) => content.volume > 0);
  const sum = (vessels: readonly VesselRecord[]): number =>
    vessels.reduce((total, { content }) => total + content.volume, 0);
  const working = full.filter(({ lot }) => isFermenting(context, lot));
  const estimated = full.some((vessel) => vessel.estimated);
  const totals = [
    { name: `in ${counted(full.length, 'vessel')}`, text: volumeText(sum(full), settings, estimated) },
    {
      name: 'lots on hand',
      text: String(book.lots.filter(({ onHand, facts }) => onHand > 0 && !facts.bottling).length),
    },
  ];
  if (working.length > 0) {
    totals.push({
      name: 'must, juice and ferments',
      text: volumeText(
        sum(working),
        settings,
        working.some((vessel) => vessel.estimated),
      ),
    });
  }
  const bottles = book.lots.flatMap((lot) => lot.bottles).reduce((total, { count }) => total + count, 0);
  if (bottles > 0) totals.push({ name: 'bottles', text: String(bottles) });
  return totals;
}

function stripOf(context: ReportContext): FindingStrip | undefined {
  const wanted = context.book.findings.filter(({ severity }) => severity !== 'note');
  const errors = wanted.filter(({ severity }) => severity === 'error');
  if (wanted.length === 0) return undefined;
  const ordered = [...errors, ...wanted.filter(({ severity }) => severity === 'warning')];
  const counts = [
    errors.length === 0 ? '' : counted(errors.length, 'error'),
    wanted.length === errors.length ? '' : counted(wanted.length - errors.length, 'warning'),
  ];
  return {
    severity: errors.length > 0 ? 'error' : 'warning',
    count: counts.filter((text) => text !== '').join(' and '),
    rows: ordered.slice(0, MOST_IN_STRIP).map((finding) => ({
      title: CODES[finding.code].title,
      message: sentenceOf(finding.message),
      href: context.links.line(finding.where).href ?? 'findings.html',
    })),
    further: Math.max(0, ordered.length - MOST_IN_STRIP),
  };
}

function groupsOf(context: ReportContext): VesselGroup[] {
  const groups = new Map<string, VesselRecord[]>();
  for (const vessel of context.book.vessels) {
    if (vessel.retired && vessel.content.volume === 0) continue;
    const title = groupTitle(vessel);
    const group = groups.get(title);
    if (group === undefined) groups.set(title, [vessel]);
    else group.push(vessel);
  }
  return [...groups].map(([title, vessels]) => groupOf(context, title, vessels));
}

/** Plural words for kinds that do not take a plain s. */
const PLURALS: Readonly<Record<string, string>> = { amphora: 'amphorae' };

function groupTitle({ facts }: VesselRecord): string {
  const kinds = PLURALS[facts.kind] ?? `${facts.kind}s`;
  const name = `${kinds.slice(0, 1).toUpperCase()}${kinds.slice(1)}`;
  return facts.at === undefined ? name : `${name}, ${facts.at}`;
}

function groupOf(context: ReportContext, title: string, vessels: readonly VesselRecord[]): VesselGroup {
  const cards: VesselCard[] = [];
  const runs = new Map<number, VesselRecord[]>();
  const counts = new Map<number, number>();
  for (const { lot, content } of vessels) {
    if (lot !== undefined && content.volume > 0) counts.set(lot, (counts.get(lot) ?? 0) + 1);
  }
  const empty: VesselRecord[] = [];
  const many = vessels.length > MOST_CARDS;
  for (const vessel of vessels) {
    const { lot, content, facts } = vessel;
    if (content.volume === 0 || lot === undefined) {
      empty.push(vessel);
    } else if ((many || CASKS.has(facts.kind)) && (counts.get(lot) ?? 0) >= FEWEST_IN_RUN && !vessel.doubtful) {
      const run = runs.get(lot);
      if (run === undefined) runs.set(lot, [vessel]);
      else run.push(vessel);
    } else {
      cards.push(cardOf(context, vessel));
    }
  }
  return {
    title,
    cards,
    runs: [...runs].map(([lot, casks]) => runOf(context, lot, casks)),
    empty: nameList(
      empty.map(({ facts }) => facts.name),
      40,
    ),
    emptyLinks: empty.length > MOST_EMPTY_LINKS ? [] : empty.map(({ facts }) => context.links.vessel(facts.id)),
  };
}

function cardOf(context: ReportContext, vessel: VesselRecord): VesselCard {
  const lot = lotOf(context, vessel.lot);
  const happenings = happeningsOf(context, vessel.happenings);
  const since = vessel.since;
  const current = happenings.filter(({ event }) => since === undefined || event.minute >= since);
  return {
    vessel: context.links.vessel(vessel.facts.id),
    lot: vessel.lot === undefined ? { text: '' } : context.links.lot(vessel.lot),
    fullness: fullnessOf(context, vessel),
    fill: figureAt(context, fillText(context, vessel), lastMovement(context, vessel)),
    stage: lot === undefined ? '' : stageWord(lot.stage),
    age: lot === undefined ? '' : ageText(context.book.on - dayOf(lot.facts.since)),
    doubtful: vessel.doubtful,
    readings: latestReadings(context, current, 3),
  };
}

/** The line that last changed what is in the vessel. */
function lastMovement(context: ReportContext, vessel: VesselRecord): { file: number; line: number } | undefined {
  const { id } = vessel.facts;
  for (let index = vessel.happenings.length - 1; index >= 0; index -= 1) {
    const happening = context.book.happenings[vessel.happenings[index] ?? -1];
    const moved = happening?.movements.some((movement) => movesIn(movement, id));
    if (happening !== undefined && moved === true) return happening.event.place;
  }
  return undefined;
}

function movesIn(movement: Movement, vessel: VesselId): boolean {
  switch (movement.kind) {
    case 'across':
      return movement.from === vessel || movement.to === vessel;
    case 'bottles':
      return false;
    case 'in':
    case 'out':
    case 'renamed':
      return movement.vessel === vessel;
  }
}

function runOf(context: ReportContext, id: number, casks: readonly VesselRecord[]): CaskRun {
  const lot = lotOf(context, id);
  const volume = casks.reduce((sum, { content }) => sum + content.volume, 0);
  const estimated = casks.some((cask) => cask.estimated);
  return {
    lot: context.links.lot(id),
    stage: lot === undefined ? '' : stageWord(lot.stage),
    age: lot === undefined ? '' : ageText(context.book.on - dayOf(lot.facts.since)),
    volume: `${volumeText(volume, context.settings, estimated)} in ${casks.length}`,
    readings: lot === undefined ? [] : latestReadings(context, happeningsOf(context, lot.happenings), 3),
    casks: casks.map((cask) => ({
      vessel: context.links.vessel(cask.facts.id),
      fullness: fullnessOf(context, cask),
      text: percentText(shareFull(cask)),
    })),
  };
}
