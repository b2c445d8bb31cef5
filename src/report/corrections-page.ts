/** The page of corrections: all that was mended in the record in one table, who did it and when, and who tells of it. */

import { shortId } from './compare/told-changes.ts';
import type { ReportContext } from './context.ts';
import { figureAt } from './context.ts';
import { type Correction, type CorrectionLine, correctionsOf, type PastSeen } from './corrections.ts';
import { dayText, isoDay } from './dates.ts';
import { counted } from './names.ts';
import { cell, EMPTY, type Sheet, type SheetCell } from './sheet.ts';

export interface CorrectionsModel {
  readonly lead: string;
  readonly sheet: Sheet | undefined;
  /** What version control was asked, and what it could not tell. */
  readonly witness: readonly string[];
}

/** Corrections on the page; all are told by the command. */
const MOST = 250;

export function correctionsModel(context: ReportContext, past: PastSeen): CorrectionsModel {
  const all = correctionsOf(context.book, past);
  const shown = all.slice(-MOST);
  return {
    lead: leadOf(all),
    sheet: all.length === 0 ? undefined : sheetOf(context, shown, all.length),
    witness: witnessOf(past),
  };
}

export function leadOf(all: readonly Correction[]): string {
  const of = (kind: Correction['kind']): number => all.filter((one) => one.kind === kind).length;
  const [struck, late, past] = [of('struck'), of('late'), of('past')];
  const beyond = all.filter(({ due }) => due !== undefined).length;
  const told = [
    struck === 0 ? '' : counted(struck, 'struck line'),
    late === 0
      ? ''
      : `${counted(late, 'line')} put down late${beyond === 0 ? '' : `, ${beyond} of them later than the chosen law allows`}`,
    past === 0 ? '' : `${counted(past, 'change')} of past days seen by version control`,
  ].filter((text) => text !== '');
  return told.length === 0 ? '' : `${told.join('; ')}.`;
}

/** What version control was asked, in words. */
export function witnessOf(past: PastSeen): string[] {
  if (!past.read) return [past.why];
  return [
    past.changes.length === 0
      ? 'Version control was read: no commit changed a day that was past by then.'
      : 'Version control was read: what it saw is told beside what the journal says itself.',
    ...past.unseen.map((text) => `Not seen: ${text}.`),
  ];
}

const dayCell = (day: number | undefined, none: string, quiet?: string): SheetCell =>
  day === undefined
    ? { figures: [{ text: none }], ...(quiet === undefined ? {} : { quiet }) }
    : { figures: [{ text: dayText(day) }], iso: isoDay(day), ...(quiet === undefined ? {} : { quiet }) };

function linesCell(context: ReportContext, lines: readonly CorrectionLine[]): SheetCell {
  return lines.length === 0 ? EMPTY : { figures: lines.map(({ text, place }) => figureAt(context, text, place)) };
}

function sheetOf(context: ReportContext, shown: readonly Correction[], all: number): Sheet {
  return {
    label: 'Corrections',
    caption:
      shown.length === all
        ? 'The oldest first; a line leads to where it stands in the journal'
        : `The last ${shown.length} of ${all}, the oldest first; ullage corrections tells all of them`,
    columns: [
      { name: 'Made', kind: 'nowrap' },
      { name: 'Work of', kind: 'nowrap' },
      { name: 'What' },
      { name: 'Stood', kind: 'words' },
      { name: 'Stands', kind: 'words' },
      { name: 'By' },
      { name: 'Why', kind: 'words' },
      { name: 'Told by' },
    ],
    rows: shown.map((one) => ({
      cells: [
        dayCell(one.made, one.kind === 'past' ? 'not committed yet' : 'not told'),
        dayCell(one.day, 'standing fact'),
        { figures: [{ text: one.what }], ...(one.due === undefined ? {} : { quiet: `due by ${dayText(one.due)}` }) },
        linesCell(context, one.stood),
        linesCell(context, one.stands),
        cell(one.by.length === 0 ? 'not told' : one.by.join(', ')),
        cell(one.why === '' ? 'not told' : one.why),
        cell(
          one.kind !== 'past'
            ? 'the journal'
            : one.commit === undefined
              ? 'the work tree'
              : `commit ${shortId(one.commit)}`,
        ),
      ],
    })),
    sort: true,
  };
}
