/** Corrections as plain data for other programs; `corrections.schema.json` describes it. */
import { formatDate } from '../../grammar/dates.ts';
import type { Book } from '../cellar/book.ts';
import { commitJson } from './compare/comparison-json.ts';
import { type CorrectionLine, correctionsOf, type PastSeen } from './corrections.ts';

export function correctionsJson(book: Book, past: PastSeen) {
  const line = ({ text, place }: CorrectionLine) => ({
    text,
    file: place === undefined ? null : (book.files[place.file]?.path ?? null),
    line: place?.line ?? null,
  });
  const day = (of: number | undefined): string | null => (of === undefined ? null : formatDate(of));
  return {
    format: 'ullage-corrections',
    version: 1,
    law: book.settings.law,
    versionControl: past.read ? { read: true, unseen: past.unseen } : { read: false, why: past.why },
    corrections: correctionsOf(book, past).map((one) => ({
      kind: one.kind,
      what: one.what,
      day: day(one.day),
      made: day(one.made),
      stood: one.stood.map(line),
      stands: one.stands.map(line),
      by: one.by,
      why: one.why === '' ? null : one.why,
      commit: one.commit === undefined ? null : commitJson(one.commit),
      dueBy: day(one.due),
    })),
  };
}
