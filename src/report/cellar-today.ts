/** The cellar on the day the journal tells of: every vessel with what is in it, by place and kind. */
import type { Movement, VesselRecord } from '../cellar/book.ts';
import type { DayNumber, LotId, VesselId } from '../journal/events.ts';
import { type ActiveFerment, activeFerments, dryAt, drySoon, rateSaid, sugarSaid } from './active-ferments.ts';
import { type AlertGroup, alertsOf } from './alerts.ts';
import { capDoneIn, capWorkOn, lastCapWork } from './cap-work.ts';
import { CAUTIONS, type Caution } from './cautions.ts';
import type { Fullness, Tint } from './charted.ts';
import { type Figure, figureAt, happeningsOf, lotOf, type ReportContext, tintOf } from './context.ts';
import { ageText, dayOf, daySpanText, fullDayText } from './dates.ts';
import { isFermenting } from './ferment.ts';
import { analyteUnit, bottlesText, massText, percentText, valueText, volumeText, withUnit } from './figures.ts';
import { fillText, fullnessOf, shareFull } from './fill.ts';
import type { Link } from './links.ts';
import { counted, nameList } from './names.ts';
import { type LatestReading, latestReadings } from './readings.ts';
import { stageWord } from './stages.ts';
import { type DueMark, dueMarkOf } from './work-due.ts';

/** What a card adds where its wine ferments. */
export interface CardFerment {
  /** `sluggish`, or nothing where it goes as it should. */
  readonly state: string;
  readonly rate: string;
  readonly dry: string;
  readonly yesterday: string;
  readonly today: string;
  readonly last: Link | undefined;
}

export interface VesselCard {
  /** Its anchor on the page. */
  readonly id: string;
  readonly vessel: Link;
  readonly lot: Link;
  readonly fullness: Fullness;
  readonly fill: Figure;
  readonly stage: string;
  readonly age: string;
  readonly doubtful: boolean;
  readonly due: DueMark | undefined;
  readonly readings: readonly LatestReading[];
  readonly ferment: CardFerment | undefined;
}

/** A small vessel: a picture, its lot and how full. */
export interface Cask {
  readonly id: string;
  readonly vessel: Link;
  readonly lot: Link;
  readonly fullness: Fullness;
  readonly text: string;
  readonly due: DueMark | undefined;
}

export interface CaskRun {
  readonly lot: Link;
  readonly stage: string;
  readonly age: string;
  readonly volume: string;
  readonly readings: readonly LatestReading[];
  readonly casks: readonly Cask[];
}

export interface VesselGroup {
  /** Its anchor on the page. */
  readonly id: string;
  readonly title: string;
  readonly cards: readonly VesselCard[];
  readonly runs: readonly CaskRun[];
  /** Small vessels of which each holds something else. */
  readonly casks: readonly Cask[];
  readonly empty: EmptyVessels | undefined;
}

export interface EmptyVessels {
  readonly text: string;
  /** Each of them, where there are not too many to name. */
  readonly links: readonly Link[];
}

/** A vessel in the small plan of the cellar at the head of the page: it leads to where the vessel is told. */
export interface PlanMark {
  readonly name: string;
  readonly href: string;
  readonly tint: Tint | 'empty';
  readonly fermenting: boolean;
}

/** A lot that ferments, in one row. */
export interface FermentingLot {
  readonly lot: Link;
  readonly vessels: string;
  readonly sugar: Figure;
  readonly warmth: Figure;
  readonly rate: string;
  readonly dry: string;
  readonly yesterday: string;
  readonly today: string;
}

export interface CellarModel {
  readonly path: string;
  readonly title: string;
  readonly totals: readonly { readonly name: string; readonly text: string }[];
  readonly alerts: readonly AlertGroup[];
  readonly fermenting: readonly FermentingLot[];
  /** Places on the page. */
  readonly ways: readonly Link[];
  readonly cautions: readonly Caution[];
  /** Groups that hold something; those wholly empty are told together at the end. */
  readonly groups: readonly VesselGroup[];
  readonly plan: readonly { readonly title: string; readonly marks: readonly PlanMark[] }[];
  readonly empty: readonly { readonly title: string; readonly vessels: EmptyVessels }[];
  /** The newest first where there are more than are shown. */
  readonly bottlings: readonly { readonly lot: Link; readonly bottles: string; readonly age: string }[];
  /** Bottlings on hand that are left to their own page. */
  readonly otherBottlings: number;
  readonly fruit: readonly { readonly lot: Link; readonly mass: string }[];
}

