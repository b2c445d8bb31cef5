/** Which lot of one book is which of another, and which vessel: by name, or by a name it had before it was renamed. */
import { fold } from '../../../grammar/words.ts';
import type { Book, LotRecord, VesselRecord } from '../../cellar/book.ts';
import type { VesselId } from '../../journal/events.ts';

/** The same thing in two books; one side is missing where only one has it. */
export interface Twin<T> {
  /** As the newer book has it, where it does. */
  readonly name: string;
  readonly before: T | undefined;
  readonly after: T | undefined;
}

interface Known<T> {
  readonly record: T;
  readonly name: string;
  readonly formerly: readonly string[];
}

/** What is called alike is the same; of the rest, what was called so once. In the order of the newer book, then of the older. */
function twins<T>(befores: readonly Known<T>[], afters: readonly Known<T>[]): Twin<T>[] {
  const open = new Map(befores.map((one) => [fold(one.name), one]));
  const partner = new Map<Known<T>, Known<T>>();
  for (const after of afters) {
    const before = open.get(fold(after.name));
    if (before === undefined) continue;
    partner.set(after, before);
    open.delete(fold(before.name));
  }
  const names = ({ name, formerly }: Known<T>): string[] => [name, ...formerly].map(fold);
  for (const after of afters) {
    if (partner.has(after)) continue;
    const known = new Set(names(after));
    const before = [...open.values()].find((one) => names(one).some((name) => known.has(name)));
    if (before === undefined) continue;
    partner.set(after, before);
    open.delete(fold(before.name));
  }
  return [
    ...afters.map((after) => ({ name: after.name, before: partner.get(after)?.record, after: after.record })),
    ...[...open.values()].map(({ name, record }) => ({ name, before: record, after: undefined })),
  ];
}

const lotsOf = ({ lots }: Book): Known<LotRecord>[] =>
  lots.map((record) => ({ record, name: record.facts.name, formerly: record.facts.formerly }));

/** The names vessels had before they were renamed. */
function formerNames({ happenings }: Book): Map<VesselId, string[]> {
  const found = new Map<VesselId, string[]>();
  for (const { event } of happenings) {
    if (event.kind !== 'naming' || event.how !== 'rename') continue;
    const [target] = event.targets;
    const [from] = event.details.split(' to ');
    if (target?.kind !== 'vessel' || from === undefined) continue;
    found.set(target.vessel, [...(found.get(target.vessel) ?? []), from]);
  }
  return found;
}

function vesselsOf(book: Book): Known<VesselRecord>[] {
  const formerly = formerNames(book);
  return book.vessels.map((record) => ({
    record,
    name: record.facts.name,
    formerly: formerly.get(record.facts.id) ?? [],
  }));
}

export const twinLots = (before: Book, after: Book): Twin<LotRecord>[] => twins(lotsOf(before), lotsOf(after));

export const twinVessels = (before: Book, after: Book): Twin<VesselRecord>[] =>
  twins(vesselsOf(before), vesselsOf(after));
