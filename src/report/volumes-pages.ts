/** The pages of wine by class: which there are, and the one that lists them. */
import { longestPeriod } from '../law/reporting-periods.ts';
import { RULE_SETS } from '../law/rule-sets.ts';
import type { Figure, ReportContext } from './context.ts';
import { civil, monthName } from './dates.ts';
import {
  atTheEnd,
  gallonsText,
  litresText,
  type PeriodModel,
  periodModel,
  periodPath,
  unitsText,
} from './period-page.ts';
import { type PeriodVolumes, periodOf, sumOf, toldFlows, toldUnits } from './period-volumes.ts';
import { type Period, type PeriodKind, periodsOf } from './periods.ts';
import { cell, figures, type Sheet } from './sheet.ts';
import { wineFlows } from './wine-flows.ts';
import { lossesPath, type YearLossesModel, yearLossesModel } from './year-losses-page.ts';

export interface PeriodPage {
  readonly path: string;
  readonly title: string;
  readonly volumes: PeriodVolumes;
}

export interface VolumesPages {
  readonly context: ReportContext;
  /** Each in the order of time. */
  readonly months: readonly PeriodPage[];
  readonly quarters: readonly PeriodPage[];
  readonly years: readonly PeriodPage[];
}

export function volumesPages(context: ReportContext): VolumesPages {
  const flows = wineFlows(context.book);
  const told = toldFlows(flows, toldUnits(flows.rules));
  const pages = (kind: Exclude<PeriodKind, 'days'>): PeriodPage[] =>
    periodsOf(context.book, kind).map((period) => ({
      path: periodPath(period),
      title: `Wine by class, ${period.title}`,
      volumes: periodOf(told, period),
    }));
  return { context, months: pages('month'), quarters: pages('quarter'), years: pages('year') };
}

const within = ({ volumes: { period } }: PeriodPage, outer: Period): boolean =>
  period.from >= outer.from && period.to <= outer.to;

const link = ({ path, volumes }: PeriodPage): Figure => ({ text: volumes.period.title, href: path });

export function periodPageModel(pages: VolumesPages, page: PeriodPage): PeriodModel {
  const { period } = page.volumes;
  const row = [pages.months, pages.quarters, pages.years].find((list) => list.includes(page)) ?? [];
  const at = row.indexOf(page);
  const [before, after] = [row[at - 1], row[at + 1]];
  const parts = period.kind === 'month' ? [] : pages.months.filter((month) => within(month, period));
  const wider = [...pages.quarters, ...pages.years].filter(
    (other) => other !== page && within(page, other.volumes.period),
  );
  const ways: Figure[] = [
    ...wider.map(link),
    ...(period.kind === 'month'
      ? [{ text: 'everything in vessels and bottles, must and all', href: `months/${period.id}.html` }]
      : []),
    ...(period.kind === 'year' ? [{ text: `Losses in ${period.title}`, href: lossesPath(period.id) }] : []),
  ];
  return periodModel(pages.context, page.volumes, {
    path: page.path,
    parts: parts.map(({ path, volumes }) => ({ path, volumes })),
    ways,
    before: before === undefined ? undefined : link(before),
    after: after === undefined ? undefined : link(after),
  });
}

export const lossesPageModel = ({ context }: VolumesPages, year: PeriodPage): YearLossesModel =>
  yearLossesModel(context, year.volumes, lossesPath(year.volumes.period.id), [
    { text: year.title, href: year.path },
    { text: 'all periods', href: 'volumes.html' },
  ]);

export interface VolumesModel {
  readonly path: string;
  readonly title: string;
  readonly lead: string;
  readonly units: string;
  readonly years: Sheet | undefined;
  readonly months: Sheet | undefined;
  /** Which periods the rule knows, and what the volumes say to that. */
  readonly periods: string | undefined;
}

export function volumesModel(pages: VolumesPages): VolumesModel {
  const { context, months, years } = pages;
  const last = months.at(-1);
  return {
    path: 'volumes.html',
    title: 'Wine by class',
    lead:
      last === undefined
        ? ''
        : `Wine by its class for a month, a quarter or a year: what was there, came, went and is. ${periodModelLead(pages, last)}`,
    units: unitsText(toldUnits(RULE_SETS[context.settings.law].volumes)),
    years: years.length === 0 ? undefined : yearsSheet(pages),
    months: months.length === 0 ? undefined : monthsSheet(months),
    periods: periodsText(pages),
  };
}

const periodModelLead = (pages: VolumesPages, last: PeriodPage): string => periodPageModel(pages, last).lead;

function yearsSheet({ years, quarters }: VolumesPages): Sheet {
  return {
    label: 'Years and quarters',
    caption: 'Years and their quarters, the newest first',
    columns: [{ name: 'Year', kind: 'nowrap' }, { name: 'Quarters' }, { name: 'Losses' }],
    rows: [...years].reverse().map((year) => ({
      cells: [
        cell(year.volumes.period.title, year.path),
        figures(
          quarters
            .filter((quarter) => within(quarter, year.volumes.period))
            .map(({ path, volumes }) => ({ text: volumes.period.id.slice(-2), href: path })),
        ),
        cell('against the rule', lossesPath(year.volumes.period.id)),
      ],
    })),
    sort: false,
  };
}

function monthsSheet(months: readonly PeriodPage[]): Sheet {
  return {
    label: 'Months',
    caption: 'Months, the newest first; what there was at the end, in litres',
    columns: [
      { name: 'Month', kind: 'nowrap' },
      { name: 'Must and juice', kind: 'number' },
      { name: 'Wine in vessels', kind: 'number' },
      { name: 'Wine in bottle', kind: 'number' },
      { name: 'To account for', unit: 'wine gallons', kind: 'number' },
    ],
    rows: [...months].reverse().map(({ path, volumes }) => ({
      cells: [
        cell(monthName(volumes.period.id), path),
        ...(['must', 'bulk', 'bottled'] as const).map((kind) =>
          cell(litresText(atTheEnd(volumes, kind), volumes.units)),
        ),
        cell(gallonsText(toAccountFor(volumes), volumes.units)),
      ],
    })),
    sort: false,
  };
}

/** Of wine, in vessels and in bottle together. */
const toAccountFor = ({ accounts }: PeriodVolumes) =>
  sumOf(accounts.filter(({ kind }) => kind !== 'must').map((account) => account.toAccountFor));

function periodsText({ context, months, quarters }: VolumesPages): string | undefined {
  const { periods } = RULE_SETS[context.settings.law].volumes;
  const { year } = civil(context.book.on);
  const of = (pages: readonly PeriodPage[]): number[] =>
    pages
      .filter(({ volumes: { period } }) => civil(period.from).year === year)
      .map(({ volumes }) => toAccountFor(volumes).gallons / 10 ** volumes.units.gallons.places);
  const longest = longestPeriod(periods, { month: of(months), quarter: of(quarters) });
  if (longest === undefined || periods.length < 2) return undefined;
  const { rule } = longest;
  return (
    `By the volumes of ${year} alone, the longest period the rule knows is the ${longest.of}: ${rule.section}, ` +
    `${rule.figure} (${rule.dated}; ${rule.read}). Not looked at: ${rule.leaves ?? 'anything else'}. The authority decides.`
  );
}
