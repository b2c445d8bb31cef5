/** The losses of a year as a page, and as the tables a terminal shows. */
import type { Microlitres } from '../journal/events.ts';
import { tellingPlaces, type Used } from '../law/annual-losses.ts';
import { RULE_SETS } from '../law/rule-sets.ts';
import type { LineKey } from '../law/volume-rules.ts';
import { formatVolume } from '../trade/volume.ts';
import type { Figure, ReportContext } from './context.ts';
import { dayOf, dayText, isoDay } from './dates.ts';
import { gallonsText, type LawTold, lawTold, litresText } from './period-page.ts';
import type { Amount, PeriodVolumes } from './period-volumes.ts';
import { cell, figures, type Sheet, type SheetRow, type SheetSection } from './sheet.ts';
import { lineName } from './volume-lines.ts';
import { type ClassLosses, type LossesOf, lossRules, type YearLosses, yearLosses } from './year-losses.ts';

export interface YearLossesModel {
  readonly path: string;
  readonly title: string;
  readonly lead: string;
  readonly sections: readonly SheetSection[];
  readonly law: LawTold;
  readonly ways: readonly Figure[];
}

export const lossesPath = (year: string): string => `volumes/${year}-losses.html`;

/** Vessels and works told one by one, those that lost most. */
const MOST_ROWS = 20;

export function yearLossesModel(
  context: ReportContext,
  volumes: PeriodVolumes,
  path: string,
  ways: readonly Figure[],
): YearLossesModel {
  const set = RULE_SETS[context.settings.law];
  const losses = yearLosses(set.volumes, volumes);
  const rules = lossRules(set.volumes);
  const told = [...rules.allowances.map(({ rule }) => rule), ...(rules.shortage === undefined ? [] : [rules.shortage])];
  return {
    path,
    title: `Losses in ${volumes.period.title}`,
    lead: leadOf(context, volumes, losses),
    sections: lossSections(context, volumes, losses),
    law: lawTold(set, told),
    ways,
  };
}

function leadOf({ book }: ReportContext, { period, units }: PeriodVolumes, { classes, missing }: YearLosses): string {
  const lost = classes.reduce((sum, one) => sum + one.lost.exact, 0);
  const so = book.on < period.to ? `So far, to ${dayText(book.on)},` : 'In the year';
  const passed = classes.flatMap(({ used }) => used).filter((one) => one.passed).length;
  const shares =
    classes.every(({ used }) => used.length === 0) || lost === 0
      ? ''
      : passed === 0
        ? ', within every share the rule gives'
        : ', more than a share the rule gives';
  const short = missing.reduce((sum, { amount }) => sum + amount.litres, 0);
  const bottles =
    short === 0
      ? 'No bottles are missing that nobody can explain.'
      : `${litresText({ exact: 0, litres: short, gallons: 0 }, units)}\u00A0L of bottled wine are missing, and no entry says why.`;
  return `${so} ${formatVolume(lost, 'L')} of wine in vessels were lost${shares}. ${bottles}`;
}

const VOLUME_COLUMNS: Sheet['columns'] = [
  { name: 'Litres', kind: 'number' },
  { name: 'Wine gallons', kind: 'number' },
];

