/** The month's volumes as pages: what there was, came, went and is, each figure with the entries that make it. */
import type { Happening } from '../cellar/book.ts';
import type { Microlitres } from '../journal/events.ts';
import { formatVolume } from '../trade/volume.ts';
import type { Figure, ReportContext } from './context.ts';
import { dayOf, isoDay, MINUTES_A_DAY, monthName, shortDayText, timeText } from './dates.ts';
import { exactVolumeText } from './figures.ts';
import { grouped } from './grouped.ts';
import { type MonthVolumes, monthOf, monthVolumes, type Posting, postingOf } from './month-volumes.ts';
import { counted } from './names.ts';
import { cell, EMPTY, figures, type Sheet, type SheetCell, type SheetRow, type SheetSection } from './sheet.ts';

/** An entry that changed a month's volumes, and by what. */
interface Entry {
  readonly happening: Happening;
  readonly postings: readonly Posting[];
}

export interface MonthPage {
  readonly path: string;
  readonly title: string;
  readonly volumes: MonthVolumes;
  readonly entries: readonly Entry[];
}

export interface YearPage {
  readonly path: string;
  readonly title: string;
  readonly year: string;
}

export interface MonthPages {
  readonly context: ReportContext;
  /** In the order of time. */
  readonly months: readonly MonthPage[];
  /** Years whose months have a page of their own to be listed on, the oldest first. */
  readonly years: readonly YearPage[];
}

/** Months listed on the first page; those of earlier years stand on a page a year. */
const LISTED = 36;

/** All months of the book with their entries, gathered in one pass. */
export function monthPages(context: ReportContext): MonthPages {
  const { book } = context;
  const entries = new Map<string, Entry[]>();
  for (const happening of book.happenings) {
    const postings = happening.movements.flatMap((movement) => postingOf(movement) ?? []);
    if (postings.length === 0) continue;
    const month = monthOf(happening.event.minute);
    const already = entries.get(month);
    if (already === undefined) entries.set(month, [{ happening, postings }]);
    else already.push({ happening, postings });
  }
  const months = monthVolumes(book).map((volumes) => ({
    path: `months/${volumes.month}.html`,
    title: monthName(volumes.month),
    volumes,
    entries: entries.get(volumes.month) ?? [],
  }));
  const early = months.slice(0, Math.max(0, months.length - LISTED));
  const years = [...new Set(early.map(({ volumes }) => volumes.month.slice(0, 4)))];
  return {
    context,
    months,
    years: years.map((year) => ({ path: `months/${year}.html`, title: `Volumes in ${year}, by month`, year })),
  };
}

export interface MonthsModel {
  readonly path: string;
  readonly title: string;
  /** What the last month ended with. */
  readonly lead: readonly Figure[];
  readonly sheet: Sheet | undefined;
  readonly years: readonly Figure[];
  readonly back: Figure | undefined;
}

const total = (sums: Readonly<Record<string, number>>): number =>
  Object.values(sums).reduce((sum, volume) => sum + volume, 0);

/** A volume as exactly as the book has it; where reports are in gallons, litres stand behind. */
function volumeCell(context: ReportContext, volume: Microlitres, href?: string): SheetCell {
  const text = exactVolumeText(volume, context.settings).replace('-', '−');
  const quiet = context.settings.volume === 'gal' ? formatVolume(volume, 'L').replace('-', '−') : '';
  return figures([href === undefined ? { text } : { text, href }], quiet);
}

/** Nothing is told as nothing. */
const someCell = (context: ReportContext, volume: Microlitres, href: string): SheetCell =>
  volume === 0 ? EMPTY : volumeCell(context, volume, href);

