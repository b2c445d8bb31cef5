/** From journal files to the book: the fold with a recorder looking on. */
import type { DayNumber } from '../journal/events.ts';
import type { SourceFile } from '../journal/files.ts';
import type { Book } from './book.ts';
import type { Folded, FoldOptions } from './fold.ts';
import { Recorder } from './record.ts';

/** The book of a journal, as of its last day or the day asked for. `fold` folds with whatever checks look on. */
export function makeBook(
  files: readonly SourceFile[],
  on: DayNumber | undefined,
  fold: (files: readonly SourceFile[], options: FoldOptions) => Folded,
): Book {
  let recorder: Recorder | undefined;
  const folded = fold(files, {
    ...(on === undefined ? {} : { until: on }),
    watchers: [
      (cellar) => {
        recorder = new Recorder(cellar);
        return recorder;
      },
    ],
  });
  if (recorder === undefined) throw new Error('the fold made no recorder');
  return recorder.book(folded, files, on);
}