/** The tables of the losses of a year. */
export function lossSections(context: ReportContext, volumes: PeriodVolumes, losses: YearLosses): SheetSection[] {
  const { units } = volumes;
  const { book, links } = context;
  const { vessels, works, missing, told } = losses;
  const both = (amount: Amount) => [cell(litresText(amount, units)), cell(gallonsText(amount, units))];
  const byMost = <Of>(label: string, name: string, list: readonly LossesOf<Of>[], of: (of: Of) => Figure): Sheet => ({
    label,
    caption:
      list.length > MOST_ROWS ? `The ${MOST_ROWS} that lost most, of ${list.length}` : 'Those that lost most first',
    columns: [
      { name, kind: 'nowrap' },
      ...VOLUME_COLUMNS,
      { name: 'Its largest', kind: 'words' },
      { name: 'Line', kind: 'line' },
    ],
    rows: list.slice(0, MOST_ROWS).map(({ of: one, amount, most }) => ({
      cells: [
        figures([of(one)]),
        ...both(amount),
        cell(most.happening.sentence),
        figures([links.line(most.happening.event.place)]),
      ],
    })),
    sort: false,
  });
  return [
    ...losses.classes.flatMap((one): SheetSection[] => classSection(one, volumes)),
    ...(vessels.length === 0
      ? []
      : [
          {
            id: 'by-vessel',
            title: 'Which vessels lost most',
            sheet: byMost('Losses by vessel', 'Vessel', vessels, (id) => links.vessel(id)),
          },
          {
            id: 'by-work',
            title: 'At which work most was lost',
            sheet: byMost('Losses by work', 'Work', works, (verb) => ({ text: verb })),
          },
        ]),
    {
      id: 'bottles',
      title: 'Bottled wine',
      words: [
        {
          text:
            missing.length === 0
              ? 'No count found fewer bottles than the record has.'
              : 'Counts found fewer bottles than the record has, and no entry says where they went. They stand apart from breakage and other losses that are told.',
        },
      ],
      ...(missing.length + told.length === 0
        ? {}
        : {
            sheet: {
              label: 'Bottled wine lost or missing',
              caption: 'What is missing first, then what is told',
              columns: [{ name: 'What' }, ...VOLUME_COLUMNS, { name: 'Line', kind: 'line' as const }],
              rows: [
                ...missing.map(
                  ({ happening, amount }): SheetRow => ({
                    cells: [
                      {
                        figures: [{ text: `missing on ${dayText(dayOf(happening.event.minute))}` }],
                        iso: isoDay(dayOf(happening.event.minute)),
                      },
                      ...both(amount),
                      figures([links.line(happening.event.place)]),
                    ],
                  }),
                ),
                ...told.map(
                  ({ key, amount }): SheetRow => ({ cells: [cell(lineName('out', key)), ...both(amount), cell('')] }),
                ),
              ],
              sort: false,
            },
          }),
      beneath:
        book.happenings.length === 0
          ? []
          : [{ text: 'Bottles have no loss of their own: what is missing is looked for.' }],
    },
  ];
}

function classSection({ wineClass, lost, used, kinds }: ClassLosses, { units }: PeriodVolumes): SheetSection[] {
  if (lost.exact === 0 && used.every(({ base }) => base === 0)) return [];
  const title = wineClass?.title ?? 'Wine';
  const id = `class-${wineClass?.id ?? 'wine'}`;
  const percent = ({ lost: part, allowed, passed }: Used): string => {
    if (allowed === 0) return '';
    const text = (Math.floor((part / allowed) * 1000) / 10).toFixed(1);
    return `${passed && text === '100.0' ? 'above 100' : text} %`;
  };
  // wine that went over to another class took along what had been lost of it
  const elsewhere = used.length > 0 && used.reduce((sum, one) => sum + one.lost, 0) !== lost.exact;
  const of = { stored: 'there at the start and received', produced: 'produced in the year' } as const;
  const allowances: Sheet = {
    label: `Losses of ${title} against the rule`,
    caption: `What a year may lose before a claim is needed, and how much of it is used${
      elsewhere ? '; wine that went over to another class took along what had been lost of it' : ''
    }`,
    columns: [
      { name: 'Of wine' },
      { name: 'There was', kind: 'number' },
      { name: 'May be lost', kind: 'number' },
      { name: 'Lost', kind: 'number' },
      { name: 'Used', kind: 'number' },
      { name: 'Left', kind: 'number' },
      { name: 'Rule', kind: 'words' },
    ],
    rows: used.map((one) => {
      const { allowance, base, allowed, lost: part, passed } = one;
      const places = tellingPlaces(one, 'L');
      const litres = (volume: Microlitres): string => formatVolume(volume, 'L', places);
      return {
        cells: [
          cell(of[allowance.of]),
          cell(litres(base)),
          cell(litres(allowed), undefined),
          cell(litres(part)),
          cell(percent(one)),
          cell(passed ? `${litres(part - allowed)} too much` : litres(allowed - part)),
          cell(`${allowance.share / 10_000} %, ${allowance.rule.section}`),
        ],
      };
    }),
    sort: false,
  };
  const byKind: Sheet = {
    label: `Losses of ${title} by kind`,
    caption: 'What counts as lost, the most first',
    columns: [{ name: 'What' }, ...VOLUME_COLUMNS],
    rows: kinds.map(({ key, amount }: { readonly key: LineKey; readonly amount: Amount }) => ({
      cells: [cell(lineName('out', key)), cell(litresText(amount, units)), cell(gallonsText(amount, units))],
    })),
    foot: { cells: [cell('in all'), cell(litresText(lost, units)), cell(gallonsText(lost, units))] },
    sort: false,
  };
  return [
    ...(used.length === 0 ? [] : [{ id, title: `${title}: against the rule`, sheet: allowances }]),
    ...(kinds.length === 0 ? [] : [{ id: `${id}-by-kind`, title: `${title}: what was lost`, sheet: byKind }]),
  ];
}