function listOf(context: ReportContext, months: readonly MonthPage[]): Sheet {
  const row = ({ path, title, volumes: { month, bulk, bottled } }: MonthPage): SheetRow => ({
    id: `m${month}`,
    cells: [
      cell(title, path),
      volumeCell(context, bulk.start, path),
      someCell(context, total(bulk.in), path),
      someCell(context, total(bulk.out), path),
      volumeCell(context, bulk.end, path),
      someCell(context, bottled.end, path),
    ],
  });
  return {
    label: 'Volumes by month',
    caption: 'A month starts with what the last one ended with; the newest first',
    columns: [
      { name: 'Month', kind: 'nowrap' },
      { name: 'At the start', kind: 'number' },
      { name: 'Came', kind: 'number' },
      { name: 'Went', kind: 'number' },
      { name: 'In vessels at the end', kind: 'number' },
      { name: 'In bottle at the end', kind: 'number' },
    ],
    rows: [...months].reverse().map(row),
    sort: false,
  };
}

export function monthsModel({ context, months, years }: MonthPages): MonthsModel {
  const last = months.at(-1);
  const early = new Set(years.map(({ year }) => year));
  const listed = months.filter(({ volumes }) => !early.has(volumes.month.slice(0, 4)));
  const { book } = context;
  return {
    path: 'months.html',
    title: 'Volumes by month',
    lead:
      last === undefined || book.happenings.length === 0
        ? []
        : [
            {
              text: `${last.title}${isEnded(context, last) ? ' ended with ' : ' holds, so far, '}${heldText(context, last.volumes)}`,
              href: last.path,
            },
          ],
    sheet: book.happenings.length === 0 ? undefined : listOf(context, listed),
    years: [...years].reverse().map(({ path, year }) => ({ text: year, href: path })),
    back: undefined,
  };
}

export function yearModel({ context, months }: MonthPages, { path, title, year }: YearPage): MonthsModel {
  const own = months.filter(({ volumes }) => volumes.month.startsWith(year));
  return {
    path,
    title,
    lead: [],
    sheet: listOf(context, own),
    years: [],
    back: { text: 'All months', href: 'months.html' },
  };
}

/** Whether the record tells of days beyond the month, or of its last one. */
function isEnded({ book }: ReportContext, { volumes }: MonthPage): boolean {
  return monthOf((book.on + 1) * MINUTES_A_DAY) !== volumes.month;
}

function heldText({ settings }: ReportContext, { bulk, bottled }: MonthVolumes): string {
  return `${exactVolumeText(bulk.end, settings)} in vessels and ${exactVolumeText(bottled.end, settings)} in bottle`;
}

export interface MonthModel {
  readonly path: string;
  readonly title: string;
  readonly lead: string;
  readonly sheet: Sheet;
  readonly sections: readonly SheetSection[];
  /** The same month's wine by class, must and juice apart. */
  readonly byClass: Figure;
  readonly before: Figure | undefined;
  readonly after: Figure | undefined;
}

/** What a figure of a month is called, and which of the month's sums it is made of. */
interface Kind {
  readonly key: string;
  readonly name: string;
  readonly way: 'in' | 'out';
}

/** In the order the page tells them. */
export const CAME: readonly (readonly [key: string, name: string])[] = [
  ['made', 'must and juice made from fruit'],
  ['bought', 'received: bought in'],
  ['found', 'found on the first day'],
  ['liquid', 'water and solutions added'],
  ['gains', 'gained at dips and counts'],
  ['filled', 'filled from vessels'],
];
export const WENT: readonly (readonly [key: string, name: string])[] = [
  ['bottled', 'bottled'],
  ['dispatched', 'dispatched'],
  ['sample', 'drawn as samples'],
  ['lees', 'lost with the lees'],
  ['pomace', 'lost with the pomace'],
  ['evaporation', 'lost by evaporation'],
  ['spill', 'lost by spilling'],
  ['leak', 'lost by leaking'],
  ['breakage', 'lost by breakage'],
  ['spoilage', 'lost by spoilage'],
  ['cleaning', 'lost in cleaning'],
  ['handling', 'lost in handling'],
  ['theft', 'lost by theft'],
  ['other', 'lost otherwise'],
  ['unexplained', 'lost at dips and counts, unexplained'],
];
/** Must settles both ways: one figure with its sign. */
const SETTLED = 'settled';