/** Kinds of which a cellar has rows rather than pieces. */
const CASKS: ReadonlySet<string> = new Set(['barrel', 'puncheon', 'keg', 'carboy', 'drum']);
/** Pieces beyond which a group is told in rows too, so that the page of a large cellar stays small. */
const MOST_CARDS = 60;
/** From so many vessels of one lot on they are told as a run. */
const FEWEST_IN_RUN = 3;
const MOST_EMPTY_LINKS = 24;
const MOST_BOTTLINGS = 60;
/** A cellar of more vessels than this is found by its headings, not by a plan of every one. */
const MOST_IN_PLAN = 160;

export function cellarModel(context: ReportContext): CellarModel {
  const { book } = context;
  const fermenting = book.vessels.some(({ lot, content }) => content.volume > 0 && isFermenting(context, lot));
  const groups = groupsOf(context);
  const plan = book.vessels.length > MOST_IN_PLAN ? [] : planOf(context);
  const lots = fermentingOf(context);
  const bottlings = bottlingsOf(context);
  return {
    path: 'index.html',
    title: `The cellar on ${fullDayText(book.on)}`,
    totals: totalsOf(context),
    alerts: alertsOf(context),
    fermenting: lots,
    ways: [
      { text: 'To look at', href: '#look' },
      ...(lots.length > 0 ? [{ text: 'Fermenting', href: '#fermenting' }] : []),
      ...(plan.length > 0 ? [{ text: 'Every vessel', href: '#plan' }] : []),
      ...(bottlings.length > 0 ? [{ text: 'In bottle', href: '#bottles' }] : []),
    ],
    cautions: fermenting ? [CAUTIONS['carbon dioxide'], CAUTIONS.entry] : [],
    groups: groups.filter(holdsSomething),
    plan,
    empty: groups.flatMap((group) =>
      holdsSomething(group) || group.empty === undefined ? [] : [{ title: group.title, vessels: group.empty }],
    ),
    bottlings: bottlings.length > MOST_BOTTLINGS ? bottlings.slice(-MOST_BOTTLINGS).reverse() : bottlings,
    otherBottlings: Math.max(0, bottlings.length - MOST_BOTTLINGS),
    fruit: book.lots.flatMap(({ facts, fruit }) =>
      fruit.waiting > 0 ? [{ lot: context.links.lot(facts.id), mass: massText(fruit.waiting, context.settings) }] : [],
    ),
  };
}

function bottlingsOf(context: ReportContext): CellarModel['bottlings'] {
  return context.book.lots.flatMap(({ facts, bottles }) =>
    facts.bottling && bottles.some(({ count }) => count !== 0)
      ? [
          {
            lot: context.links.lot(facts.id),
            bottles: bottlesText(bottles),
            age: ageText(context.book.on - dayOf(facts.since)),
          },
        ]
      : [],
  );
}

const holdsSomething = ({ cards, runs, casks }: VesselGroup): boolean =>
  cards.length > 0 || runs.length > 0 || casks.length > 0;

/** Lots that ferment, the one that wants looking at first. */
function fermentingOf(context: ReportContext): FermentingLot[] {
  const lots = new Map<LotId, ActiveFerment[]>();
  for (const ferment of activeFerments(context)) {
    const { id } = ferment.lot.facts;
    const of = lots.get(id);
    if (of === undefined) lots.set(id, [ferment]);
    else of.push(ferment);
  }
  return [...lots].map(([id, of]) => {
    const inOrder = [...of].sort((a, b) => a.vessel.facts.id - b.vessel.facts.id);
    return {
      lot: context.links.lot(id),
      vessels: nameList(
        inOrder.map(({ vessel }) => vessel.facts.name),
        6,
      ),
      sugar: spanFigure(context, inOrder, (one) => one.sugar.at(-1), 'not read'),
      warmth: spanFigure(context, inOrder, (one) => one.temperature.at(-1), '', 'temp'),
      rate: spanOf(
        inOrder.flatMap((one) => (one.rate === undefined || rateSaid(one) === '' ? [] : [one.rate.perDay])),
        (value) => value.toFixed(inOrder[0]?.scale === 'SG' ? 4 : 1),
      ),
      dry: dryOf(inOrder),
      yesterday: alikeText(inOrder.map((one) => capOn(one, context.book.on - 1))),
      today: alikeText(inOrder.map((one) => capOn(one, context.book.on))),
    };
  });
}

/** Cap work on a day; nothing where there is no cap. */
function capOn(ferment: ActiveFerment, day: DayNumber): string {
  return capDoneIn(ferment) ? capWorkOn(ferment.happenings, ferment.vessel.facts.id, day) : '';
}

