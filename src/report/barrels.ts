/** The barrels: what each holds, how long since it was topped and its free sulfur dioxide read, its age and its fills. */
import type { Happening, VesselRecord } from '../cellar/book.ts';
import type { VesselId } from '../journal/events.ts';
import type { BarrelStrip, Mark } from './charted.ts';
import { type Figure, figureAt, happeningsOf, lotOf, type ReportContext, tintOf } from './context.ts';
import { ageText, civil, dayOf, dayText, isoDay, MINUTES_A_DAY, shortDayText } from './dates.ts';
import { measureText, namedMeasureText, volumeText } from './figures.ts';
import { Known } from './known.ts';
import { counted, nameList } from './names.ts';
import { cell, EMPTY, figures, type Sheet, type SheetCell, type SheetRow } from './sheet.ts';

/** Vessels of wood, which drink and want topping. */
const WOOD: ReadonlySet<string> = new Set(['barrel', 'puncheon', 'foudre']);

export const isBarrel = ({ facts }: VesselRecord): boolean => WOOD.has(facts.kind);

/** Something done, and how many days ago. */
export interface Ago {
  readonly days: number;
  readonly figure: Figure;
  readonly iso: string;
}

export interface BarrelRecord {
  readonly vessel: VesselRecord;
  /** Days since its wine came into it; undefined where it is empty. */
  readonly filledFor: number | undefined;
  /** The last topping since it was filled. */
  readonly topped: Ago | undefined;
  /** Days since it was topped, or since it was filled where that is later. */
  readonly untopped: number | undefined;
  /** The last free sulfur dioxide read since it was filled. */
  readonly sulfur: Ago | undefined;
  /** What evaporated from it since it was filled, in microlitres. */
  readonly evaporated: number;
  /** The last cleaning or gassing, where it is empty. */
  readonly tended: Ago | undefined;
}

export function barrelOf(context: ReportContext, vessel: VesselRecord): BarrelRecord {
  const { book } = context;
  const { id } = vessel.facts;
  const full = vessel.content.volume > 0;
  const filled = full ? (vessel.fills.at(-1)?.from ?? vessel.since) : undefined;
  const since = happeningsOf(context, vessel.happenings).filter(({ event }) => event.minute >= (filled ?? 0));
  const ago = (happening: Happening, text: string): Ago => {
    const day = dayOf(happening.event.minute);
    return { days: book.on - day, figure: figureAt(context, text, happening.event.place), iso: isoDay(day) };
  };
  const onDay = ({ event }: Happening): string => dayNear(context, dayOf(event.minute));
  const topping = full ? since.findLast((happening) => tops(happening, id)) : undefined;
  const reading = full ? since.findLast(({ event }) => freeIn(event) !== undefined) : undefined;
  const tending = full ? undefined : since.findLast(({ event }) => event.verb === 'clean' || event.verb === 'gas');
  const free = reading === undefined ? undefined : freeIn(reading.event);
  const filledFor = filled === undefined ? undefined : book.on - dayOf(filled);
  return {
    vessel,
    filledFor,
    topped: topping === undefined ? undefined : ago(topping, onDay(topping)),
    untopped: topping === undefined ? filledFor : book.on - dayOf(topping.event.minute),
    sulfur:
      reading === undefined || free === undefined
        ? undefined
        : ago(reading, `${namedMeasureText(free, context.settings).replace(/^free SO2 /u, '')}, ${onDay(reading)}`),
    evaporated: since.reduce((sum, happening) => sum + evaporatedFrom(happening, id), 0),
    tended: tending === undefined ? undefined : ago(tending, `${tending.event.verb} ${onDay(tending)}`),
  };
}

/** A day, with its year where that is not the year the record tells of. */
const dayNear = ({ book }: ReportContext, day: number): string =>
  civil(day).year === civil(book.on).year ? shortDayText(day) : dayText(day);

