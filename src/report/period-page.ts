/** The volumes of a period as a page: an account after the other, each figure with the entries or the months that make it. */
import { RULE_SETS } from '../law/rule-sets.ts';
import type { Rule, RuleSet } from '../law/rules.ts';
import type { AccountKind, AskedKey } from '../law/volume-rules.ts';
import { toldText } from '../trade/running-sums.ts';
import { volumeNumber } from '../trade/volume.ts';
import { bottlesSheet } from './cased-bottles.ts';
import type { Figure, ReportContext } from './context.ts';
import { dayOf, dayText, isoDay, shortDayText, timeText } from './dates.ts';
import { grouped } from './grouped.ts';
import { counted } from './names.ts';
import {
  type AccountEntry,
  type AccountLine,
  type AccountVolumes,
  type Amount,
  type PeriodVolumes,
  sumOf,
  type ToldUnits,
} from './period-volumes.ts';
import type { Period } from './periods.ts';
import { cell, EMPTY, figures, type Sheet, type SheetCell, type SheetRow, type SheetSection } from './sheet.ts';
import { accountName, askedFor, lineName } from './volume-lines.ts';

export interface PeriodModel {
  readonly path: string;
  readonly title: string;
  readonly lead: string;
  /** What figures are told in, and how they are rounded. */
  readonly units: string;
  readonly accounts: readonly SheetSection[];
  /** What is not wine at the end, vessel by vessel. */
  readonly notYetWine: Sheet | undefined;
  readonly bottles: Sheet | undefined;
  readonly sections: readonly SheetSection[];
  readonly law: LawTold;
  /** Months of a quarter or year, and what else tells of the same time. */
  readonly ways: readonly Figure[];
  readonly before: Figure | undefined;
  readonly after: Figure | undefined;
}

export interface LawTold {
  readonly name: string;
  readonly rules: readonly {
    readonly title: string;
    readonly section: string;
    readonly figure: string;
    readonly known: string;
  }[];
  readonly caution: string;
}

/** What a period's page is told of beside its volumes. */
export interface Beside {
  readonly path: string;
  /** The page and the name of every part of it that has a page: the months of a quarter or a year. */
  readonly parts: readonly { readonly path: string; readonly volumes: PeriodVolumes }[];
  readonly ways: readonly Figure[];
  readonly before: Figure | undefined;
  readonly after: Figure | undefined;
}

export const periodPath = ({ id }: Period): string => `volumes/${id.toLowerCase()}.html`;

/** Entries of one figure beyond which they are told by the day. */
const MOST_ENTRIES = 40;
/** Lines of such a day that are linked. */
const MOST_LINES = 3;

export const litresText = ({ litres }: Amount, units: ToldUnits, grouped = true): string =>
  toldText(litres, units.litres, grouped).replace('-', '−');
export const gallonsText = ({ gallons }: Amount, units: ToldUnits, grouped = true): string =>
  toldText(gallons, units.gallons, grouped).replace('-', '−');

export function unitsText({ factor, litres }: ToldUnits): string {
  const by = factor.rule === undefined ? 'exactly' : `the factor of ${factor.rule.section}`;
  const step = toldText(1, litres, false);
  return (
    `Wine gallons are litres × ${factor.text}, ${by}. Both are told to ${step}: every line is the difference of two ` +
    'rounded running sums, and a level is rounded from what there is; what the lines miss it by stands as a line of its own. So months add up to quarters and years, ' +
    'classes to the whole, and no sum disagrees with its parts.'
  );
}

export function lawTold(set: RuleSet, rules: readonly Rule[]): LawTold {
  const { asked } = set.volumes;
  return {
    name:
      asked === undefined
        ? 'No law is chosen'
        : `${set.name}, set ${set.version}; what lines are asked for as: ${asked.known}`,
    rules: rules.map(({ title, section, figure, dated, read }) => ({
      title,
      section,
      figure,
      known: `${dated}; ${read}`,
    })),
    caution:
      'Volumes of this record and nothing else: no tax is reckoned here, and nothing is said of what is due or allowed. The ' +
      'present text and the local authority decide what is reported, when and by whom; whoever is licensed answers for it.',
  };
}

export function periodModel(context: ReportContext, volumes: PeriodVolumes, beside: Beside): PeriodModel {
  const { period, accounts, units, notYetWine } = volumes;
  const set = RULE_SETS[context.settings.law];
  const { produced, blended, classes, gallons, gas, periods } = set.volumes;
  const told = [classes[0].rule, produced, blended, gallons?.rule, gas?.rule, ...periods.map(({ rule }) => rule)];
  return {
    path: beside.path,
    title: `Wine by class, ${period.title}`,
    lead: leadOf(context, volumes),
    units: unitsText(units),
    accounts: accounts.map((account) => accountSection(set, account, units)),
    notYetWine: notYetWine.length === 0 ? undefined : notYetWineSheet(context, volumes),
    bottles: bottlesSheet(volumes.bottles, atTheEnd(volumes, 'bottled').exact, units),
    sections: sectionsOf(context, volumes, beside),
    law: lawTold(
      set,
      told.flatMap((rule) => rule ?? []),
    ),
    ways: beside.ways,
    before: beside.before,
    after: beside.after,
  };
}

