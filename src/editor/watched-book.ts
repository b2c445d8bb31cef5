/** The book of a journal that is being written: after an edit it is told anew, with what is known from before. */
import type { Book } from '../cellar/book.ts';
import type { Cellar } from '../cellar/cellar.ts';
import { Recorder } from '../cellar/record.ts';
import type { DayNumber } from '../journal/events.ts';
import type { SourceFile } from '../journal/files.ts';
import { KeptLines } from '../journal/kept-lines.ts';
import { Study, type StudyOptions } from './study.ts';

/** Entry lines between two pauses of the fold: with a record that grows they weigh more than an editor's. */
const SPACING = 6000;

export class WatchedBook {
  private readonly on: DayNumber | undefined;
  private readonly spacing: number;
  private readonly options: StudyOptions;
  private study: Study | undefined;

  /** `on`: as of this day; without it, as of the last day written. */
  constructor(on: DayNumber | undefined, spacing = SPACING) {
    this.on = on;
    this.spacing = spacing;
    this.options = {
      watchers: [(cellar: Cellar) => new Recorder(cellar)],
      read: new KeptLines().read,
      ...(on === undefined ? {} : { until: on }),
    };
  }

  /** The book of the journal as it is now: the same as one made from scratch. */
  of(files: readonly SourceFile[]): Book {
    this.study = new Study(files, this.study, this.spacing, this.options);
    const folded = this.study.outcome();
    const recorder = this.study.onlookers().find((one): one is Recorder => one instanceof Recorder);
    if (recorder === undefined) throw new Error('the fold made no recorder');
    return recorder.book(folded, files, this.on);
  }
}