function tops({ event, movements }: Happening, vessel: VesselId): boolean {
  if (event.kind !== 'top') return false;
  return (
    movements.some((movement) => movement.kind === 'across' && movement.to === vessel) ||
    event.targets.some(({ targets }) => targets.some((target) => target.kind === 'vessel' && target.vessel === vessel))
  );
}

const freeIn = (event: Happening['event']) =>
  event.kind === 'reading' ? event.measures.find(({ analyte }) => analyte === 'free SO2') : undefined;

const evaporatedFrom = ({ movements }: Happening, vessel: VesselId): number =>
  movements.reduce(
    (sum, movement) =>
      sum +
      (movement.kind === 'out' && movement.how === 'evaporation' && movement.vessel === vessel ? movement.volume : 0),
    0,
  );

/** Stays and marks a drawing has room for: the last ones. */
const MOST_STAYS = 60;
const MOST_MARKS = 80;

/** The years of a barrel as its drawing shows them, from a minute on. */
export function stripOf(context: ReportContext, { facts, fills, happenings }: VesselRecord, from: number): BarrelStrip {
  const until = (context.book.on + 1) * MINUTES_A_DAY;
  const stays = fills.flatMap((fill) => {
    const end = fill.until ?? until;
    if (end <= from) return [];
    const link = context.links.lot(fill.lot);
    return [
      {
        name: link.text,
        ...(link.href === undefined ? {} : { href: link.href }),
        from: Math.max(from, fill.from),
        until: end,
        tint: tintOf(lotOf(context, fill.lot)),
      },
    ];
  });
  const topped: Mark[] = [];
  const sulfur: Mark[] = [];
  for (const happening of happeningsOf(context, happenings)) {
    const { event } = happening;
    if (event.minute < from) continue;
    const free = freeIn(event);
    const label = dayText(dayOf(event.minute));
    if (tops(happening, facts.id)) topped.push({ minute: event.minute, label });
    else if (free !== undefined)
      sulfur.push({ minute: event.minute, label: `${label}: ${measureText(free, context.settings)}` });
  }
  return {
    title: `What lay in ${facts.name}`,
    from,
    until,
    stays: stays.slice(-MOST_STAYS),
    topped: topped.slice(-MOST_MARKS),
    sulfur: sulfur.slice(-MOST_MARKS),
  };
}

/** The minute a barrel's own drawing begins: its first fill, or the first day of the book. */
export const firstFill = ({ book }: ReportContext, { fills }: VesselRecord): number =>
  fills[0]?.from ?? book.firstDay * MINUTES_A_DAY;

/** `2nd year`, or how many years it was used when nothing says since when. */
export function yearsText({ book }: ReportContext, { facts }: VesselRecord): string {
  if (facts.firstUsed === undefined) return '';
  const years = civil(book.on).year - facts.firstUsed + 1;
  return years < 1 ? '' : `${years}${ordinal(years)} year`;
}

function ordinal(count: number): string {
  if (count % 100 >= 11 && count % 100 <= 13) return 'th';
  return ['th', 'st', 'nd', 'rd'][count % 10] ?? 'th';
}

export const fillsText = ({ fills }: VesselRecord): string => {
  const lots = new Set(fills.map(({ lot }) => lot)).size;
  return fills.length === 0 ? '' : `${counted(fills.length, 'fill')}, ${counted(lots, 'lot')}`;
};

export interface BarrelsPage {
  readonly path: string;
  readonly title: string;
  readonly number: number;
}

export interface BarrelsModel {
  readonly path: string;
  readonly title: string;
  readonly none: boolean;
  readonly lead: string;
  /** By how long, the longest first: those that were not topped for three weeks and longer. */
  readonly untopped: readonly { readonly days: string; readonly barrels: string }[];
  readonly untoppedCount: number;
  readonly filled: Sheet | undefined;
  readonly empty: Sheet | undefined;
  readonly furtherEmpty: string;
  readonly pages: readonly Figure[];
}

