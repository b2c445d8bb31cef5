/** The chemistry of a lot over time: alcohol, sulfur dioxide and malic acid, each figure with what it rests on. */
import type { Happening, LotRecord } from '../cellar/book.ts';
import type { ReportContext } from './context.ts';
import { type Span, sentenceOf } from './finding-list.ts';
import { type MalolacticModel, malolacticOf } from './malolactic.ts';
import { cell, figures, type Sheet } from './sheet.ts';
import { type Strength, strengthOf } from './strength.ts';
import { type SulfurModel, sulfurOf } from './sulfur.ts';
import { type SulfurHad, sulfurHad } from './sulfur-had.ts';

export interface ChemistryModel {
  readonly strength: Strength | undefined;
  readonly sulfur: SulfurModel | undefined;
  /** How the molecular figures were worked out, and by what else they would differ. */
  readonly sulfurRemark: readonly Span[];
  readonly sulfurSheet: Sheet | undefined;
  readonly had: SulfurHad | undefined;
  readonly malolactic: MalolacticModel | undefined;
  readonly malicSheet: Sheet | undefined;
  /** The analytes its tables show. */
  readonly analytes: readonly string[];
}

/** `undefined` where nothing of it was ever read, and no sulfur dioxide added. */
export function chemistryOf(
  context: ReportContext,
  lot: LotRecord,
  happenings: readonly Happening[],
): ChemistryModel | undefined {
  const strength = strengthOf(context, happenings);
  const sulfur = sulfurOf(context, lot.facts.name, happenings);
  const malolactic = malolacticOf(context, lot.facts.name, happenings);
  const had = sulfurHad(context, lot);
  if (strength === undefined && sulfur === undefined && malolactic === undefined && had === undefined) return undefined;
  return {
    strength,
    sulfur,
    sulfurRemark: sentenceOf(sulfur?.remark ?? ''),
    sulfurSheet: sulfur === undefined ? undefined : sulfurSheet(sulfur),
    had,
    malolactic,
    malicSheet: malolactic === undefined ? undefined : malicSheet(malolactic),
    analytes: [
      ...(sulfur === undefined ? [] : ['free SO2', 'total SO2']),
      ...(malolactic === undefined ? [] : ['malic']),
    ],
  };
}

/** Readings told one by one: of an old wine in many barrels the newest. */
const MOST_ROWS = 120;

const ofMany = (count: number): string => (count > MOST_ROWS ? `, the last ${MOST_ROWS} of ${count}` : '');

function sulfurSheet({ rows, chart }: SulfurModel): Sheet {
  return {
    label: 'Sulfur dioxide',
    caption: `Sulfur dioxide in mg/L; molecular by ${chart.method}${ofMany(rows.length)}`,
    columns: [
      { name: 'Day', kind: 'nowrap' },
      { name: 'Of', kind: 'words' },
      { name: 'Free', kind: 'number' },
      { name: 'Total', kind: 'number' },
      { name: 'pH', kind: 'number' },
      { name: 'Molecular', kind: 'number' },
      { name: 'Line', kind: 'line' },
    ],
    rows: rows.slice(-MOST_ROWS).map((row) => ({
      cells: [
        { figures: [{ text: row.day }], iso: row.iso },
        cell(row.of),
        cell(row.free),
        cell(row.total),
        cell(row.pH),
        cell(row.molecular),
        figures([row.line]),
      ],
    })),
    sort: true,
  };
}

function malicSheet({ rows }: MalolacticModel): Sheet {
  return {
    label: 'Malic acid',
    caption: `Malic acid in g/L${ofMany(rows.length)}`,
    columns: [
      { name: 'Day', kind: 'nowrap' },
      { name: 'Of', kind: 'words' },
      { name: 'Malic', kind: 'number' },
      { name: 'Using' },
      { name: 'Line', kind: 'line' },
    ],
    rows: rows.slice(-MOST_ROWS).map((row) => ({
      cells: [
        { figures: [{ text: row.day }], iso: row.iso },
        cell(row.of),
        cell(row.malic),
        cell(row.using),
        figures([row.line]),
      ],
    })),
    sort: true,
  };
}
