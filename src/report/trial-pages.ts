/** The pages of bench trials: all of them in a table, and one for each with its rows, its tasters and its amounts. */
import type { ReportContext } from './context.ts';
import { dayOf, dayText, isoDay } from './dates.ts';
import type { Link } from './links.ts';
import { capital } from './names.ts';
import { cell, EMPTY, figures, type Sheet, type SheetCell, type SheetRow } from './sheet.ts';
import { slugs } from './slugs.ts';
import { scaleUp } from './trial-scale.ts';
import { type Panel, panelOf, rowSaid, type Trial, targetName, trialsOf } from './trials.ts';

export interface TrialPage {
  readonly path: string;
  readonly title: string;
  readonly trial: Trial;
}

/** A page for each trial, in the order of time. */
export function trialPages({ book }: ReportContext): TrialPage[] {
  const trials = trialsOf(book);
  const names = slugs(trials.map(({ said }) => said.name));
  return trials.map((trial, i) => ({ path: `trials/${names[i] ?? i}.html`, title: trial.said.name, trial }));
}

export interface TrialsModel {
  readonly sheet: Sheet | undefined;
}

const wineCell = (context: ReportContext, { event }: Trial): SheetCell =>
  figures(
    event.targets.map((target): Link => {
      if (target.kind === 'vessel') return context.links.vessel(target.vessel);
      return target.kind === 'lot' ? context.links.lot(target.lot) : { text: targetName(context.book, target) };
    }),
  );

const chosenText = ({ said }: Trial): string => {
  const row = said.chosen === undefined ? undefined : said.rows[said.chosen];
  return row === undefined ? '' : `${row.name}: ${rowSaid(row)}`;
};

export function trialsModel(context: ReportContext, pages: readonly TrialPage[]): TrialsModel {
  if (pages.length === 0) return { sheet: undefined };
  return {
    sheet: {
      label: 'Bench trials',
      caption: '',
      columns: [
        { name: 'Trial' },
        { name: 'Day', kind: 'nowrap' },
        { name: 'Of', kind: 'words' },
        { name: 'Rows', kind: 'number' },
        { name: 'Tasters', kind: 'number' },
        { name: 'Chosen', kind: 'words' },
      ],
      rows: pages.toReversed().map(({ path, title, trial }) => {
        const day = dayOf(trial.event.minute);
        return {
          cells: [
            cell(title, path),
            { ...cell(dayText(day), context.links.line(trial.event.place).href), iso: isoDay(day) },
            wineCell(context, trial),
            cell(String(trial.said.rows.length)),
            cell(trial.said.tastings.length === 0 ? '' : String(trial.said.tastings.length)),
            cell(chosenText(trial)),
          ],
        };
      }),
      sort: pages.length > 8,
    },
  };
}

export interface TrialModel {
  readonly title: string;
  readonly day: string;
  readonly iso: string;
  readonly wines: SheetCell;
  readonly purpose: string;
  readonly hands: string;
  readonly line: Link;
  readonly note: string | undefined;
  readonly rows: Sheet | undefined;
  readonly verdict: string;
  readonly tastings: Sheet | undefined;
  readonly chosen:
    | {
        readonly text: string;
        readonly amounts: readonly string[];
        readonly paste: string;
        readonly notes: readonly string[];
      }
    | undefined;
  /** The day the amounts are of. */
  readonly asOf: string;
}

export function trialModel(context: ReportContext, { trial, title }: TrialPage): TrialModel {
  const { book, links } = context;
  const { event, said } = trial;
  const panel = panelOf(said);
  const row = said.chosen === undefined ? undefined : said.rows[said.chosen];
  const scaled = row === undefined ? undefined : scaleUp(book, trial, row);
  return {
    title,
    day: dayText(dayOf(event.minute)),
    iso: isoDay(dayOf(event.minute)),
    wines: wineCell(context, trial),
    purpose: event.purpose ?? '',
    hands: event.hands.join(', '),
    line: links.line(event.place),
    note: event.note,
    rows: said.rows.length === 0 ? undefined : rowsSheet(context, trial, panel),
    verdict: panel.words,
    tastings: said.tastings.length === 0 ? undefined : tastingsSheet(context, trial),
    chosen:
      row === undefined || scaled === undefined
        ? undefined
        : {
            text: `${row.name}: ${rowSaid(row)}`,
            amounts: scaled.amounts,
            paste: scaled.lines.join('\n'),
            notes: scaled.notes.map(capital),
          },
    asOf: dayText(book.on),
  };
}

function rowsSheet(context: ReportContext, { said }: Trial, { firsts, sums, tasters }: Panel): Sheet {
  const ranked = sums.length > 0;
  return {
    label: 'What was tried',
    caption: '',
    columns: [
      { name: 'Row', kind: 'nowrap' },
      { name: 'Code', kind: 'number' },
      { name: 'Tried', kind: 'words' },
      ...(tasters > 0 ? [{ name: 'Liked best', kind: 'number' } as const] : []),
      ...(ranked ? [{ name: 'Sum of ranks', kind: 'number' } as const] : []),
      { name: 'Said of it', kind: 'words' },
    ],
    rows: said.rows.map((row, i): SheetRow => {
      const { href } = context.links.line(row.place);
      return {
        cells: [
          { ...cell(row.name, href), ...(said.chosen === i ? { quiet: 'chosen' } : {}) },
          cell(row.code),
          cell(rowSaid(row)),
          ...(tasters > 0 ? [cell(String(firsts[i] ?? 0))] : []),
          ...(ranked ? [cell(String(sums[i] ?? ''))] : []),
          cell(row.remark ?? ''),
        ],
      };
    }),
    sort: false,
  };
}

function tastingsSheet(context: ReportContext, { said }: Trial): Sheet {
  const anySaid = said.tastings.some(({ remark }) => remark !== undefined);
  const nameOf = (row: number): string => said.rows[row]?.name ?? '';
  return {
    label: 'Tasters',
    caption: '',
    columns: [
      { name: 'Hand', kind: 'nowrap' },
      { name: 'From the best down', kind: 'words' },
      ...(anySaid ? [{ name: 'Said', kind: 'words' } as const] : []),
    ],
    rows: said.tastings.map(({ hand, order, scores, remark, place }) => ({
      cells: [
        cell(hand, context.links.line(place).href),
        cell(
          order.length > 0
            ? order.map(nameOf).join(', ')
            : [...scores]
                .sort((a, b) => b.score - a.score || a.row - b.row)
                .map(({ row, score }) => `${nameOf(row)} ${score}`)
                .join(', '),
        ),
        ...(anySaid ? [remark === undefined ? EMPTY : cell(remark)] : []),
      ],
    })),
    sort: false,
  };
}
