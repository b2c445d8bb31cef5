/** What is told apart in a plan: a key for every work and every bound, so that lines of one kind can be compared. */
import type { Event } from '../journal/events.ts';
import type { DueRow, PlanRow, Work } from '../journal/plans.ts';

/** Works on the cap: one stands in for another where the plans ask for no more than one of them. */
export const CAP_WORKS: readonly string[] = ['punch-down', 'pump-over', 'rack-and-return'];

/** Scales of one and the same reading: sugar read in any of them is sugar read. */
const SUGAR: ReadonlySet<string> = new Set(['brix', 'SG', 'density', 'oechsle', 'baume', 'plato']);

export const readingKey = (analyte: string): string => `read ${SUGAR.has(analyte) ? 'sugar' : analyte}`;
const verbKey = (verb: string): string => `do ${verb}`;
const materialKey = (material: number): string => `give ${material}`;
const materialKindKey = (kind: string): string => `give a ${kind}`;

function workKeys(work: Work): string[] {
  switch (work.kind) {
    case 'verb':
      return [verbKey(work.verb)];
    case 'material':
      return [materialKey(work.material)];
    case 'material kind':
      return [materialKindKey(work.of)];
    case 'reading':
      return [...new Set(work.analytes.map(readingKey))];
  }
}

/** The measurements of a work that keys tell of, where it is a reading that asks for more than those. */
export function partOf(work: Work, keys: ReadonlySet<string>): readonly string[] | undefined {
  if (work.kind !== 'reading') return undefined;
  const part = work.analytes.filter((analyte) => keys.has(readingKey(analyte)));
  return part.length < work.analytes.length ? part : undefined;
}

/** The keys of a line: what it says something of. */
export function rowKeys(row: PlanRow): string[] {
  if (row.kind === 'due') return workKeys(row.work);
  const what = row.kind === 'keep' ? `keep ${row.analyte}` : `warn ${row.analyte} ${row.of}`;
  const { low, high } = row.bounds;
  return [...(low === undefined ? [] : [`${what} low`]), ...(high === undefined ? [] : [`${what} high`])];
}

/** The keys that doing an event does: its verb, and each material it gives. Readings have theirs by the analyte. */
export function doneKeys(event: Event, materialKind: (material: number) => string | undefined): string[] {
  const keys = [verbKey(event.verb)];
  if (event.kind === 'add') {
    for (const { material } of event.additions) {
      keys.push(materialKey(material));
      const kind = materialKind(material);
      if (kind !== undefined) keys.push(materialKindKey(kind));
    }
  }
  return keys;
}

/** The keys whose work counts for a key, given all that the plans over a vessel ask for. */
export function countingKeys(key: string, asked: ReadonlySet<string>): string[] {
  const cap = CAP_WORKS.map(verbKey);
  return cap.includes(key) ? cap.filter((other) => other === key || !asked.has(other)) : [key];
}

/** The analytes whose figures a line needs: its own, those of its conditions. */
export function rowAnalytes(row: PlanRow): string[] {
  const analytes = row.kind === 'due' ? dueAnalytes(row) : [row.analyte];
  for (const condition of row.conditions) {
    if (!('test' in condition)) continue;
    if (condition.test.kind === 'reading') analytes.push(condition.test.analyte);
    else if (condition.test.kind === 'gone') analytes.push('brix');
  }
  // how far a ferment has come tells whether its pace matters
  if (row.kind === 'warn' && row.of !== 'figure') analytes.push('brix');
  return analytes;
}

const dueAnalytes = ({ work }: DueRow): string[] => (work.kind === 'reading' ? [...work.analytes] : []);
