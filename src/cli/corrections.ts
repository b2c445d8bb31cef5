/** `ullage corrections FOLDER`: what was mended in the record, by whom and when, as the journal and version control tell it. */
import type { Book } from '../cellar/book.ts';
import { compareFindings } from '../journal/findings.ts';
import { commitText } from '../report/compare/told-changes.ts';
import { type Correction, type CorrectionLine, correctionsOf, type PastSeen } from '../report/corrections.ts';
import { correctionsJson } from '../report/corrections-json.ts';
import { leadOf, witnessOf } from '../report/corrections-page.ts';
import { fullDayText } from '../report/dates.ts';
import { pastOf } from './past.ts';
import { readBook } from './read-book.ts';
import { type Paint, painter, sayTally, tally, visible } from './show.ts';

export interface CorrectionsOptions {
  readonly format: 'text' | 'json';
  readonly on: number | undefined;
  /** False: only what the journal says itself. */
  readonly history: boolean;
}

const NOT_ASKED: PastSeen = { read: false, why: 'Version control was not asked.' };

/** 0 no errors in the journal, 1 errors in it, 2 a folder that cannot be read. */
export async function corrections(folder: string, options: CorrectionsOptions): Promise<number> {
  const found = readBook(folder, options.on);
  if (found === undefined) return 2;
  const { book, read } = found;
  const past = options.history ? await pastOf(folder) : NOT_ASKED;
  const counts = tally([...read.findings, ...book.findings].sort(compareFindings));
  if (options.format === 'json') process.stdout.write(`${JSON.stringify(correctionsJson(book, past), null, 2)}\n`);
  else {
    process.stdout.write(`${text(book, past, painter(process.stdout)).join('\n')}\n`);
    if (counts.errors > 0)
      process.stderr.write(`the journal has ${sayTally(counts)}: what could not be read is missing here\n`);
  }
  return counts.errors > 0 ? 1 : 0;
}

function text(book: Book, past: PastSeen, paint: Paint): string[] {
  const all = correctionsOf(book, past);
  const lead = leadOf(all);
  return [
    paint('bold', lead === '' ? 'Nothing was corrected, and nothing put down late.' : lead),
    ...witnessOf(past).map((one) => paint('dim', visible(one))),
    ...all.flatMap((one) => ['', ...correctionText(book, one, paint)]),
  ];
}

function correctionText(book: Book, one: Correction, paint: Paint): string[] {
  const day = one.day === undefined ? 'standing facts' : `the work of ${fullDayText(one.day)}`;
  const made = one.made === undefined ? '' : `, on ${fullDayText(one.made)}`;
  const line = (sign: string, { text: words, place }: CorrectionLine): string => {
    const at =
      place === undefined ? '' : paint('dim', `  ${visible(book.files[place.file]?.path ?? '')}:${place.line}`);
    return `  ${sign} ${visible(words)}${at}`;
  };
  return [
    `${paint('cyan', one.what)}: ${day}${made}`,
    ...one.stood.map((each) => line('−', each)),
    ...one.stands.map((each) => line('+', each)),
    ...(one.due === undefined
      ? []
      : [paint('yellow', `  the chosen law asks for it by ${fullDayText(one.due)}; its text and authority decide`)]),
    one.kind === 'past'
      ? `  told by version control: ${visible(commitText(one.commit))}`
      : `  by ${one.by.length === 0 ? 'nobody named' : one.by.map(visible).join(', ')}; why: ${one.why === '' ? 'not told' : visible(one.why)}`,
  ];
}
