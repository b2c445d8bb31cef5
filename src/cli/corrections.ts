/** `ullage corrections FOLDER`: what was mended in the record, by whom and when, as the journal and version control tell it. */
import type { Book } from '../cellar/book.ts';
import { makeBook } from '../cellar/make-book.ts';
import { checkJournal } from '../checks/check-journal.ts';
import type { Finding } from '../journal/findings.ts';
import { commitText } from '../report/compare/told-changes.ts';
import { type Correction, type CorrectionLine, correctionsOf, type PastSeen } from '../report/corrections.ts';
import { correctionsJson } from '../report/corrections-json.ts';
import { leadOf, witnessOf } from '../report/corrections-page.ts';
import { fullDayText } from '../report/dates.ts';
import { journalOfBare, pastOf } from './past.ts';
import { readBook } from './read-book.ts';
import { type Paint, painter, sayTally, tally, visible } from './show.ts';

export interface CorrectionsOptions {
  readonly format: 'text' | 'json';
  readonly on: number | undefined;
  /** False: only what the journal says itself. */
  readonly history: boolean;
}

const NOT_ASKED: PastSeen = { read: false, why: 'Version control was not asked.' };

/** The same where only version control has the journal. */
const JOURNAL_ASKED: PastSeen = {
  read: false,
  why: 'Version control was asked for the journal of its last commit alone.',
};

interface Told {
  readonly book: Book;
  /** Of the files and of what stands in them. */
  readonly findings: readonly Finding[];
  /** What of the journal cannot be seen, in words. */
  readonly unseen: readonly string[];
  /** Without its history. */
  readonly past: PastSeen;
}

/** The journal of a folder, or of the last commit of a bare repository; undefined, and said, where there is none. */
async function toldIn(folder: string, on: number | undefined): Promise<Told | undefined> {
  const stored = await journalOfBare(folder);
  if (stored === undefined) {
    const found = readBook(folder, on);
    if (found === undefined) return undefined;
    return {
      book: found.book,
      findings: [...found.read.findings, ...found.book.findings],
      unseen: [],
      past: NOT_ASKED,
    };
  }
  if ('why' in stored) {
    process.stderr.write(`${visible(folder)}: ${visible(stored.why)}\n`);
    return undefined;
  }
  const book = makeBook(stored.files, on, checkJournal);
  return { book, findings: [...stored.findings, ...book.findings], unseen: stored.unseen, past: JOURNAL_ASKED };
}

/** What was seen of the past, with what of the journal itself was not. */
function withUnseen(past: PastSeen, unseen: readonly string[]): PastSeen {
  if (past.read) return { ...past, unseen: [...past.unseen, ...unseen] };
  return { read: false, why: [past.why, ...unseen.map((one) => `Not seen: ${one}.`)].join(' ') };
}

/** 0 no errors in the journal, 1 errors in it, 2 a folder that cannot be read. */
export async function corrections(folder: string, options: CorrectionsOptions): Promise<number> {
  const found = await toldIn(folder, options.on);
  if (found === undefined) return 2;
  const { book, findings, unseen } = found;
  const past = withUnseen(options.history ? await pastOf(folder) : found.past, unseen);
  const counts = tally(findings);
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