/** Entries of one figure beyond which they are told by the day. */
const MOST_ENTRIES = 60;
/** Lines of such a day that are linked. */
const MOST_LINES = 3;

export function monthModel({ context, months }: MonthPages, page: MonthPage): MonthModel {
  const { volumes, entries, path } = page;
  const at = months.indexOf(page);
  const beside = (other: MonthPage | undefined): Figure | undefined =>
    other === undefined ? undefined : { text: other.title, href: other.path };
  const kinds = kindsOf(entries);
  const sums = kinds.map((kind) => ({
    kind,
    bulk: sumOf(entries, kind, 'bulk'),
    bottled: sumOf(entries, kind, 'bottled'),
  }));
  const held = (name: string, bulk: Microlitres, bottled: Microlitres, href?: string): SheetRow => ({
    id: name.replaceAll(' ', '-'),
    cells: [cell(name, href), volumeCell(context, bulk, href), volumeCell(context, bottled, href)],
  });
  const last = months[at - 1];
  const ended = isEnded(context, page);
  return {
    path,
    title: `Volumes in ${page.title}`,
    lead: `${ended ? 'The month ended with' : 'So far the month holds'} ${heldText(context, volumes)}.`,
    sheet: {
      label: `Volumes in ${page.title}`,
      caption:
        'At the start, and what came and went; every figure leads to its entries. What moved within the cellar is no part of it',
      columns: [{ name: 'What' }, { name: 'In vessels', kind: 'number' }, { name: 'In bottle', kind: 'number' }],
      rows: [
        held(
          'at the start',
          volumes.bulk.start,
          volumes.bottled.start,
          last === undefined ? undefined : `${last.path}#at-the-end`,
        ),
        ...sums.map(({ kind, bulk, bottled }) => ({
          cells: [cell(kind.name, `#${idOf(kind)}`), signed(context, kind, bulk), signed(context, kind, bottled)],
        })),
      ],
      foot: held('at the end', volumes.bulk.end, volumes.bottled.end),
      sort: false,
    },
    sections: sums.map(({ kind, bulk, bottled }) => sectionOf(context, entries, kind, bulk, bottled)),
    byClass: { text: `wine by class in ${page.title}`, href: `volumes/${volumes.month}.html` },
    before: beside(months[at - 1]),
    after: beside(months[at + 1]),
  };
}

function kindsOf(entries: readonly Entry[]): Kind[] {
  const seen = new Set(entries.flatMap(({ happening, postings }) => postings.map((one) => keyOf(happening, one))));
  const named: Kind[] = [];
  const add = (key: string, name: string, way: Kind['way']): void => {
    if (seen.delete(key)) named.push({ key, name, way });
  };
  for (const [key, name] of CAME) add(`in ${key}`, name, 'in');
  add(SETTLED, 'must settled', 'in');
  for (const [key, name] of WENT) {
    add(`out ${key}`, name, 'out');
    // dispatches are told by what they were for
    for (const one of [...seen].sort()) {
      const [, why] = one.split(`out ${key} for `);
      if (why !== undefined) add(one, `${name} for ${why}`, 'out');
    }
  }
  return named;
}

function keyOf({ event }: Happening, { kind, way }: Posting): string {
  if (kind === SETTLED) return SETTLED;
  const why = kind === 'dispatched' && event.kind === 'leave' ? ` for ${event.why}` : '';
  return `${way} ${kind}${why}`;
}

/** With the sign of its way; must that settled may be either. */
function shareOf(happening: Happening, posting: Posting, { key, way }: Kind): number {
  return keyOf(happening, posting) === key ? (posting.way === way ? 1 : -1) * posting.volume : 0;
}

function sumOf(entries: readonly Entry[], kind: Kind, of: keyof Omit<MonthVolumes, 'month'>): number {
  let sum = 0;
  for (const { happening, postings } of entries) {
    for (const posting of postings) if (posting.of === of) sum += shareOf(happening, posting, kind);
  }
  return sum;
}

const idOf = ({ key }: Kind): string => `made-of-${key.replace(/[^a-z]+/gu, '-')}`;