/** The newest figure of each, from the lowest to the highest, with the line of the newest. */
function spanFigure(
  context: ReportContext,
  of: readonly ActiveFerment[],
  pick: (one: ActiveFerment) => ActiveFerment['sugar'][number] | undefined,
  none: string,
  analyte?: string,
): Figure {
  const read = of.flatMap((one) => {
    const found = pick(one);
    return found === undefined ? [] : [{ ...found, scale: one.scale }];
  });
  const [first] = [...read].sort((a, b) => b.minute - a.minute);
  if (first === undefined) return { text: none };
  const text = spanOf(
    read.map(({ value }) => value),
    (value) =>
      analyte === undefined
        ? sugarSaid(value, first.scale)
        : withUnit(valueText(analyte, value, context.settings), analyteUnit(analyte, context.settings)),
  );
  return figureAt(context, text, first.place);
}

/** `0.2 to 2.5 °Bx`: the unit is said once, behind. */
function spanOf(values: readonly number[], said: (value: number) => string): string {
  if (values.length === 0) return '';
  const [low, high] = [said(Math.min(...values)), said(Math.max(...values))];
  if (low === high) return high;
  const unit = /\u00A0[^\u00A0]*$/u.exec(high)?.[0] ?? '';
  return `${unit !== '' && low.endsWith(unit) ? low.slice(0, -unit.length) : low} to ${high}`;
}

/** The days on which the vessels of a lot are foretold to be dry, and of how many none is named. */
function dryOf(of: readonly ActiveFerment[]): string {
  const days = of.flatMap((ferment) => {
    const minute = dryAt(ferment);
    return minute === undefined ? [] : [dayOf(minute)];
  });
  const dry = of.filter(({ pace }) => pace?.state === 'finished').length;
  const near = of.filter((ferment) => drySoon(ferment) === 'about there').length;
  const open = of.length - days.length - dry - near;
  const parts = [
    days.length === 0 ? '' : daySpanText(days),
    dry === 0 ? '' : dry === of.length ? 'dry' : `${dry} dry`,
    near === 0 ? '' : near === of.length ? 'about there' : `${near} about there`,
    open === 0 ? '' : days.length + dry + near === 0 ? 'no day yet' : `${open} without a day yet`,
  ].filter((part) => part !== '');
  return parts.join('; ');
}

/** What is the same for all is said once; else what differs, from the least to the most. */
function alikeText(texts: readonly string[]): string {
  const distinct = [...new Set(texts)];
  return distinct.length <= 1 ? (distinct[0] ?? '') : distinct.sort().join(' · ');
}

/** Every vessel as a mark that leads to where it is told, so that nobody has to look for T4. */
function planOf(context: ReportContext): CellarModel['plan'] {
  return [...groupedVessels(context)].map(([title, vessels]) => ({
    title,
    marks: vessels.map((vessel) => {
      const holds = vessel.content.volume > 0;
      const page = context.links.vesselPages[vessel.facts.id] ?? '';
      return {
        name: vessel.facts.name,
        href: holds ? `#${anchorOf(context, vessel.facts.id)}` : page,
        tint: holds ? tintOf(lotOf(context, vessel.lot)) : 'empty',
        fermenting: holds && lotOf(context, vessel.lot)?.stage === 'fermenting',
      };
    }),
  }));
}