/** What all accounts of a kind hold at the end. */
export const atTheEnd = ({ accounts }: PeriodVolumes, kind: AccountKind): Amount =>
  sumOf(accounts.filter((one) => one.kind === kind).map(({ end }) => end));

function leadOf({ book }: ReportContext, volumes: PeriodVolumes): string {
  const { period, units } = volumes;
  const held = (kind: AccountKind): string =>
    `${litresText(atTheEnd(volumes, kind), units)}\u00A0L (${gallonsText(atTheEnd(volumes, kind), units)} wine gallons)`;
  const when =
    book.on < period.to ? `So far, to ${dayText(book.on)}, there are` : `On ${dayText(period.to)} there were`;
  const wine = `${when} ${held('bulk')} of wine in vessels and ${held('bottled')} in bottle`;
  return atTheEnd(volumes, 'must').exact === 0
    ? `${wine}.`
    : `${wine}, and ${held('must')} of must and juice that are not wine yet.`;
}

const ACCOUNT_COLUMNS: Sheet['columns'] = [
  { name: 'What' },
  { name: 'Litres', kind: 'number' },
  { name: 'Wine gallons', kind: 'number' },
];

const slug = (text: string): string => text.toLowerCase().replace(/[^a-z0-9]+/gu, '-');
/** Whether the lines come to the levels as they are told. */
export const isNothing = ({ litres, gallons }: Amount): boolean => litres === 0 && gallons === 0;

/** A difference with its sign: what is below nothing has one already, and nothing has none. */
const signed = (text: string): string => (/^[-−]|^0(?:\.0*)?$/u.test(text) ? text.replace('-', '−') : `+${text}`);

/** The section a line opens into: lines made of the same flows share it. */
const lineId = ({ flows }: AccountLine): string => slug(flows.toSorted().join('-and-'));

export function accountSection(set: RuleSet, account: AccountVolumes, units: ToldUnits): SheetSection {
  const { kind, wineClass, start, lines, toAccountFor, rounding, end } = account;
  const title = accountName(kind, wineClass);
  const { asked } = set.volumes;
  const row = (name: string, amount: Amount, sign: string, key: AskedKey | undefined, href?: string): SheetRow => ({
    cells: [
      cell(name, href),
      figures([{ text: `${sign}${litresText(amount, units)}`, ...(href === undefined ? {} : { href }) }]),
      cell(`${sign}${gallonsText(amount, units)}`),
      ...(asked === undefined ? [] : [cell(key === undefined ? '' : askedFor(set.volumes, key))]),
    ],
  });
  const signedRow = (amount: Amount): SheetRow => ({
    cells: [
      cell('lines as rounded'),
      figures([{ text: signed(litresText(amount, units)) }]),
      cell(signed(gallonsText(amount, units))),
      ...(asked === undefined ? [] : [cell('')]),
    ],
  });
  const told = (way: 'in' | 'out'): SheetRow[] =>
    lines
      .filter((line) => line.way === way)
      .map((line) =>
        row(
          lineName(way, line.key),
          line.amount,
          way === 'in' ? '+' : '−',
          `${kind} ${way} ${line.key}`,
          `#${lineId(line)}`,
        ),
      );
  return {
    id: slug(account.account),
    title,
    sheet: {
      label: title,
      caption: 'What was there, came, went and is; each line leads to what makes it',
      columns: asked === undefined ? ACCOUNT_COLUMNS : [...ACCOUNT_COLUMNS, { name: asked.list, kind: 'words' }],
      rows: [
        row('at the start', start, '', `${kind} start`),
        ...told('in'),
        row('to account for', toAccountFor, '', undefined),
        ...told('out'),
        ...(isNothing(rounding) ? [] : [signedRow(rounding)]),
      ],
      foot: row('at the end', end, '', `${kind} end`),
      sort: false,
    },
  };
}

function notYetWineSheet({ book, links }: ReportContext, { notYetWine, period }: PeriodVolumes): Sheet {
  const day = Math.min(period.to, book.on);
  return {
    label: 'Not yet wine',
    caption: `In fermenters, or waiting to ferment, at the end of ${dayText(day)}`,
    columns: [{ name: 'Vessel', kind: 'nowrap' }, { name: 'Lot' }, { name: 'Litres', kind: 'number' }],
    rows: notYetWine.map(({ vessel, lot, volume }) => ({
      cells: [figures([links.vessel(vessel)]), figures([links.lot(lot)]), cell(volumeNumber(volume, 'L', 3))],
    })),
    sort: false,
  };
}