/** Rows of one page, and of those how many with a drawing. */
const MOST_ROWS = 100;
const MOST_DRAWN = 20;
const MOST_EMPTY = 100;
/** Drawings in a table share their time: the last two years. */
const DRAWN_DAYS = 730;
/** Every two to four weeks is what most advise (common practice, no source). */
const THREE_WEEKS = 21;
const MOST_UNTOPPED = 60;

const KNOWN = new Known<ReportContext, readonly BarrelRecord[]>(filledBarrels);

/** Barrels with wine in them, the longest untopped first. */
function filledBarrels(context: ReportContext): readonly BarrelRecord[] {
  const known = KNOWN.get(context);
  if (known !== undefined) return known;
  const found = context.book.vessels
    .filter((vessel) => isBarrel(vessel) && vessel.content.volume > 0)
    .map((vessel) => barrelOf(context, vessel))
    .sort((a, b) => (b.untopped ?? 0) - (a.untopped ?? 0) || a.vessel.facts.id - b.vessel.facts.id);
  KNOWN.set(context, found);
  return found;
}

export function barrelsPages(context: ReportContext): BarrelsPage[] {
  const count = Math.max(1, Math.ceil(filledBarrels(context).length / MOST_ROWS));
  return Array.from({ length: count }, (_, index) =>
    index === 0
      ? { path: 'barrels.html', title: 'Barrels', number: 1 }
      : { path: `barrels/${index + 1}.html`, title: `Barrels, page ${index + 1}`, number: index + 1 },
  );
}

export function barrelsModel(context: ReportContext, pages: readonly BarrelsPage[], page: BarrelsPage): BarrelsModel {
  const { book, settings } = context;
  const filled = filledBarrels(context);
  const wood = book.vessels.filter((vessel) => isBarrel(vessel) && !(vessel.retired && vessel.content.volume === 0));
  const first = page.number === 1;
  const empty = first ? wood.filter(({ content }) => content.volume === 0) : [];
  const shown = filled.slice((page.number - 1) * MOST_ROWS, page.number * MOST_ROWS);
  const held = filled.reduce((sum, { vessel }) => sum + vessel.content.volume, 0);
  return {
    path: page.path,
    title: page.title,
    none: wood.length === 0,
    lead: `${counted(filled.length, 'barrel')} with ${volumeText(held, settings)}, ${wood.length - filled.length} empty.${longestText(filled)}`,
    untopped: first ? untoppedOf(filled) : [],
    untoppedCount: filled.filter(({ untopped = 0 }) => untopped >= THREE_WEEKS).length,
    filled: shown.length === 0 ? undefined : filledSheet(context, shown, filled.length),
    empty: empty.length === 0 ? undefined : emptySheet(context, empty.slice(0, MOST_EMPTY)),
    furtherEmpty: nameList(
      empty.slice(MOST_EMPTY).map(({ facts }) => facts.name),
      200,
    ),
    pages: pages.filter((other) => other !== page).map(({ path, number }) => ({ text: `page ${number}`, href: path })),
  };
}

/** What is said where none is overdue. */
function longestText(filled: readonly BarrelRecord[]): string {
  const [longest] = filled;
  if (longest?.untopped === undefined || longest.untopped >= THREE_WEEKS) return '';
  return ` All were topped or filled within three weeks, the longest ago ${longest.untopped === 0 ? 'today' : `${counted(longest.untopped, 'day')} ago`}.`;
}

function untoppedOf(filled: readonly BarrelRecord[]): BarrelsModel['untopped'] {
  const groups = new Map<number, string[]>();
  for (const { untopped = 0, vessel } of filled) {
    if (untopped < THREE_WEEKS) continue;
    const names = groups.get(untopped);
    if (names === undefined) groups.set(untopped, [vessel.facts.name]);
    else names.push(vessel.facts.name);
  }
  return [...groups]
    .slice(0, MOST_UNTOPPED)
    .map(([days, names]) => ({ days: counted(days, 'day'), barrels: nameList(names, 60) }));
}