function signed(context: ReportContext, kind: Kind, volume: Microlitres): SheetCell {
  if (volume === 0) return EMPTY;
  const text = exactVolumeText(Math.abs(volume), context.settings);
  const minus = kind.way === 'out' || volume < 0;
  const quiet = context.settings.volume === 'gal' ? formatVolume(Math.abs(volume), 'L') : '';
  return figures([{ text: `${minus ? '−' : '+'}${text}`, href: `#${idOf(kind)}` }], quiet);
}

function sectionOf(
  context: ReportContext,
  entries: readonly Entry[],
  kind: Kind,
  bulk: Microlitres,
  bottled: Microlitres,
): SheetSection {
  const own = entries.flatMap(({ happening, postings }) => {
    const sum = (of: Posting['of']): number =>
      postings.reduce((all, one) => all + (one.of === of ? shareOf(happening, one, kind) : 0), 0);
    const [inVessels, inBottle] = [sum('bulk'), sum('bottled')];
    return inVessels === 0 && inBottle === 0 ? [] : [{ happening, bulk: inVessels, bottled: inBottle }];
  });
  const both = bulk !== 0 && bottled !== 0;
  const volumesOf = (one: { readonly bulk: number; readonly bottled: number }): SheetCell[] => {
    const plain = (volume: number): SheetCell => (volume === 0 ? EMPTY : volumeCell(context, volume));
    return both ? [plain(one.bulk), plain(one.bottled)] : [plain(one.bulk === 0 ? one.bottled : one.bulk)];
  };
  const folded = own.length > MOST_ENTRIES;
  const rows = folded
    ? byDay(context, own, volumesOf)
    : own.map((one): SheetRow => {
        const { event, sentence } = one.happening;
        return {
          cells: [
            {
              figures: [{ text: shortDayText(dayOf(event.minute)) }],
              iso: isoDay(dayOf(event.minute)),
              quiet: timeText(event.minute),
            },
            ...volumesOf(one),
            cell(sentence),
            figures([context.links.line(event.place)]),
          ],
        };
      });
  return {
    id: idOf(kind),
    title: `${kind.name.slice(0, 1).toUpperCase()}${kind.name.slice(1)}`,
    sheet: {
      label: kind.name,
      caption: `${counted(own.length, 'entry', 'entries')}${folded ? ', by the day' : ''}`,
      columns: [
        { name: 'Day', kind: 'nowrap' },
        ...(both
          ? [
              { name: 'In vessels', kind: 'number' as const },
              { name: 'In bottle', kind: 'number' as const },
            ]
          : [{ name: 'Volume', kind: 'number' as const }]),
        { name: folded ? 'Entries' : 'What was written', kind: 'words' },
        { name: 'Line', kind: 'line' },
      ],
      rows,
      foot: { cells: [cell('in all'), ...volumesOf({ bulk, bottled }), EMPTY, EMPTY] },
      sort: !folded,
    },
  };
}

interface Told {
  readonly happening: Happening;
  readonly bulk: number;
  readonly bottled: number;
}

function byDay(
  context: ReportContext,
  entries: readonly Told[],
  volumesOf: (one: { readonly bulk: number; readonly bottled: number }) => SheetCell[],
): SheetRow[] {
  const days = grouped(entries, ({ happening }) => dayOf(happening.event.minute));
  return [...days].map(([day, of]) => {
    const lines = of.slice(0, MOST_LINES).map(({ happening }) => context.links.line(happening.event.place));
    return {
      cells: [
        { figures: [{ text: shortDayText(day) }], iso: isoDay(day) },
        ...volumesOf({
          bulk: of.reduce((sum, { bulk }) => sum + bulk, 0),
          bottled: of.reduce((sum, { bottled }) => sum + bottled, 0),
        }),
        cell(counted(of.length, 'entry', 'entries')),
        figures(lines, of.length > MOST_LINES ? `and ${of.length - MOST_LINES} more` : ''),
      ],
    };
  });
}