/** An entry with all it did to one line. */
export interface EntryTold {
  readonly happening: AccountEntry['happening'];
  readonly amount: Amount;
  readonly estimated: boolean;
}

/** What one entry did, in one piece: a drain from five bins is one entry. */
export function byEntry(entries: readonly AccountEntry[]): EntryTold[] {
  const told = new Map<number, EntryTold>();
  for (const { happening, amount, posting } of entries) {
    const already = told.get(happening.index);
    told.set(happening.index, {
      happening,
      amount: already === undefined ? amount : sumOf([already.amount, amount]),
      estimated: posting.estimated || already?.estimated === true,
    });
  }
  return [...told.values()];
}

function sectionsOf(context: ReportContext, volumes: PeriodVolumes, { parts }: Beside): SheetSection[] {
  const told = new Map<string, SheetSection>();
  for (const account of volumes.accounts) {
    for (const line of account.lines) {
      const id = lineId(line);
      if (told.has(id)) continue;
      const name = `${accountName(account.kind, account.wineClass)}: ${lineName(line.way, line.key)}`;
      told.set(
        id,
        parts.length === 0
          ? { id, title: name, sheet: entriesSheet(context, name, line, volumes.units) }
          : { id, title: name, sheet: partsSheet(name, line, account, volumes.units, parts) },
      );
    }
  }
  return [...told.values()];
}

/** A figure of a quarter or a year: month by month. */
function partsSheet(
  label: string,
  line: AccountLine,
  { account }: AccountVolumes,
  units: ToldUnits,
  parts: Beside['parts'],
): Sheet {
  const rows = parts.flatMap(({ path, volumes }): SheetRow[] => {
    const own = volumes.accounts
      .find((one) => one.account === account)
      ?.lines.find(({ way, key }) => way === line.way && key === line.key);
    if (own === undefined) return [];
    const { amount } = own;
    return [
      {
        cells: [
          cell(volumes.period.title, `${path}#${lineId(own)}`),
          cell(litresText(amount, units)),
          cell(gallonsText(amount, units)),
        ],
      },
    ];
  });
  return {
    label,
    caption: 'Month by month; each leads to its entries',
    columns: [{ name: 'Month', kind: 'nowrap' }, ...ACCOUNT_COLUMNS.slice(1)],
    rows,
    foot: { cells: [cell('in all'), cell(litresText(line.amount, units)), cell(gallonsText(line.amount, units))] },
    sort: false,
  };
}

function entriesSheet(context: ReportContext, label: string, line: AccountLine, units: ToldUnits): Sheet {
  const entries = byEntry(line.entries);
  const folded = entries.length > MOST_ENTRIES;
  return {
    label,
    caption: `${counted(entries.length, 'entry', 'entries')}${folded ? ', by the day' : ''}`,
    columns: [
      { name: 'Day', kind: 'nowrap' },
      ...ACCOUNT_COLUMNS.slice(1),
      { name: folded ? 'Entries' : 'What was written', kind: 'words' },
      { name: 'Line', kind: 'line' },
    ],
    rows: folded ? byDay(context, entries, units) : entries.map((entry) => entryRow(context, entry, units)),
    foot: {
      cells: [
        cell('in all'),
        cell(litresText(line.amount, units)),
        cell(gallonsText(line.amount, units)),
        EMPTY,
        EMPTY,
      ],
    },
    sort: !folded,
  };
}

const dayCell = (day: number, quiet = ''): SheetCell => ({
  figures: [{ text: shortDayText(day) }],
  iso: isoDay(day),
  ...(quiet === '' ? {} : { quiet }),
});

function entryRow({ links }: ReportContext, { happening, amount, estimated }: EntryTold, units: ToldUnits): SheetRow {
  const { event, sentence } = happening;
  return {
    cells: [
      dayCell(dayOf(event.minute), timeText(event.minute)),
      cell(litresText(amount, units)),
      cell(gallonsText(amount, units)),
      estimated ? figures([{ text: sentence }], 'by estimate: no measure is written') : cell(sentence),
      figures([links.line(event.place)]),
    ],
  };
}

function byDay({ links }: ReportContext, entries: readonly EntryTold[], units: ToldUnits): SheetRow[] {
  const days = grouped(entries, ({ happening }) => dayOf(happening.event.minute));
  return [...days].map(([day, of]) => {
    const sum = sumOf(of.map(({ amount }) => amount));
    const lines = of.slice(0, MOST_LINES).map(({ happening }) => links.line(happening.event.place));
    return {
      cells: [
        dayCell(day),
        cell(litresText(sum, units)),
        cell(gallonsText(sum, units)),
        cell(counted(of.length, 'entry', 'entries')),
        figures(lines, of.length > MOST_LINES ? `and ${of.length - MOST_LINES} more` : ''),
      ],
    };
  });
}