/** `v-t4`: from its page's name, which is unlike every other. */
function anchorOf(context: ReportContext, vessel: VesselId): string {
  return `v-${(context.links.vesselPages[vessel] ?? '').replace(/^vessels\/|\.html$/gu, '')}`;
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

/** By place and kind, those of one place together, in the order the journal names them. */
function groupedVessels(context: ReportContext): Map<string, VesselRecord[]> {
  const places = new Map<string, VesselRecord[]>();
  for (const vessel of context.book.vessels) {
    if (vessel.retired && vessel.content.volume === 0) continue;
    const place = vessel.facts.at ?? '';
    const of = places.get(place);
    if (of === undefined) places.set(place, [vessel]);
    else of.push(vessel);
  }
  const groups = new Map<string, VesselRecord[]>();
  for (const vessel of [...places.values()].flat()) {
    const title = groupTitle(vessel);
    const group = groups.get(title);
    if (group === undefined) groups.set(title, [vessel]);
    else group.push(vessel);
  }
  return groups;
}

function groupsOf(context: ReportContext): VesselGroup[] {
  const ferments = new Map(activeFerments(context).map((ferment) => [ferment.vessel.facts.id, ferment]));
  return [...groupedVessels(context)].map(([title, vessels], index) =>
    groupOf(context, `g${index + 1}`, title, vessels, ferments),
  );
}

/** Plural words for kinds that do not take a plain s. */
const PLURALS: Readonly<Record<string, string>> = { amphora: 'amphorae' };

function groupTitle({ facts }: VesselRecord): string {
  const kinds = PLURALS[facts.kind] ?? `${facts.kind}s`;
  const name = `${kinds.slice(0, 1).toUpperCase()}${kinds.slice(1)}`;
  return facts.at === undefined ? name : `${name}, ${facts.at}`;
}

function groupOf(
  context: ReportContext,
  id: string,
  title: string,
  vessels: readonly VesselRecord[],
  ferments: ReadonlyMap<VesselId, ActiveFerment>,
): VesselGroup {
  const cards: VesselCard[] = [];
  const casks: Cask[] = [];
  const runs = new Map<number, VesselRecord[]>();
  const counts = new Map<number, number>();
  for (const { lot, content } of vessels) {
    if (lot !== undefined && content.volume > 0) counts.set(lot, (counts.get(lot) ?? 0) + 1);
  }
  const empty: VesselRecord[] = [];
  const many = vessels.length > MOST_CARDS;
  for (const vessel of vessels) {
    const { lot, content, facts } = vessel;
    const small = (many || CASKS.has(facts.kind)) && !vessel.doubtful;
    if (content.volume === 0 || lot === undefined) {
      empty.push(vessel);
    } else if (small && (counts.get(lot) ?? 0) >= FEWEST_IN_RUN) {
      const run = runs.get(lot);
      if (run === undefined) runs.set(lot, [vessel]);
      else run.push(vessel);
    } else if (small && !ferments.has(facts.id)) {
      casks.push(caskOf(context, vessel));
    } else {
      cards.push(cardOf(context, vessel, ferments.get(facts.id)));
    }
  }
  return {
    id,
    title,
    cards,
    runs: [...runs].map(([lot, of]) => runOf(context, lot, of)),
    casks,
    empty: empty.length === 0 ? undefined : emptyOf(context, empty),
  };
}

function emptyOf(context: ReportContext, empty: readonly VesselRecord[]): EmptyVessels {
  return {
    text: nameList(
      empty.map(({ facts }) => facts.name),
      40,
    ),
    links: empty.length > MOST_EMPTY_LINKS ? [] : empty.map(({ facts }) => context.links.vessel(facts.id)),
  };
}

function caskOf(context: ReportContext, vessel: VesselRecord): Cask {
  return {
    id: anchorOf(context, vessel.facts.id),
    vessel: context.links.vessel(vessel.facts.id),
    lot: vessel.lot === undefined ? { text: '' } : context.links.lot(vessel.lot),
    fullness: fullnessOf(context, vessel),
    text: fillText(context, vessel).replace(/,[^,]*$/u, ''),
    due: dueMarkOf(context, vessel.facts.id),
  };
}

function cardOf(context: ReportContext, vessel: VesselRecord, ferment: ActiveFerment | undefined): VesselCard {
  const lot = lotOf(context, vessel.lot);
  const happenings = happeningsOf(context, vessel.happenings);
  const since = vessel.since;
  const current = happenings.filter(({ event }) => since === undefined || event.minute >= since);
  return {
    id: anchorOf(context, vessel.facts.id),
    vessel: context.links.vessel(vessel.facts.id),
    lot: vessel.lot === undefined ? { text: '' } : context.links.lot(vessel.lot),
    fullness: fullnessOf(context, vessel),
    fill: figureAt(context, fillText(context, vessel), lastMovement(context, vessel)),
    stage: lot === undefined ? '' : stageWord(lot.stage),
    age: lot === undefined ? '' : ageText(context.book.on - dayOf(lot.facts.since)),
    doubtful: vessel.doubtful,
    due: dueMarkOf(context, vessel.facts.id),
    readings: latestReadings(context, current, 3),
    ferment: ferment === undefined ? undefined : cardFerment(context, ferment),
  };
}

function cardFerment(context: ReportContext, ferment: ActiveFerment): CardFerment {
  const { vessel, happenings, pace } = ferment;
  const last = lastCapWork(context, happenings, vessel.facts.id);
  const slow = pace?.state === 'stuck' || pace?.state === 'sluggish';
  return {
    state: slow ? pace.state : '',
    rate: rateSaid(ferment),
    dry: drySoon(ferment),
    yesterday: capOn(ferment, context.book.on - 1),
    today: capOn(ferment, context.book.on),
    last: last === undefined ? undefined : { ...last.line, text: last.text },
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
    casks: casks.map((cask) => ({ ...caskOf(context, cask), text: percentText(shareFull(cask)) })),
  };
}