function agoCell(ago: Ago | undefined, never: string): SheetCell {
  if (ago === undefined) return { figures: [], quiet: never };
  return { figures: [{ text: counted(ago.days, 'day') }, ago.figure] };
}

function filledSheet(context: ReportContext, shown: readonly BarrelRecord[], all: number): Sheet {
  const { book, links, settings } = context;
  const from = Math.max(book.firstDay, book.on - DRAWN_DAYS) * MINUTES_A_DAY;
  const row = (record: BarrelRecord, index: number): SheetRow => {
    const { vessel, filledFor = 0, untopped = 0, topped, sulfur, evaporated } = record;
    const { facts, lot, content, estimated } = vessel;
    return {
      cells: [
        figures([links.vessel(facts.id)]),
        topped === undefined
          ? { figures: [{ text: counted(untopped, 'day') }], quiet: 'not since it was filled' }
          : { figures: [{ text: counted(untopped, 'day') }, topped.figure] },
        agoCell(sulfur, 'not since it was filled'),
        figures(lot === undefined ? [] : [links.lot(lot)]),
        cell(volumeText(content.volume, settings, estimated)),
        index < MOST_DRAWN ? { figures: [], barrel: stripOf(context, vessel, from) } : EMPTY,
        cell(counted(filledFor, 'day')),
        cell(evaporated === 0 ? '' : volumeText(evaporated, settings)),
        cell(yearsText(context, vessel)),
        cell(fillsText(vessel)),
      ],
    };
  };
  return {
    label: 'Barrels with wine',
    caption:
      'The longest untopped first; one never topped counts from its filling. The drawings show the last two years: what lay in it, toppings below, free SO2 readings above' +
      (shown.length === all ? '' : `. ${shown.length} of ${all}`),
    columns: [
      { name: 'Barrel', kind: 'nowrap' },
      { name: 'Since topped', kind: 'nowrap' },
      { name: 'Since free SO2 was read', kind: 'nowrap' },
      { name: 'Holds', kind: 'nowrap' },
      { name: 'Volume', kind: 'number' },
      { name: 'Its years' },
      { name: 'Filled for', kind: 'number' },
      { name: 'Evaporated', kind: 'number' },
      { name: 'Age', kind: 'nowrap' },
      { name: 'Fills', kind: 'nowrap' },
    ],
    rows: shown.map(row),
    sort: true,
  };
}

function emptySheet(context: ReportContext, empty: readonly VesselRecord[]): Sheet {
  const { book, links } = context;
  const rows = empty.map((vessel): SheetRow => {
    const last = vessel.fills.at(-1);
    const { tended } = barrelOf(context, vessel);
    const since = last?.until === undefined ? undefined : dayOf(last.until);
    return {
      cells: [
        figures([links.vessel(vessel.facts.id)]),
        since === undefined
          ? { figures: [], quiet: 'never filled here' }
          : { figures: [{ text: ageText(book.on - since) }], quiet: `since ${dayNear(context, since)}` },
        figures(last === undefined ? [] : [links.lot(last.lot)]),
        agoCell(tended, 'nothing told'),
        cell(yearsText(context, vessel)),
        cell(fillsText(vessel)),
        cell(vessel.facts.details.join(', ')),
      ],
    };
  });
  return {
    label: 'Empty barrels',
    caption: 'Empty, and when they were last cleaned or gassed',
    columns: [
      { name: 'Barrel', kind: 'nowrap' },
      { name: 'Empty for', kind: 'nowrap' },
      { name: 'Last held', kind: 'nowrap' },
      { name: 'Since cleaned or gassed', kind: 'nowrap' },
      { name: 'Age', kind: 'nowrap' },
      { name: 'Fills', kind: 'nowrap' },
      { name: 'Made of', kind: 'words' },
    ],
    rows,
    sort: true,
  };
}
